//! The plan of several nights on the evenings of past years: the planner that people use, fed from the replay's tables.

use std::sync::LazyLock;

use evening::horizon::{Problem, dual, repair};
use evening::lies::Lies;
use evening::night::PlantingAtRisk;
use evening::week::courses::{Courses, NightError};
use evening::week::losses::BedLosses;
use evening::week::problem::{problem, what_lies};
use milp::Microlp;
use weather::error_model::sigma_air_k;
use weather::frost::normal::quantile;

use crate::constants::{LEAD_H, NIGHTS_AHEAD, PRICE_STEPS, SEVERAL_NIGHTS_COVERS};
use crate::replay::policy_run::{Shares, money};
use crate::years::Error;
use crate::years::drawn_forecast::spread_k;
use crate::years::night::{Information, Night};
use crate::years::simulation::Simulation;

/// Possible courses of each night: equally likely points of one standard normal number, air, cloud and model together.
const COURSES: usize = 31;

/// What is done this evening, and tomorrow morning.
pub struct Decided {
    /// By bed, the choice of tonight; 0 is open.
    pub choice: Vec<usize>,
    /// By bed, whether it stays on by day.
    pub stays: Vec<bool>,
    /// Whether stock or minutes bound it.
    pub short: bool,
}

/// Tonight's choice and tomorrow morning's, by the plan of the nights whose forecast is known, `most` at most.
///
/// A later night is taken to be as tonight in all but its forecast low. `lost` is what each planting has lost, `lying` the
/// choice that has lain on each bed all day. The morning knows how cold the night came.
///
/// # Errors
/// [`Error::Plan`].
/// Checked by `replay::one_night_ahead_several_nights_are_the_evening_plan`.
pub fn decide(
    simulation: &Simulation<'_>,
    night: &Night<'_>,
    lost: &Shares,
    lying: &[Option<usize>],
    most: usize,
) -> Result<Decided, Error> {
    let known = night.evening.forecast_c.iter().take_while(|t| !t.is_nan()).count();
    let ahead = Ahead {
        simulation,
        night,
        lost,
        lying,
        nights: known.clamp(1, most.clamp(1, NIGHTS_AHEAD)),
    };
    let beds = simulation.beds.len();
    let mut decided = Decided { choice: vec![0; beds], stays: vec![false; beds], short: false };
    // A bed on which nothing lies stays open on a night that does not matter.
    let all: Vec<usize> = (0..beds).filter(|b| night.matters[*b] || lying[*b].is_some()).collect();
    let mut plan = Planned::of(&ahead, all.iter().copied().filter(|b| !ahead.stays_open(*b)));
    let mut prices = dual::search(&plan.problem, 0);
    let mut tonight = repair::decide(&plan.problem, &prices, (0, 0), &plan.starts(), &Microlp)?;
    let wish = |(b, s): (usize, &usize)| prices.program(b).value[0][*s];
    let wished: f64 = plan.starts().iter().enumerate().map(wish).sum();
    let short = tonight.to_go > wished + 1e-9 * wished.max(1.0);
    if short {
        plan = Planned::of(&ahead, all.into_iter());
        prices = dual::search(&plan.problem, PRICE_STEPS);
        tonight = repair::decide(&plan.problem, &prices, (0, 0), &plan.starts(), &Microlp)?;
    }
    let problem = &plan.problem;
    let after: Vec<usize> =
        problem.beds.iter().zip(&tonight.moves).map(|(b, m)| b.evening[*m].to).collect();
    for (i, b) in plan.beds.iter().enumerate() {
        let option = plan.lies(i, after[i]).option();
        decided.choice[*b] = option.map_or(0, |o| plan.tried[i][o]);
    }
    if ahead.nights > 1 {
        let node = NightError::morning_node(night.surprise());
        let next = problem.lattice.nodes(1);
        let found: Vec<usize> =
            problem.beds.iter().zip(&after).map(|(b, s)| b.found(0, *s, next, node)).collect();
        let morning = repair::decide(problem, &prices, (1, node), &found, &Microlp)?;
        for (i, m) in morning.moves.iter().enumerate() {
            let to = problem.beds[i].morning[*m].to;
            decided.stays[plan.beds[i]] = plan.lies(i, to) != Lies::Open;
        }
    }
    Ok(Decided { short, ..decided })
}

/// An evening and the nights ahead of it.
struct Ahead<'a> {
    simulation: &'a Simulation<'a>,
    night: &'a Night<'a>,
    lost: &'a Shares,
    lying: &'a [Option<usize>],
    nights: usize,
}

/// The plan of some beds for the nights ahead.
struct Planned {
    beds: Vec<usize>,
    /// By bed of these, the choices that are tried.
    tried: Vec<Vec<usize>>,
    losses: Vec<BedLosses>,
    problem: Problem,
}

impl Planned {
    fn of(ahead: &Ahead<'_>, beds: impl Iterator<Item = usize>) -> Self {
        let beds: Vec<usize> = beds.collect();
        let tried: Vec<Vec<usize>> = beds.iter().map(|b| ahead.covers(*b)).collect();
        let losses: Vec<BedLosses> =
            beds.iter().zip(&tried).map(|(b, tried)| ahead.losses(*b, tried)).collect();
        let courses = &TABLES.courses[ahead.nights - 1];
        let mut problem = problem(&ahead.simulation.garden, &losses, courses);
        problem.available.clone_from(&ahead.simulation.available);
        let mut plan = Self { beds, tried, losses, problem };
        plan.count_laying_alone(ahead.simulation);
        plan
    }

    fn starts(&self) -> Vec<usize> {
        self.problem.beds.iter().map(|b| b.start).collect()
    }

    /// What lies in a state of the bed at a place of these.
    fn lies(&self, place: usize, state: usize) -> Lies {
        let losses = &self.losses[place];
        losses.lies[what_lies(&self.problem.beds[place], losses, state)]
    }

    /// The replay's own minutes: laying alone is counted, as for every policy.
    fn count_laying_alone(&mut self, simulation: &Simulation<'_>) {
        for place in 0..self.beds.len() {
            let states = self.problem.beds[place].holds.len();
            let lies: Vec<Lies> = (0..states).map(|state| self.lies(place, state)).collect();
            let seconds = &simulation.beds[self.beds[place]].seconds;
            let bed = &mut self.problem.beds[place];
            for it in bed.evening.iter_mut().chain(&mut bed.morning) {
                let laid = lies[it.to].option().filter(|_| lies[it.from] != lies[it.to]);
                it.seconds = laid.map_or(0, |o| seconds[self.tried[place][o] - 1]);
            }
        }
    }
}

/// What is the same on every evening.
struct Tables {
    /// The standard normal number of each course.
    standard: [f64; COURSES],
    /// Courses of one night, two and so on.
    courses: Vec<Courses>,
}

static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let standard = std::array::from_fn(|m| quantile((m as f64 + 0.5) / COURSES as f64));
    let sigma = |k: usize| sigma_air_k(LEAD_H + 24.0 * k as f64);
    let error = |k: usize| {
        let lows: Vec<f64> = standard.iter().map(|z| spread_k(1.0, 1.0, k) * z).collect();
        NightError::new(&lows, sigma(k), sigma(0))
    };
    let errors: Vec<NightError> = (0..NIGHTS_AHEAD).map(error).collect();
    Tables { standard, courses: (1..=NIGHTS_AHEAD).map(|n| Courses::new(&errors[..n])).collect() }
});

impl Ahead<'_> {
    /// What a bed can lose tonight, money.
    fn worth(&self, bed: usize) -> f64 {
        self.night.at_risk[bed].iter().map(|p| p.worth).sum()
    }

    /// Whether nothing lies on a bed and all that it is expected to lose in these nights, left open, comes to less than half of the
    /// work of laying its quickest cover: where nothing is short it then stays open tonight. Half, since the chances of the
    /// courses are integrated in classes.
    fn stays_open(&self, bed: usize) -> bool {
        let quickest = self.simulation.beds[bed].seconds.iter().min();
        let work = quickest.map_or(f64::INFINITY, |s| money(self.simulation, *s));
        let worth = self.worth(bed);
        let open = |k: usize| self.shares(bed, 0, (false, k)).iter().sum::<f64>() / COURSES as f64;
        let mut expected = 0.0;
        self.lying[bed].is_none()
            && (0..self.nights).all(|k| {
                expected += worth * open(k);
                expected < 0.5 * work
            })
    }

    /// The covers that may matter on a bed, as choices: what lies there, and those that cost least tonight, loss and work together.
    fn covers(&self, bed: usize) -> Vec<usize> {
        let (night, lying) = (self.night, self.lying[bed]);
        if !night.matters[bed] {
            return lying.into_iter().collect();
        }
        let choices = &self.simulation.beds[bed];
        let gone = |p: &PlantingAtRisk| self.lost[bed][p.planting];
        let loss = |c: usize| night.loss(bed, c, &gone, Information::Forecast);
        let cost = |c: usize| loss(c) + money(self.simulation, choices.seconds[c - 1]);
        let mut order: Vec<(f64, usize)> = (1..=choices.fits.len()).map(|c| (cost(c), c)).collect();
        order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        let mut kept: Vec<usize> = lying.into_iter().collect();
        for (_, c) in order {
            if kept.len() >= SEVERAL_NIGHTS_COVERS {
                break;
            }
            if !kept.contains(&c) {
                kept.push(c);
            }
        }
        kept
    }

    /// Share of the bed's worth that each course of a night takes beyond what is lost, under a choice laid that evening or left on.
    fn shares(&self, bed: usize, choice: usize, (left, ahead): (bool, usize)) -> Vec<f64> {
        let worth = self.worth(bed);
        let mut sum = vec![0.0; COURSES];
        if worth <= 0.0 || !self.night.matters[bed] {
            return sum;
        }
        for p in &self.night.at_risk[bed] {
            let Some(share) = self.night.share_ahead(bed, choice, p, (left, ahead)) else {
                continue;
            };
            for (sum, z) in sum.iter_mut().zip(&TABLES.standard) {
                *sum += p.worth * (share(*z) - self.lost[bed][p.planting]).max(0.0);
            }
        }
        sum.iter_mut().for_each(|s| *s /= worth);
        sum
    }

    /// What a bed can lose in the nights ahead under the choices tried.
    fn losses(&self, bed: usize, tried: &[usize]) -> BedLosses {
        let lying = self.lying[bed];
        let lies: Vec<Lies> =
            std::iter::once(Lies::Open).chain((0..tried.len()).map(Lies::Shut)).collect();
        let choice = |l: &Lies| l.option().map_or(0, |o| tried[o]);
        let laid =
            |k: usize| lies.iter().map(|l| self.shares(bed, choice(l), (false, k))).collect();
        let left = |k: usize| -> Vec<Vec<f64>> {
            if k == 0 && lying.is_none() {
                return Vec::new();
            }
            tried.iter().map(|c| self.shares(bed, *c, (true, k))).collect()
        };
        let day: Vec<f64> = lies.iter().map(|l| self.night.dimness(bed, choice(l), 1.0)).collect();
        let fits = &self.simulation.beds[bed].fits;
        BedLosses {
            worth: self.worth(bed),
            options: tried.iter().map(|c| fits[c - 1].clone()).collect(),
            start: lying.and_then(|c| tried.iter().position(|t| *t == c)).map_or(0, |o| o + 1),
            laid: (0..self.nights).map(laid).collect(),
            left: (0..self.nights).map(left).collect(),
            days: vec![day; self.nights - 1],
            lies,
        }
    }
}
