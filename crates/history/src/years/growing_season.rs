//! When each planting grows in the open: an input, with a plain default from hardiness and frost dates.

use crate::constants::{BLOOM_BEFORE_DAYS, BLOOM_DAYS, YOUNG_DAYS};
use garden::crops::{Stage, cold_limits};
use garden::garden::Garden;
use weather::StationRecord;
use weather::frost::{FrostDates, Method};

/// One planting of one bed in the open from one day of the year to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct GrowingSeason {
    /// Index into the garden's beds.
    pub bed: usize,
    /// Index into the bed's plantings.
    pub planting: usize,
    /// First day of the year on which it stands, 1 to 365.
    pub from_day: u16,
    /// Last day; before `from_day` where it stands through the new year.
    pub to_day: u16,
}

/// Days before the median last frost at which a crop may be out, and days after the median first frost to which it is
/// kept, by the tissue temperature at which a tenth is lost (from memory: four weeks for what stands −4 °C, two for −1.5).
fn reach_days(t10_c: f64) -> (f64, f64) {
    match t10_c {
        t if t <= -4.0 => (28.0, 28.0),
        t if t <= -1.5 => (14.0, 14.0),
        _ => (0.0, 7.0),
    }
}

/// When each planting stands, as the garden file has them: young stages three weeks, bloom four, the rest all season.
///
/// The season opens at the median last frost (0 °C) less the crop's reach and closes at the median first frost plus it.
/// Where it never freezes a planting stands all year. Checked by `replay::plantings_stand_when_their_crop_can`.
#[must_use]
pub fn by_hardiness(garden: &Garden, record: &StationRecord) -> Vec<GrowingSeason> {
    let frost = FrostDates::from_record(record, 0.0, garden.place.latitude_deg);
    let median = |d: &weather::frost::Dates| {
        Some(d.day_of_year(d.conditional(0.5, Method::Empirical)?.round()))
    };
    between_frosts(garden, median(&frost.last_spring).zip(median(&frost.first_autumn)))
}

/// The same by the days of the year of the median last and first frost; `None` where it never freezes.
#[must_use]
pub fn between_frosts(garden: &Garden, dates: Option<(f64, f64)>) -> Vec<GrowingSeason> {
    let mut out = Vec::new();
    for (bed, b) in garden.beds.iter().enumerate() {
        for (planting, p) in b.plantings.iter().enumerate() {
            let Some(limits) = cold_limits(p.crop, p.stage, p.hardened) else { continue };
            let (before, after) = reach_days(limits.t10_c);
            let (from, to) = match (dates, p.stage) {
                (None, _) => (1.0, 365.0),
                (Some((last, _)), Stage::SeedBed | Stage::Seedling | Stage::Transplant) => {
                    (last - before, last - before + YOUNG_DAYS)
                }
                (Some((last, _)), Stage::Bloom(_)) => {
                    (last - BLOOM_BEFORE_DAYS, last - BLOOM_BEFORE_DAYS + BLOOM_DAYS)
                }
                (Some((last, first)), Stage::Established | Stage::Mature) => {
                    (last - before, first + after)
                }
            };
            let day = |d: f64| ((d - 1.0).rem_euclid(365.0) + 1.0) as u16;
            out.push(GrowingSeason { bed, planting, from_day: day(from), to_day: day(to) });
        }
    }
    out
}

/// Day of the year on which the counting of a season begins, in the middle of winter: 1 January, or 1 July in the south.
#[must_use]
pub fn new_year_day(latitude_deg: f64) -> u16 {
    if latitude_deg < 0.0 { 182 } else { 1 }
}

impl GrowingSeason {
    /// Whether it stands on a day counted from 0 at the middle of winter.
    #[must_use]
    pub fn includes(&self, index: usize, new_year_day: u16) -> bool {
        let place = |d: u16| (usize::from(d) + 365 - usize::from(new_year_day)) % 365;
        let (from, to) = (place(self.from_day), place(self.to_day));
        if from <= to { (from..=to).contains(&index) } else { index >= from || index <= to }
    }

    /// Its first day, counted from 0 at the middle of winter.
    #[must_use]
    pub fn first_day(&self, new_year_day: u16) -> usize {
        (usize::from(self.from_day) + 365 - usize::from(new_year_day)) % 365
    }
}
