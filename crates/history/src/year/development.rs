//! One planting: how it grows, and the cold that it stands at each age.

use crate::constants::{EMERGED_SHARE, SPRING_ENDS, YOUNG_SHARE};
use garden::crops::{self, ColdLimits, Stage, cold_limits, hardening};
use garden::growth::{self, Day, Growth, Start};
use garden::planting::{self, Planting};
use serde::{Deserialize, Serialize};

/// Why something of a planting is not calculated.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Absent {
    /// No row in the growth table, or no days counted in it.
    NoGrowth,
    /// No cold limits for the ages that it goes through.
    NoLimits,
    /// It stands for years and is not set out every spring.
    Perennial,
    /// It is planted in autumn and picked in summer.
    PickedInSummer,
    /// It is not usually carried over winter.
    NotCarried,
    /// No two years of the record follow each other.
    NoWinters,
}

/// How a planting develops, and the cold that it stands at each age.
#[derive(Clone, Debug, PartialEq)]
pub struct Development {
    /// How it grows.
    pub growth: Growth,
    /// How it begins.
    pub start: Start,
    /// Degree-days to first picking, K·d.
    pub to_picking: f64,
    /// Degree-days of one of its usual days, K·d.
    pub usual_day: f64,
    seed: Option<ColdLimits>,
    young: ColdLimits,
    /// What it stands when grown, not having met cold by degrees unless the garden file says so.
    pub grown: ColdLimits,
    /// What it stands in autumn where the days that hardened it are not counted.
    pub hardened: ColdLimits,
    /// Its stage in autumn.
    late: Stage,
}

/// Hardness of a planting through the days of a year, from day `from` on; `None` for what cold days do not harden.
///
/// It is `start` on the first of them and follows the mean of each day's minimum and maximum; a day that is not known
/// changes nothing.
#[must_use]
pub fn hardness_through(
    p: (crops::CropId, Stage),
    days: &[Day],
    from: usize,
    start: f64,
) -> Option<Vec<f64>> {
    let speed = crops::hardening_speed(p.0, p.1)?;
    let after = |hardness: f64, day: &Day| match (day.tmin_c, day.tmax_c) {
        (Some(low), Some(high)) => hardening::after_day(hardness, 0.5 * (low + high), speed),
        _ => hardness,
    };
    let mut out = vec![start; from.min(days.len())];
    let mut now = start;
    for day in days.iter().skip(from) {
        now = after(now, day);
        out.push(now);
    }
    Some(out)
}

impl Development {
    /// The development of a planting of the garden file.
    ///
    /// # Errors
    /// [`Absent::NoGrowth`], [`Absent::NoLimits`], [`Absent::Perennial`].
    pub fn for_planting(p: &Planting) -> Result<Self, Absent> {
        let growth = growth::crop_growth(p.crop).ok_or(Absent::NoGrowth)?;
        let own = growth.start.ok_or(Absent::Perennial)?;
        if own == Start::Bloom {
            return Err(Absent::Perennial);
        }
        let asked = match p.start {
            planting::Start::DirectSown => Start::Sown,
            planting::Start::Transplant => Start::SetOut,
        };
        let (start, to_picking) = [asked, own]
            .into_iter()
            .find_map(|s| Some((s, growth.to_picking(s)?)))
            .ok_or(Absent::NoGrowth)?;
        let limits = |stages: &[Stage], hardened: bool| {
            stages.iter().find_map(|s| cold_limits(p.crop, *s, hardened))
        };
        let has = |stage: &Stage| cold_limits(p.crop, *stage, true).is_some();
        let late = [Stage::Mature, Stage::Established].into_iter().find(has);
        let late = late.ok_or(Absent::NoLimits)?;
        let grown_up = [Stage::Established, Stage::Mature];
        let begin = if start == Start::SetOut { Stage::Transplant } else { Stage::Seedling };
        let young = [begin, Stage::Seedling, Stage::Transplant, Stage::Established, Stage::Mature];
        let usual_day = growth.of_picking().ok_or(Absent::NoGrowth)? / growth.picking_days.max(1.0);
        Ok(Self {
            growth,
            usual_day,
            start,
            to_picking,
            seed: (start != Start::SetOut).then(|| limits(&[Stage::SeedBed], p.hardened)).flatten(),
            young: limits(&young, p.hardened).ok_or(Absent::NoLimits)?,
            grown: limits(&grown_up, p.hardened).ok_or(Absent::NoLimits)?,
            hardened: limits(&[late], true).ok_or(Absent::NoLimits)?,
            late,
        })
    }

    /// What it stands on each day of a year from the end of spring on, grown in the open; the same every day for what cold
    /// days do not harden.
    #[must_use]
    pub fn late_limits(&self, days: &[Day]) -> Vec<ColdLimits> {
        let of = |hardness| {
            crops::limits_at(self.growth.crop, self.late, hardness).unwrap_or(self.hardened)
        };
        // In the middle of summer nothing is hardened.
        hardness_through((self.growth.crop, self.late), days, SPRING_ENDS, 0.0)
            .map_or_else(|| vec![self.hardened; days.len()], |h| h.into_iter().map(of).collect())
    }

    /// What it stands in the second half of winter: fully hardened, where cold days harden it.
    #[must_use]
    pub fn winter_limits(&self) -> ColdLimits {
        let hardens = crops::hardening_speed(self.growth.crop, self.late).is_some();
        let full = hardens.then(|| crops::limits_at(self.growth.crop, self.late, 1.0)).flatten();
        full.unwrap_or(self.hardened)
    }

    /// Whether a night takes more than a tenth, that is, the tissue falls below T10 of its age.
    ///
    /// `degree_days` since it began, K·d; coldest half-hours of `tissue_c` and of the soil at 2 cm, °C. A seed not yet up
    /// lies in the soil. Not known (NaN) counts as no harm. Checked by `year::young_plants_stand_less_than_grown_ones`.
    /// Equation 69 of docs/science.md.
    #[must_use]
    pub fn harmed(&self, degree_days: f64, tissue_c: f32, soil_c: f32) -> bool {
        let share = degree_days / self.to_picking.max(1.0);
        if self.start != Start::SetOut && share < EMERGED_SHARE {
            return self.seed.is_some_and(|l| f64::from(soil_c) < l.t10_c);
        }
        let limits = if share < YOUNG_SHARE { &self.young } else { &self.grown };
        f64::from(tissue_c) < limits.t10_c
    }
}

/// Tissue temperature below which more than half is lost, °C: (T10 + T90)/2.
#[must_use]
pub fn half_lost_c(limits: &ColdLimits) -> f64 {
    0.5 * (limits.t10_c + limits.t90_c)
}
