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
use crate::replay::policy_run::Shares;
use crate::years::Error;
use crate::years::drawn_forecast::spread_k;
use crate::years::night::{Information, Night};
use crate::years::simulation::{BedChoices, Simulation};

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
    let nights = known.clamp(1, most.clamp(1, NIGHTS_AHEAD));
    let beds = simulation.beds.len();
    let mut decided = Decided { choice: vec![0; beds], stays: vec![false; beds], short: false };
    // A bed on which nothing lies stays open on a night that does not matter.
    let asked: Vec<usize> =
        (0..beds).filter(|b| night.matters[*b] || lying[*b].is_some()).collect();
    if asked.is_empty() {
        return Ok(decided);
    }
    let tried: Vec<Vec<usize>> =
        asked.iter().map(|b| covers(simulation, night, *b, lost, lying[*b])).collect();
    let losses: Vec<BedLosses> = asked
        .iter()
        .zip(&tried)
        .map(|(b, tried)| bed_losses(simulation, night, (*b, tried), lost, lying[*b], nights))
        .collect();
    let mut problem = problem(&simulation.garden, &losses, &TABLES.courses[nights - 1]);
    problem.available.clone_from(&simulation.available);
    count_laying_alone(&mut problem, &losses, simulation, (&asked, &tried));
    let starts: Vec<usize> = problem.beds.iter().map(|b| b.start).collect();
    let mut prices = dual::search(&problem, 0);
    let mut tonight = repair::decide(&problem, &prices, (0, 0), &starts, &Microlp)?;
    let wish = |(b, s): (usize, &usize)| prices.program(b).value[0][*s];
    let wished: f64 = starts.iter().enumerate().map(wish).sum();
    let short = tonight.to_go > wished + 1e-9 * wished.max(1.0);
    if short {
        prices = dual::search(&problem, PRICE_STEPS);
        tonight = repair::decide(&problem, &prices, (0, 0), &starts, &Microlp)?;
    }
    let after: Vec<usize> =
        problem.beds.iter().zip(&tonight.moves).map(|(b, m)| b.evening[*m].to).collect();
    let lies =
        |b: usize, state: usize| losses[b].lies[what_lies(&problem.beds[b], &losses[b], state)];
    for (i, b) in asked.iter().enumerate() {
        decided.choice[*b] = lies(i, after[i]).option().map_or(0, |o| tried[i][o]);
    }
    if nights > 1 {
        let node = NightError::morning_node(night.surprise());
        let next = problem.lattice.nodes(1);
        let found: Vec<usize> =
            problem.beds.iter().zip(&after).map(|(b, s)| b.found(0, *s, next, node)).collect();
        let morning = repair::decide(&problem, &prices, (1, node), &found, &Microlp)?;
        for (i, m) in morning.moves.iter().enumerate() {
            decided.stays[asked[i]] = lies(i, problem.beds[i].morning[*m].to) != Lies::Open;
        }
    }
    Ok(Decided { short, ..decided })
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

/// The covers that may matter on a bed, as choices: what lies there, and those that cost least tonight, loss and work together.
fn covers(
    simulation: &Simulation<'_>,
    night: &Night<'_>,
    bed: usize,
    lost: &Shares,
    lying: Option<usize>,
) -> Vec<usize> {
    if !night.matters[bed] {
        return lying.into_iter().collect();
    }
    let choices = &simulation.beds[bed];
    let gone = |p: &PlantingAtRisk| lost[bed][p.planting];
    let wage = simulation.garden.labour.worth_of_hour / 3600.0;
    let loss = |c: usize| night.loss(bed, c, &gone, Information::Forecast);
    let cost = |c: usize| loss(c) + wage * f64::from(choices.seconds[c - 1]);
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

/// What a bed can lose in the nights ahead under the choices tried.
fn bed_losses(
    simulation: &Simulation<'_>,
    night: &Night<'_>,
    (bed, tried): (usize, &[usize]),
    lost: &Shares,
    lying: Option<usize>,
    nights: usize,
) -> BedLosses {
    let choices: &BedChoices = &simulation.beds[bed];
    let worth: f64 = night.at_risk[bed].iter().map(|p| p.worth).sum();
    let shares = |choice: usize, left: bool, ahead: usize| -> Vec<f64> {
        if worth <= 0.0 || !night.matters[bed] {
            return vec![0.0; COURSES];
        }
        let mut sum = vec![0.0; COURSES];
        for p in &night.at_risk[bed] {
            let Some(share) = night.share_ahead(bed, choice, p, (left, ahead)) else { continue };
            for (sum, z) in sum.iter_mut().zip(&TABLES.standard) {
                *sum += p.worth * (share(*z) - lost[bed][p.planting]).max(0.0);
            }
        }
        sum.iter().map(|s| s / worth).collect()
    };
    let lies: Vec<Lies> =
        std::iter::once(Lies::Open).chain((0..tried.len()).map(Lies::Shut)).collect();
    let choice = |l: &Lies| l.option().map_or(0, |o| tried[o]);
    let start = lying.and_then(|c| tried.iter().position(|t| *t == c)).map_or(0, |o| o + 1);
    let left = |ahead: usize| -> Vec<Vec<f64>> {
        if ahead == 0 && lying.is_none() {
            return Vec::new();
        }
        tried.iter().map(|c| shares(*c, true, ahead)).collect()
    };
    BedLosses {
        worth,
        options: tried.iter().map(|c| choices.fits[c - 1].clone()).collect(),
        start,
        laid: (0..nights)
            .map(|k| lies.iter().map(|l| shares(choice(l), false, k)).collect())
            .collect(),
        left: (0..nights).map(left).collect(),
        days: (1..nights)
            .map(|_| lies.iter().map(|l| night.dimness(bed, choice(l), 1.0)).collect())
            .collect(),
        lies,
    }
}

/// The replay's own minutes: laying alone is counted, as for every policy.
fn count_laying_alone(
    problem: &mut Problem,
    losses: &[BedLosses],
    simulation: &Simulation<'_>,
    (asked, tried): (&[usize], &[Vec<usize>]),
) {
    for (b, bed) in problem.beds.iter_mut().enumerate() {
        let lies: Vec<Lies> = (0..bed.holds.len())
            .map(|state| losses[b].lies[what_lies(bed, &losses[b], state)])
            .collect();
        for it in bed.evening.iter_mut().chain(&mut bed.morning) {
            let laid = lies[it.to].option().filter(|_| lies[it.from] != lies[it.to]);
            it.seconds = laid.map_or(0, |o| simulation.beds[asked[b]].seconds[tried[b][o] - 1]);
        }
    }
}
