//! A garden and its record, ready to be run through past years.

use garden::bed::Bed;
use garden::fit::{Cover as Fit, covers};
use garden::garden::Garden;
use garden::growth;
use microclimate::cover::Cover;
use microclimate::lanes::WIDTH;
use weather::StationRecord;
use weather::hours::draws::Priors;

use crate::constants::SPIN_UP_DAYS;
use crate::years::batch_weather::{BatchWeather, stated_priors, whole_years};
use crate::years::bed_kinds::{BedKind, bed_kinds};
use crate::years::drawn_forecast::{MadeForecasts, Source};
use crate::years::error::Error;
use crate::years::growing_season::{GrowingSeason, new_year_day};
use crate::years::minimum_climate::MinimumClimate;
use evening::night::PlantingAtRisk;
use evening::physics;
use evening::plan::stock;

/// A garden, its record and everything that stays the same from year to year.
#[derive(Clone, Debug)]
pub struct Simulation<'a> {
    /// The garden, no sheet lying on a bed.
    pub garden: Garden,
    record: &'a StationRecord,
    seasons: Vec<GrowingSeason>,
    priors: Priors,
    climate: MinimumClimate,
    made: Option<MadeForecasts>,
    /// Beds.
    pub beds: Vec<BedChoices>,
    /// Kinds of bed.
    pub kinds: Vec<BedKind>,
    /// Kind of each bed; `None` for one where cold can harm nothing.
    pub kind_of: Vec<Option<usize>>,
    /// Stock by line, as in the evening's problem.
    pub available: Vec<u32>,
    /// Years that are run.
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
    /// What a whole day under it costs by the light it holds back, money; by choice, then by planting of `at_risk`.
    pub day_under: Vec<Vec<f64>>,
    /// Plantings that cold can harm.
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
        only(&mut self.day_under, marked);
    }
}

impl<'a> Simulation<'a> {
    /// Makes ready to run the whole years of `asked`.
    ///
    /// # Errors
    /// [`Error::NoYears`], [`Error::NothingStands`].
    pub fn new(
        garden: &Garden,
        record: &'a StationRecord,
        seasons: &[GrowingSeason],
        asked: std::ops::RangeInclusive<i16>,
        seed: u64,
    ) -> Result<Self, Error> {
        Self::with_covers(garden, record, seasons, asked, seed, &covers)
    }

    /// The same with the covers of each bed as `fitting` gives them.
    ///
    /// # Errors
    /// As [`Self::new`].
    pub fn with_covers(
        garden: &Garden,
        record: &'a StationRecord,
        seasons: &[GrowingSeason],
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
            garden.beds.iter().enumerate().map(|(b, _)| at_risk(&garden, b, seasons)).collect();
        let fits: Vec<Vec<Fit>> = garden.beds.iter().map(|b| fitting(&garden, b)).collect();
        let kinds = bed_kinds(&garden, &fits, &at_risk, record.has_snow());
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
                    day_under: physics
                        .iter()
                        .map(|c| {
                            let kept = 1.0 - dims(c);
                            at_risk.iter().map(|p| day_of_light(&garden, b, p, kept)).collect()
                        })
                        .collect(),
                    fits,
                    at_risk,
                }
            })
            .collect();
        let available = lines.iter().map(|l| l.1).collect();
        let span = span(seasons, new_year_day(latitude)).ok_or(Error::NothingStands)?;
        let (seasons, priors) = (seasons.to_vec(), stated_priors(seed));
        let climate = MinimumClimate::from_record(record);
        Ok(Self {
            garden,
            record,
            seasons,
            priors,
            climate,
            made: None,
            beds,
            kinds,
            kind_of,
            available,
            years,
            span,
        })
    }

    /// The same evenings with forecasts that were really made, in place of drawn ones where there are any.
    #[must_use]
    pub fn with_forecasts(mut self, made: MadeForecasts) -> Self {
        self.made = Some(made);
        self
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

    /// The weather of these years.
    #[must_use]
    pub fn weather(&self, years: &[i16]) -> BatchWeather {
        let span = self.span.0..self.span.1;
        BatchWeather::from_record(self.record, &self.garden, years, span, &self.priors)
    }

    /// The years in batches that are run abreast.
    pub fn batches(&self) -> impl Iterator<Item = &[i16]> {
        self.years.chunks(WIDTH)
    }

    /// Whether a planting stands on a day.
    #[must_use]
    pub fn stands_on(&self, bed: usize, planting: usize, index: usize) -> bool {
        let new_year = new_year_day(self.garden.place.latitude_deg);
        let of = |x: &&GrowingSeason| x.bed == bed && x.planting == planting;
        self.seasons.iter().filter(of).any(|x| x.includes(index, new_year))
    }

    /// Whether something that cold can harm stands in a bed on a day.
    #[must_use]
    pub fn grows_on(&self, bed: usize, index: usize) -> bool {
        self.beds[bed].at_risk.iter().any(|s| self.stands_on(bed, s.planting, index))
    }

    /// What the evenings of one draw are drawn from: draw 0 by the simulation's own seed, each later one by the next.
    #[must_use]
    pub fn evenings(&self, draw: u32) -> Source<'_> {
        Source {
            climate: &self.climate,
            made: self.made.as_ref(),
            latitude_deg: self.garden.place.latitude_deg,
            seed: self.priors.seed.wrapping_add(u64::from(draw)),
        }
    }
}

fn at_risk(garden: &Garden, bed: usize, seasons: &[GrowingSeason]) -> Vec<PlantingAtRisk> {
    let plantings = garden.beds[bed].plantings.iter().enumerate();
    plantings
        .filter(|(planting, _)| seasons.iter().any(|s| s.bed == bed && s.planting == *planting))
        .filter_map(|(planting, p)| PlantingAtRisk::new(planting, p))
        .collect()
}

/// What one day in the share `q` of its light costs a planting, money: worth · (1 − q^e)/days, e its exponent of growth on
/// light, days those to its first picking; 0 for a crop without days (strawberries, trees).
///
/// A day of growth less is taken as a day of the crop's worth less (rough; the exponent as in `growth::light`).
/// Checked by `replay::a_day_in_the_dark_costs_a_day_of_growth`.
/// Equation 78 of docs/science.md.
#[must_use]
pub fn day_of_light(garden: &Garden, bed: usize, planting: &PlantingAtRisk, q: f64) -> f64 {
    let crop = garden.beds[bed].plantings.get(planting.planting).map(|p| p.crop);
    let Some(growth) = crop.and_then(growth::crop_growth) else { return 0.0 };
    let Some([least, most]) = growth.days else { return 0.0 };
    let days = f64::from(least + most) / 2.0;
    let slower = 1.0 - growth::light::speed_by_share(q, growth.light_exponent);
    planting.worth * slower / days.max(1.0)
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
fn span(seasons: &[GrowingSeason], new_year: u16) -> Option<(usize, usize)> {
    let stood: Vec<usize> =
        (0..365).filter(|d| seasons.iter().any(|s| s.includes(*d, new_year))).collect();
    let first = stood.first()?.saturating_sub(SPIN_UP_DAYS);
    Some((first, (stood.last()? + 2).min(366)))
}
