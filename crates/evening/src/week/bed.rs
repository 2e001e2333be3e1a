//! One bed through all nights and days: what each cover loses in each, by the physics.

use garden::Garden;
use garden::fit::{Cover as Fit, Placement};
use garden::lying::Lying;
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, Site, State, step};

use crate::constants::MORNING_LANE;
use crate::error::Error;
use crate::night::{BedSimulation, Coldest, SoFar};
use crate::report::Outcome;
use crate::steps::{NightSteps, hours, steps_between};
use crate::week::days::{self, DayUnder};
use crate::week::lies::{Lies, as_option, has_ends, is_cover, states};
use crate::week::losses::{BedLosses, Began};
use crate::week::options;
use crate::week::weather::Weather;
use crate::{physics, priors};

/// One night of a bed in one state.
#[derive(Clone, Debug, PartialEq)]
pub struct Spent {
    /// Share of the bed's worth that each possible night would take.
    pub shares: Vec<f64>,
    /// Temperatures, chance and loss.
    pub outcome: Outcome,
}

/// One bed through the nights and days.
pub struct BedCourses {
    /// What the plan asks of it.
    pub losses: BedLosses,
    /// By night and state, laid that evening.
    pub laid: Vec<Vec<Outcome>>,
    /// By night and option, left on since the night before; empty for the first night.
    pub left: Vec<Vec<Outcome>>,
    /// Whether what lies there fits none of the covers, so that it could not be counted.
    pub unknown_cover: bool,
}

impl BedCourses {
    /// The night that a move leads into.
    #[must_use]
    pub fn outcome(&self, night: usize, from: usize, to: usize) -> &Outcome {
        match self.losses.began(night, from, to) {
            Began::Laid(state) => &self.laid[night][state],
            Began::Left(option) => &self.left[night][option],
        }
    }
}

/// Runs a bed through everything.
///
/// # Errors
/// [`Error::Physics`].
pub fn courses(
    garden: &Garden,
    bed: &garden::Bed,
    lies: &[Lying],
    wind_height_m: f64,
    weather: &Weather,
) -> Result<BedCourses, Error> {
    let simulation = BedSimulation::new(garden, bed, lies, wind_height_m).after(&weather.memory);
    let fits = simulation.fits.clone();
    let walk = Walk { garden, simulation: &simulation, weather };
    let spun = simulation.spin_up(garden, &weather.before, weather.start())?;
    let dusks = walk.open_dusks(&spun)?;
    let mut evenings = vec![walk.evening(0, &spun)?];
    for (t, dusk) in dusks.iter().enumerate().skip(1) {
        evenings.push(walk.evening(t, dusk)?);
    }
    let mut open = Vec::new();
    for (t, evening) in evenings.iter().enumerate() {
        open.push(walk.spent(t, evening, None, true)?);
    }
    // Nets and shade lie there for other reasons: the plan moves what keeps off cold.
    let lying = simulation.lies.main.as_ref().filter(|l| l.against_cold());
    let on = lying.and_then(|l| fits.iter().position(|f| is_cover(l, f)));
    let options = options::sensible(&walk, fits, on, &open, &evenings)?;
    let start = lying.and_then(|l| {
        let option = options.iter().position(|f| is_cover(l, f))?;
        let all = states(&options);
        let exact = all.iter().position(|s| *s == as_option(l, option));
        exact.or_else(|| all.iter().position(|s| *s == Lies::Shut(option)))
    });
    let covers: Vec<Cover> = options.iter().map(|f| physics::cover(f, bed)).collect();
    let mut losses = BedLosses {
        worth: simulation.at_risk.iter().map(|s| s.worth).sum(),
        lies: states(&options),
        options,
        start: start.unwrap_or(0),
        ..BedLosses::default()
    };
    let (mut laid_outcomes, mut left_outcomes) = (Vec::new(), Vec::new());
    let mut dusks_under: Vec<Option<State<Lanes>>> = vec![None; covers.len()];
    for (t, evening) in evenings.iter().enumerate() {
        let mut laid: Vec<Spent> = Vec::new();
        for lies in &losses.lies {
            laid.push(match lies {
                Lies::Open | Lies::HalfOff(_) => open[t].clone(),
                Lies::Shut(c) => walk.spent(t, evening, covers.get(*c), true)?,
                Lies::EndsOpen(c) => {
                    let aired =
                        covers.get(*c).map(|cover| ends_open(cover, &losses.options[*c], bed));
                    walk.spent(t, evening, aired.as_ref(), true)?
                }
            });
        }
        let (shares, outcomes) = apart(laid);
        losses.laid.push(shares);
        laid_outcomes.push(outcomes);
        let mut left = Vec::new();
        for (c, dusk) in dusks_under.iter().enumerate() {
            if let Some(dusk) = dusk {
                let evening = walk.evening(t, dusk)?;
                left.push(walk.spent(t, &evening, covers.get(c), false)?);
            }
        }
        let (shares, outcomes) = apart(left);
        losses.left.push(shares);
        left_outcomes.push(outcomes);
        if t + 1 == evenings.len() {
            break;
        }
        let mut day = vec![0.0; losses.lies.len()];
        for (c, cover) in covers.iter().enumerate() {
            let fit = &losses.options[c];
            let aired = has_ends(fit).then(|| ends_open(cover, fit, bed));
            let (shut, vented, dusk) = walk.day(t, &dusks[t], cover, aired.as_ref())?;
            dusks_under[c] = Some(dusk);
            let money = |d: &DayUnder| bed.plantings.iter().map(|p| days::cost(p, d)).sum::<f64>();
            for (cost, lies) in day.iter_mut().zip(&losses.lies) {
                match (lies, &vented) {
                    (Lies::Shut(o), _) if *o == c => *cost = money(&shut),
                    (Lies::EndsOpen(o), Some(vented)) if *o == c => *cost = money(vented),
                    _ => {}
                }
            }
        }
        losses.days.push(day);
    }
    let unknown_cover = lying.is_some() && start.is_none();
    Ok(BedCourses { losses, laid: laid_outcomes, left: left_outcomes, unknown_cover })
}

/// Shares and outcomes by themselves.
fn apart(nights: Vec<Spent>) -> (Vec<Vec<f64>>, Vec<Outcome>) {
    nights.into_iter().map(|s| (s.shares, s.outcome)).unzip()
}

/// A tunnel with both ends open: no cloth there, and air through both.
///
/// Each end is taken for half an ellipse, ¼π h b; gap per ground + 2 · ¼π h b/(b L); the cover less the same.
fn ends_open(cover: &Cover, fit: &Fit, bed: &garden::Bed) -> Cover {
    let Cover::Cloth { fabric, layers, mut shape } = *cover else { return *cover };
    if let Placement::LowTunnel { rise_m, .. } | Placement::PopUp { rise_m, .. } = fit.lie {
        let ends = std::f64::consts::FRAC_PI_2 * rise_m / bed.length_m;
        shape.area_ratio = (shape.area_ratio - ends).max(1.0);
        shape.gap_ratio += ends;
    }
    Cover::Cloth { fabric, layers, shape }
}

/// One bed on its way through the weather.
pub struct Walk<'a> {
    garden: &'a Garden,
    /// The bed.
    pub simulation: &'a BedSimulation<'a>,
    /// The weather.
    pub weather: &'a Weather,
}

impl Walk<'_> {
    /// Money for a second of work.
    #[must_use]
    pub fn wage_per_second(&self) -> f64 {
        self.garden.labour.worth_of_hour / 3600.0
    }

    /// The step of the plain forecast at which night `t` begins.
    fn dusk_step(&self, t: usize) -> usize {
        let nights = &self.weather.nights;
        let begins = if t == 0 { nights[0].steps.cover } else { 0 };
        let start = crate::steps::at_step(nights[t].steps.start, begins);
        steps_between(nights[0].steps.start, start).min(self.weather.plain.len())
    }

    fn along(
        &self,
        state: &mut State<Lanes>,
        cover: Option<&Cover>,
        forcing: &[Forcing<Lanes>],
        mut seen: impl FnMut(&State<Lanes>, &Forcing<Lanes>),
    ) -> Result<(), Error> {
        let garden_bed = self.simulation.garden_bed;
        let draws = priors::central(&self.garden.site, garden_bed.wetness);
        let column = &self.simulation.column;
        let site = Site { bed: &self.simulation.bed, cover, column, draws: &draws };
        for force in forcing {
            step(&site, force, state)
                .map_err(|error| Error::Physics { bed: garden_bed.name.clone(), error })?;
            seen(state, force);
        }
        Ok(())
    }

    /// The bed at the beginning of each night, left open until then as the forecast has it.
    fn open_dusks(&self, spun: &State<Lanes>) -> Result<Vec<State<Lanes>>, Error> {
        let mut state = *spun;
        let (mut at, mut out) = (0, Vec::new());
        for t in 0..self.weather.nights.len() {
            let until = self.dusk_step(t);
            let left = self.simulation.lies.at(self.weather.start()).filter(|_| t == 0);
            self.along(&mut state, left, &self.weather.plain[at..until], |_, _| {})?;
            at = until;
            out.push(state);
        }
        Ok(out)
    }

    /// The possible evenings of night `t`, from the bed as it is then.
    fn evening(&self, t: usize, dusk: &State<Lanes>) -> Result<Vec<SoFar>, Error> {
        let night = &self.weather.nights[t];
        let sigma = self.weather.soil_sigma_k;
        self.simulation.evening(self.garden, &night.ensemble, dusk, sigma, &night.steps)
    }

    /// Coldest tissues of night `t` under a cover laid `anew` or left on, for as many batches as there are evenings.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn night(
        &self,
        t: usize,
        evening: &[SoFar],
        cover: Option<&Cover>,
        anew: bool,
    ) -> Result<(Coldest, NightSteps), Error> {
        let night = &self.weather.nights[t];
        let cold = self.simulation.night(
            self.garden,
            &night.ensemble,
            evening,
            cover,
            anew,
            &night.steps,
        )?;
        Ok((cold, night.steps))
    }

    /// Night `t` under a cover laid `anew` or left on.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn spent(
        &self,
        t: usize,
        evening: &[SoFar],
        cover: Option<&Cover>,
        anew: bool,
    ) -> Result<Spent, Error> {
        let (cold, steps) = self.night(t, evening, cover, anew)?;
        let at_risk = &self.simulation.at_risk;
        let worth: f64 = at_risk.iter().map(|s| s.worth).sum();
        let share = |m: usize| {
            let lost = at_risk.iter().map(|s| s.worth * s.share(&cold.of(s, m)));
            if worth > 0.0 { lost.sum::<f64>() / worth } else { 0.0 }
        };
        let shares = (0..cold.tissue.len()).map(share).collect();
        Ok(Spent { shares, outcome: self.simulation.outcome(&cold, &steps) })
    }

    /// The day after night `t` under a cover laid that evening: shut, with its ends open from sunrise, and the bed at dusk
    /// when it stays shut.
    fn day(
        &self,
        t: usize,
        dusk: &State<Lanes>,
        cover: &Cover,
        aired: Option<&Cover>,
    ) -> Result<(DayUnder, Option<DayUnder>, State<Lanes>), Error> {
        let ahead = &self.weather.nights[t].ahead;
        let (from, to) = (self.dusk_step(t), self.dusk_step(t + 1));
        let rise = steps_between(self.weather.nights[0].steps.start, ahead.sunrise).clamp(from, to);
        let plain = &self.weather.plain;
        let air = |f: &Forcing<Lanes>| f.air_c.lane(MORNING_LANE);
        let night_low_c = plain[from..rise].iter().map(air).fold(f64::INFINITY, f64::min);
        let first = plain.get(from).map_or(Lanes::splat(0.0), |f| f.air_c);
        let mut state = dusk.just_covered(first);
        self.along(&mut state, Some(cover), &plain[from..rise], |_, _| {})?;
        let light_share = light_share(cover);
        let under = |state: &mut State<Lanes>, cover: &Cover, bees| -> Result<DayUnder, Error> {
            let day_length_h = hours(to - rise);
            let mut day =
                DayUnder { night_low_c, day_length_h, light_share, bees, ..DayUnder::default() };
            self.along(state, Some(cover), &plain[rise..to], |state, force| {
                day.inside_c.push(state.air_c.lane(MORNING_LANE));
                day.outside_c.push(air(force));
            })?;
            Ok(day)
        };
        let mut venting = state;
        let shut = under(&mut state, cover, days::bees_by(false))?;
        let vented = aired.map(|c| under(&mut venting, c, days::bees_by(true))).transpose()?;
        Ok((shut, vented, state))
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
