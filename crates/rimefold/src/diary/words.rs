//! Kinds of things with one fixed word each, the same in the database, in files and on the command line.

/// A kind that is one of a few words.
pub trait Worded: Copy + PartialEq + 'static {
    /// Every kind with its word.
    const WORDS: &'static [(Self, &'static str)];

    /// Its word.
    fn word(self) -> &'static str {
        Self::WORDS.iter().find(|(kind, _)| *kind == self).map_or("", |(_, word)| word)
    }

    /// The kind of a word.
    fn of(word: &str) -> Option<Self> {
        Self::WORDS.iter().find(|(_, w)| *w == word).map(|(kind, _)| *kind)
    }
}
