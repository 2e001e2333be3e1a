//! The nights under every cover and the days of every year, one bed kind after the other.

use garden::crops::{self, Stage};
use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::growth::{Day, Growth};
use garden::stock::SheetKind;
use weather::StationRecord;
use weather::hours::sun::day_length_h;
use weather::station::calendar::date_of;

use crate::season::kinds::{MARGIN_K, WARMEST_C};
use crate::season::nights::{Books, Cold, Table};
use crate::season::standing::new_year_day;
use crate::season::years::{Years, first_day};
use crate::season::{Error, Replay, Standing};
use crate::year::dates::{DAYS, day_of_year};

/// Coldest half-hours by year and day, °C; infinite where the night was too warm to matter, NaN where it is not known.
#[derive(Clone, Debug, Default)]
pub struct Nights {
    /// Most exposed tissue.
    pub tissue_c: Vec<Vec<f32>>,
    /// Soil at 2 cm.
    pub soil_c: Vec<Vec<f32>>,
}

/// All nights of one kind of bed.
#[derive(Clone, Debug, Default)]
struct KindNights {
    /// Open, then each cover laid at dusk.
    laid: Vec<Nights>,
    /// Each cover lying on.
    left: Vec<Nights>,
}

/// A garden's past years.
#[derive(Clone, Debug)]
pub struct Past<'a> {
    garden: &'a Garden,
    record: &'a StationRecord,
    replay: Replay<'a>,
    seed: u64,
    kinds: Vec<KindNights>,
    years: Vec<i16>,
    days: Vec<Vec<Day>>,
    books: Books,
}

impl<'a> Past<'a> {
    /// Makes ready to run the whole years of `asked` for the garden's beds, or for `only` one of them.
    ///
    /// Something stands in every bed all year, as tall as the garden file has it; nets and shade cloth stay in the shed.
    /// Checked by `year::loose_straw_lies_on_through_a_year`.
    ///
    /// # Errors
    /// [`Error::NoYears`], [`Error::NothingStands`].
    pub fn new(
        garden: &'a Garden,
        record: &'a StationRecord,
        asked: std::ops::RangeInclusive<i16>,
        only: Option<usize>,
        seed: u64,
    ) -> Result<Self, Error> {
        let mut warm = garden.clone();
        for sheet in &mut warm.stock.sheets {
            if matches!(sheet.kind, SheetKind::InsectNet | SheetKind::ShadeCloth { .. }) {
                sheet.count = 0;
            }
        }
        warm.stock.pop_ups.iter_mut().for_each(|p| {
            if matches!(p.kind, SheetKind::InsectNet | SheetKind::ShadeCloth { .. }) {
                p.count = 0;
            }
        });
        let mut replay = Replay::new(&warm, record, &all_year(garden, only), asked, seed)?;
        for kind in &mut replay.kinds {
            let plantings = kind.beds.iter().flat_map(|b| &garden.beds[*b].plantings);
            let warmest =
                plantings.map(|p| warmest_limit_c(p.crop)).fold(f64::NEG_INFINITY, f64::max);
            kind.matters_below_c = kind.matters_below_c.max((warmest + MARGIN_K).min(WARMEST_C));
        }
        let kinds = vec![KindNights::default(); replay.kinds.len()];
        let (years, days, books) = (Vec::new(), Vec::new(), Books::default());
        Ok(Self { garden, record, replay, seed, kinds, years, days, books })
    }

    /// The years in blocks that are run abreast; each goes to [`Self::run`] once.
    #[must_use]
    pub fn blocks(&self) -> Vec<Vec<i16>> {
        self.replay.blocks().map(<[i16]>::to_vec).collect()
    }

    /// Runs a block of years.
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn run(&mut self, years: &[i16]) -> Result<(), Error> {
        let weather = self.replay.weather(years);
        let tables = self.replay.tables(&weather)?;
        for (kind, table) in self.kinds.iter_mut().zip(&tables) {
            kind.take(table, &weather);
            self.books.add(&table.books);
        }
        self.days.extend(years.iter().map(|y| days(self.record, self.garden, *y)));
        self.years.extend(years);
        Ok(())
    }

    /// The garden.
    #[must_use]
    pub fn garden(&self) -> &Garden {
        self.garden
    }

    /// The record.
    #[must_use]
    pub fn record(&self) -> &StationRecord {
        self.record
    }

    /// Years that were run.
    #[must_use]
    pub fn years(&self) -> &[i16] {
        &self.years
    }

    /// Days of every year as measured, from the middle of winter.
    #[must_use]
    pub fn days(&self) -> &[Vec<Day>] {
        &self.days
    }

    /// Proof and effort.
    #[must_use]
    pub fn books(&self) -> Books {
        self.books
    }

    /// Seed of what is drawn.
    #[must_use]
    pub fn seed(&self) -> u64 {
        self.seed
    }

    /// Day of the year on which counting begins.
    #[must_use]
    pub fn new_year(&self) -> u16 {
        new_year_day(self.garden.place.latitude_deg)
    }

    /// Covers that fit a bed; `None` for a bed without anything that cold could harm, or not asked for.
    #[must_use]
    pub fn covers(&self, bed: usize) -> Option<&[Fit]> {
        self.replay.kind_of.get(bed).copied().flatten()?;
        Some(&self.replay.beds.get(bed)?.fits)
    }

    /// Share of light that a bed's cover holds back.
    #[must_use]
    pub fn dims(&self, bed: usize, cover: usize) -> f64 {
        self.replay.beds.get(bed).and_then(|b| b.dims.get(cover)).copied().unwrap_or(0.0)
    }

    /// Nights under a choice: 0 is open, then the covers laid at dusk.
    #[must_use]
    pub fn laid(&self, bed: usize, choice: usize) -> Option<&Nights> {
        let kind = &self.kinds[self.replay.kind_of.get(bed).copied().flatten()?];
        let place = choice
            .checked_sub(1)
            .map_or(Some(0), |c| Some(self.replay.beds[bed].cover.get(c)? + 1))?;
        kind.laid.get(place)
    }

    /// Nights under a choice that lies on through the days: 0 is open.
    #[must_use]
    pub fn left(&self, bed: usize, choice: usize) -> Option<&Nights> {
        let kind = &self.kinds[self.replay.kind_of.get(bed).copied().flatten()?];
        let Some(cover) = choice.checked_sub(1) else { return kind.laid.first() };
        kind.left.get(*self.replay.beds[bed].cover.get(cover)?)
    }

    /// Degree-days of a crop before each day, by year, slowed by short days: one more value than days.
    #[must_use]
    pub fn sums(&self, growth: &Growth) -> Vec<Vec<f64>> {
        let year = |days: &Vec<Day>| {
            let mut sum = 0.0;
            let after = days.iter().map(|d| {
                sum += d.growth(growth).unwrap_or(0.0);
                sum
            });
            std::iter::once(0.0).chain(after).collect()
        };
        self.days.iter().map(year).collect()
    }

    /// Length of a day in the middle of a stretch, h.
    #[must_use]
    pub fn day_length_h(&self, index: usize) -> f64 {
        let j = day_of_year(index, self.new_year()) as f64;
        day_length_h(self.garden.place.latitude_deg, j)
    }

    /// Median over years of the mean maximum of a stretch of days, °C; `None` without days.
    #[must_use]
    pub fn usual_max_c(&self, days: std::ops::Range<usize>) -> Option<f64> {
        let mean = |year: &Vec<Day>| {
            let known: Vec<f64> = year.get(days.clone())?.iter().filter_map(|d| d.tmax_c).collect();
            (!known.is_empty()).then(|| known.iter().sum::<f64>() / known.len() as f64)
        };
        let mut means: Vec<f64> = self.days.iter().filter_map(mean).collect();
        means.sort_by(f64::total_cmp);
        means.get(means.len() / 2).copied()
    }
}

/// Every planting of the asked beds stands on every day.
fn all_year(garden: &Garden, only: Option<usize>) -> Vec<Standing> {
    let from_day = new_year_day(garden.place.latitude_deg);
    let to_day = if from_day > 1 { from_day - 1 } else { 365 };
    let beds = garden.beds.iter().enumerate().filter(|(b, _)| only.is_none_or(|o| o == *b));
    beds.flat_map(|(bed, b)| {
        (0..b.plantings.len()).map(move |planting| Standing { bed, planting, from_day, to_day })
    })
    .collect()
}

/// Tissue temperature at which a tenth is lost at the tenderest age, °C.
fn warmest_limit_c(crop: crops::CropId) -> f64 {
    [Stage::Seedling, Stage::Transplant, Stage::Established, Stage::Mature]
        .into_iter()
        .filter_map(|s| crops::cold_limits(crop, s, false))
        .map(|l| l.t10_c)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// The days of a year.
fn days(record: &StationRecord, garden: &Garden, year: i16) -> Vec<Day> {
    let latitude = garden.place.latitude_deg;
    let first = first_day(year, latitude);
    (0..DAYS as i32)
        .map(|d| {
            let date = date_of(first + d);
            let day = record.day(date);
            Day {
                tmin_c: day.as_ref().and_then(|d| d.tmin_c),
                tmax_c: day.as_ref().and_then(|d| d.tmax_c),
                day_length_h: day_length_h(latitude, f64::from(date.day_of_year())),
                light_share: 1.0,
            }
        })
        .collect()
}

impl KindNights {
    /// Takes in the lanes of a block.
    fn take(&mut self, table: &Table, weather: &Years) {
        self.laid.resize_with(table.laid.len(), Nights::default);
        self.left.resize_with(table.left.len(), Nights::default);
        for lane in 0..weather.years.len() {
            for (out, rows) in self.laid.iter_mut().zip(&table.laid) {
                out.take(weather, lane, &table.days, |row| rows.get(row));
            }
            for (out, rows) in self.left.iter_mut().zip(&table.left) {
                out.take(weather, lane, &table.days, |row| rows.get(row).map(|l| &l.cold));
            }
        }
    }
}

impl Nights {
    fn take<'t>(
        &mut self,
        weather: &Years,
        lane: usize,
        nights: &[usize],
        row: impl Fn(usize) -> Option<&'t Cold>,
    ) {
        let mut year = [vec![f32::INFINITY; DAYS], vec![f32::INFINITY; DAYS]];
        let mut set = |index: usize, values: [f32; 2]| {
            for (out, value) in year.iter_mut().zip(values) {
                if let Some(out) = out.get_mut(index) {
                    *out = value;
                }
            }
        };
        for (i, d) in nights.iter().enumerate() {
            let cold = row(i).map(|c| [c.tissue_c[lane], c.soil_c[lane]]);
            set(weather.days[*d].index, cold.unwrap_or([f32::NAN; 2]));
        }
        for day in weather.days.iter().filter(|d| d.low_c[lane].is_nan()) {
            set(day.index, [f32::NAN; 2]);
        }
        let [tissue, soil] = year;
        self.tissue_c.push(tissue);
        self.soil_c.push(soil);
    }
}
