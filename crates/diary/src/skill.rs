//! How well it was said: each night's lowest reading against the plan made before it, and how much colder than forecast
//! the garden is.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use jiff::tz::TimeZone;
use quantities::Moment;
use rusqlite::Connection;

use crate::database::Diary;
use crate::entries::JudgedEntry;
use crate::entry::{Entry, Extreme, Place, What};
use crate::error::{DatabaseError, Error};
use crate::id::Id;
use crate::night;
use crate::predictions::{self, Prediction};
use crate::saved_plans::{self, SavedPlan};

/// Fewest nights from which anything is concluded.
pub const ENOUGH: usize = 5;
/// Colder or warmer gardens than this are not believed, K: the bounds of `cold_spot_offset` in the garden file.
const BELIEVED_K: std::ops::RangeInclusive<f64> = -10.0..=5.0;

/// What was said of a temperature: 8 in 10 lie within.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// One in ten is lower.
    pub p10: f64,
    /// Half are lower.
    pub p50: f64,
    /// One in ten is higher.
    pub p90: f64,
}

/// What was said against what was read.
#[derive(Clone, Debug, PartialEq)]
pub struct Skill {
    /// Every reading that could be compared, by night.
    pub nights: Vec<Compared>,
    /// Minimum readings that could not, by night.
    pub left_out: Vec<LeftOut>,
    /// All of them.
    pub all: Option<Score>,
    /// In the open.
    pub open: Option<Score>,
    /// Under covers.
    pub under: Option<Score>,
    /// Lowest reading in the open minus the forecast's low, night by night.
    pub offset: Option<Mean>,
    /// The same on nights that were expected clear and calm.
    pub offset_clear_calm: Option<Mean>,
    /// What to write as the garden's cold spot, where the evidence stands.
    pub suggestion: Option<Suggestion>,
}

/// One reading against what was said.
#[derive(Clone, Debug, PartialEq)]
pub struct Compared {
    /// Local date of the evening.
    pub night: Date,
    /// The entry.
    pub entry: Id,
    /// When it was read.
    pub at: Moment,
    /// Where.
    pub place: Place,
    /// The plan.
    pub plan: Id,
    /// Its model.
    pub model: u32,
    /// What was said, °C.
    pub said_c: Band,
    /// What was read, °C.
    pub read_c: f64,
    /// Low of the forecast, °C.
    pub forecast_low_c: f64,
    /// Whether the night was expected clear and calm.
    pub clear_calm: bool,
    /// Mean wind of the night as forecast, m/s.
    pub wind_m_s: Option<f64>,
    /// Mean cloud of the night as forecast, 0 to 1.
    pub cloud: Option<f64>,
    /// Middle of what was said of the garden's own low, °C.
    pub garden_said_c: f64,
    /// How far readings under such covers had moved what was said, K.
    pub taught_k: f64,
    /// When the night was dark.
    pub dark: Moment,
    /// From the question to sunrise, h.
    pub lead_h: f64,
}

impl Compared {
    /// Read minus the middle of what was said, K.
    #[must_use]
    pub fn error_k(&self) -> f64 {
        self.read_c - self.said_c.p50
    }

    /// Whether it was read within the 8-in-10 band.
    #[must_use]
    pub fn inside(&self) -> bool {
        (self.said_c.p10..=self.said_c.p90).contains(&self.read_c)
    }

    /// Whether the thermometer hung in the open.
    #[must_use]
    pub fn is_open(&self) -> bool {
        matches!(self.place, Place::Open { .. })
    }
}

/// A minimum that could not be compared.
#[derive(Clone, Debug, PartialEq)]
pub struct LeftOut {
    /// Local date of the evening.
    pub night: Date,
    /// The entry.
    pub entry: Id,
    /// Why.
    pub why: Why,
}

/// Why a minimum could not be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    /// Read in the evening or before 4 in the morning.
    NightNotOver,
    /// No plan was kept for that night before the reading.
    NoPlan,
    /// The plan says nothing of that bed under that cover.
    NotSaid,
    /// Another reading at the same place was lower.
    NotLowest,
}

/// How well some readings were said.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Score {
    /// Readings.
    pub readings: usize,
    /// Nights.
    pub nights: usize,
    /// Mean of read minus said, K.
    pub bias_k: f64,
    /// Root of the mean square of read minus said, K.
    pub rmse_k: f64,
    /// Share within the 8-in-10 band, 0 to 1.
    pub inside: f64,
}

/// A mean over nights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// Nights.
    pub nights: usize,
    /// Mean, K.
    pub mean_k: f64,
    /// Its standard error, K; `None` for a single night.
    pub standard_error_k: Option<f64>,
}

/// What to write as the garden's cold spot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Suggestion {
    /// Garden minus forecast, K.
    pub offset_k: f64,
    /// Whether it rests on clear calm nights, as it should, or on all for want of them.
    pub clear_calm: bool,
}

impl Mean {
    /// Mean and standard error `s/√n` with `s` of n − 1 (common practice); `None` of nothing.
    #[must_use]
    pub fn over(values: &[f64]) -> Option<Self> {
        let n = values.len();
        let mean_k = mean(values)?;
        let squares: f64 = values.iter().map(|v| (v - mean_k).powi(2)).sum();
        let standard_error_k = (n > 1).then(|| (squares / (n - 1) as f64 / n as f64).sqrt());
        Some(Self { nights: n, mean_k, standard_error_k })
    }

    /// Whether there are nights enough, and the mean is more than two standard errors from nothing.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.nights >= ENOUGH
            && self.standard_error_k.is_some_and(|se| self.mean_k.abs() > 2.0 * se)
    }
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

impl Diary {
    /// What was said against what was read, by nights of the garden's zone.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn skill(&self, zone: &TimeZone) -> Result<Skill, Error> {
        self.skill_of(&self.entries()?, zone)
    }

    /// The same for entries that were read before.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn skill_of(&self, entries: &[JudgedEntry], zone: &TimeZone) -> Result<Skill, Error> {
        self.read(|db| {
            let plans = Plans { by_night: by_night(saved_plans::without_reports(db)?), db };
            counted(entries, &plans, zone)
        })
    }
}

/// The plans that were kept, and where what they said is.
struct Plans<'a> {
    by_night: HashMap<Date, Vec<SavedPlan>>,
    db: &'a Connection,
}

fn by_night(plans: Vec<SavedPlan>) -> HashMap<Date, Vec<SavedPlan>> {
    let mut out: HashMap<Date, Vec<SavedPlan>> = HashMap::new();
    for plan in plans {
        out.entry(plan.night).or_default().push(plan);
    }
    out
}

/// A standing minimum.
struct Read<'a> {
    night: Date,
    entry: &'a Entry,
    place: &'a Place,
    celsius: f64,
}

/// Compares.
fn counted(
    entries: &[JudgedEntry],
    plans: &Plans<'_>,
    zone: &TimeZone,
) -> Result<Skill, DatabaseError> {
    let mut left_out = Vec::new();
    let mut nights = Vec::new();
    for read in lowest(entries, zone, &mut left_out) {
        match compare(&read, plans)? {
            Ok(compared) => nights.push(compared),
            Err(why) => {
                left_out.push(LeftOut { night: read.night, entry: read.entry.id.clone(), why });
            }
        }
    }
    nights.sort_by_key(|c| (c.night, c.at));
    left_out.sort_by_key(|l| l.night);
    let offset = offset(&nights, |_| true);
    let offset_clear_calm = self::offset(&nights, |c| c.clear_calm);
    Ok(Skill {
        all: score(&nights, |_| true),
        open: score(&nights, Compared::is_open),
        under: score(&nights, |c| !c.is_open()),
        suggestion: suggest(offset, offset_clear_calm),
        offset,
        offset_clear_calm,
        nights,
        left_out,
    })
}

/// The lowest standing minimum of each night and place, in the order written.
fn lowest<'a>(
    entries: &'a [JudgedEntry],
    zone: &TimeZone,
    left_out: &mut Vec<LeftOut>,
) -> Vec<Read<'a>> {
    let mut out: Vec<Read<'a>> = Vec::new();
    let mut places: HashMap<(Date, PlaceKey<'a>), usize> = HashMap::new();
    for kept in entries.iter().filter(|k| k.stands) {
        let What::Reading { extreme: Extreme::Minimum, celsius, place } = &kept.entry.what else {
            continue;
        };
        let entry = &kept.entry;
        let read =
            Read { night: night::of_reading(entry.at, zone), entry, place, celsius: *celsius };
        if !night::is_over(entry.at, zone) {
            let id = entry.id.clone();
            left_out.push(LeftOut { night: read.night, entry: id, why: Why::NightNotOver });
            continue;
        }
        let number = *places.entry((read.night, key(place))).or_insert(out.len());
        let Some(old) = out.get_mut(number) else {
            out.push(read);
            continue;
        };
        let higher = if read.celsius < old.celsius { std::mem::replace(old, read) } else { read };
        let id = higher.entry.id.clone();
        left_out.push(LeftOut { night: higher.night, entry: id, why: Why::NotLowest });
    }
    out
}

/// What tells places apart: whether in the open, the bed, the sheet.
type PlaceKey<'a> = (bool, Option<&'a str>, Option<&'a str>);

fn key(place: &Place) -> PlaceKey<'_> {
    match place {
        Place::Open { bed } => (true, bed.as_deref(), None),
        Place::Under { bed, sheet } => (false, Some(bed), sheet.as_deref()),
    }
}

/// One reading against the last plan made before dark, else the first made after.
fn compare(read: &Read<'_>, plans: &Plans<'_>) -> Result<Result<Compared, Why>, DatabaseError> {
    let of_night = plans.by_night.get(&read.night).map(Vec::as_slice).unwrap_or_default();
    let mut before: Vec<&SavedPlan> =
        of_night.iter().filter(|p| p.asked_at < read.entry.at).collect();
    before.sort_by_key(|p| p.asked_at);
    let in_time = before.iter().rev().find(|p| p.asked_at <= p.dark);
    let Some(plan) = in_time.or_else(|| before.first()) else { return Ok(Err(Why::NoPlan)) };
    let said = match read.place {
        Place::Open { bed: None } => Vec::new(),
        _ => predictions::of_plan(plans.db, &plan.id)?,
    };
    let Some((said_c, taught_k)) = band(read.place, plan, &said) else {
        return Ok(Err(Why::NotSaid));
    };
    Ok(Ok(Compared {
        night: read.night,
        entry: read.entry.id.clone(),
        at: read.entry.at,
        place: read.place.clone(),
        plan: plan.id.clone(),
        model: plan.model,
        said_c,
        read_c: read.celsius,
        forecast_low_c: plan.forecast_low_c,
        clear_calm: plan.clear_calm,
        wind_m_s: plan.wind_m_s,
        cloud: plan.cloud,
        garden_said_c: plan.garden_low_p50_c,
        taught_k,
        dark: plan.dark,
        lead_h: plan.sunrise.hours_since(plan.asked_at),
    }))
}

/// What a plan said of the air at a place, and how far readings had moved that.
fn band(place: &Place, plan: &SavedPlan, said: &[Prediction]) -> Option<(Band, f64)> {
    let bed = |name: &str| {
        let name = name.to_lowercase();
        said.iter().filter(move |s| s.bed.to_lowercase() == name)
    };
    let air = |s: &Prediction| {
        let band = Band { p10: s.air_p10_c, p50: s.air_p50_c, p90: s.air_p90_c };
        (band, s.taught_k.unwrap_or(0.0))
    };
    match place {
        Place::Open { bed: None } => {
            let band = Band {
                p10: plan.garden_low_p10_c,
                p50: plan.garden_low_p50_c,
                p90: plan.garden_low_p90_c,
            };
            Some((band, 0.0))
        }
        Place::Open { bed: Some(name) } => bed(name).find(|s| s.cover.is_none()).map(air),
        Place::Under { bed: name, sheet } => {
            let fits = |s: &&Prediction| match (&s.cover, sheet) {
                (Some(cover), Some(sheet)) => cover.to_lowercase() == sheet.to_lowercase(),
                (Some(_), None) => s.chosen,
                (None, _) => false,
            };
            // What was chosen first: the same sheet may lie in one layer or two.
            bed(name).filter(fits).min_by_key(|s| (!s.chosen, s.way)).map(air)
        }
    }
}

fn score(nights: &[Compared], which: impl Fn(&Compared) -> bool) -> Option<Score> {
    let some: Vec<&Compared> = nights.iter().filter(|c| which(c)).collect();
    let errors: Vec<f64> = some.iter().map(|c| c.error_k()).collect();
    let squares: Vec<f64> = errors.iter().map(|e| e * e).collect();
    let mut dates: Vec<Date> = some.iter().map(|c| c.night).collect();
    dates.dedup();
    Some(Score {
        readings: some.len(),
        nights: dates.len(),
        bias_k: mean(&errors)?,
        rmse_k: mean(&squares)?.sqrt(),
        inside: some.iter().filter(|c| c.inside()).count() as f64 / some.len() as f64,
    })
}

/// Read minus forecast in the open. Several thermometers of one night are one night: their mean.
fn offset(nights: &[Compared], which: impl Fn(&Compared) -> bool) -> Option<Mean> {
    let mut by_night: BTreeMap<Date, Vec<f64>> = BTreeMap::new();
    for c in nights.iter().filter(|c| c.is_open() && which(c)) {
        by_night.entry(c.night).or_default().push(c.read_c - c.forecast_low_c);
    }
    let means: Vec<f64> = by_night.values().filter_map(|v| mean(v)).collect();
    Mean::over(&means)
}

/// Clear calm nights decide where there are enough of them; else all do.
fn suggest(all: Option<Mean>, clear_calm: Option<Mean>) -> Option<Suggestion> {
    let enough = clear_calm.filter(|m| m.nights >= ENOUGH);
    let (mean, clear_calm) = match enough {
        Some(mean) => (mean, true),
        None => (all?, false),
    };
    let offset_k = mean.mean_k;
    (mean.stands() && BELIEVED_K.contains(&offset_k)).then_some(Suggestion { offset_k, clear_calm })
}
