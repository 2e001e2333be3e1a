//! What to look after when: voles under winter covers, snow on hoops, cloth in store.

use std::ops::Range;

use crate::year::BedYear;
use crate::year::dates::{DAYS, half_months, spans};
use crate::year::hoops::What;
use crate::year::past::Past;

/// Usual maximum below which snow stays on a cover, °C (from memory).
const SNOW_COLD_C: f64 = 2.0;

/// One thing to look after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chore {
    /// What.
    pub what: Look,
    /// Days from the middle of winter, its end not included.
    pub days: Range<usize>,
}

/// What to look at; how often is common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// Runs and gnawing under covers that lie on: every week.
    Voles,
    /// Snow on covered hoops: every day.
    Snow,
    /// Cloth in store, dry and out of mice's reach: every month.
    StoredCloth,
}

/// The chores of a garden: voles in half-months with a winter cover, snow in covered half-months whose usual maximum is
/// below 2 °C, stored cloth in half-months of long days in which no bed carries cloth.
///
/// Checked by `year::chores_follow_the_covers`.
/// Equation 72 of docs/science.md.
#[must_use]
pub fn of(past: &Past, beds: &[BedYear]) -> Vec<Chore> {
    let carries = |days: &Range<usize>, what: &[What]| {
        let overlaps = |r: &Range<usize>| r.start < days.end && days.start < r.end;
        beds.iter().flat_map(|b| &b.carried).any(|c| what.contains(&c.what) && overlaps(&c.days))
    };
    let cloth = [What::Cloth, What::WinterCloth];
    let carried = beds.iter().flat_map(|b| &b.carried).any(|c| cloth.contains(&c.what));
    let due = |what: Look, half: &Range<usize>| match what {
        Look::Voles => carries(half, &[What::WinterCloth]),
        Look::Snow => {
            carries(half, &cloth) && past.usual_max_c(half.clone()).is_some_and(|t| t < SNOW_COLD_C)
        }
        Look::StoredCloth => {
            carried && past.day_length_h(half.start) > 13.0 && !carries(half, &cloth)
        }
    };
    let mut out = Vec::new();
    for what in [Look::Voles, Look::Snow, Look::StoredCloth] {
        let mut on = [false; DAYS];
        for half in half_months(past.new_year()).iter().filter(|h| due(what, h)) {
            on[half.clone()].fill(true);
        }
        out.extend(spans(&on).into_iter().map(|days| Chore { what, days }));
    }
    out
}
