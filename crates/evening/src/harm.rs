//! From a night's cold to the share of a planting lost.
//!
//! Frost harms by how cold the tissue gets for long enough to freeze through ([`Window`]), by limits that follow the days
//! before ([`Memory`]); chill above freezing harms by its dose. Of several frosts the worst counts, doses of chill add up:
//! decision 14 of docs/decisions says why.

use garden::crops::{self, ColdLimits};
use garden::planting::Planting;
use microclimate::Forcing;
use microclimate::lanes::Lanes;
use microclimate::parameters::STEP_S;
use microclimate::real::Real;

use crate::constants::{
    CHILL_BELOW_C, CHILL_FORGOTTEN_H, HARM_SHARE, MORNING_LANE, STEPS_TO_FREEZE_HARDENED,
};
use crate::physics;
use crate::steps::STEPS_A_HALF_HOUR;

/// Steps in a day.
const STEPS_A_DAY: usize = 86_400 / STEP_S as usize;
/// A step, h.
const STEP_H: f64 = STEP_S / 3600.0;
/// What a window holds that has not been filled, °C.
const NEVER_C: f64 = 99.0;

/// A planting that cold can harm, as it stands tonight.
#[derive(Clone, Copy, Debug)]
pub struct PlantingAtRisk {
    /// Index into the bed's plantings.
    pub planting: usize,
    /// Its limits at its hardness.
    pub limits: ColdLimits,
    /// How far cold days have hardened it, 0 to 1; 0 for what they do not harden.
    pub hardness: f64,
    /// No ice forms in it above this, °C.
    pub freezes_c: f64,
    /// Dose of chill that takes a tenth and nine tenths, K h; `None` for what no chill harms.
    pub chill_k_h: Option<[f64; 2]>,
    /// Chill that it has taken before tonight, K h.
    pub chilled_k_h: f64,
    /// Money.
    pub worth: f64,
    /// Whether its tissue is in the soil.
    pub in_soil: bool,
}

/// A night's cold at one planting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cold {
    /// Coldest half-hour, °C.
    pub half_hour_c: f64,
    /// Coldest eighty minutes, °C.
    pub long_c: f64,
    /// Dose below 12 °C, K h.
    pub chill_k_h: f64,
}

/// What the days before did to plants; empty where they are not known.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Memory {
    /// Mean air of each day, oldest first, °C.
    pub days_c: Vec<f64>,
    /// Chill not yet forgotten, K h.
    pub chill_k_h: f64,
}

impl PlantingAtRisk {
    /// The planting at that place of its bed, as the grower says it was raised; `None` where cold cannot harm it.
    #[must_use]
    pub fn new(planting: usize, p: &Planting) -> Option<Self> {
        Self::at(planting, p, crops::hardness(p.hardened))
    }

    /// The same at a hardness.
    #[must_use]
    pub fn at(planting: usize, p: &Planting, hardness: f64) -> Option<Self> {
        let limits = crops::limits_at(p.crop, p.stage, hardness)?;
        let hardens = crops::hardening_speed(p.crop, p.stage).is_some();
        let in_soil = physics::in_soil(p.stage);
        Some(Self {
            planting,
            limits,
            hardness: if hardens { hardness } else { 0.0 },
            // The listed part of some crops is sweeter than their leaves.
            freezes_c: crops::freezing_point_c(p.crop).max(limits.t10_c),
            chill_k_h: crops::chill_dose_k_h(p.crop).filter(|_| !in_soil),
            chilled_k_h: 0.0,
            worth: p.worth,
            in_soil,
        })
    }

    /// The same after the days before.
    #[must_use]
    pub fn after(self, p: &Planting, memory: &Memory) -> Self {
        let mut hardness = crops::hardness(p.hardened);
        if let Some(speed) = crops::hardening_speed(p.crop, p.stage) {
            let day = |a, t: &f64| crops::hardening::after_day(a, *t, speed);
            hardness = memory.days_c.iter().fold(hardness, day);
        }
        let now = Self::at(self.planting, p, hardness).unwrap_or(self);
        Self { chilled_k_h: memory.chill_k_h, ..now }
    }

    /// Share that a night takes: by frost f and by chill g together, 1 − (1 − f)(1 − g).
    ///
    /// f of the tissue held long enough for ice to reach equilibrium, none above the freezing point; g = (G(s + d) − G(s))/
    /// (1 − G(s)) of tonight's dose d after s, the share that s took being gone. Range: any. Checked by
    /// `harm::chill_takes_basil_without_frost` and the laws beside it.
    /// Equation 93 of docs/science.md.
    #[must_use]
    pub fn share(&self, cold: &Cold) -> f64 {
        let tissue = self.frozen_c(cold);
        let frost = if tissue > self.freezes_c { 0.0 } else { share_lost(&self.limits, tissue) };
        let Some(dose) = self.chill_k_h else { return frost };
        let before = share_chilled(dose, self.chilled_k_h);
        let with = share_chilled(dose, self.chilled_k_h + cold.chill_k_h);
        1.0 - (1.0 - frost) * (1.0 - with) / (1.0 - before).max(f64::MIN_POSITIVE)
    }

    /// The temperature to which its tissue freezes, °C: the coldest mean over the time to freezing equilibrium.
    ///
    /// T = (1 − a) T₃₀ + a T₈₀, a the hardness: 28, 42 and 80 minutes at −4.6 °C in canola leaves not, partly and fully
    /// acclimated (LT50 −3, −7, −19 °C) grow in a straight line with LT50. Source: PMC519078, table I.
    /// Checked by `harm::hardened_leaves_take_longer_to_freeze`.
    /// Equation 92 of docs/science.md.
    #[must_use]
    pub fn frozen_c(&self, cold: &Cold) -> f64 {
        let long = if cold.long_c < NEVER_C { cold.long_c } else { cold.half_hour_c };
        cold.half_hour_c + (long - cold.half_hour_c) * self.hardness
    }

    /// Whether a share counts as harm: a tenth or more.
    #[must_use]
    pub fn harms(share: f64) -> bool {
        share >= HARM_SHARE - 1e-9
    }
}

impl Memory {
    /// Of whole days before, in steps, the last ending where the night begins.
    #[must_use]
    pub fn from_days(before: &[Forcing<Lanes>]) -> Self {
        let air: Vec<f64> = before.iter().map(|f| f.air_c.lane(MORNING_LANE)).collect();
        let mean = |day: &[f64]| day.iter().sum::<f64>() / day.len() as f64;
        let days_c = air.chunks_exact(STEPS_A_DAY).map(mean).collect();
        let chill_k_h = air.iter().fold(0.0, |dose, t| chill_after(dose, *t, STEP_H));
        Self { days_c, chill_k_h }
    }
}

/// Chill after `hours` at `air_c`, K h: it gathers below 12 °C and is forgotten by a factor e in a day above.
///
/// Source: cucumber leaves chilled at 5 °C recover if warm again within 1 to 2 days (Wright & Simon 1973, abstract).
#[must_use]
pub fn chill_after(dose_k_h: f64, air_c: f64, hours: f64) -> f64 {
    let below = CHILL_BELOW_C - air_c;
    if below > 0.0 {
        dose_k_h + below * hours
    } else {
        dose_k_h * (-hours / CHILL_FORGOTTEN_H).exp()
    }
}

/// Share lost by a dose of chill: G = 1/(1 + (D50/D)^n), n = ln 81/ln(D90/D10), D50 = √(D10 D90); D in K h below 12 °C.
///
/// Checked by `harm::chill_meets_its_published_doses`.
/// Equation 94 of docs/science.md.
#[must_use]
pub fn share_chilled([d10, d90]: [f64; 2], dose_k_h: f64) -> f64 {
    if dose_k_h <= 0.0 {
        return 0.0;
    }
    let n = 81.0_f64.ln() / (d90 / d10).ln();
    1.0 / (1.0 + ((d10 * d90).sqrt() / dose_k_h).powf(n))
}

/// Share lost at a tissue temperature held for half an hour: logistic through T10 and T90.
///
/// f = 1/(1 + exp[k (T − T50)]), k = ln 81/(T10 − T90), T50 = (T10 + T90)/2; T in °C.
/// Apple in full bloom (28/25 °F): T50 −3.06 °C, k 2.637 per K.
/// Checked by `harm::the_worked_logistic_example_is_met`.
/// Equation 20 of docs/science.md.
#[must_use]
pub fn share_lost(limits: &ColdLimits, tissue_c: f64) -> f64 {
    let middle = 0.5 * (limits.t10_c + limits.t90_c);
    1.0 / (1.0 + (steepness(limits) * (tissue_c - middle)).exp())
}

/// k = ln 81/(T10 − T90), per K.
#[must_use]
pub fn steepness(limits: &ColdLimits) -> f64 {
    81.0_f64.ln() / (limits.t10_c - limits.t90_c).max(0.1)
}

/// Running means over `N` steps of ten minutes.
#[derive(Clone, Copy, Debug)]
pub struct Window<R, const N: usize> {
    last: [R; N],
    seen: u32,
    /// Coldest mean so far.
    pub coldest: R,
}

/// Half an hour: the time for which limits are published, and in which tender leaves freeze through.
pub type HalfHour<R> = Window<R, STEPS_A_HALF_HOUR>;
/// Eighty minutes: the time in which fully hardened leaves do.
pub type LongSpell<R> = Window<R, STEPS_TO_FREEZE_HARDENED>;

impl<R: Real, const N: usize> Window<R, N> {
    /// Nothing seen yet.
    #[must_use]
    pub fn new() -> Self {
        Self { last: [R::splat(0.0); N], seen: 0, coldest: R::splat(NEVER_C) }
    }

    /// Takes one more step; returns the mean of the last steps once there are enough.
    pub fn push(&mut self, now: R) -> R {
        self.last.rotate_left(1);
        if let Some(last) = self.last.last_mut() {
            *last = now;
        }
        let mean = self.last.iter().fold(R::splat(0.0), |s, x| s + *x) / N as f64;
        self.seen += 1;
        if self.seen as usize >= N {
            self.coldest = self.coldest.min(mean);
        }
        mean
    }
}

impl<R: Real, const N: usize> Default for Window<R, N> {
    fn default() -> Self {
        Self::new()
    }
}
