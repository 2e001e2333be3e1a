//! Up to sixteen years of a station record abreast, each lane its own year, ten minutes a step.

use std::ops::Range;

use garden::garden::Garden;
use microclimate::Forcing;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::parameters::{FULL_SNOW_M, STEP_S};
use microclimate::real::Real;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::sky;
use quantities::{Place, daylight};
use weather::StationRecord;
use weather::hours::draws::{Priors, WindPrior};
use weather::hours::hours_of;
use weather::station::calendar::{date_of, day_number};

use crate::constants::OFF_AFTER_SUNRISE_H;
use crate::years::growing_season::new_year_day;
use evening::priors;

/// Steps in a day.
pub const STEPS_A_DAY: usize = 86_400 / STEP_S as usize;
/// What a daily record does not hold, stated: dew point 0.5 ± 2.5 K below the minimum (humid country), wind at 10 m with
/// mean 3.5 m/s by day and 2.1 by night and σ(ln) 0.8, alike in every month (from memory; median night 1.5 m/s as in
/// [`priors::unknown_wind_m_s`]); cloud from the daily fall.
#[must_use]
pub fn stated_priors(seed: u64) -> Priors {
    let wind = WindPrior { day_m_s: [3.5; 12], night_m_s: [2.1; 12], sigma_ln: 0.8 };
    Priors { seed, dew_below_min_k: 0.5, dew_sigma_k: 2.5, wind: Some(wind) }
}

/// One day of the run, the night that follows it included; steps count from the first midnight of the run.
#[derive(Clone, Debug)]
pub struct Day {
    /// Counted from 0 at the middle of winter.
    pub index: usize,
    /// Covers go on: the first step that begins after sunset.
    pub dusk: usize,
    /// They come off: [`OFF_AFTER_SUNRISE_H`] after the next sunrise.
    pub off: usize,
    /// The station's minimum of the night that follows, °C; NaN where the night is not known.
    pub low_c: [f32; WIDTH],
    /// Garden air's least of that night, cold spot included, °C.
    pub garden_low_c: [f32; WIDTH],
    /// Mean garden air of the day from midnight to midnight, °C.
    pub mean_c: [f32; WIDTH],
    /// Snow that lay on open ground both that morning and the next, m; 0 where it is not known.
    pub snow_m: [f32; WIDTH],
    /// Share of the day's sunlight that falls before [`Self::off`] of the night before.
    pub light_before_off: f32,
}

/// The weather of a batch of years.
#[derive(Clone, Debug)]
pub struct BatchWeather {
    /// Year of each lane; a southern year is that in which its season ends. Lanes beyond repeat the last.
    pub years: Vec<i16>,
    /// The days of the run.
    pub days: Vec<Day>,
    /// The weather of each step.
    pub forcing: Vec<Forcing<Lanes>>,
}

/// One hour of all lanes.
#[derive(Clone, Copy)]
struct Hour {
    air: Lanes,
    dew: Lanes,
    cloud: Lanes,
    wind: Lanes,
    known: [bool; WIDTH],
}

impl BatchWeather {
    /// The days `span` (counted from the middle of winter) of `years`, of which there are 1 to 16.
    ///
    /// Air temperature runs straight between the middles of the derived hours; the garden's cold spot shows on clear calm
    /// nights as in the evening's ensemble. What a lane does not know is carried on from the hour before and its night
    /// marked unknown. Checked by `replay::a_block_of_years_holds_the_records_minima`.
    #[must_use]
    pub fn from_record(
        record: &StationRecord,
        garden: &Garden,
        years: &[i16],
        span: Range<usize>,
        priors: &Priors,
    ) -> Self {
        let place = &garden.place;
        let starts: Vec<i32> = (0..WIDTH)
            .filter_map(|l| years.get(l).or(years.last()))
            .map(|y| first_day(*y, place.latitude_deg) + span.start as i32)
            .collect();
        let hours = hours(record, place, priors, &starts, span.len() + 1);
        let first = starts.first().copied().unwrap_or(0);
        let spot = priors::cold_spot_k(&garden.site).0;
        let snow: Vec<[f32; WIDTH]> = (0..span.len()).map(|d| snow_m(record, &starts, d)).collect();
        let forcing: Vec<Forcing<Lanes>> = (0..span.len() * STEPS_A_DAY)
            .map(|k| step_weather(&hours, (place, first, spot), k, &snow[k / STEPS_A_DAY]))
            .collect();
        // The last day has no whole night after it.
        let days = (0..span.len() - 1)
            .map(|d| Day {
                snow_m: snow[d],
                ..day(record, place, &starts, (&hours, &forcing), (d, span.start + d))
            })
            .collect();
        Self { years: years.to_vec(), days, forcing }
    }
}

/// Day number of the middle of winter that opens a year.
#[must_use]
pub fn first_day(year: i16, latitude_deg: f64) -> i32 {
    let south = new_year_day(latitude_deg) > 1;
    let new_year = |y: i16| weather::station::calendar::checked(i32::from(y), 1, 1).unwrap_or(0);
    if south { new_year(year.saturating_sub(1)) + 181 } else { new_year(year) }
}

fn zone_h(place: &Place) -> f64 {
    (place.longitude_deg / 15.0).round()
}

/// Sunrise and sunset in hours after the zone's midnight.
fn light_h(place: &Place, number: i32) -> (f64, f64) {
    let j = f64::from(date_of(number).day_of_year());
    let noon = daylight::solar_noon_utc_h(place.longitude_deg, j) + zone_h(place);
    let half = daylight::day_length_h(place.latitude_deg, j).clamp(1.0, 23.0) / 2.0;
    (noon - half, noon + half)
}

fn hours(
    record: &StationRecord,
    place: &Place,
    priors: &Priors,
    starts: &[i32],
    days: usize,
) -> Vec<Hour> {
    let nothing = Hour {
        air: Lanes::splat(5.0),
        dew: Lanes::splat(0.0),
        cloud: Lanes::splat(0.5),
        wind: Lanes::splat(2.0),
        known: [false; WIDTH],
    };
    let mut out = vec![nothing; days * 24];
    for (l, start) in starts.iter().enumerate() {
        let last = start + days as i32 - 1;
        let run = hours_of(record, place, date_of(*start), date_of(last)).with_draws(*priors);
        let mut held = (5.0_f32, 0.0_f32, 0.5_f32, 2.0_f32);
        for (hour, derived) in out.iter_mut().zip(run) {
            let all = derived
                .air_temperature_c
                .zip(derived.dew_point_c)
                .zip(derived.cloud_fraction.zip(derived.wind_speed_m_s));
            if let Some(((air, dew), (cloud, wind))) = all {
                held = (air as f32, dew as f32, cloud as f32, wind as f32);
                hour.known[l] = true;
            }
            (hour.air.0[l], hour.dew.0[l], hour.cloud.0[l], hour.wind.0[l]) = held;
        }
    }
    out
}

/// Clear-sky sunlight at the end of step `k`, by the handbook's sun of the first lane's year, W/m².
fn clear_sun(place: &Place, first: i32, k: usize) -> f64 {
    let number = first + (k / STEPS_A_DAY) as i32;
    let j = f64::from(date_of(number).day_of_year());
    let h = (k % STEPS_A_DAY + 1) as f64 * 24.0 / STEPS_A_DAY as f64;
    let noon = daylight::solar_noon_utc_h(place.longitude_deg, j) + zone_h(place);
    let (phi, delta) = (place.latitude_deg.to_radians(), daylight::declination_rad(j));
    let omega = (15.0 * (h - noon)).to_radians();
    let sin_height = phi.sin() * delta.sin() + phi.cos() * delta.cos() * omega.cos();
    sky::clear_sky_shortwave_w_m2(90.0 - sin_height.clamp(-1.0, 1.0).asin().to_degrees())
}

/// The weather at the end of step `k`.
fn step_weather(
    hours: &[Hour],
    (place, first, spot_k): (&Place, i32, f64),
    k: usize,
    snow_m: &[f32; WIDTH],
) -> Forcing<Lanes> {
    let at = ((k + 1) as f64 / (STEPS_A_DAY as f64 / 24.0) - 0.5).max(0.0);
    let (i, share) = (at.floor() as usize, at.fract());
    let (a, b) = (&hours[i.min(hours.len() - 1)], &hours[(i + 1).min(hours.len() - 1)]);
    let mix = |x: Lanes, y: Lanes| x + (y - x) * share;
    let (air, dew) = (mix(a.air, b.air), mix(a.dew, b.dew));
    let (cloud, wind) = (mix(a.cloud, b.cloud), mix(a.wind, b.wind).clamp(0.0, 40.0));
    let clear = clear_sun(place, first, k);
    let half = wind * 0.5;
    // (1 − c)/(1 + (u/2)²) of the cold spot shows, none in sun: as in the ensemble.
    let shows =
        (Lanes::splat(1.0) - cloud) / (half * half + 1.0) * f64::from(u8::from(clear <= 1.0));
    let air_c = (air + shows * spot_k).clamp(-60.0, 55.0);
    let vapour_kpa = saturation_vapour_pressure_kpa(dew.clamp(-60.0, 55.0).min(air_c));
    let none = Lanes::splat(0.0);
    let white = Lanes::from_lanes(|l| (f64::from(snow_m[l]) / FULL_SNOW_M).min(1.0));
    // No snow is the rule; it is not worth a second formula then.
    let sky_w_m2 = if white.max_lane() > 0.0 {
        sky::longwave_over_snow_w_m2(air_c, vapour_kpa, cloud, none, white)
    } else {
        sky::longwave_w_m2(air_c, vapour_kpa, cloud, none)
    };
    Forcing {
        air_c,
        vapour_kpa,
        wind_m_s: wind,
        sky_w_m2,
        sun_w_m2: sky::cloud_transmissivity(cloud) * clear,
    }
}

/// Snow that lay on open ground on the morning of day `d` of each lane and on the next, m.
fn snow_m(record: &StationRecord, starts: &[i32], d: usize) -> [f32; WIDTH] {
    std::array::from_fn(|l| {
        let on = |s: i32| record.day(date_of(s)).and_then(|t| t.snow_m).unwrap_or(0.0);
        starts.get(l).map_or(0.0, |s| on(s + d as i32).min(on(s + d as i32 + 1)) as f32)
    })
}

fn day(
    record: &StationRecord,
    place: &Place,
    starts: &[i32],
    (hours, forcing): (&[Hour], &[Forcing<Lanes>]),
    (d, index): (usize, usize),
) -> Day {
    let first = starts.first().copied().unwrap_or(0) + d as i32;
    let step_of = |h: f64| (h * STEPS_A_DAY as f64 / 24.0).ceil() as usize;
    let dusk = d * STEPS_A_DAY + step_of(light_h(place, first).1);
    let (next_rise, _) = light_h(place, first + 1);
    let off = (d + 1) * STEPS_A_DAY + step_of(next_rise + OFF_AFTER_SUNRISE_H);
    let per_hour = STEPS_A_DAY / 24;
    let night = dusk / per_hour..(off / per_hour + 1).min(hours.len());
    let low_c = std::array::from_fn(|l| {
        let known = hours[night.clone()].iter().all(|h| h.known[l]);
        let tomorrow = starts.get(l).and_then(|s| record.day(date_of(s + d as i32 + 1)));
        let low = tomorrow.and_then(|t| t.tmin_c).filter(|_| known);
        low.map_or(f32::NAN, |t| t as f32)
    });
    let garden_low_c = forcing[dusk..off.min(forcing.len())]
        .iter()
        .fold(Lanes::splat(99.0), |low, f| low.min(f.air_c))
        .0;
    let whole_day = &forcing[d * STEPS_A_DAY..(d + 1) * STEPS_A_DAY];
    let mean_c = whole_day.iter().fold(Lanes::splat(0.0), |s, f| s + f.air_c) / STEPS_A_DAY as f64;
    let sun = |r: Range<usize>| r.map(|k| clear_sun(place, first - d as i32, k)).sum::<f64>();
    let today = d * STEPS_A_DAY;
    let early = today + step_of(light_h(place, first).0 + OFF_AFTER_SUNRISE_H);
    let whole = sun(today..today + STEPS_A_DAY).max(1.0);
    Day {
        index,
        dusk,
        off,
        low_c,
        garden_low_c,
        mean_c: mean_c.0,
        snow_m: [0.0; WIDTH],
        light_before_off: (sun(today..early) / whole) as f32,
    }
}

/// BatchWeather of a record that can be replayed, of those asked for: whole from the middle of winter on, with at most a tenth
/// of the minima missing.
#[must_use]
pub fn whole_years(record: &StationRecord, latitude_deg: f64, asked: Range<i16>) -> Vec<i16> {
    let (first, last) = (day_number(record.first()), day_number(record.last()));
    asked
        .filter(|y| {
            let start = first_day(*y, latitude_deg);
            let known = |n: i32| {
                record.day(date_of(n)).is_some_and(|d| d.tmin_c.is_some() && d.tmax_c.is_some())
            };
            start >= first
                && start + 364 <= last
                && (0..365).filter(|d| !known(start + d)).count() < 37
        })
        .collect()
}
