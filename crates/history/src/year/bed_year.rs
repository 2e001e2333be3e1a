//! The year of one bed and of each of its plantings, as plain data.

use garden::fit::Cover as Fit;
use serde::{Deserialize, Serialize};

use crate::year::autumn::LastPicking;
use crate::year::cover_period::CoverPeriod;
use crate::year::development::Absent;
use crate::year::hoops;
use crate::year::past::Past;
use crate::year::spring::SetOut;
use crate::year::winter::{Verdict, Winter};

/// The year of one bed.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct BedYear {
    /// Index into the garden's beds.
    pub bed: usize,
    /// Covers that fit it for warmth; nets and shade are not among them. Not kept: the garden says.
    #[serde(skip)]
    pub covers: Vec<Fit>,
    /// Its plantings.
    pub plantings: Vec<PlantingYear>,
    /// What the hoops, or the plants themselves, carry.
    pub cover_periods: Vec<CoverPeriod>,
}

/// The year of one planting; what cannot be calculated says why.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PlantingYear {
    /// Index into the bed's plantings.
    pub planting: usize,
    /// Setting out: open, then under each cover.
    pub spring: Result<Vec<SetOut>, Absent>,
    /// Last picking: open, then under each cover.
    pub autumn: Result<Vec<LastPicking>, Absent>,
    /// What stands until spring.
    pub winter: Result<Winter, Absent>,
    /// Insects that a net keeps off, with the median day of their first flight where a published sum gives one. Not kept: the
    /// record says.
    #[serde(skip)]
    pub pests: Vec<(&'static str, Option<usize>)>,
}

impl BedYear {
    /// One that was kept, with what is not kept filled in; `None` where it cannot be a year of this bed.
    /// Checked by `kept_year::a_kept_year_is_the_year`.
    #[must_use]
    pub fn filled_in(mut self, past: &Past) -> Option<Self> {
        self.covers = past.covers(self.bed)?.to_vec();
        let plantings = &past.garden().beds.get(self.bed)?.plantings;
        let choices = self.covers.len() + 1;
        if self.plantings.len() != plantings.len() {
            return None;
        }
        for (i, (year, planting)) in self.plantings.iter_mut().zip(plantings).enumerate() {
            let rows = |n: usize| n == 1 || n == choices;
            let fits = year.planting == i
                && year.spring.as_ref().map_or(true, |s| rows(s.len()))
                && year.autumn.as_ref().map_or(true, |a| a.len() <= choices)
                && year.winter.as_ref().map_or(true, |w| match w.verdict {
                    Verdict::Under(cover) => cover < self.covers.len(),
                    Verdict::Open | Verdict::Straw | Verdict::No => true,
                });
            if !fits {
                return None;
            }
            year.pests = hoops::pests(past, planting.crop);
        }
        Some(self)
    }
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
    pub fn best_autumn(&self) -> Option<(usize, &LastPicking)> {
        let rows = self.autumn.as_ref().ok()?;
        let covered = rows.iter().enumerate().skip(1).filter(|(_, r)| r.days_gained >= 0.5);
        // The first of equals.
        covered
            .rev()
            .max_by(|a, b| a.1.days_gained.total_cmp(&b.1.days_gained))
            .map(|(i, r)| (i - 1, r))
    }
}
