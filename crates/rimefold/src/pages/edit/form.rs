//! What a form sent: names and values, in order.

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
    let text = text.trim().replace(',', ".").replace('−', "-");
    if let Ok(whole) = text.parse::<i64>() {
        return Some(whole.into());
    }
    text.parse::<f64>().ok().filter(|x| x.is_finite()).map(Into::into)
}
