//! Readings that are probably slips of the pen: far colder than anything near.

use crate::database::Diary;
use crate::entries::JudgedEntry;
use crate::entry::{Entry, Extreme, Place, What};
use crate::error::Error;

/// A lowest temperature this far below everything near it is asked about, K (chosen: a lost minus sign or a mistaken unit
/// moves a reading farther, the worst forecast of a night in the kept pairs less).
pub const UNLIKELY_K: f64 = 8.0;

/// Readings count as near within this time, s: the nights before and after.
const NEAR_S: i64 = 36 * 3600;
/// A plan is of the night of a reading when its sunrise is this near, s.
const SAME_NIGHT_S: i64 = 18 * 3600;

impl Diary {
    /// What was expected of a lowest temperature that no person looked at, °C, where it lies [`UNLIKELY_K`] or more outside: the
    /// coldest as in [`Diary::far_below`], or, of the open air, what the night's plan called nine nights in ten.
    ///
    /// # Errors
    /// The diary cannot be read.
    /// Checked by `sensors::a_low_in_the_wrong_unit_is_not_noted`.
    pub fn far_off(&self, reading: &Entry, kept: &[JudgedEntry]) -> Result<Option<f64>, Error> {
        if let Some(coldest) = self.far_below(reading, kept)? {
            return Ok(Some(coldest));
        }
        let What::Reading { celsius, place: Place::Open { .. }, .. } = reading.what else {
            return Ok(None);
        };
        let night = |s: i64| reading.at.plus_seconds(s);
        let plan = self.plan_with_sunrise(night(-SAME_NIGHT_S), night(SAME_NIGHT_S))?;
        let warmest = plan.map(|p| p.garden_low_p90_c);
        Ok(warmest.filter(|w| celsius >= w + UNLIKELY_K))
    }

    /// The coldest that is known near a reading, °C, where the reading is a lowest temperature and lies [`UNLIKELY_K`] or
    /// more below it: of the readings among `kept` of the nights around, and of what the night's plan called one night in
    /// ten.
    ///
    /// # Errors
    /// The diary cannot be read.
    /// Checked by `unlikely::an_unlikely_reading_is_asked_about_and_an_impossible_one_refused`.
    pub fn far_below(&self, reading: &Entry, kept: &[JudgedEntry]) -> Result<Option<f64>, Error> {
        let What::Reading { extreme: Extreme::Minimum, celsius, .. } = reading.what else {
            return Ok(None);
        };
        let read = kept.iter().filter(|k| k.stands && k.entry.id != reading.id);
        let near = read.filter_map(|k| match k.entry.what {
            What::Reading { extreme: Extreme::Minimum, celsius, .. } => {
                Some(celsius).filter(|_| (k.entry.at.0 - reading.at.0).abs() <= NEAR_S)
            }
            _ => None,
        });
        let (after, before) = (-SAME_NIGHT_S, SAME_NIGHT_S);
        let night = |s: i64| reading.at.plus_seconds(s);
        let plan = self.plan_with_sunrise(night(after), night(before))?;
        let coldest = near.chain(plan.map(|p| p.garden_low_p10_c)).min_by(f64::total_cmp);
        Ok(coldest.filter(|c| celsius <= c - UNLIKELY_K))
    }
}
