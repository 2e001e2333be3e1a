//! The year of each bed from the nights of past years: setting out, last picking, winter, and what the hoops carry when.
//!
//! Days are counted from 0 at the middle of winter (1 January, south of the equator 1 July) on a calendar of 365 days.
//! A cover is laid at dusk and off by day, except in winter, when it lies on. Every count is of years of the record.
//!
//! | module | holds |
//! |---|---|
//! | [`past`] | the nights under every cover, and the days, of every year |
//! | [`dates`] | one date a year: the day by which it has come in a share of years; the calendar |
//! | [`life`] | one planting: how it grows and what cold it stands at each age |
//! | [`spring`], [`autumn`], [`winter`] | setting out; last picking; what stands until spring |
//! | [`hoops`] | what the hoops carry, half-month by half-month |
//! | [`chores`] | what to look after when |
//!
//! Start at [`past::Past`], then [`plan`].

pub mod autumn;
pub mod chores;
pub mod dates;
pub mod hoops;
pub mod life;
pub mod past;
pub mod spring;
pub mod winter;

pub use past::Past;

use garden::fit::Cover as Fit;

use autumn::End;
use chores::Chore;
use hoops::Carried;
use life::{Absent, Life};
use spring::SetOut;
use winter::Winter;

/// The risk a grower takes where none is named: one year in ten.
pub const USUAL_RISK: f64 = 0.1;
/// Draws of each bootstrap.
const DRAWS: usize = 400;

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

/// The year of one bed.
#[derive(Clone, Debug)]
pub struct BedYear {
    /// Index into the garden's beds.
    pub bed: usize,
    /// Covers that fit it for warmth; nets and shade are not among them.
    pub covers: Vec<Fit>,
    /// Its plantings.
    pub plantings: Vec<PlantingYear>,
    /// What the hoops, or the plants themselves, carry.
    pub carried: Vec<Carried>,
}

/// The year of one planting; what cannot be reckoned says why.
#[derive(Clone, Debug)]
pub struct PlantingYear {
    /// Index into the bed's plantings.
    pub planting: usize,
    /// Setting out: open, then under each cover.
    pub spring: Result<Vec<SetOut>, Absent>,
    /// Last picking: open, then under each cover.
    pub autumn: Result<Vec<End>, Absent>,
    /// What stands until spring.
    pub winter: Result<Winter, Absent>,
    /// Insects that a net keeps off, with the median day of their first flight where a published sum gives one.
    pub pests: Vec<(&'static str, Option<usize>)>,
}

impl PlantingYear {
    /// The cover under which it goes out first: place among the bed's covers, and its row; `None` where none gains a day.
    #[must_use]
    pub fn best_spring(&self) -> Option<(usize, &SetOut)> {
        let rows = self.spring.as_ref().ok()?;
        let open = rows.first()?.day.unwrap_or(usize::MAX);
        let covered =
            rows.iter().enumerate().skip(1).filter(|(_, r)| r.day.is_some_and(|d| d < open));
        covered.min_by_key(|(_, r)| r.day).map(|(i, r)| (i - 1, r))
    }

    /// The cover under which picking lasts longest; `None` where none gains a day.
    #[must_use]
    pub fn best_autumn(&self) -> Option<(usize, &End)> {
        let rows = self.autumn.as_ref().ok()?;
        let covered = rows.iter().enumerate().skip(1).filter(|(_, r)| r.days_gained >= 0.5);
        // The first of equals.
        covered
            .rev()
            .max_by(|a, b| a.1.days_gained.total_cmp(&b.1.days_gained))
            .map(|(i, r)| (i - 1, r))
    }
}

/// The year of every bed that was asked for.
///
/// Units: days from the middle of winter. Range: `risk` 0 to 1. Checked by `year::tender_crops_go_out_in_may`.
#[must_use]
pub fn plan(past: &Past, risk: f64) -> Year {
    let beds: Vec<BedYear> =
        (0..past.garden().beds.len()).filter_map(|b| bed_year(past, b, risk)).collect();
    let chores = chores::of(past, &beds);
    Year { years: past.years().to_vec(), risk, beds, chores }
}

fn bed_year(past: &Past, bed: usize, risk: f64) -> Option<BedYear> {
    let covers = past.covers(bed)?.to_vec();
    let plantings = past.garden().beds[bed].plantings.iter().enumerate();
    let plantings: Vec<PlantingYear> = plantings
        .map(|(planting, p)| {
            let life = Life::of(p);
            let found = life.as_ref().map_err(|why| *why);
            let spring = found.map(|l| spring::of(past, bed, l, risk));
            let autumn = found.map(|l| autumn::of(past, bed, l, risk));
            let winter = winter::of(past, bed, p, risk);
            PlantingYear { planting, spring, autumn, winter, pests: hoops::pests(past, p.crop) }
        })
        .collect();
    let carried = hoops::of(past, bed, &plantings, risk);
    Some(BedYear { bed, covers, plantings, carried })
}
