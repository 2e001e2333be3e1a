//! Every cover tried on every bed through every possible night.

use garden::bed::Bed as GardenBed;
use garden::fit::{Cover as Fit, covers};
use garden::garden::Garden;
use garden::lying::Lying;
use microclimate::cover::Cover;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::soil::{CELLS, Column};
use microclimate::{Bed, Forcing, Site, State, column, step};
use quantities::Moment;
use rayon::prelude::*;

use crate::constants::CHILL_BELOW_C;
use crate::ensemble::Ensemble;
use crate::error::Error;
pub use crate::harm::PlantingAtRisk;
use crate::harm::{Cold, HalfHour, LongSpell, Memory};
use crate::physics;
use crate::priors;
use crate::report::{Outcome, Spread};
use crate::steps::{NightSteps, STEPS_A_HALF_HOUR, at_step, hours};
use crate::tonight::BedCovers;

/// A step, s.
const STEP_S_WHOLE: i64 = microclimate::parameters::STEP_S as i64;

/// One bed with everything that can be put over it.
pub struct BedSimulation<'a> {
    /// The bed of the garden.
    pub garden_bed: &'a GardenBed,
    /// The bed as physics.
    pub bed: Bed,
    /// Its soil for the sixteen classes of wetness.
    pub column: Column<Lanes>,
    /// Covers that fit.
    pub fits: Vec<Fit>,
    /// What lies over it.
    pub lies: BedCovers,
    /// Cold limits of its plantings, with worth, and whether the tissue is in the soil.
    pub at_risk: Vec<PlantingAtRisk>,
}

/// Coldest half-hours of one bed under one cover, member by member.
#[derive(Clone, Debug)]
pub struct Coldest {
    /// Most exposed tissue above ground, °C.
    pub tissue: Vec<f64>,
    /// The same over eighty minutes, °C.
    pub long: Vec<f64>,
    /// Dose of that tissue below 12 °C, K h.
    pub chill_k_h: Vec<f64>,
    /// Air among the plants, °C.
    pub air: Vec<f64>,
    /// Soil at 2 cm, °C.
    pub soil: Vec<f64>,
    /// Mean over members of the running half-hour tissue, by step, °C.
    pub mean_tissue_c: Vec<f64>,
    /// What can be harmed (leaf, or soil at 2 cm where all of it is in the soil), half-hour by half-hour, each member, °C.
    pub half_hours: Vec<Vec<f32>>,
    /// Greatest budget residual, W/m².
    pub residual: f64,
}

impl<'a> BedSimulation<'a> {
    /// A bed ready to be tried.
    #[must_use]
    pub fn new(
        garden: &Garden,
        garden_bed: &'a GardenBed,
        lies: &[Lying],
        wind_height_m: f64,
    ) -> Self {
        let lies = BedCovers::new(lies, garden_bed);
        let bed = physics::bed(garden, garden_bed, wind_height_m);
        let column = column::build(&bed, &priors::central(&garden.site, garden_bed.wetness));
        let at_risk = garden_bed
            .plantings
            .iter()
            .enumerate()
            .filter_map(|(planting, p)| PlantingAtRisk::new(planting, p))
            .collect();
        Self { garden_bed, bed, column, fits: covers(garden, garden_bed), lies, at_risk }
    }

    /// Takes in what the days before did to the plants.
    #[must_use]
    pub fn after(mut self, memory: &Memory) -> Self {
        for at_risk in &mut self.at_risk {
            *at_risk = at_risk.after(&self.garden_bed.plantings[at_risk.planting], memory);
        }
        self
    }

    /// Brings soil and air to the moment `to`, under what has lain there, through the days before, for the sixteen classes of wetness.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn spin_up(
        &self,
        garden: &Garden,
        before: &[Forcing<Lanes>],
        to: Moment,
    ) -> Result<State<Lanes>, Error> {
        let mean =
            before.iter().fold(Lanes::splat(0.0), |s, f| s + f.air_c) / before.len().max(1) as f64;
        let first = before.first().map_or(Lanes::splat(0.8), |f| f.vapour_kpa);
        let mut state = State::resting(mean, first, [mean; CELLS]);
        let draws = priors::central(&garden.site, self.garden_bed.wetness);
        let mut was_covered = true;
        for (k, force) in before.iter().enumerate() {
            let cover = self.lies.at(to.plus_seconds(-STEP_S_WHOLE * (before.len() - k) as i64));
            if cover.is_some() && !was_covered {
                state = state.just_covered(force.air_c);
            }
            was_covered = cover.is_some();
            let site = Site::new(&self.bed, cover, &self.column, &draws);
            step(&site, force, &mut state).map_err(|error| self.failed(error))?;
        }
        Ok(state)
    }

    fn failed(&self, error: microclimate::Error) -> Error {
        Error::Physics { bed: self.garden_bed.name.clone(), error }
    }

    /// Runs every batch from the first step to the one from which the plan's covers count, under what lies.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn evening(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        spun_up: &State<Lanes>,
        soil_sigma_k: f64,
        steps: &NightSteps,
    ) -> Result<Vec<SoFar>, Error> {
        (0..ensemble.forcing.len())
            .into_par_iter()
            .map(|batch| {
                let mut so_far = SoFar::begin(ensemble, batch, spun_up, soil_sigma_k);
                let under = |k| self.lies.at(at_step(steps.start, k));
                self.run(garden, ensemble, batch, 0..steps.cover, steps, under, &mut so_far)?;
                Ok(so_far)
            })
            .collect()
    }

    /// Runs the night on from `evening` under `cover`, which is laid `anew` or lies there already.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn night(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        evening: &[SoFar],
        cover: Option<&Cover>,
        anew: bool,
        steps: &NightSteps,
    ) -> Result<Coldest, Error> {
        let batches: Vec<Seen> = (0..evening.len())
            .into_par_iter()
            .map(|batch| {
                let mut so_far = evening[batch].clone();
                let first = ensemble.forcing[batch].get(steps.cover);
                if let Some(first) = first.filter(|_| cover.is_some() && anew) {
                    so_far.state = so_far.state.just_covered(first.air_c);
                }
                let span = steps.cover..steps.end;
                self.run(garden, ensemble, batch, span, steps, |_| cover, &mut so_far)?;
                Ok(so_far.seen)
            })
            .collect::<Result<_, Error>>()?;
        Ok(gather(&batches))
    }

    /// Runs one batch over a span of steps; from sunset on the cold is watched.
    #[expect(clippy::too_many_arguments, reason = "a span of a batch of nights of a garden")]
    fn run<'c>(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        batch: usize,
        span: std::ops::Range<usize>,
        steps: &NightSteps,
        under: impl Fn(usize) -> Option<&'c Cover>,
        so_far: &mut SoFar,
    ) -> Result<(), Error> {
        let near_2_cm = column::depths_m(&self.bed)
            .iter()
            .enumerate()
            .min_by(|a, b| (a.1 - 0.02).abs().total_cmp(&(b.1 - 0.02).abs()))
            .map_or(0, |d| d.0);
        let draws = ensemble.draws(batch, &garden.site, self.garden_bed.wetness);
        let off = ensemble.model_error_k(batch);
        let in_soil = self.all_in_soil();
        let SoFar { state, seen } = so_far;
        let first = span.start;
        for k in span {
            let cover = under(k);
            let site = Site::new(&self.bed, cover, &self.column, &draws);
            let force = &ensemble.forcing[batch][k];
            if k > first && cover.is_some() && under(k - 1).is_none() {
                *state = state.just_covered(force.air_c);
            }
            let fluxes = step(&site, force, state).map_err(|e| self.failed(e))?;
            if k < steps.watched {
                continue;
            }
            seen.residual = seen.residual.max(fluxes.residual_w_m2);
            let now = state.tissue_c(&self.bed, cover) + off;
            let tissue = seen.tissue.push(now);
            seen.long.push(now);
            seen.chill_k_h += (Lanes::splat(CHILL_BELOW_C) - now).max(Lanes::splat(0.0)) * hours(1);
            seen.mean_tissue_c.push(mean(tissue));
            seen.air.push(state.air_c + off);
            let soil = seen.soil.push(state.soil.temperature_c[near_2_cm] + off);
            if seen.mean_tissue_c.len().is_multiple_of(STEPS_A_HALF_HOUR) {
                seen.half_hours.push(if in_soil { soil } else { tissue });
            }
        }
        Ok(())
    }

    /// The coldest so far, before the plan takes hold; `None` while nothing was watched.
    #[must_use]
    pub fn so_far(&self, evening: &[SoFar]) -> Option<Coldest> {
        let watched = evening.first().is_some_and(|b| b.seen.mean_tissue_c.len() >= 3);
        watched.then(|| gather(&evening.iter().map(|b| b.seen.clone()).collect::<Vec<_>>()))
    }

    /// Expected loss, chance of harm and the spread of temperatures.
    #[must_use]
    pub fn outcome(&self, coldest: &Coldest, steps: &NightSteps) -> Outcome {
        let members = coldest.tissue.len().max(1) as f64;
        let mut loss = 0.0;
        let mut chance: f64 = 0.0;
        for planting in &self.at_risk {
            let each = (0..coldest.tissue.len()).map(|m| planting.share(&coldest.of(planting, m)));
            loss += planting.worth * each.clone().sum::<f64>() / members;
            let harmed = each.filter(|s| PlantingAtRisk::harms(*s)).count() as f64 / members;
            chance = chance.max(harmed);
        }
        let shown = self.most_at_risk(coldest);
        let soil = shown.is_some_and(|s| s.in_soil);
        let limit = shown.map_or(f64::NEG_INFINITY, |s| s.limits.t10_c);
        // The first two steps are not yet a half-hour.
        let reached =
            coldest.mean_tissue_c.iter().skip(2).position(|t| *t <= limit).filter(|_| !soil);
        Outcome {
            leaf_low_c: Spread::from_sample(if soil { &coldest.soil } else { &coldest.tissue }),
            air_low_c: Spread::from_sample(&coldest.air),
            chance_of_harm: chance,
            expected_loss: loss,
            reaches_limit_at: reached.map(|k| at_step(steps.start, steps.watched + k + 2)),
        }
    }

    /// Whether everything that can be harmed here is in the soil.
    #[must_use]
    pub fn all_in_soil(&self) -> bool {
        !self.at_risk.is_empty() && self.at_risk.iter().all(|s| s.in_soil)
    }

    /// The planting that loses most money on these nights.
    #[must_use]
    pub fn most_at_risk(&self, coldest: &Coldest) -> Option<PlantingAtRisk> {
        let loss = |s: &PlantingAtRisk| {
            let each = (0..coldest.tissue.len()).map(|m| s.share(&coldest.of(s, m)));
            s.worth.max(1.0) * each.sum::<f64>()
        };
        self.at_risk.iter().copied().max_by(|a, b| loss(a).total_cmp(&loss(b)))
    }
}

impl Coldest {
    /// The cold at a planting in one of the nights.
    #[must_use]
    pub fn of(&self, planting: &PlantingAtRisk, member: usize) -> Cold {
        let half_hour_c = if planting.in_soil { self.soil[member] } else { self.tissue[member] };
        let long_c = if planting.in_soil { half_hour_c } else { self.long[member] };
        Cold { half_hour_c, long_c, chill_k_h: self.chill_k_h[member] }
    }
}

/// One batch of sixteen members on its way through the night.
#[derive(Clone, Debug)]
pub struct SoFar {
    /// Where the bed is.
    pub state: State<Lanes>,
    seen: Seen,
}

impl SoFar {
    /// A batch that begins with a bed as it is, its soil by so much in doubt, K.
    #[must_use]
    pub fn begin(ensemble: &Ensemble, batch: usize, bed: &State<Lanes>, soil_sigma_k: f64) -> Self {
        let mut state = *bed;
        let shift = ensemble.soil_shift_k(batch, soil_sigma_k);
        for t in &mut state.soil.temperature_c {
            *t += shift;
        }
        Self { state, seen: Seen::default() }
    }
}

/// What a batch has been through since sunset.
#[derive(Clone, Debug)]
struct Seen {
    tissue: HalfHour<Lanes>,
    long: LongSpell<Lanes>,
    chill_k_h: Lanes,
    air: HalfHour<Lanes>,
    soil: HalfHour<Lanes>,
    mean_tissue_c: Vec<f64>,
    half_hours: Vec<Lanes>,
    residual: f64,
}

impl Default for Seen {
    fn default() -> Self {
        Self {
            tissue: HalfHour::new(),
            long: LongSpell::new(),
            chill_k_h: Lanes::splat(0.0),
            air: HalfHour::new(),
            soil: HalfHour::new(),
            mean_tissue_c: Vec::new(),
            half_hours: Vec::new(),
            residual: 0.0,
        }
    }
}

fn gather(batches: &[Seen]) -> Coldest {
    let all = |get: &dyn Fn(&Seen) -> Lanes| -> Vec<f64> {
        batches
            .iter()
            .flat_map(|b| (0..WIDTH).map(|m| get(b).lane(m)).collect::<Vec<_>>())
            .collect()
    };
    let steps = batches.first().map_or(0, |b| b.mean_tissue_c.len());
    let n = batches.len().max(1) as f64;
    let half_hours = batches.first().map_or(0, |b| b.half_hours.len());
    Coldest {
        tissue: all(&|b| b.tissue.coldest),
        long: all(&|b| b.long.coldest),
        chill_k_h: all(&|b| b.chill_k_h),
        air: all(&|b| b.air.coldest),
        soil: all(&|b| b.soil.coldest),
        mean_tissue_c: (0..steps)
            .map(|k| batches.iter().map(|b| b.mean_tissue_c[k]).sum::<f64>() / n)
            .collect(),
        half_hours: (0..half_hours)
            .map(|h| all(&|b| b.half_hours[h]).into_iter().map(|t| t as f32).collect())
            .collect(),
        residual: batches.iter().map(|b| b.residual).fold(0.0, f64::max),
    }
}

fn mean(x: Lanes) -> f64 {
    (0..WIDTH).map(|m| x.lane(m)).sum::<f64>() / WIDTH as f64
}
