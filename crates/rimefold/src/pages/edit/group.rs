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
    /// Its fields.
    pub fields: Vec<Field>,
    /// Whether it is folded while nothing in it is wrong.
    pub folded: bool,
    /// Whether what may stay empty, and is, stands behind a fold of its own.
    pub folds_seldom: bool,
}

impl Group {
    /// A group that is always there.
    pub fn always(legend: &str, fields: Vec<Field>) -> Self {
        let none = String::new;
        Self {
            legend: legend.into(),
            has: none(),
            has_words: "",
            there: true,
            remove: none(),
            fields,
            folded: false,
            folds_seldom: false,
        }
    }

    /// The same, what may stay empty and is behind a fold.
    pub fn folding_seldom(self) -> Self {
        Self { folds_seldom: true, ..self }
    }

    /// The fields that are seen at once.
    pub fn at_once(&self) -> Vec<&Field> {
        self.fields.iter().filter(|f| !self.is_seldom(f)).collect()
    }

    /// The others.
    pub fn seldom(&self) -> Vec<&Field> {
        self.fields.iter().filter(|f| self.is_seldom(f)).collect()
    }

    /// What stands on their fold.
    pub fn seldom_words(&self) -> String {
        let words: Vec<&str> = self.seldom().iter().map(|f| f.words).collect();
        words.join(" · ")
    }

    fn is_seldom(&self, field: &Field) -> bool {
        let empty = field.value.is_empty() && field.fault.is_none();
        self.folds_seldom && empty && !field.must && !field.flag
    }

    /// The same, folded while nothing in it is wrong.
    pub fn folded(self) -> Self {
        Self { folded: true, ..self }
    }

    /// Whether its fields are seen at once.
    pub fn open(&self) -> bool {
        self.there && (!self.folded || self.fields.iter().any(|f| f.fault.is_some()))
    }

    /// What stands on it while it is folded: what it is, with what its first fields hold.
    pub fn summary(&self) -> String {
        if !self.there {
            return format!("{} …", self.has_words);
        }
        let held = self.fields.iter().filter(|f| !f.flag && !f.value.is_empty()).take(3);
        let held: Vec<&str> = held.map(|f| f.value.as_str()).collect();
        format!("{}: {}", self.legend, held.join(", "))
    }
}
