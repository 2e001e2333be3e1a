//! The air of this evening as machines read it.

use ::diary::Diary;
use ::diary::series::Series;
use evening::learned::AirNow;
use garden::Garden;
use quantities::Moment;
use sensors::constants::{COARSE_S, STUCK_S};
use sensors::health::stuck;

use crate::machines::series_of;

/// The hour of the last reading of the open air in the day before, counted from 1970: the plan is made anew with each.
pub fn last_hour(diary: &Diary, garden: &Garden, now: Moment) -> Option<i64> {
    if garden.sensors.iter().all(|s| s.bed.is_some()) {
        return None;
    }
    let series = series_of(diary)?;
    let readings = open(&series, garden, now.plus_seconds(-86_400), now);
    readings.iter().map(|r| r.at.0.div_euclid(COARSE_S)).max()
}

/// The open air from `from` on as sensors without a bed gave it: the last ten minutes of every hour, and the last of all.
/// A sensor that is stuck is left out.
pub fn open(series: &Series, garden: &Garden, from: Moment, now: Moment) -> Vec<AirNow> {
    let mut out = Vec::new();
    for sensor in garden.sensors.iter().filter(|s| s.bed.is_none()) {
        let begin = from.0.min(now.0 - STUCK_S - COARSE_S);
        let slots = series.slots(&sensor.name, Moment(begin), now.plus_seconds(1));
        let slots = slots.unwrap_or_default();
        if stuck(&slots).is_some() {
            continue;
        }
        let mut of_hour = None;
        for slot in slots.iter().filter(|s| s.last > from && s.last <= now) {
            let air = AirNow { at: slot.last, celsius: slot.mean_c };
            let hour = slot.begins.0.div_euclid(COARSE_S);
            match out.last_mut().filter(|_| of_hour == Some(hour)) {
                Some(last) => *last = air,
                None => out.push(air),
            }
            of_hour = Some(hour);
        }
    }
    out
}
