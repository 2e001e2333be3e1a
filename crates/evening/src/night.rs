//! Every cover tried on every bed through every possible night.

use garden::bed::Bed as GardenBed;
use garden::crops::{ColdLimits, cold_limits};
use garden::fit::{Cover as Fit, covers};
use garden::garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::soil::{CELLS, Column};
use microclimate::{Bed, Forcing, Site, State, column, step};
use rayon::prelude::*;

use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::harm::{HalfHour, share_lost};
use crate::physics;
use crate::priors;
use crate::report::{Outcome, Spread};
use crate::steps::{NightSteps, STEPS_A_HALF_HOUR, at_step};

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
    /// Cold limits of its plantings, with worth, and whether the tissue is in the soil.
    pub at_risk: Vec<PlantingAtRisk>,
}

/// A planting that cold can harm, and its value at risk.
#[derive(Clone, Copy, Debug)]
pub struct PlantingAtRisk {
    /// Index into the bed's plantings.
    pub planting: usize,
    /// Its limits.
    pub limits: ColdLimits,
    /// Money.
    pub worth: f64,
    /// Whether its tissue is in the soil.
    pub in_soil: bool,
}

/// Coldest half-hours of one bed under one cover, member by member.
#[derive(Clone, Debug)]
pub struct Coldest {
    /// Most exposed tissue above ground, °C.
    pub tissue: Vec<f64>,
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
    pub fn new(garden: &Garden, garden_bed: &'a GardenBed, wind_height_m: f64) -> Self {
        let bed = physics::bed(garden, garden_bed, wind_height_m);
        let column = column::build(&bed, &priors::central(&garden.site, garden_bed.wetness));
        let at_risk = garden_bed
            .plantings
            .iter()
            .enumerate()
            .filter_map(|(planting, p)| {
                let limits = cold_limits(p.crop, p.stage, p.hardened)?;
                let in_soil = physics::in_soil(p.stage);
                Some(PlantingAtRisk { planting, limits, worth: p.worth, in_soil })
            })
            .collect();
        Self { garden_bed, bed, column, fits: covers(garden, garden_bed), at_risk }
    }

    /// Brings soil and air to the moment of asking through the days before, for the sixteen classes of wetness.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn spin_up(
        &self,
        garden: &Garden,
        before: &[Forcing<Lanes>],
    ) -> Result<State<Lanes>, Error> {
        let mean =
            before.iter().fold(Lanes::splat(0.0), |s, f| s + f.air_c) / before.len().max(1) as f64;
        let first = before.first().map_or(Lanes::splat(0.8), |f| f.vapour_kpa);
        let mut state = State::resting(mean, first, [mean; CELLS]);
        let draws = priors::central(&garden.site, self.garden_bed.wetness);
        let left = self.left_on();
        let site =
            Site { bed: &self.bed, cover: left.as_ref(), column: &self.column, draws: &draws };
        for force in before {
            step(&site, force, &mut state).map_err(|error| self.failed(error))?;
        }
        Ok(state)
    }

    /// The cover that has lain over the bed by day, if any.
    #[must_use]
    pub fn left_on(&self) -> Option<Cover> {
        let on = self.garden_bed.on_now.filter(|on| on.left_on)?;
        self.fits
            .iter()
            .find(|f| {
                f.uses.iter().any(|u| u.0 == garden::fit::Item::Sheet(on.sheet))
                    && f.layers == on.layers
            })
            .map(|f| physics::cover(f, self.garden_bed))
    }

    fn failed(&self, error: microclimate::Error) -> Error {
        Error::Physics { bed: self.garden_bed.name.clone(), error }
    }

    /// Runs every batch from the moment of asking to the moment covers go on, open.
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
    ) -> Result<Vec<State<Lanes>>, Error> {
        let left = self.left_on();
        (0..ensemble.forcing.len())
            .into_par_iter()
            .map(|batch| {
                let draws = ensemble.draws(batch, &garden.site, self.garden_bed.wetness);
                let site = Site {
                    bed: &self.bed,
                    cover: left.as_ref(),
                    column: &self.column,
                    draws: &draws,
                };
                let mut state = *spun_up;
                let shift = ensemble.soil_shift_k(batch, soil_sigma_k);
                for t in &mut state.soil.temperature_c {
                    *t += shift;
                }
                for force in &ensemble.forcing[batch][..steps.cover] {
                    step(&site, force, &mut state).map_err(|error| self.failed(error))?;
                }
                Ok(state)
            })
            .collect()
    }

    /// Runs the night from the evening's states under `cover`.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn night(
        &self,
        garden: &Garden,
        ensemble: &Ensemble,
        evening: &[State<Lanes>],
        cover: Option<&Cover>,
        steps: &NightSteps,
    ) -> Result<Coldest, Error> {
        let near_2_cm = column::depths_m(&self.bed)
            .iter()
            .enumerate()
            .min_by(|a, b| (a.1 - 0.02).abs().total_cmp(&(b.1 - 0.02).abs()))
            .map_or(0, |d| d.0);
        let batches: Vec<Batch> = (0..evening.len())
            .into_par_iter()
            .map(|batch| {
                let draws = ensemble.draws(batch, &garden.site, self.garden_bed.wetness);
                let site = Site { bed: &self.bed, cover, column: &self.column, draws: &draws };
                let forcing = &ensemble.forcing[batch][steps.cover..steps.end];
                let mut state = evening[batch];
                if let Some(first) = forcing.first().filter(|_| cover.is_some()) {
                    state = state.just_covered(first.air_c);
                }
                let off = ensemble.model_error_k(batch);
                let in_soil = self.all_in_soil();
                let mut out = Batch::default();
                for (k, force) in forcing.iter().enumerate() {
                    let fluxes = step(&site, force, &mut state).map_err(|e| self.failed(e))?;
                    out.residual = out.residual.max(fluxes.residual_w_m2);
                    let tissue = out.tissue.push(state.tissue_c(&self.bed, cover) + off);
                    out.mean_tissue_c.push(mean(tissue));
                    out.air.push(state.air_c + off);
                    let soil = out.soil.push(state.soil.temperature_c[near_2_cm] + off);
                    if k % STEPS_A_HALF_HOUR == STEPS_A_HALF_HOUR - 1 {
                        out.half_hours.push(if in_soil { soil } else { tissue });
                    }
                }
                Ok(out)
            })
            .collect::<Result<_, Error>>()?;
        Ok(gather(&batches))
    }

    /// Expected loss, chance of harm and the spread of temperatures.
    #[must_use]
    pub fn outcome(&self, coldest: &Coldest, steps: &NightSteps) -> Outcome {
        let members = coldest.tissue.len().max(1) as f64;
        let of = |s: &PlantingAtRisk, m: usize| {
            if s.in_soil { coldest.soil[m] } else { coldest.tissue[m] }
        };
        let mut loss = 0.0;
        let mut chance: f64 = 0.0;
        for planting in &self.at_risk {
            let each = (0..coldest.tissue.len()).map(|m| of(planting, m));
            loss += planting.worth
                * each.clone().map(|t| share_lost(&planting.limits, t)).sum::<f64>()
                / members;
            let harmed = each.filter(|t| *t <= planting.limits.t10_c).count() as f64 / members;
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
            reaches_limit_at: reached.map(|k| at_step(steps.start, steps.cover + k + 2)),
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
            let of = if s.in_soil { &coldest.soil } else { &coldest.tissue };
            s.worth.max(1.0) * of.iter().map(|t| share_lost(&s.limits, *t)).sum::<f64>()
        };
        self.at_risk.iter().copied().max_by(|a, b| loss(a).total_cmp(&loss(b)))
    }
}

/// One batch of sixteen members on its way through the night.
#[derive(Default)]
struct Batch {
    tissue: HalfHour<Lanes>,
    air: HalfHour<Lanes>,
    soil: HalfHour<Lanes>,
    mean_tissue_c: Vec<f64>,
    half_hours: Vec<Lanes>,
    residual: f64,
}

fn gather(batches: &[Batch]) -> Coldest {
    let all = |get: &dyn Fn(&Batch) -> Lanes| -> Vec<f64> {
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
