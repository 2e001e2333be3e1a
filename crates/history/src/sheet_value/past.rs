//! The record's nights on this garden under every cover that is looked at, and what they say of each.

use std::ops::RangeInclusive;

use garden::garden::Garden;
use garden::stock::Condition;
use weather::StationRecord;

use crate::replay::SeasonResult;
use crate::sheet_value::error::Error;
use crate::sheet_value::evening_plan;
use crate::sheet_value::offers::Offers;
use crate::sheet_value::one_bed::{CoverUse, through_year};
use crate::sheet_value::report::{Mean, Piece, Saved, Set, Sheet, SheetValue};
use crate::sheet_value::set::{Best, Record, question, set};
use crate::years::bed_kinds::Asked;
use crate::years::{Batch, GrowingSeason, RunStats, Simulation};
use evening::plan::stock;
use milp::Solver;
use purchase::kit::Settings;
use purchase::kit::whole_bill;
use purchase::kit::{Built, against_cold};
use purchase::kit::{Origin, Want, Way};

/// A garden with its question, its record, and the nights that have been run.
pub struct Past<'a> {
    settings: Settings,
    built: Built,
    offers: Offers,
    simulation: Simulation<'a>,
    shed: (u32, u32),
    batches: Vec<Batch>,
    record: Record,
}

impl<'a> Past<'a> {
    /// Makes ready; hoops are taken to stand.
    ///
    /// # Errors
    /// [`Error`].
    pub fn new(
        garden: &Garden,
        record: &'a StationRecord,
        seasons: &[GrowingSeason],
        (asked, seed): (RangeInclusive<i16>, u64),
        settings: Settings,
    ) -> Result<Self, Error> {
        let mut built = against_cold(garden, settings)?;
        built.problem.seconds = Some(stock::person_seconds(garden));
        let mut garden = garden.clone();
        garden
            .stock
            .sheets
            .iter_mut()
            .filter(|s| s.condition == Condition::Torn)
            .for_each(|s| s.count = 0);
        let offers = Offers::for_question(&garden, &built);
        let fitting = |g: &Garden, bed: &garden::Bed| offers.fitting(g, bed);
        let mut simulation =
            Simulation::with_covers(&offers.garden, record, seasons, asked, seed, &fitting)?;
        // Every way that is looked at opens in the morning.
        simulation.kinds.iter_mut().for_each(|k| k.asked = Asked::LaidAnew);
        for want in &mut built.problem.wants {
            let choices = &simulation.beds[want.bed];
            for way in &mut want.ways {
                let place = offers.place(&choices.fits, way);
                way.seconds = place.map_or(0, |c| choices.seconds[c]);
            }
        }
        let record = built.problem.wants.iter().map(|w| vec![Vec::new(); w.ways.len()]).collect();
        let shed = (garden.stock.hold_downs(), garden.stock.clips);
        Ok(Self { settings, built, offers, simulation, shed, batches: Vec::new(), record })
    }

    /// The years in batches that are run abreast.
    #[must_use]
    pub fn batches(&self) -> Vec<Vec<i16>> {
        self.simulation.batches().map(<[i16]>::to_vec).collect()
    }

    /// Parts of the work of a batch: kinds of bed.
    #[must_use]
    pub fn parts(&self) -> usize {
        self.simulation.kinds.len()
    }

    /// Runs the nights of a batch of years; `told` is called after each of its [`Self::parts`].
    ///
    /// # Errors
    /// [`Error::Years`].
    pub fn run(&mut self, years: &[i16], told: &(dyn Fn() + Sync)) -> Result<(), Error> {
        let batch = Batch::run(&self.simulation, years, told)?;
        let (simulation, offers, wants) =
            (&self.simulation, &self.offers, &self.built.problem.wants);
        let by_year: Vec<Vec<Vec<CoverUse>>> = batch.each_year(simulation, |_, nights| {
            let way = |bed: usize, way: &Way| {
                let place = offers.place(&simulation.beds[bed].fits, way);
                place.map_or_else(CoverUse::default, |c| {
                    through_year(simulation, nights, bed, c + 1)
                })
            };
            let ways = |want: &Want| want.ways.iter().map(|w| way(want.bed, w)).collect();
            Ok(wants.iter().map(ways).collect())
        })?;
        for year in by_year {
            for (ways, uses) in self.record.iter_mut().zip(year) {
                ways.iter_mut().zip(uses).for_each(|(years, used)| years.push(used));
            }
        }
        self.batches.push(batch);
        Ok(())
    }

    /// What the nights run so far say.
    ///
    /// # Errors
    /// [`Error`].
    pub fn answer(&self, solver: &dyn Solver) -> Result<SheetValue, Error> {
        let set = if self.built.by_area {
            None
        } else {
            let best = set(question(&self.built.problem, &self.record), solver)?;
            Some(self.set(&best)?)
        };
        let mut stats = RunStats::default();
        self.batches.iter().for_each(|b| stats.add(&b.stats()));
        let years = self.batches.iter().flat_map(|b| b.weather.years.iter().copied()).collect();
        Ok(SheetValue { years, sheets: self.sheets(), set, stats })
    }

    /// Beds in their order, the best sheet of each first.
    fn sheets(&self) -> Vec<Sheet> {
        let mut out = Vec::new();
        for (want, ways) in self.built.problem.wants.iter().zip(&self.record) {
            let mut of_bed: Vec<Sheet> = want
                .ways
                .iter()
                .zip(ways)
                .map(|(way, years)| {
                    let size = &self.built.problem.sizes[way.size];
                    let (saved, evenings) = Saved::from_uses(years);
                    Sheet {
                        bed: want.bed,
                        thing: self.built.sizes[way.size],
                        width_m: size.width_m,
                        length_m: size.length_m,
                        pieces: way.pieces,
                        saved,
                        evenings,
                    }
                })
                .collect();
            of_bed.sort_by(|a, b| b.saved.mean.total_cmp(&a.saved.mean));
            out.extend(of_bed);
        }
        out
    }

    fn set(&self, best: &Best) -> Result<Set, Error> {
        let built = Built { problem: best.problem.clone(), ..self.built.clone() };
        let found = &best.found;
        let bill = whole_bill(&built, found);
        let sizes = &built.problem.sizes;
        let none = vec![0; sizes.len()];
        let shed = self.evening_plan((&none, self.shed.0, self.shed.1))?;
        let bought = |have: u32, wanted: u32| have.max(wanted);
        let (pins, clips) =
            (bought(self.shed.0, found.owned.pins), bought(self.shed.1, found.owned.clips));
        let with = self.evening_plan((&found.owned.pieces, pins, clips))?;
        let saved = shed.iter().zip(&with).map(|(a, b)| a.loss_and_labour() - b.loss_and_labour());
        Ok(Set {
            budget: self.settings.budget.map(|b| b * f64::from(self.settings.years)),
            lines: bill.lines,
            pieces: self.pieces(best),
            paid: found.paid,
            a_season: found.a_season,
            net: best.net(),
            at_most: best.at_most(),
            saved: Saved::from_years(saved.collect()),
            shed: Mean::over(&shed),
            with: Mean::over(&with),
        })
    }

    /// Sheets of the set that are cut, and whom they are counted for.
    fn pieces(&self, best: &Best) -> Vec<Piece> {
        let p = &best.problem;
        let cut = |s: &usize| {
            matches!(p.sizes[*s].from, Origin::Goods(_)) && best.found.owned.pieces[*s] > 0
        };
        let piece = |s: usize| {
            let with = |w: &usize| p.way(&best.found.choice, *w).is_some_and(|x| x.size == s);
            Piece {
                thing: self.built.sizes[s],
                width_m: p.sizes[s].width_m,
                length_m: p.sizes[s].length_m,
                count: best.found.owned.pieces[s],
                beds: (0..p.wants.len()).filter(with).map(|w| p.wants[w].bed).collect(),
            }
        };
        (0..p.sizes.len()).filter(cut).map(piece).collect()
    }

    /// The evening plan with these pieces of each size beside the shed, pins and clips.
    fn evening_plan(&self, owned: (&[u32], u32, u32)) -> Result<Vec<SeasonResult>, Error> {
        let lines = stock::lines(&self.simulation.garden);
        let available = self.offers.available(&lines, &self.built.problem.sizes, owned);
        let mut out = Vec::new();
        for batch in &self.batches {
            out.extend(evening_plan::seasons(&self.simulation, available.clone(), batch)?);
        }
        Ok(out)
    }
}
