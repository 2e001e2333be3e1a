//! The record's nights on this garden under every cover that is looked at, and what they say of each.

use std::ops::RangeInclusive;

use garden::garden::Garden;
use garden::stock::Condition;
use rayon::prelude::*;
use weather::StationRecord;

use crate::replay::nights::{Books, Table};
use crate::replay::years::Years;
use crate::replay::{Replay, Standing};
use crate::sheet_value::Error;
use crate::sheet_value::bed::{Use, through};
use crate::sheet_value::offers::Offers;
use crate::sheet_value::played::{self, Played};
use crate::sheet_value::report::{Mean, Piece, Saved, Set, Sheet, Worth};
use crate::sheet_value::set::{Best, Record, question, set};
use evening::plan::stock;
use milp::Solver;
use purchase::kit::From;
use purchase::kit::Settings;
use purchase::kit::whole_bill;
use purchase::kit::{Built, against_cold};

/// A garden with its question, its record, and the nights that have been run.
pub struct Past<'a> {
    settings: Settings,
    built: Built,
    offers: Offers,
    replay: Replay<'a>,
    shed: (u32, u32),
    blocks: Vec<(Years, Vec<Table>)>,
    record: Record,
}

impl<'a> Past<'a> {
    /// Makes ready; hoops are reckoned to stand.
    ///
    /// # Errors
    /// [`Error`].
    pub fn new(
        garden: &Garden,
        record: &'a StationRecord,
        standing: &[Standing],
        (asked, seed): (RangeInclusive<i16>, u64),
        settings: Settings,
    ) -> Result<Self, Error> {
        let mut built = against_cold(garden, settings)?;
        let labour = &garden.labour;
        let seconds = 60.0 * f64::from(labour.people) * labour.minutes_each;
        built.problem.seconds = Some(seconds as u32);
        let mut garden = garden.clone();
        garden
            .stock
            .sheets
            .iter_mut()
            .filter(|s| s.condition == Condition::Torn)
            .for_each(|s| s.count = 0);
        let offers = Offers::of(&garden, &built);
        let fitting = |g: &Garden, bed: &garden::Bed| offers.fitting(g, bed);
        let replay = Replay::of_covers(&offers.garden, record, standing, asked, seed, &fitting)?;
        for want in &mut built.problem.wants {
            let choices = &replay.beds[want.bed];
            for way in &mut want.ways {
                let place = offers.place(&choices.fits, way);
                way.seconds = place.map_or(0, |c| choices.seconds[c]);
            }
        }
        let record = built.problem.wants.iter().map(|w| vec![Vec::new(); w.ways.len()]).collect();
        let shed = (garden.stock.pins, garden.stock.clips);
        Ok(Self { settings, built, offers, replay, shed, blocks: Vec::new(), record })
    }

    /// The years in blocks that are run abreast.
    #[must_use]
    pub fn blocks(&self) -> Vec<Vec<i16>> {
        self.replay.blocks().map(<[i16]>::to_vec).collect()
    }

    /// Runs the nights of a block of years.
    ///
    /// # Errors
    /// [`Error::Season`].
    pub fn run(&mut self, years: &[i16]) -> Result<(), Error> {
        let weather = self.replay.weather(years);
        let tables = self.replay.tables(&weather)?;
        let lanes: Vec<_> = (0..weather.years.len())
            .map(|lane| self.replay.nights(&weather, &tables, lane))
            .collect();
        let (replay, offers, wants) = (&self.replay, &self.offers, &self.built.problem.wants);
        let through_all = |bed: usize, way: &purchase::kit::Way| -> Vec<Use> {
            let place = offers.place(&replay.beds[bed].fits, way);
            let in_lane = |nights: &Vec<_>| {
                place.map_or_else(Use::default, |c| through(replay, nights, bed, c + 1))
            };
            lanes.iter().map(in_lane).collect()
        };
        let done: Vec<Vec<Vec<Use>>> = wants
            .par_iter()
            .map(|want| want.ways.iter().map(|way| through_all(want.bed, way)).collect())
            .collect();
        for (ways, done) in self.record.iter_mut().zip(done) {
            ways.iter_mut().zip(done).for_each(|(years, more)| years.extend(more));
        }
        drop(lanes);
        self.blocks.push((weather, tables));
        Ok(())
    }

    /// What the nights run so far say.
    ///
    /// # Errors
    /// [`Error`].
    pub fn answer(&self, solver: &dyn Solver) -> Result<Worth, Error> {
        let set = if self.built.by_area {
            None
        } else {
            let best = set(question(&self.built.problem, &self.record), solver)?;
            Some(self.set(&best)?)
        };
        let mut books = Books::default();
        let tables = self.blocks.iter().flat_map(|b| &b.1);
        tables.for_each(|t| books.add(&t.books));
        let years = self.blocks.iter().flat_map(|b| b.0.years.iter().copied()).collect();
        Ok(Worth { years, sheets: self.sheets(), set, books })
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
                    let (saved, evenings) = Saved::of_way(years);
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
        let shed = self.play((&none, self.shed.0, self.shed.1))?;
        let bought = |have: u32, wanted: u32| have.max(wanted);
        let (pins, clips) =
            (bought(self.shed.0, found.owned.pins), bought(self.shed.1, found.owned.clips));
        let with = self.play((&found.owned.pieces, pins, clips))?;
        let saved = shed.iter().zip(&with).map(|(a, b)| a.season.cost() - b.season.cost());
        Ok(Set {
            budget: self.settings.budget.map(|b| b * f64::from(self.settings.years)),
            lines: bill.lines,
            pieces: self.pieces(best),
            paid: found.paid,
            a_season: found.a_season,
            net: best.net(),
            at_most: best.at_most(),
            saved: Saved::of(saved.collect()),
            shed: Mean::of(&shed),
            with: Mean::of(&with),
        })
    }

    /// Sheets of the set that are cut, and whom they are counted for.
    fn pieces(&self, best: &Best) -> Vec<Piece> {
        let p = &best.problem;
        let cut = |s: &usize| {
            matches!(p.sizes[*s].from, From::Goods(_)) && best.found.owned.pieces[*s] > 0
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
    fn play(&self, owned: (&[u32], u32, u32)) -> Result<Vec<Played>, Error> {
        let lines = stock::lines(&self.replay.garden);
        let available = self.offers.available(&lines, &self.built.problem.sizes, owned);
        let mut out = Vec::new();
        for (weather, tables) in &self.blocks {
            out.extend(played::block(&self.replay, available.clone(), (weather, tables))?);
        }
        Ok(out)
    }
}
