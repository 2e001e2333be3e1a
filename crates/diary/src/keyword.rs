//! Kinds of things with one fixed word each, the same in the database, in files and on the command line.

use crate::error::{DatabaseError, damaged};

/// A kind that is one of a few words.
pub trait Keyword: Copy + PartialEq + 'static {
    /// Every kind with its word.
    const KEYWORDS: &'static [(Self, &'static str)];

    /// Its word.
    fn keyword(self) -> &'static str {
        Self::KEYWORDS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    /// The kind of a word.
    fn from_keyword(word: &str) -> Option<Self> {
        Self::KEYWORDS.iter().find(|(_, w)| *w == word).map(|(kind, _)| *kind)
    }
}

/// The kind of a word in the database, where the table's own rules let only known ones in.
pub(crate) fn stored<K: Keyword>(word: &str) -> Result<K, DatabaseError> {
    K::from_keyword(word).ok_or_else(|| damaged(format!("it holds the word `{word}`")))
}
