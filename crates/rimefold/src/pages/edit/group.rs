//! Fields of one part of the garden, as a form groups them.

use crate::pages::edit::part::Field;

/// A group of fields that may be there or not.
pub struct Group {
    /// What it is.
    pub legend: String,
    /// Name of the box that says whether it is there; empty where it always is.
    pub has: String,
    /// The words beside that box.
    pub has_words: &'static str,
    /// Whether it is there.
    pub there: bool,
    /// Name of the box that takes it out; empty where it cannot be.
    pub remove: String,
    /// Whether it stands behind its heading until it is tapped.
    pub folded: bool,
    /// What it holds, in a few words beside that heading.
    pub brief: String,
    /// Whether fields that may be empty, and are, stand behind another tap.
    pub fold_rest: bool,
    /// Its fields.
    pub fields: Vec<Field>,
}

impl Group {
    /// Whether a field stands in the group itself.
    pub fn shows(&self, field: &Field) -> bool {
        !self.fold_rest
            || field.must
            || field.flag
            || !field.value.is_empty()
            || field.fault.is_some()
    }

    /// A group that is always there.
    pub fn always(legend: &str, fields: Vec<Field>) -> Self {
        let none = String::new;
        Self {
            legend: legend.into(),
            has: none(),
            has_words: "",
            there: true,
            remove: none(),
            folded: false,
            fold_rest: false,
            brief: none(),
            fields,
        }
    }
}
