//! One bed through all nights and days: what each cover loses in each, by the physics.

use garden::Garden;
use garden::fit::Cover as Fit;
use garden::lying::Opening;
use microclimate::cover::Cover;
use microclimate::lanes::Lanes;
use microclimate::real::Real;
use microclimate::{Forcing, State};

use crate::by_day::{ByDay, DaySoFar, Over};
use crate::constants::MORNING_LANE;
use crate::day_cost::{self, DayUnder};
use crate::error::Error;
use crate::learned::Learned;
use crate::lies::{Lies, as_option, has_ends, is_cover, states};
use crate::night::{BedSimulation, Coldest, SoFar};
use crate::physics;
use crate::report::Outcome;
use crate::steps::steps_between;
use crate::tonight::taught_cover;
use crate::week::losses::{BedLosses, Began};
use crate::week::options;
use crate::week::weather::Weather;

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
    simulation: &BedSimulation<'_>,
    weather: &Weather,
    learned: &Learned<'_>,
) -> Result<BedCourses, Error> {
    let bed = simulation.garden_bed;
    let fits = simulation.fits.clone();
    let walk = Walk { garden, simulation, weather, learned };
    let spun = simulation.spin_up(garden, &weather.before, weather.start())?;
    let dusks = walk.open_dusks(&spun)?;
    let mut evenings = vec![walk.evening(0, &spun)?];
    for (t, dusk) in dusks.iter().enumerate().skip(1) {
        evenings.push(walk.evening(t, dusk)?);
    }
    let bare = (0..evenings.len()).map(|t| walk.night(t, &evenings[t], None, true));
    let bare: Vec<Coldest> = bare.collect::<Result<_, Error>>()?;
    let open: Vec<Spent> =
        bare.iter().enumerate().map(|(t, cold)| walk.so_spent(t, cold)).collect();
    // Nets and shade lie there for other reasons: the plan moves what keeps off cold.
    let lying = simulation.lies.main.as_ref().filter(|l| l.against_cold());
    let on = lying.and_then(|l| fits.iter().position(|f| is_cover(l, f)));
    let options = options::sensible(&walk, fits, on, &open, &evenings)?;
    let start = lying.and_then(|l| {
        let option = options.iter().position(|f| is_cover(l, f))?;
        let all = states(&options);
        let exact = all.iter().position(|s| *s == as_option(l.opening, option));
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
    let options = losses.options.clone();
    let under = |c: usize, cover, bare| Under { fit: &options[c], cover, bare };
    for (t, evening) in evenings.iter().enumerate() {
        let mut laid: Vec<Spent> = Vec::new();
        for lies in &losses.lies {
            laid.push(match lies {
                Lies::Open | Lies::HalfOff(_) => open[t].clone(),
                Lies::Shut(c) => walk.spent(t, evening, under(*c, &covers[*c], &bare[t]), true)?,
                Lies::EndsOpen(c) => {
                    let fit = &losses.options[*c];
                    let aired = physics::as_it_lies(fit, Opening::EndsOpen, bed);
                    let aired = aired.unwrap_or(covers[*c]);
                    let under = Under { fit, cover: &aired, bare: &bare[t] };
                    walk.spent(t, evening, under, true)?
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
                left.push(walk.spent(t, &evening, under(c, &covers[c], &bare[t]), false)?);
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
            let ends = has_ends(fit).then_some(Opening::EndsOpen);
            let aired = ends.and_then(|o| physics::as_it_lies(fit, o, bed));
            let (shut, vented, dusk) = walk.day(t, &dusks[t], cover, aired.as_ref())?;
            dusks_under[c] = Some(dusk);
            let money = |d: &DayUnder| day_cost::of_bed(bed, d);
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

/// One bed on its way through the weather.
pub struct Walk<'a> {
    garden: &'a Garden,
    /// The bed.
    pub simulation: &'a BedSimulation<'a>,
    /// The weather.
    pub weather: &'a Weather,
    /// What is known of the garden beyond it.
    pub learned: &'a Learned<'a>,
}

/// A cover over the bed.
#[derive(Clone, Copy)]
pub struct Under<'a> {
    /// What it is of.
    pub fit: &'a Fit,
    /// How it lies.
    pub cover: &'a Cover,
    /// The same nights without it, which readings under it are held against.
    pub bare: &'a Coldest,
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

    fn by_day(&self) -> ByDay<'_> {
        ByDay { garden: self.garden, simulation: self.simulation }
    }

    /// The bed at the beginning of each night, left open until then as the forecast has it.
    fn open_dusks(&self, spun: &State<Lanes>) -> Result<Vec<State<Lanes>>, Error> {
        let mut state = *spun;
        let (mut at, mut out) = (0, Vec::new());
        for t in 0..self.weather.nights.len() {
            let until = self.dusk_step(t);
            let left = self.simulation.lies.at(self.weather.start()).filter(|_| t == 0);
            self.by_day().along(&mut state, left, &self.weather.plain[at..until], |_, _| {})?;
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

    /// The cold of night `t` under a cover laid `anew` or left on, for as many batches as there are evenings.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn night(
        &self,
        t: usize,
        evening: &[SoFar],
        cover: Option<&Cover>,
        anew: bool,
    ) -> Result<Coldest, Error> {
        let night = &self.weather.nights[t];
        let (ensemble, steps) = (&night.ensemble, &night.steps);
        self.simulation.night(self.garden, ensemble, evening, cover, anew, steps)
    }

    /// Night `t` under a cover laid `anew` or left on, moved to what readings under it have taught.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn spent(
        &self,
        t: usize,
        evening: &[SoFar],
        under: Under<'_>,
        anew: bool,
    ) -> Result<Spent, Error> {
        let mut cold = self.night(t, evening, Some(under.cover), anew)?;
        if let Some(lesson) = self.learned.cover(under.fit) {
            taught_cover::teach(&mut cold, under.bare, lesson, &self.weather.nights[t].ensemble);
        }
        Ok(self.so_spent(t, &cold))
    }

    /// What the cold of night `t` takes.
    #[must_use]
    pub fn so_spent(&self, t: usize, cold: &Coldest) -> Spent {
        let at_risk = &self.simulation.at_risk;
        let worth: f64 = at_risk.iter().map(|s| s.worth).sum();
        let share = |m: usize| {
            let lost = at_risk.iter().map(|s| s.worth * s.share(&cold.of(s, m)));
            if worth > 0.0 { lost.sum::<f64>() / worth } else { 0.0 }
        };
        let shares = (0..cold.tissue.len()).map(share).collect();
        Spent { shares, outcome: self.simulation.outcome(cold, &self.weather.nights[t].steps) }
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
        self.by_day().along(&mut state, Some(cover), &plain[from..rise], |_, _| {})?;
        let under = |state: &mut State<Lanes>, cover: &Cover, opening| -> Result<DayUnder, Error> {
            let mut day = DaySoFar::default();
            let over = Over { cover: Some(cover), bees: day_cost::bees_by(opening) };
            self.by_day().on(&mut day, state, over, &plain[rise..to])?;
            Ok(day.under(night_low_c))
        };
        let mut venting = state;
        let shut = under(&mut state, cover, Opening::Shut)?;
        let vented = aired.map(|c| under(&mut venting, c, Opening::EndsOpen)).transpose()?;
        Ok((shut, vented, state))
    }
}
