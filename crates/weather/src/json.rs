//! A place in a JSON file that knows its own path.

use jiff::Timestamp;
use quantities::Moment;
use serde_json::Value;

use crate::error::ReadError;

/// A value and where it stands.
#[derive(Clone)]
pub struct At<'a> {
    pub value: &'a Value,
    pub path: String,
    pub format: &'static str,
}

impl<'a> At<'a> {
    pub fn root(value: &'a Value, format: &'static str) -> Self {
        Self { value, path: String::new(), format }
    }

    /// The member `key`, if it is there and not null.
    pub fn maybe(&self, key: &str) -> Option<Self> {
        let value = self.value.get(key).filter(|v| !v.is_null())?;
        let path =
            if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) };
        Some(Self { value, path, format: self.format })
    }

    pub fn get(&self, key: &str) -> Result<Self, ReadError> {
        self.maybe(key).ok_or_else(|| {
            let path = if self.path.is_empty() { "the top".into() } else { self.path.clone() };
            ReadError::Field {
                format: self.format,
                path,
                found: format!("no `{key}`"),
                expected: format!("`{key}`"),
            }
        })
    }

    pub fn list(&self) -> Result<Vec<Self>, ReadError> {
        let list = self.value.as_array().ok_or_else(|| self.wrong("a list"))?;
        Ok(list
            .iter()
            .enumerate()
            .map(|(i, value)| Self {
                value,
                path: format!("{}[{i}]", self.path),
                format: self.format,
            })
            .collect())
    }

    pub fn text(&self) -> Result<&'a str, ReadError> {
        self.value.as_str().ok_or_else(|| self.wrong("text"))
    }

    pub fn number(&self) -> Result<f64, ReadError> {
        self.value.as_f64().filter(|x| x.is_finite()).ok_or_else(|| self.wrong("a number"))
    }

    pub fn moment(&self) -> Result<Moment, ReadError> {
        let time: Timestamp =
            self.text()?.parse().map_err(|_| self.wrong("a time such as 2027-05-14T20:00:00Z"))?;
        Ok(Moment(time.as_second()))
    }

    pub fn wrong(&self, expected: &str) -> ReadError {
        let mut found: String = self.value.to_string().chars().take(60).collect();
        if found.is_empty() {
            found = "nothing".into();
        }
        self.refuse(found, expected.to_owned())
    }

    pub fn refuse(&self, found: String, expected: String) -> ReadError {
        ReadError::Field { format: self.format, path: self.path.clone(), found, expected }
    }
}
