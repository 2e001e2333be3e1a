//! What a form sent: names and values, in order.

use crate::format;

/// Names and values.
#[derive(Clone, Debug, Default)]
pub struct Form(pub Vec<(String, String)>);

impl Form {
    /// The value of a name; empty where it was not sent.
    pub fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(n, _)| n == name).map_or("", |(_, v)| v.trim())
    }

    /// Whether a name was sent at all, as a ticked box is.
    pub fn has(&self, name: &str) -> bool {
        self.0.iter().any(|(n, _)| n == name)
    }
}

/// A number as people write it, with point or comma; whole numbers stay whole.
pub fn number(text: &str) -> Option<toml_edit::Value> {
    match format::point(text).parse::<i64>() {
        Ok(whole) => Some(whole.into()),
        Err(_) => format::number(text).map(Into::into),
    }
}
