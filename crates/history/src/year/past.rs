//! The nights under every cover and the days of every year, one bed kind after the other.

use garden::crops::{self, Stage};
use garden::fit::Cover as Fit;
use garden::garden::Garden;
use garden::growth::light::TEN_HOURS_H;
use garden::growth::{self, Carry, Day, Growth, Shelter};
use garden::planting::Planting;
use garden::stock::SheetKind;
use microclimate::cover::Cover;
use quantities::daylight::day_length_h;
use weather::StationRecord;
use weather::station::calendar::date_of;

use crate::constants::{
    MATTERS_MARGIN_K, ROOTS_M, WARMEST_C, WINTER_FROM, WINTER_STRAW_M, WINTER_TO,
};
use crate::year::dates::{DAYS, day_of_year};
use crate::years::batch_weather::{BatchWeather, first_day};
use crate::years::bed_kinds::Asked;
use crate::years::growing_season::new_year_day;
use crate::years::night_table::{ColdestTissue, NightTable};
use crate::years::{Batch, Error, GrowingSeason, RunStats, Simulation};

/// Coldest half-hours by year and day, °C; infinite where the night was too warm to matter, NaN where it is not known.
#[derive(Clone, Debug, Default)]
pub struct Nights {
    /// Most exposed tissue.
    pub tissue_c: Vec<Vec<f32>>,
    /// Soil at 2 cm.
    pub soil_c: Vec<Vec<f32>>,
    /// Soil at [`ROOTS_M`].
    pub roots_c: [Vec<Vec<f32>>; 2],
    /// Coldest leaf over that of the open bed, K: 0 where the cover stays off because no cold threatens,
    /// and where it is not known.
    pub night_gain_k: Vec<Vec<f32>>,
    /// For a cover that lies on: warmest leaf of the day over that of the open bed, K; NaN on days on which it does not
    /// lie.
    pub day_gain_k: Vec<Vec<f32>>,
}

/// One night of one lane, as [`Nights`] takes it.
#[derive(Clone, Copy)]
struct Row {
    /// Tissue, soil at 2 cm, at 5 cm, at 10 cm.
    cold: [f32; 4],
    night_gain_k: f32,
    day_gain_k: f32,
}

/// Degree-days of a crop before each day, by year, slowed by short days and dim light: one more value than days.
#[must_use]
pub fn sums(days: &[Vec<Day>], growth: &Growth) -> Vec<Vec<f64>> {
    let year = |days: &Vec<Day>| {
        let mut sum = 0.0;
        let after = days.iter().map(|d| {
            sum += d.growth(growth).unwrap_or(0.0);
            sum
        });
        std::iter::once(0.0).chain(after).collect()
    };
    days.iter().map(year).collect()
}

/// All nights of one kind of bed.
#[derive(Clone, Debug, Default)]
struct KindNights {
    /// Open, then each cover laid at dusk.
    laid: Vec<Nights>,
    /// Each cover lying on.
    left: Vec<Nights>,
    stats: RunStats,
}

/// A garden's past years.
#[derive(Clone, Debug)]
pub struct Past<'a> {
    garden: &'a Garden,
    record: &'a StationRecord,
    simulation: Simulation<'a>,
    seed: u64,
    kinds: Vec<KindNights>,
    years: Vec<i16>,
    days: Vec<Vec<Day>>,
}

impl<'a> Past<'a> {
    /// Makes ready to run the whole years of `asked` for the beds of the garden that are `wanted`.
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
        wanted: &dyn Fn(usize) -> bool,
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
        let mut simulation =
            Simulation::new(&warm, record, &all_year(garden, wanted), asked, seed)?;
        for kind in &mut simulation.kinds {
            let plantings = kind.beds.iter().flat_map(|b| &garden.beds[*b].plantings);
            let warmest =
                plantings.map(|p| warmest_limit_c(p.crop)).fold(f64::NEG_INFINITY, f64::max);
            kind.matters_below_c =
                kind.matters_below_c.max((warmest + MATTERS_MARGIN_K).min(WARMEST_C));
        }
        for kind in &mut simulation.kinds {
            let mut plantings = kind.beds.iter().flat_map(|b| &garden.beds[*b].plantings);
            let roots = |p: &Planting| {
                growth::crop_growth(p.crop)
                    .is_some_and(|g| matches!(g.carry, Some(Carry::Roots | Carry::Both)))
            };
            if plantings.any(roots) {
                kind.add(winter_straw(), || f64::INFINITY);
            }
        }
        for kind in &mut simulation.kinds {
            let plantings = kind.beds.iter().flat_map(|b| &garden.beds[*b].plantings);
            kind.asked = Asked::LyingOn(lying_on_days(garden, plantings));
        }
        let kinds = vec![KindNights::default(); simulation.kinds.len()];
        let (years, days) = (Vec::new(), Vec::new());
        Ok(Self { garden, record, simulation, seed, kinds, years, days })
    }

    /// The same with every night of every cover, for comparison with what is asked for.
    /// Checked by `year::what_is_not_asked_for_moves_no_date`.
    #[must_use]
    pub fn with_every_night(mut self) -> Self {
        self.simulation.kinds.iter_mut().for_each(|k| k.asked = Asked::All);
        self
    }

    /// The years in batches that are run abreast; each goes to [`Self::run`] once.
    #[must_use]
    pub fn batches(&self) -> Vec<Vec<i16>> {
        self.simulation.batches().map(<[i16]>::to_vec).collect()
    }

    /// Parts of the work of a batch: kinds of bed.
    #[must_use]
    pub fn parts(&self) -> usize {
        self.kinds.len()
    }

    /// Runs a batch of years; `told` is called after each of its [`Self::parts`].
    ///
    /// # Errors
    /// [`Error::Physics`].
    pub fn run(&mut self, years: &[i16], told: &(dyn Fn() + Sync)) -> Result<(), Error> {
        let batch = Batch::run(&self.simulation, years, told)?;
        let kinds = self.kinds.iter_mut().zip(&batch.tables).zip(&self.simulation.kinds);
        for ((nights, table), kind) in kinds {
            nights.take(table, &batch.weather, kind.matters_below_c);
        }
        self.take_days(years);
        Ok(())
    }

    fn take_days(&mut self, years: &[i16]) {
        self.days.extend(years.iter().map(|y| days(self.record, self.garden, *y)));
        self.years.extend(years);
    }

    /// All years with their days and without nights, for what does not ask for nights: [`crate::year::of_beds`] and
    /// [`crate::year::BedYear::filled_in`].
    #[must_use]
    pub fn without_nights(mut self) -> Self {
        self.take_days(&self.simulation.years.clone());
        self
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

    /// Steps run and greatest budget residual of all beds.
    #[must_use]
    pub fn stats(&self) -> RunStats {
        let mut stats = RunStats::default();
        self.kinds.iter().for_each(|k| stats.add(&k.stats));
        stats
    }

    /// The same of the nights that a bed shares with those [`Self::alike`].
    #[must_use]
    pub fn stats_of(&self, bed: usize) -> RunStats {
        let kind = self.simulation.kind_of.get(bed).copied().flatten();
        kind.map_or_else(RunStats::default, |k| self.kinds[k].stats)
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

    /// The beds that are one with a bed to the physics, itself among them: their nights are run once for all. `None` as for
    /// [`Self::covers`].
    #[must_use]
    pub fn alike(&self, bed: usize) -> Option<&[usize]> {
        let kind = self.simulation.kind_of.get(bed).copied().flatten()?;
        Some(&self.simulation.kinds[kind].beds)
    }

    /// Covers that fit a bed; `None` for a bed without anything that cold could harm, or not asked for.
    #[must_use]
    pub fn covers(&self, bed: usize) -> Option<&[Fit]> {
        self.simulation.kind_of.get(bed).copied().flatten()?;
        Some(&self.simulation.beds.get(bed)?.fits)
    }

    /// Share of light that a bed's cover holds back.
    #[must_use]
    pub fn dims(&self, bed: usize, cover: usize) -> f64 {
        self.simulation.beds.get(bed).and_then(|b| b.dims.get(cover)).copied().unwrap_or(0.0)
    }

    /// Nights under a choice: 0 is open, then the covers laid at dusk.
    #[must_use]
    pub fn laid(&self, bed: usize, choice: usize) -> Option<&Nights> {
        let kind = &self.kinds[self.simulation.kind_of.get(bed).copied().flatten()?];
        let place = choice
            .checked_sub(1)
            .map_or(Some(0), |c| Some(self.simulation.beds[bed].cover.get(c)? + 1))?;
        kind.laid.get(place)
    }

    /// Nights under a choice that lies on through the days: 0 is open.
    #[must_use]
    pub fn left(&self, bed: usize, choice: usize) -> Option<&Nights> {
        let kind = &self.kinds[self.simulation.kind_of.get(bed).copied().flatten()?];
        let Some(cover) = choice.checked_sub(1) else { return kind.laid.first() };
        kind.left.get(*self.simulation.beds[bed].cover.get(cover)?)
    }

    /// Nights under deep straw that lies on; `None` where no planting of such beds is carried over for its roots.
    #[must_use]
    pub fn winter_straw(&self, bed: usize) -> Option<&Nights> {
        let kind = self.simulation.kind_of.get(bed).copied().flatten()?;
        let place = self.simulation.kinds[kind].covers.iter().position(|c| *c == winter_straw())?;
        self.kinds[kind].left.get(place)
    }

    /// Days of every year under a choice: 0 is open, as measured.
    ///
    /// Laid at dusk, a cover adds what the coldest leaf of the night gains to the minimum of the next morning, on nights that
    /// threaten cold; on days under ten hours it lies on, adds to the maximum what the warmest leaf gains, and passes its
    /// share of the light. Gains are of a leaf under the cover over a leaf in the open, both computed: the tables of growth
    /// hold for plants in the open by air in the open, and a plant grows by its own warmth. Checked by `year::covers_quicken_growth_by_night_and_dim_short_days`.
    /// Equation 64 of docs/science.md.
    #[must_use]
    pub fn under(&self, bed: usize, choice: usize) -> Vec<Vec<Day>> {
        let Some((cover, laid)) = choice.checked_sub(1).zip(self.laid(bed, choice)) else {
            return self.days.clone();
        };
        let (left, passes) = (self.left(bed, choice), 1.0 - self.dims(bed, cover));
        let covered = |y: usize, i: usize, day: &Day| {
            let lies = |i: usize| {
                let gain = f64::from(*left?.day_gain_k.get(y)?.get(i)?);
                let short = self.days[y].get(i)?.day_length_h < TEN_HOURS_H;
                (short && !gain.is_nan()).then_some(gain)
            };
            let night = |i: usize| {
                let of = if lies(i).is_some() { left } else { Some(laid) };
                of.and_then(|n| Some(f64::from(*n.night_gain_k.get(y)?.get(i)?))).unwrap_or(0.0)
            };
            day.under(&Shelter {
                day_gain_k: lies(i).unwrap_or(0.0),
                night_gain_k: i.checked_sub(1).map_or(0.0, night),
                light_share: if lies(i).is_some() { passes } else { 1.0 },
            })
        };
        let year = |(y, days): (usize, &Vec<Day>)| {
            days.iter().enumerate().map(|(i, day)| covered(y, i, day)).collect()
        };
        self.days.iter().enumerate().map(year).collect()
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

/// Days on which a cover that lies on is asked for: those too short for growth in the open, and, where something is carried
/// over, all of winter.
fn lying_on_days<'p>(
    garden: &Garden,
    mut plantings: impl Iterator<Item = &'p Planting>,
) -> Vec<bool> {
    let latitude = garden.place.latitude_deg;
    let carried = plantings.any(|p| growth::crop_growth(p.crop).is_some_and(|g| g.carry.is_some()));
    let winter = |i: usize| carried && !(WINTER_TO..WINTER_FROM).contains(&i);
    let short = |i: usize| {
        // A day to each side, for years of another length.
        let j = day_of_year(i, new_year_day(latitude)) as f64;
        [j - 1.0, j, j + 1.0].iter().any(|j| day_length_h(latitude, *j) < TEN_HOURS_H)
    };
    (0..DAYS + 1).map(|i| winter(i) || short(i)).collect()
}

fn winter_straw() -> Cover {
    Cover::Loose { depth_m: WINTER_STRAW_M, conductivity: evening::constants::LOOSE_STRAW_W_M_K }
}

/// Every planting of the asked beds stands on every day.
fn all_year(garden: &Garden, wanted: &dyn Fn(usize) -> bool) -> Vec<GrowingSeason> {
    let from_day = new_year_day(garden.place.latitude_deg);
    let to_day = if from_day > 1 { from_day - 1 } else { 365 };
    let beds = garden.beds.iter().enumerate().filter(|(b, _)| wanted(*b));
    beds.flat_map(|(bed, b)| {
        (0..b.plantings.len()).map(move |planting| GrowingSeason {
            bed,
            planting,
            from_day,
            to_day,
        })
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
    /// Takes in the lanes of a block; covers laid at dusk are laid on nights colder than `below_c`.
    fn take(&mut self, table: &NightTable, weather: &BatchWeather, below_c: f64) {
        self.stats.add(&table.stats);
        self.laid.resize_with(table.laid.len(), Nights::default);
        self.left.resize_with(table.left.len(), Nights::default);
        let Some(open) = table.laid.first() else { return };
        for lane in 0..weather.years.len() {
            let gain = |night: usize, c: &ColdestTissue| c.leaf_c[lane] - open[night].leaf_c[lane];
            let cold = |c: &ColdestTissue| {
                [c.tissue_c[lane], c.soil_c[lane], c.roots_c[0][lane], c.roots_c[1][lane]]
            };
            for (out, rows) in self.laid.iter_mut().zip(&table.laid) {
                out.take(weather, lane, &table.days, |night| {
                    let low = weather.days[*table.days.get(night)?].garden_low_c[lane];
                    let threatens = f64::from(low) < below_c;
                    let c = rows.get(night)?;
                    let night_gain_k = if threatens { gain(night, c) } else { 0.0 };
                    Some(Row { cold: cold(c), night_gain_k, day_gain_k: f32::NAN })
                });
            }
            for (out, rows) in self.left.iter_mut().zip(&table.left) {
                out.take(weather, lane, &table.days, |night| {
                    let left = rows.get(night)?;
                    let lay = left.warmest_c[lane] > -99.0;
                    let by_day = left.warmest_c[lane] - table.warmest_c[night][lane];
                    Some(Row {
                        cold: cold(&left.cold),
                        night_gain_k: gain(night, &left.cold),
                        day_gain_k: if lay { by_day } else { f32::NAN },
                    })
                });
            }
        }
    }
}

impl Nights {
    fn take(
        &mut self,
        weather: &BatchWeather,
        lane: usize,
        nights: &[usize],
        row: impl Fn(usize) -> Option<Row>,
    ) {
        let (warm, never) = (f32::INFINITY, f32::NAN);
        let unknown = Row { cold: [never; 4], night_gain_k: 0.0, day_gain_k: never };
        let mut year = vec![Row { cold: [warm; 4], ..unknown }; DAYS];
        let mut set = |index: usize, row: Row| {
            if let Some(out) = year.get_mut(index) {
                *out = row;
            }
        };
        for (i, d) in nights.iter().enumerate() {
            set(weather.days[*d].index, row(i).unwrap_or(unknown));
        }
        for day in weather.days.iter().filter(|d| d.low_c[lane].is_nan()) {
            set(day.index, unknown);
        }
        let column = |get: &dyn Fn(&Row) -> f32| year.iter().map(get).collect::<Vec<f32>>();
        self.tissue_c.push(column(&|r| r.cold[0]));
        self.soil_c.push(column(&|r| r.cold[1]));
        self.roots_c[0].push(column(&|r| r.cold[2]));
        self.roots_c[1].push(column(&|r| r.cold[3]));
        self.night_gain_k.push(column(&|r| r.night_gain_k));
        self.day_gain_k.push(column(&|r| r.day_gain_k));
    }

    /// Soil around a root at a depth, m.
    #[must_use]
    pub fn root_c(&self, depth_m: f64) -> &Vec<Vec<f32>> {
        match depth_m {
            m if m < 0.5 * (0.02 + ROOTS_M[0]) => &self.soil_c,
            m if m < 0.5 * (ROOTS_M[0] + ROOTS_M[1]) => &self.roots_c[0],
            _ => &self.roots_c[1],
        }
    }
}
