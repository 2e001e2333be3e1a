//! What to look after when: voles under winter covers, snow on hoops, cloth in store.

use std::ops::Range;

use crate::constants::{LONG_DAY_H, SNOW_COLD_C};
use crate::year::bed_year::BedYear;
use crate::year::cover_period::CoverKind;
use crate::year::dates::{DAYS, half_months, spans};
use crate::year::past::Past;

/// One thing to look after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chore {
    /// What.
    pub what: ChoreKind,
    /// Days from the middle of winter, its end not included.
    pub days: Range<usize>,
}

/// What to look at; how often is common practice, no source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChoreKind {
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
pub fn chores(past: &Past, beds: &[BedYear]) -> Vec<Chore> {
    let carries = |days: &Range<usize>, what: &[CoverKind]| {
        let overlaps = |r: &Range<usize>| r.start < days.end && days.start < r.end;
        beds.iter()
            .flat_map(|b| &b.cover_periods)
            .any(|c| what.contains(&c.what) && overlaps(&c.days))
    };
    let cloth = [CoverKind::Cloth, CoverKind::WinterCloth];
    let carried = beds.iter().flat_map(|b| &b.cover_periods).any(|c| cloth.contains(&c.what));
    let due = |what: ChoreKind, half: &Range<usize>| match what {
        ChoreKind::Voles => carries(half, &[CoverKind::WinterCloth]),
        ChoreKind::Snow => {
            carries(half, &cloth) && past.usual_max_c(half.clone()).is_some_and(|t| t < SNOW_COLD_C)
        }
        ChoreKind::StoredCloth => {
            carried && past.day_length_h(half.start) > LONG_DAY_H && !carries(half, &cloth)
        }
    };
    let mut out = Vec::new();
    for what in [ChoreKind::Voles, ChoreKind::Snow, ChoreKind::StoredCloth] {
        let mut on = [false; DAYS];
        for half in half_months(past.new_year()).iter().filter(|h| due(what, h)) {
            on[half.clone()].fill(true);
        }
        out.extend(spans(&on).into_iter().map(|days| Chore { what, days }));
    }
    out
}
