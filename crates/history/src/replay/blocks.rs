//! Blocks of years played by every policy on the same nights.

use garden::bed::Bed;
use garden::fit::{Cover as Fit, covers};
use garden::garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::WIDTH;
use rayon::prelude::*;
use weather::StationRecord;
use weather::hours::draws::Priors;

use crate::replay::kinds::{Kind, kinds};
use crate::replay::night::Night;
use crate::replay::nights::{Books, SPIN_UP_DAYS, Table, run};
use crate::replay::policy_run::{self, PolicyRun};
use crate::replay::standing::new_year_day;
use crate::replay::years::{Years, stated_priors, whole_years};
use crate::replay::{Error, POLICIES, Standing};
use evening::night::PlantingAtRisk;
use evening::physics;
use evening::plan::stock;

/// A garden, its record and everything that stays the same from year to year.
#[derive(Clone, Debug)]
pub struct Replay<'a> {
    /// The garden, no sheet lying on a bed.
    pub garden: Garden,
    record: &'a StationRecord,
    standing: Vec<Standing>,
    priors: Priors,
    /// Beds.
    pub beds: Vec<BedChoices>,
    /// Kinds of bed.
    pub kinds: Vec<Kind>,
    /// Kind of each bed; `None` for one without at_risk.
    pub kind_of: Vec<Option<usize>>,
    /// Stock by line, as in the evening's problem.
    pub available: Vec<u32>,
    /// Years that are replayed.
    pub years: Vec<i16>,
    /// First and last day of the runs, counted from the middle of winter.
    span: (usize, usize),
}

/// What can be laid over one bed.
#[derive(Clone, Debug)]
pub struct BedChoices {
    /// Covers that fit.
    pub fits: Vec<Fit>,
    /// Each one's place among the covers of the bed's kind.
    pub cover: Vec<usize>,
    /// Person-seconds to lay it.
    pub seconds: Vec<u32>,
    /// What it takes of the stock.
    pub uses: Vec<Vec<(usize, u32)>>,
    /// Share of light it holds back.
    pub dims: Vec<f64>,
    /// Plantings at stake.
    pub at_risk: Vec<PlantingAtRisk>,
}

impl BedChoices {
    /// Only the choices marked.
    fn keep(&mut self, marked: &[bool]) {
        fn only<T>(list: &mut Vec<T>, marked: &[bool]) {
            let mut marks = marked.iter();
            list.retain(|_| marks.next().is_some_and(|m| *m));
        }
        only(&mut self.fits, marked);
        only(&mut self.cover, marked);
        only(&mut self.seconds, marked);
        only(&mut self.uses, marked);
        only(&mut self.dims, marked);
    }
}

/// What one policy made of one year.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Season {
    /// Money lost to cold.
    pub loss: f64,
    /// Money of the work.
    pub labour: f64,
    /// Evenings with work.
    pub evenings: u32,
    /// Person-minutes of them.
    pub minutes: f64,
    /// Light lost, whole days of light summed over beds.
    pub light_days: f64,
    /// Hours with the air under a left-on cover above the heat limit, summed over beds.
    pub heat_h: f64,
    /// Nights on which a bed stayed open or thinly covered for want of sheets, pins or minutes.
    pub short_nights: u32,
}

impl Season {
    /// Loss and labour.
    #[must_use]
    pub fn cost(&self) -> f64 {
        self.loss + self.labour
    }
}

/// One year of all policies.
#[derive(Clone, Debug, PartialEq)]
pub struct Year {
    /// The year.
    pub year: i16,
    /// By policy, in the order of [`POLICIES`].
    pub seasons: Vec<Season>,
    /// The least that loss and labour can be with sheets and minutes without end, all known.
    pub bound: f64,
    /// Bed-nights that stood, were too warm to matter, and whose weather is not known.
    pub counted: [u32; 3],
}

/// A block of up to sixteen years.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// Its years.
    pub years: Vec<Year>,
    /// Proof and effort.
    pub books: Books,
}

impl<'a> Replay<'a> {
    /// Makes ready to replay the whole years of `asked`.
    ///
    /// # Errors
    /// [`Error::NoYears`], [`Error::NothingStands`].
    pub fn new(
        garden: &Garden,
        record: &'a StationRecord,
        standing: &[Standing],
        asked: std::ops::RangeInclusive<i16>,
        seed: u64,
    ) -> Result<Self, Error> {
        Self::of_covers(garden, record, standing, asked, seed, &covers)
    }

    /// The same with the covers of each bed as `fitting` gives them.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn of_covers(
        garden: &Garden,
        record: &'a StationRecord,
        standing: &[Standing],
        asked: std::ops::RangeInclusive<i16>,
        seed: u64,
        fitting: &dyn Fn(&Garden, &Bed) -> Vec<Fit>,
    ) -> Result<Self, Error> {
        let mut garden = garden.clone();
        garden.beds.iter_mut().for_each(|b| b.on_now = None);
        let latitude = garden.place.latitude_deg;
        let years = whole_years(record, latitude, *asked.start()..asked.end().saturating_add(1));
        if years.is_empty() {
            let held = record.years();
            return Err(Error::NoYears { first: *held.start(), last: *held.end() });
        }
        let lines = stock::lines(&garden);
        let at_risk: Vec<Vec<PlantingAtRisk>> =
            garden.beds.iter().enumerate().map(|(b, _)| at_risk(&garden, b, standing)).collect();
        let fits: Vec<Vec<Fit>> = garden.beds.iter().map(|b| fitting(&garden, b)).collect();
        let kinds = kinds(&garden, &fits, &at_risk);
        let kind_of: Vec<Option<usize>> = (0..garden.beds.len())
            .map(|b| kinds.iter().position(|k| k.beds.contains(&b)))
            .collect();
        let beds = fits
            .into_iter()
            .zip(at_risk)
            .enumerate()
            .map(|(b, (fits, at_risk))| {
                let physics: Vec<Cover> =
                    fits.iter().map(|f| physics::cover(f, &garden.beds[b])).collect();
                let place =
                    |c| kind_of[b].and_then(|k| kinds[k].covers.iter().position(|x| x == c));
                BedChoices {
                    cover: physics.iter().filter_map(place).collect(),
                    seconds: fits.iter().map(stock::seconds).collect(),
                    uses: fits.iter().map(|f| stock::uses(f, &lines)).collect(),
                    dims: physics.iter().map(dims).collect(),
                    fits,
                    at_risk,
                }
            })
            .collect();
        let available = lines.iter().map(|l| l.1).collect();
        let span = span(standing, new_year_day(latitude)).ok_or(Error::NothingStands)?;
        let (standing, priors) = (standing.to_vec(), stated_priors(seed));
        Ok(Self { garden, record, standing, priors, beds, kinds, kind_of, available, years, span })
    }

    /// The same garden with so much of each stock line, without the covers that take more of one.
    #[must_use]
    pub fn with_stock(&self, available: Vec<u32>) -> Self {
        let mut with = self.clone();
        for choices in &mut with.beds {
            let there = |uses: &Vec<(usize, u32)>| uses.iter().all(|(l, n)| available[*l] >= *n);
            let keep: Vec<bool> = choices.uses.iter().map(there).collect();
            choices.keep(&keep);
        }
        with.available = available;
        with
    }

    /// The years in blocks that are run abreast.
    pub fn blocks(&self) -> impl Iterator<Item = &[i16]> {
        self.years.chunks(WIDTH)
    }

    /// The weather of a block.
    #[must_use]
    pub fn weather(&self, years: &[i16]) -> Years {
        let span = self.span.0..self.span.1;
        Years::of(self.record, &self.garden, years, span, &self.priors)
    }

    /// The nights of every kind of bed.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn tables(&self, years: &Years) -> Result<Vec<Table>, Error> {
        self.kinds
            .par_iter()
            .map(|kind| {
                let some = |d: &crate::replay::years::Day| {
                    kind.beds.iter().any(|b| !self.standing_stakes(*b, d.index).is_empty())
                };
                let stands: Vec<bool> = years.days.iter().map(some).collect();
                run(&self.garden, kind, years, &stands)
            })
            .collect()
    }

    /// The block of these years: weather, nights, and every policy on them.
    ///
    /// # Errors
    /// [`Error::Physics`], [`Error::Plan`].
    pub fn block(&self, years: &[i16]) -> Result<Block, Error> {
        let weather = self.weather(years);
        let tables = self.tables(&weather)?;
        let out = (0..weather.years.len())
            .into_par_iter()
            .map(|lane| self.play(&weather, &tables, lane))
            .collect::<Result<_, Error>>()?;
        let mut books = Books::default();
        tables.iter().for_each(|t| books.add(&t.books));
        Ok(Block { years: out, books })
    }

    /// One lane's nights.
    #[must_use]
    pub fn nights<'b>(
        &'b self,
        weather: &'b Years,
        tables: &'b [Table],
        lane: usize,
    ) -> Vec<Night<'b>> {
        let mut next = vec![0; tables.len()];
        (0..weather.days.len())
            .map(|d| {
                let rows = tables
                    .iter()
                    .zip(&mut next)
                    .map(|(t, n)| {
                        let here = t.days.get(*n) == Some(&d);
                        *n += usize::from(here);
                        here.then(|| *n - 1)
                    })
                    .collect();
                Night::new(self, weather, tables, (d, lane), rows)
            })
            .collect()
    }

    fn play(&self, weather: &Years, tables: &[Table], lane: usize) -> Result<Year, Error> {
        let nights = self.nights(weather, tables, lane);
        let (floors, bound) = policy_run::floors(self, &nights);
        let warmest = policy_run::warmest(self, tables);
        let mut seasons = Vec::new();
        for policy in POLICIES {
            let mut course = PolicyRun::new(self, &warmest, &floors);
            for night in &nights {
                course.evening(policy, night)?;
            }
            seasons.push(course.season);
        }
        let mut counted = [0; 3];
        nights.iter().for_each(|n| n.count(&mut counted));
        Ok(Year { year: weather.years[lane], seasons, bound, counted })
    }

    /// The at_risk of a bed that stand on a day.
    #[must_use]
    pub fn standing_stakes(&self, bed: usize, index: usize) -> Vec<PlantingAtRisk> {
        let new_year = new_year_day(self.garden.place.latitude_deg);
        let on = |s: &&PlantingAtRisk| {
            self.standing
                .iter()
                .any(|x| x.bed == bed && x.planting == s.planting && x.on(index, new_year))
        };
        self.beds[bed].at_risk.iter().filter(on).copied().collect()
    }

    /// Seed of the evenings' errors.
    #[must_use]
    pub fn seed(&self) -> u64 {
        self.priors.seed
    }
}

fn at_risk(garden: &Garden, bed: usize, standing: &[Standing]) -> Vec<PlantingAtRisk> {
    let plantings = garden.beds[bed].plantings.iter().enumerate();
    plantings
        .filter(|(planting, _)| standing.iter().any(|s| s.bed == bed && s.planting == *planting))
        .filter_map(|(planting, p)| {
            let limits = garden::crops::cold_limits(p.crop, p.stage, p.hardened)?;
            Some(PlantingAtRisk { planting, limits, worth: p.worth, in_soil: physics::in_soil(p.stage) })
        })
        .collect()
}

/// Share of sunlight a cover holds back.
fn dims(cover: &Cover) -> f64 {
    match cover {
        Cover::Cloth { fabric, layers, .. } => {
            1.0 - fabric.shortwave.transmissivity.powi(layers.cast_signed())
        }
        Cover::Loose { .. } => 1.0,
    }
}

/// From the spin-up before the first standing day to the day after the last, counted from the middle of winter.
fn span(standing: &[Standing], new_year: u16) -> Option<(usize, usize)> {
    let stood: Vec<usize> =
        (0..365).filter(|d| standing.iter().any(|s| s.on(*d, new_year))).collect();
    let first = stood.first()?.saturating_sub(SPIN_UP_DAYS);
    Some((first, (stood.last()? + 2).min(366)))
}
