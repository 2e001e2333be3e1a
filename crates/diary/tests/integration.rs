//! The diary by itself: what lies on each bed, names, layouts kept from earlier programs.
#![expect(clippy::expect_used, reason = "a test says what went wrong by failing")]

mod damaged;
mod kept_layouts;
mod names;
mod series;
mod state;
mod tasks;

use diary::Id;

/// A name made of a number.
pub fn id(n: u128) -> Id {
    Id::try_from(format!("{n:032x}")).expect("an id")
}
