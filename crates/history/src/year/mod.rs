//! The year of each bed from the nights of past years: setting out, last picking, winter, and what the hoops carry when.
//!
//! Days are counted from 0 at the middle of winter (1 January, south of the equator 1 July) on a calendar of 365 days.
//! A cover is laid at dusk and off by day, except in winter, when it lies on. Every count is of years of the record.
//!
//! | module | holds |
//! |---|---|
//! | [`past`] | the nights under every cover, and the days, of every year |
//! | [`dates`] | one date a year: the day by which it has come in a share of years; the calendar |
//! | [`development`] | one planting: how it grows and what cold it stands at each age |
//! | [`spring`], [`autumn`], [`winter`] | setting out; last picking; what stands until spring |
//! | `autumn_planting` | what is planted in autumn and picked in summer |
//! | `bed_year`, `cover_period` | the answer as plain data |
//! | `hoops` | what the hoops carry, half-month by half-month |
//! | [`chores`] | what to look after when |
//!
//! Start at [`Past`], then [`plan`]. [`past`], [`spring`] and [`development`] are public for the oracle tests.

pub mod autumn;
mod autumn_planting;
mod bed_year;
pub mod chores;
mod cover_period;
pub mod dates;
pub mod development;
mod hoops;
pub mod past;
pub mod spring;
pub mod winter;

pub use bed_year::{BedYear, PlantingYear};
pub use cover_period::{COVER_KINDS, CoverKind, CoverPeriod};
pub use past::Past;

pub use crate::constants::{USUAL_RISK, WINTER_STRAW_M};
use chores::Chore;
use development::{Absent, Development};

/// The year of a garden.
#[derive(Clone, Debug)]
pub struct Year {
    /// Years of the record that it rests on.
    pub years: Vec<i16>,
    /// Chance of harm that is taken, 0 to 1.
    pub risk: f64,
    /// Beds with something that cold can harm.
    pub beds: Vec<BedYear>,
    /// What to look after.
    pub chores: Vec<Chore>,
}

/// The year of every bed that was asked for, all nights run.
///
/// Units: days from the middle of winter. Range: `risk` 0 to 1. Checked by `year::tender_crops_go_out_in_may`.
#[must_use]
pub fn plan(past: &Past, risk: f64) -> Year {
    of_beds(
        past,
        (0..past.garden().beds.len()).filter_map(|b| bed_year(past, b, risk)).collect(),
        risk,
    )
}

/// The year of these beds.
#[must_use]
pub fn of_beds(past: &Past, beds: Vec<BedYear>, risk: f64) -> Year {
    let chores = chores::chores(past, &beds);
    Year { years: past.years().to_vec(), risk, beds, chores }
}

/// The year of one bed; `None` for one without anything that cold could harm, or not asked for.
#[must_use]
pub fn bed_year(past: &Past, bed: usize, risk: f64) -> Option<BedYear> {
    let covers = past.covers(bed)?.to_vec();
    let plantings = past.garden().beds[bed].plantings.iter().enumerate();
    let plantings: Vec<PlantingYear> = plantings
        .map(|(planting, p)| {
            let development = Development::for_planting(p);
            let found = development.as_ref().map_err(|why| *why);
            let (spring, autumn) = match found {
                Ok(l) if l.growth.in_autumn => {
                    (Ok(vec![autumn_planting::planting(past, l)]), Err(Absent::PickedInSummer))
                }
                found => (
                    found.map(|l| spring::setting_out(past, bed, l, risk)),
                    found.map(|l| autumn::last_pickings(past, bed, l, risk)),
                ),
            };
            let winter = winter::overwinter(past, bed, p, risk);
            PlantingYear { planting, spring, autumn, winter, pests: hoops::pests(past, p.crop) }
        })
        .collect();
    let cover_periods = hoops::cover_periods(past, bed, &plantings, risk);
    Some(BedYear { bed, covers, plantings, cover_periods })
}
