//! What is done by day with what lies: left, its ends opened, pulled to one side or taken off, whichever costs least.

use garden::fit::Cover as Fit;
use garden::lying::Opening;
use microclimate::cover::Cover;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::{Forcing, State};

use crate::by_day::{ByDay, DaySoFar, Over};
use crate::day_cost;
use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::lies::{self, Lies};
use crate::night::SoFar;
use crate::physics;
use crate::report::MorningAction;
use crate::steps::NightSteps;

/// Possible nights by which it is told whether the same cover is wanted again (chosen).
pub const TRIAL_NIGHTS: usize = 32;

/// The night after the day.
#[derive(Clone, Copy)]
pub struct NightAfter<'a> {
    /// Its possible courses.
    pub ensemble: &'a Ensemble,
    /// Its steps.
    pub steps: &'a NightSteps,
    /// Doubt about the soil, K.
    pub soil_sigma_k: f64,
}

/// A cover by day, at the moment at which something can be done.
pub struct Lid<'a> {
    /// The bed and its garden.
    pub by_day: ByDay<'a>,
    /// The cover.
    pub fit: &'a Fit,
    /// How far it is shut.
    pub opening: Opening,
    /// The day until then.
    pub so_far: DaySoFar,
    /// The bed then.
    pub state: State<Lanes>,
    /// Lowest air outside since the evening, °C.
    pub night_low_c: f64,
    /// The rest of the day, until sunset or as far as the forecast reaches.
    pub rest: &'a [Forcing<Lanes>],
    /// The night after it, where the forecast reaches it.
    pub night: Option<&'a NightAfter<'a>>,
}

/// One way of spending the day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// What is done.
    pub action: MorningAction,
    /// What the day takes: light, heat, closed flowers, money.
    pub day: f64,
    /// The same with the work of now, and of the evening or whenever it comes off, money.
    pub cost: f64,
}

impl Lid<'_> {
    /// Every way that there is, leaving it first.
    ///
    /// cost = wage · minutes + day + V, day of [`crate::day_cost`]; V the cheaper of laying the same cover again this evening
    /// (its loss, its work, and taking it off after) and of a bed left open (its loss, and taking off what still lies), money.
    /// What lies has to come off some day, so that is counted for all. Without a night after it, the second alone.
    ///
    /// # Errors
    /// [`Error::Physics`].
    /// Checked by `tonight::a_morning_is_opened_by_what_the_day_costs`.
    /// Equation 103 of docs/science.md.
    pub fn ways(&self) -> Result<Vec<Way>, Error> {
        let options = std::slice::from_ref(self.fit);
        let wage = self.by_day.garden.labour.worth_of_hour / 3600.0;
        let work = |from, to| wage * f64::from(lies::seconds(from, to, options));
        let from = lies::as_option(self.opening, 0);
        let (_, dusk) = self.spend(Lies::Open)?;
        let after = self.night.map(|night| self.night_after(night, &dusk)).transpose()?;
        let later = |to: Lies| {
            let open = work(to, Lies::Open);
            let shut = Lies::Shut(0);
            let again = work(to, shut) + work(shut, Lies::Open);
            after.map_or(open, |(bare, covered)| (bare + open).min(covered + again))
        };
        let there = lies::states(options).into_iter();
        let moves = there.filter(|to| *to != from && lies::in_the_morning(from, *to));
        std::iter::once(from)
            .chain(moves)
            .map(|to| {
                let day = self.spend(to)?.0;
                let cost = work(from, to) + day + later(to);
                let action = match to {
                    _ if to == from => MorningAction::LeaveOn,
                    Lies::EndsOpen(_) => MorningAction::OpenEnds,
                    Lies::HalfOff(_) => MorningAction::HalfOff,
                    Lies::Open | Lies::Shut(_) => MorningAction::TakeOff,
                };
                Ok(Way { action, day, cost })
            })
            .collect()
    }

    /// What the day costs in a state from now on, and the bed at its end.
    fn spend(&self, lies: Lies) -> Result<(f64, State<Lanes>), Error> {
        let opening = match lies {
            Lies::Shut(_) => Opening::Shut,
            Lies::EndsOpen(_) => Opening::EndsOpen,
            Lies::Open | Lies::HalfOff(_) => Opening::HalfOff,
        };
        let bed = self.by_day.simulation.garden_bed;
        let cover = physics::as_it_lies(self.fit, opening, bed);
        let over = Over { cover: cover.as_ref(), bees: day_cost::bees_by(opening) };
        let (mut day, mut state) = (self.so_far.clone(), self.state);
        self.by_day.on(&mut day, &mut state, over, self.rest)?;
        Ok((day_cost::of_bed(bed, &day.under(self.night_low_c)), state))
    }

    /// Expected loss of the night after on the bed open, and under the same cover laid again, money.
    fn night_after(
        &self,
        night: &NightAfter<'_>,
        dusk: &State<Lanes>,
    ) -> Result<(f64, f64), Error> {
        let NightAfter { ensemble, steps, soil_sigma_k } = *night;
        let ByDay { garden, simulation } = self.by_day;
        let batches = ensemble.forcing.len().min(TRIAL_NIGHTS / WIDTH);
        let begin = |batch| SoFar::begin(ensemble, batch, dusk, soil_sigma_k);
        let evening: Vec<SoFar> = (0..batches).map(begin).collect();
        let lost = |cover: Option<&Cover>| -> Result<f64, Error> {
            let cold = simulation.night(garden, ensemble, &evening, cover, true, steps)?;
            Ok(simulation.outcome(&cold, steps).expected_loss)
        };
        let again = physics::cover(self.fit, simulation.garden_bed);
        Ok((lost(None)?, lost(Some(&again))?))
    }
}

/// How far a cover is shut after what is done; `None` where it is off.
#[must_use]
pub fn opening_after(action: MorningAction, opening: Opening) -> Option<Opening> {
    match action {
        MorningAction::TakeOff => None,
        MorningAction::OpenEnds => Some(Opening::EndsOpen),
        MorningAction::HalfOff => Some(Opening::HalfOff),
        MorningAction::LeaveOn => Some(opening),
    }
}

/// Person-minutes of what is done, the walk not counted.
#[must_use]
pub fn minutes(fit: &Fit, opening: Opening, action: MorningAction) -> f64 {
    let to = opening_after(action, opening).map_or(Lies::Open, |o| lies::as_option(o, 0));
    lies::minutes(lies::as_option(opening, 0), to, std::slice::from_ref(fit))
}
