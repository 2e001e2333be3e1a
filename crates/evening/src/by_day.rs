//! A bed carried through the forecast itself, from a night into the day: what it is like under a cover, and the bed at dusk.

use garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, Site, State, step};

use crate::constants::MORNING_LANE;
use crate::day_cost::DayUnder;
use crate::error::Error;
use crate::night::BedSimulation;
use crate::priors;
use crate::steps::hours;

/// A bed on its way through the forecast itself, without errors.
#[derive(Clone, Copy)]
pub struct ByDay<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// The bed.
    pub simulation: &'a BedSimulation<'a>,
}

/// What lies over a bed by day.
#[derive(Clone, Copy, Debug)]
pub struct Over<'a> {
    /// The cover; `None` where sun and bees come to the plants.
    pub cover: Option<&'a Cover>,
    /// Share of the bees that come in.
    pub bees: f64,
}

/// The day so far.
#[derive(Clone, Debug, Default)]
pub struct DaySoFar {
    inside_c: Vec<f64>,
    outside_c: Vec<f64>,
    /// Sunlight of each step, W/m², and the share of it that came through.
    light: Vec<(f64, f64)>,
    /// Share of the bees that came in at each step.
    bees: Vec<f64>,
}

impl ByDay<'_> {
    /// Carries the bed on under one cover.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn along(
        &self,
        state: &mut State<Lanes>,
        cover: Option<&Cover>,
        forcing: &[Forcing<Lanes>],
        mut seen: impl FnMut(&State<Lanes>, &Forcing<Lanes>),
    ) -> Result<(), Error> {
        let garden_bed = self.simulation.garden_bed;
        let draws = priors::central(&self.garden.site, garden_bed.wetness);
        let column = &self.simulation.column;
        let site = Site::new(&self.simulation.bed, cover, column, &draws);
        for force in forcing {
            step(&site, force, state)
                .map_err(|error| Error::Physics { bed: garden_bed.name.clone(), error })?;
            seen(state, force);
        }
        Ok(())
    }

    /// The same by day: what it is like goes into `day`.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn on(
        &self,
        day: &mut DaySoFar,
        state: &mut State<Lanes>,
        over: Over<'_>,
        forcing: &[Forcing<Lanes>],
    ) -> Result<(), Error> {
        self.along(state, over.cover, forcing, |state, force| day.push(state, force, over))
    }
}

impl DaySoFar {
    /// Takes one step.
    pub fn push(&mut self, state: &State<Lanes>, force: &Forcing<Lanes>, over: Over<'_>) {
        let outside = force.air_c.lane(MORNING_LANE);
        self.inside_c.push(over.cover.map_or(outside, |_| state.air_c.lane(MORNING_LANE)));
        self.outside_c.push(outside);
        self.light.push((force.sun_w_m2.lane(MORNING_LANE), over.cover.map_or(1.0, light_share)));
        self.bees.push(over.bees);
    }

    /// The day as it is priced, after a night with a low of `night_low_c`.
    #[must_use]
    pub fn under(self, night_low_c: f64) -> DayUnder {
        let mean = |of: &mut dyn Iterator<Item = (f64, f64)>| {
            let (weight, sum) = of.fold((0.0, 0.0), |(w, s), (a, x)| (w + a, s + a * x));
            if weight > 0.0 { sum / weight } else { 0.0 }
        };
        let fly = |t: &f64| f64::from(u8::from(crate::day_cost::bees_fly(*t)));
        let flown = self.outside_c.iter().map(fly).zip(self.bees.iter().copied());
        DayUnder {
            night_low_c,
            day_length_h: hours(self.inside_c.len()),
            light_share: mean(&mut self.light.iter().copied()),
            bees: mean(&mut flown.into_iter()),
            inside_c: self.inside_c,
            outside_c: self.outside_c,
        }
    }
}

/// Share of the sunlight that a cover passes; none through straw.
#[must_use]
pub fn light_share(cover: &Cover) -> f64 {
    match cover {
        Cover::Cloth { fabric, layers, .. } => {
            fabric.shortwave.transmissivity.powi((*layers).clamp(1, 2) as i32)
        }
        Cover::Loose { .. } => 0.0,
    }
}
