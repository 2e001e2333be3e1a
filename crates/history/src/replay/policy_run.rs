//! One policy walking through one year's evenings.

use crate::constants::{FREEZING_C, SEVERAL_NIGHTS};
use crate::replay::hindsight;
use crate::replay::outcome::SeasonResult;
use crate::replay::policies::{Policy, all_above_freezing};
use crate::replay::several_nights;
use crate::years::Error;
use crate::years::night::{Information, Night};
use crate::years::night_table::NightTable;
use crate::years::simulation::{BedChoices, Simulation};
use evening::night::PlantingAtRisk;
use evening::plan::{Choice, Problem, best, stock};
use milp::Microlp;

/// Share of each planting that is lost, by bed and planting.
pub type Shares = Vec<Vec<f64>>;

/// A policy on its way.
pub struct PolicyRun<'a> {
    simulation: &'a Simulation<'a>,
    covers_by_warmth: &'a [Vec<usize>],
    unavoidable: &'a Shares,
    lost: Shares,
    /// Whether each bed's new transplants still wait for five nights.
    waiting: Vec<bool>,
    /// Choice that lies on each bed, and the night it lay on last.
    lying: Vec<Option<(usize, usize)>>,
    /// What it came to so far.
    pub season: SeasonResult,
}

/// Choices of each bed from the warmest to the least warm, over the block's nights.
pub fn covers_by_warmth(simulation: &Simulation<'_>, tables: &[NightTable]) -> Vec<Vec<usize>> {
    let mean = |kind: usize, laid: usize| -> f64 {
        let nights = tables[kind].laid.get(laid).map_or(&[][..], |l| l);
        nights.iter().flat_map(|c| c.tissue_c).map(f64::from).sum()
    };
    let of = |(bed, choices): (usize, &BedChoices)| {
        let Some(kind) = simulation.kind_of[bed] else { return Vec::new() };
        let mut ranked: Vec<(f64, usize)> = choices
            .cover
            .iter()
            .enumerate()
            .map(|(c, laid)| (mean(kind, laid + 1), c + 1))
            .collect();
        ranked.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        ranked.into_iter().map(|r| r.1).collect()
    };
    simulation.beds.iter().enumerate().map(of).collect()
}

/// What each planting will lose in any case on the cheapest way through the season for its bed that opens every morning, and
/// what the cheapest ways cost together when covers may lie on as well.
pub fn unavoidable_losses(simulation: &Simulation<'_>, nights: &[Night<'_>]) -> (Shares, f64) {
    let mut bound = 0.0;
    let mut unavoidable = no_shares(simulation);
    for (bed, losses) in unavoidable.iter_mut().enumerate() {
        let mine: Vec<&Night<'_>> = nights.iter().filter(|n| n.stands(bed)).collect();
        let mut each = costs(simulation, bed, &mine);
        bound += hindsight::cheapest(&each).cost;
        each.iter_mut().for_each(|n| n.kept.clear());
        let level = hindsight::cheapest(&each).level;
        for (night, costs) in mine.iter().zip(&each) {
            let within = costs.laid.iter().enumerate().filter(|c| c.1.0 <= level);
            let Some((c, _)) = within.min_by(|a, b| a.1.1.total_cmp(&b.1.1)) else { continue };
            for planting in night.at_risk[bed].iter().filter(|_| night.matters[bed]) {
                let loss = &mut losses[planting.planting];
                *loss = loss.max(night.true_share(bed, c, planting));
            }
        }
    }
    (unavoidable, bound)
}

/// What every choice costs a bed on its nights, all known.
fn costs(simulation: &Simulation<'_>, bed: usize, nights: &[&Night<'_>]) -> Vec<hindsight::Night> {
    let choices = &simulation.beds[bed];
    let none = |_: &PlantingAtRisk| 0.0;
    let mut before: Option<usize> = None;
    let mut out = Vec::with_capacity(nights.len());
    for night in nights {
        let laid = |c: usize| {
            let work = c.checked_sub(1).map_or(0, |i| choices.seconds[i]);
            let dim = night.dimness(bed, c, f64::from(night.day.light_before_off));
            let loss = |c| night.loss(bed, c, &none, Information::Perfect);
            (if night.matters[bed] { loss(c) } else { 0.0 }, money(simulation, work) + dim)
        };
        let kept = |c: usize| {
            let share = |p: &PlantingAtRisk| p.worth * night.left_share(bed, c, p);
            let lost = night.at_risk[bed].iter().map(share).sum();
            let loss = if night.matters[bed] { lost } else { 0.0 };
            (c > 0).then(|| (loss, night.dimness(bed, c, 1.0)))
        };
        let on = before.is_some_and(|d| d + 1 == night.d);
        before = Some(night.d);
        out.push(hindsight::Night {
            laid: (0..=choices.fits.len()).map(laid).collect(),
            kept: if on { (0..=choices.fits.len()).map(kept).collect() } else { Vec::new() },
        });
    }
    out
}

/// What so many seconds of work are worth.
pub fn money(simulation: &Simulation<'_>, seconds: u32) -> f64 {
    simulation.garden.labour.worth_of_hour / 3600.0 * f64::from(seconds)
}

fn no_shares(simulation: &Simulation<'_>) -> Shares {
    simulation.garden.beds.iter().map(|b| vec![0.0; b.plantings.len()]).collect()
}

impl<'a> PolicyRun<'a> {
    /// Nothing lost yet, nothing lying.
    #[must_use]
    pub fn new(
        simulation: &'a Simulation<'a>,
        covers_by_warmth: &'a [Vec<usize>],
        unavoidable: &'a Shares,
    ) -> Self {
        let beds = simulation.beds.len();
        Self {
            simulation,
            covers_by_warmth,
            unavoidable,
            lost: no_shares(simulation),
            waiting: vec![true; beds],
            lying: vec![None; beds],
            season: SeasonResult::default(),
        }
    }

    /// Decides, works, and takes what the night takes.
    /// Equation 49 of docs/science.md.
    pub fn evening(&mut self, policy: Policy, night: &Night<'_>) -> Result<(), Error> {
        let beds = self.simulation.beds.len();
        let (mut choice, mut short) = (vec![0; beds], false);
        // Whether what lies tonight is left on tomorrow, as far as this evening knows.
        let mut stays = vec![false; beds];
        match policy {
            Policy::Never => {}
            Policy::Always => (choice, short) = self.by_hand(night, &|b| night.matters[b], true),
            Policy::LeftOn => {
                stays = vec![true; beds];
                (choice, short) = self.by_hand(night, &|b| night.matters[b], false);
            }
            Policy::ColdSpells => {
                stays = vec![night.evening.forecast_c[1] < FREEZING_C; beds];
                let cold = night.evening.forecast_c[0] < FREEZING_C;
                (choice, short) = self.by_hand(night, &|b| cold && night.stands(b), true);
            }
            Policy::Rule(rule) => {
                let above = all_above_freezing(&night.evening.forecast_c);
                for b in 0..beds {
                    self.waiting[b] &= night.at_risk[b].is_empty() || !above;
                }
                let wants = |b: usize| {
                    let (low, waits) = (night.evening.forecast_c[0], self.waiting[b]);
                    let at_risk = &night.at_risk[b];
                    night.stands(b) && rule.wants(&self.simulation.garden, b, at_risk, low, waits)
                };
                (choice, short) = self.by_hand(night, &wants, true);
            }
            Policy::Plan => (choice, short) = self.planned(night, Information::Forecast, None)?,
            Policy::SeveralNights if night.matters.contains(&true) => {
                let on = |l: &Option<(usize, usize)>| l.filter(|l| l.1 + 1 == night.d).map(|l| l.0);
                let lying: Vec<Option<usize>> = self.lying.iter().map(on).collect();
                let decided = several_nights::decide(
                    self.simulation,
                    night,
                    &self.lost,
                    &lying,
                    SEVERAL_NIGHTS,
                )?;
                (choice, stays, short) = (decided.choice, decided.stays, decided.short);
            }
            Policy::SeveralNights => {}
            Policy::Perfect => {
                (choice, short) =
                    self.planned(night, Information::Perfect, Some(self.unavoidable))?;
            }
        }
        self.season.short_nights += u32::from(short);
        self.book(night, &choice, &stays);
        Ok(())
    }

    /// The warmest covers that are left, dearest bed first; whether one was wanted that could not be had.
    fn by_hand(
        &self,
        night: &Night<'_>,
        wants: &dyn Fn(usize) -> bool,
        timed: bool,
    ) -> (Vec<usize>, bool) {
        let worth = |b: usize| night.at_risk[b].iter().map(|s| s.worth).sum::<f64>();
        let mut order: Vec<usize> = (0..self.simulation.beds.len()).filter(|b| wants(*b)).collect();
        order.sort_by(|a, b| worth(*b).total_cmp(&worth(*a)));
        let mut left = self.simulation.available.clone();
        let mut seconds =
            if timed { stock::person_seconds(&self.simulation.garden) } else { u32::MAX };
        let (mut choice, mut short) = (vec![0; self.simulation.beds.len()], false);
        for b in order {
            let choices = &self.simulation.beds[b];
            let fits = |c: &&usize| {
                let i = **c - 1;
                choices.seconds[i] <= seconds && choices.uses[i].iter().all(|(l, n)| left[*l] >= *n)
            };
            let Some(c) = self.covers_by_warmth[b].iter().find(fits) else {
                short |= !self.covers_by_warmth[b].is_empty();
                continue;
            };
            short |= self.covers_by_warmth[b].first() != Some(c);
            choice[b] = *c;
            seconds -= choices.seconds[*c - 1];
            choices.uses[*c - 1].iter().for_each(|(l, n)| left[*l] -= n);
        }
        (choice, short)
    }

    /// The plan of least loss and labour; whether stock or minutes bound it.
    fn planned(
        &self,
        night: &Night<'_>,
        information: Information,
        unavoidable: Option<&Shares>,
    ) -> Result<(Vec<usize>, bool), Error> {
        let problem = self.problem(night, information, unavoidable);
        let cheapest: Vec<usize> = problem
            .beds
            .iter()
            .map(|cs| {
                let by_cost =
                    |a: &usize, b: &usize| problem.cost(&cs[*a]).total_cmp(&problem.cost(&cs[*b]));
                (0..cs.len()).min_by(by_cost).unwrap_or(0)
            })
            .collect();
        // Where each bed can have its own best, that is the best plan; the solver is for the evenings when it cannot.
        if cheapest.iter().all(|c| *c == 0) || problem.feasible(&cheapest) {
            return Ok((cheapest, false));
        }
        Ok((best(&problem, &Microlp)?.choice, true))
    }

    /// The evening's problem, as the evening plan states it.
    pub fn problem(
        &self,
        night: &Night<'_>,
        information: Information,
        unavoidable: Option<&Shares>,
    ) -> Problem {
        let bed = |(b, choices): (usize, &BedChoices)| {
            let gone = |s: &PlantingAtRisk| {
                let lost = self.lost[b][s.planting];
                unavoidable.map_or(lost, |f| lost.max(f[b][s.planting]))
            };
            let covers = if night.matters[b] { choices.fits.len() } else { 0 };
            let loss =
                |c| if night.matters[b] { night.loss(b, c, &gone, information) } else { 0.0 };
            (0..=covers)
                .map(|c| Choice {
                    expected_loss: loss(c),
                    seconds: c.checked_sub(1).map_or(0, |i| choices.seconds[i]),
                    uses: c.checked_sub(1).map_or_else(Vec::new, |i| choices.uses[i].clone()),
                })
                .collect()
        };
        Problem {
            beds: self.simulation.beds.iter().enumerate().map(bed).collect(),
            available: self.simulation.available.clone(),
            seconds: stock::person_seconds(&self.simulation.garden),
            wage_per_minute: self.simulation.garden.labour.worth_of_hour / 60.0,
        }
    }

    /// Work, light, heat and loss of a night.
    fn book(&mut self, night: &Night<'_>, choice: &[usize], stays: &[bool]) {
        let mut worked = 0;
        for (b, c) in choice.iter().enumerate() {
            let choices = &self.simulation.beds[b];
            // What lay by day kept back its light, whether it lies on or comes off.
            let lay = self.lying[b].filter(|l| l.1 + 1 == night.d).map(|l| l.0);
            let kept = lay == Some(*c);
            if let Some(on) = lay {
                self.dim(night, b, on, 1.0);
            }
            if let Some(i) = c.checked_sub(1) {
                if !kept {
                    worked += choices.seconds[i];
                }
                if !stays[b] {
                    self.dim(night, b, *c, f64::from(night.day.light_before_off));
                }
                self.season.heat_h += if kept { night.heat_h(b, *c) } else { 0.0 };
            }
            self.lying[b] = (stays[b] && *c > 0).then_some((*c, night.d));
            if !night.matters[b] {
                continue;
            }
            for planting in &night.at_risk[b] {
                let share = if kept {
                    night.left_share(b, *c, planting)
                } else {
                    night.true_share(b, *c, planting)
                };
                let lost = &mut self.lost[b][planting.planting];
                let more = (share - *lost).max(0.0);
                self.season.loss += planting.worth * more;
                *lost += more;
            }
        }
        self.season.evenings += u32::from(worked > 0);
        self.season.minutes += f64::from(worked) / 60.0;
        self.season.labour += money(self.simulation, worked);
    }

    /// Light that a choice keeps back for a share of a day.
    fn dim(&mut self, night: &Night<'_>, bed: usize, choice: usize, share: f64) {
        let dims = choice.checked_sub(1).and_then(|i| self.simulation.beds[bed].dims.get(i));
        self.season.light_days += dims.map_or(0.0, |d| d * share);
        self.season.dimness += night.dimness(bed, choice, share);
    }
}
