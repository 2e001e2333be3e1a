//! Why there is no cut list.

use crate::cut::units::{LONGEST_M, MOST_PIECES};

/// What the grower can mend is kept apart from our bugs: [`CutError::Bug`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum CutError {
    /// A piece is longer than any roll.
    #[error(
        "`{piece}` is {length_m} m long, longer than the longest roll: `{roll}` has {roll_length_m} m"
    )]
    TooLong {
        /// Piece.
        piece: String,
        /// Its length, m.
        length_m: f64,
        /// Longest roll.
        roll: String,
        /// Its length, m.
        roll_length_m: f64,
    },
    /// A sheet fits on no roll, along or across.
    #[error(
        "`{piece}` of {width_m} m by {length_m} m fits on no roll of its cloth, along or across: the widest, `{roll}`, has {roll_width_m} m by {roll_length_m} m"
    )]
    TooLarge {
        /// Piece.
        piece: String,
        /// Its width, m.
        width_m: f64,
        /// Its length, m.
        length_m: f64,
        /// Widest roll of the cloth; the longest of those.
        roll: String,
        /// Its width, m.
        roll_width_m: f64,
        /// Its length, m.
        roll_length_m: f64,
    },
    /// Pieces are wanted and no roll is offered.
    #[error("`{piece}` has no roll to be cut from")]
    NoRoll {
        /// First piece without a roll.
        piece: String,
    },
    /// The rolls at hand are not enough.
    #[error(
        "the rolls are not enough: {short} of `{piece}` left over{}",
        if *proven { "" } else { ", in the best cut found; a better one is not ruled out" }
    )]
    NotEnoughRolls {
        /// First piece left over.
        piece: String,
        /// How many of it.
        short: u32,
        /// Whether no cut at all can do it.
        proven: bool,
    },
    /// A length that is no length.
    #[error("{what} of `{name}` is {value_m} m; it must be more than 0 and at most {LONGEST_M} m")]
    BadLength {
        /// Piece or roll.
        name: String,
        /// Which length.
        what: &'static str,
        /// Value, m.
        value_m: f64,
    },
    /// What a cut spoils is no length.
    #[error("a cut spoils {value_m} m; it must be at least 0 and at most 1 m")]
    BadKerf {
        /// Value, m.
        value_m: f64,
    },
    /// A price that is none.
    #[error(
        "the price of `{name}` is {value}; it must be a number, at least 0 and at most 1000000"
    )]
    BadPrice {
        /// Roll.
        name: String,
        /// Value, money.
        value: f64,
    },
    /// More pieces than a garden has.
    #[error("{pieces} pieces are wanted; at most {MOST_PIECES} can be cut at once")]
    TooMany {
        /// Pieces.
        pieces: u64,
    },
    /// An answer breaks a rule: our bug.
    #[error("the cut list breaks a rule: {0}")]
    Bug(String),
}
