//! Days into hours: the handbook's sun, the published curve, and measured hours rebuilt from their own extremes.

use std::collections::BTreeMap;

use jiff::civil::date;
use quantities::{Origin, Place, daylight};
use weather::constants::{COOLING_POWER, PUBLISHED_POWER};
use weather::hours::diurnal_curve::DiurnalCurve;
use weather::hours::draws::{Priors, WindPrior, clearness_index, cloud_fraction};
use weather::hours::hours_of;
use weather::{StationRecord, station};

use crate::measured::{self, Measured, alfalfa, champaign, dinosaur, hour_of};

/// The example that the source's method documents (17.65367) and the night calculated from the same formulas.
#[test]
fn the_published_curve() {
    let span = DiurnalCurve {
        sunrise_h: 6.0,
        sunset_h: 18.0,
        next_sunrise_h: 30.0,
        min_c: 10.0,
        max_c: 30.0,
        next_min_c: 12.0,
    };
    let at = |t| span.temperature_c(t, PUBLISHED_POWER);
    assert!((at(8.0) - 17.65367).abs() < 1e-4);
    assert!((at(18.0) - 22.98).abs() < 1e-9);
    assert!((at(22.0) - 16.6407).abs() < 1e-3);
    for power in [PUBLISHED_POWER, COOLING_POWER] {
        assert!((span.temperature_c(6.0, power) - 10.0).abs() < 1e-9);
        assert!((span.temperature_c(14.0, power) - 30.0).abs() < 1e-9);
        assert!((span.temperature_c(30.0, power) - 12.0).abs() < 1e-9);
    }
}

/// FAO-56 example 15: Lyon, July, 26.6 and 14.8 °C, Ra 40.6 give Rs 22.3; a clear day has no cloud, a flat one is covered.
#[test]
fn cloud_and_sun_of_the_handbook() {
    assert!((clearness_index(26.6 - 14.8) * 40.6 - 22.3).abs() < 0.05);
    assert_eq!(cloud_fraction(25.0, 0.0), 0.0);
    assert!(cloud_fraction(2.0, 0.0) > 0.95);
    assert!(cloud_fraction(-3.0, 0.0) <= 1.0);
}

fn short() -> StationRecord {
    let csv = b"date,tmin_c,tmax_c\n1990-05-01,0,20\n1990-05-02,2,20\n1990-05-03,NA,20\n1990-05-04,2,20\n1990-05-05,2,20\n";
    station::read(csv).expect("reads")
}

const DENVER: Place = Place { latitude_deg: 40.0, longitude_deg: -105.0, elevation_m: 1600.0 };

#[test]
fn a_hole_stays_a_hole() {
    let record = short();
    let hours: Vec<_> = hours_of(&record, &DENVER, date(1990, 5, 1), date(1990, 5, 5)).collect();
    assert_eq!(hours.len(), 120);
    for hour in &hours {
        // The second day lacks its next minimum, the third its own, the fifth has no next day; nothing precedes the first.
        let known = matches!(hour.date, d if d == date(1990, 5, 1) || d == date(1990, 5, 4));
        assert_eq!(hour.air_temperature_c.is_some(), known, "{hour:?}");
        assert_eq!(hour.dew_point_c, None, "nothing is drawn unasked");
    }
    assert_eq!(hours[0].interval.start.0, 641_545_200, "midnight at 105° W is 07:00 UTC");
}

#[test]
fn draws_are_marked_repeat_and_stay_in_bounds() {
    let record = short();
    let wind = WindPrior { day_m_s: [4.0; 12], night_m_s: [2.0; 12], sigma_ln: 0.5 };
    let priors = Priors { seed: 7, dew_below_min_k: 0.0, dew_sigma_k: 2.0, wind: Some(wind) };
    let hours =
        |from| hours_of(&record, &DENVER, date(1990, 5, from), date(1990, 5, 5)).with_draws(priors);
    let all: Vec<_> = hours(1).collect();
    let late: Vec<_> = hours(4).collect();
    assert_eq!(&all[72..], &late[..], "the draw of a date does not depend on where a run begins");
    for hour in all.iter().filter(|h| h.air_temperature_c.is_some()) {
        assert!(hour.dew_point_c <= hour.air_temperature_c);
        assert!(hour.cloud_fraction.is_some_and(|c| (0.0..=1.0).contains(&c)));
        let w = hour.as_weather_hour();
        for reading in [w.air_temperature_c, w.dew_point_c, w.cloud_fraction, w.wind_speed_m_s] {
            assert_eq!(reading.map(|r| r.origin), Some(Origin::Derived));
        }
        assert_eq!(w.relative_humidity, None);
    }
    let calm = Priors { wind: None, ..priors };
    assert!(
        hours_of(&record, &DENVER, date(1990, 5, 1), date(1990, 5, 1))
            .with_draws(calm)
            .all(|h| h.wind_speed_m_s.is_none())
    );
}

/// The daily record of measured hours: days with all 24.
fn daily(hours: &Measured) -> StationRecord {
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    let (first, last) =
        (hours.keys().next().expect("hours"), hours.keys().next_back().expect("hours"));
    for day in first.div_euclid(24)..=last.div_euclid(24) {
        let t: Vec<f64> = hours.range(day * 24..day * 24 + 24).map(|h| *h.1).collect();
        let date = station::calendar::date_of(day as i32);
        if t.len() == 24 {
            let low = t.iter().copied().fold(99.0, f64::min);
            let high = t.iter().copied().fold(-99.0, f64::max);
            csv.push_str(&format!("{date},{low:.2},{high:.2}\n"));
        }
    }
    station::read(csv.as_bytes()).expect("reads")
}

/// Sums of errors.
#[derive(Default)]
struct Errors {
    count: f64,
    sum: f64,
    squares: f64,
}

impl Errors {
    fn add(&mut self, error: f64) {
        self.count += 1.0;
        self.sum += error;
        self.squares += error * error;
    }

    fn bias(&self) -> f64 {
        self.sum / self.count
    }

    fn rmse(&self) -> f64 {
        (self.squares / self.count).sqrt()
    }
}

/// What a rebuilt year is worth.
#[derive(Default)]
struct Score {
    hours: Errors,
    night_hours: Errors,
    minimum: Errors,
    minimum_at_night: Errors,
    below_zero_at_night: Errors,
    below_zero: Errors,
    below_zero_frosty: Errors,
}

fn score(measured: &Measured, place: &Place, power: f64) -> Score {
    let record = daily(measured);
    let zone = (place.longitude_deg / 15.0).round() as i64;
    let rebuilt: BTreeMap<i64, (f64, bool)> =
        hours_of(&record, place, record.first(), record.last())
            .with_power(power)
            .filter_map(|h| {
                Some((h.interval.start.0 / 3600 + zone, (h.air_temperature_c?, h.night)))
            })
            .collect();
    let mut s = Score::default();
    for (k, (t, night)) in &rebuilt {
        let Some(m) = measured.get(k) else { continue };
        s.hours.add(t - m);
        if *night {
            s.night_hours.add(t - m);
        }
    }
    // Nights from noon to noon.
    for day in record.days() {
        let noon = hour_of(day.date, 12);
        let pair = |k: i64| Some((rebuilt.get(&k)?.0, *measured.get(&k)?));
        let Some(night) = (noon..noon + 24).map(pair).collect::<Option<Vec<_>>>() else { continue };
        let least = |of: fn(&(f64, f64)) -> f64| night.iter().map(of).fold(99.0, f64::min);
        let (ours, theirs) = (least(|p| p.0), least(|p| p.1));
        s.minimum.add(ours - theirs);
        let next = day.date.tomorrow().ok().and_then(|d| record.day(d)).and_then(|d| d.tmin_c);
        // The minimum of the next date fell in this night, by both books, and not in the evening that ends its own day.
        let fell_at_night = next.is_some_and(|n| (n - theirs).abs() < 0.051);
        if fell_at_night {
            s.minimum_at_night.add(ours - theirs);
        }
        let frost =
            |of: fn(&(f64, f64)) -> f64| night.iter().filter(|p| of(p) < 0.0).count() as f64;
        let (a, b) = (frost(|p| p.0), frost(|p| p.1));
        s.below_zero.add(a - b);
        if fell_at_night {
            s.below_zero_at_night.add(a - b);
        }
        if a + b > 0.0 && a.min(b) < 24.0 {
            s.below_zero_frosty.add(a - b);
        }
    }
    s
}

/// Targets stated before the first run: nightly minimum within ±0.5 K where it falls in the night (asserted as bias and
/// RMSE), hours below 0 °C within 1.5 h RMSE over all nights (printed; missed wherever frost comes, because a front's
/// cold evening is booked at sunrise). What is asserted besides are bounds above what was measured, so that the model
/// cannot silently grow worse: RMSE of hours 2.5 K, of frost hours 2.2 h.
#[test]
fn rebuilt_nights_beside_measured() {
    let place = |latitude_deg, longitude_deg, elevation_m| Place {
        latitude_deg,
        longitude_deg,
        elevation_m,
    };
    let dinosaur_place = place(40.24, -108.97, 1850.0);
    for (name, measured, place) in [
        ("Champaign 1998", champaign(), place(40.01, -88.37, 219.0)),
        ("US-Tw3 2014", alfalfa(), place(38.1159, -121.6467, -9.0)),
        ("Dinosaur 2018", dinosaur(2018), dinosaur_place),
        ("Dinosaur 2019", dinosaur(2019), dinosaur_place),
    ] {
        let Some(measured) = measured else { return };
        for power in [PUBLISHED_POWER, COOLING_POWER, 1.0] {
            let s = score(&measured, &place, power);
            println!(
                "{name}, power {power}: hours {:+.2} K bias {:.2} RMSE, nights {:+.2} {:.2}; minimum {:+.2} {:.2} (fell at night {:+.2} {:.2}, {} of {}); hours below 0 °C {:+.2} h {:.2} (minimum at night {:.2}; frosty {:.2}, {} nights)",
                s.hours.bias(),
                s.hours.rmse(),
                s.night_hours.bias(),
                s.night_hours.rmse(),
                s.minimum.bias(),
                s.minimum.rmse(),
                s.minimum_at_night.bias(),
                s.minimum_at_night.rmse(),
                s.minimum_at_night.count,
                s.minimum.count,
                s.below_zero.bias(),
                s.below_zero.rmse(),
                s.below_zero_at_night.rmse(),
                s.below_zero_frosty.rmse(),
                s.below_zero_frosty.count,
            );
            if power == COOLING_POWER {
                assert!(s.minimum_at_night.rmse() <= 0.5, "{name}");
                assert!(s.hours.rmse() < 2.5 && s.below_zero.rmse() < 2.2, "{name}");
            }
        }
    }
}

/// Columns of a measured day: dew point of the night, solar radiation of the day (MJ/m²).
fn moist_and_sunny(rows: &[measured::Row]) -> BTreeMap<i64, (f64, f64)> {
    let mut days: BTreeMap<i64, (Vec<f64>, Vec<f64>)> = BTreeMap::new();
    for (minute, air, humidity, sun) in rows {
        let day = days.entry(minute.div_euclid(1440)).or_default();
        if minute.rem_euclid(1440) < 360 && *humidity > 0.0 {
            // Td = 237.3 L/(17.27 − L), FAO-56 eq. 11 inverted.
            let e = 17.27 * air / (air + 237.3) + (humidity.min(100.0) / 100.0).ln();
            day.0.push(237.3 * e / (17.27 - e));
        }
        day.1.push(*sun);
    }
    let mean = |x: &[f64]| x.iter().sum::<f64>() / x.len() as f64;
    days.into_iter()
        .filter(|(_, d)| d.0.len() >= 6 && d.1.len() >= 24 && d.1.iter().all(|s| *s > -90.0))
        .map(|(k, d)| (k, (mean(&d.0), mean(&d.1) * 0.0864)))
        .collect()
}

/// Beside measured humidity and sunlight: how far the dew point of the night lies below the minimum, and the cloud that the
/// daily range suggests less the cloud that solar radiation suggests. Printed; what is asserted are the numbers that
/// `draws` states, to their printed digit or a half.
#[test]
fn draws_beside_measured_days() {
    for (name, rows, hours, latitude, elevation, below) in [
        ("Champaign 1998", measured::champaign_rows(), champaign(), 40.01, 219.0, -0.5..=0.5),
        ("Dinosaur 2018", measured::dinosaur_rows(2018), dinosaur(2018), 40.24, 1850.0, 7.5..=11.5),
        ("Dinosaur 2019", measured::dinosaur_rows(2019), dinosaur(2019), 40.24, 1850.0, 7.5..=11.5),
    ] {
        let (Some(rows), Some(hours)) = (rows, hours) else { return };
        let record = daily(&hours);
        let (mut dew, mut cloud) = (Errors::default(), Errors::default());
        for (day, (dew_point, sun_mj)) in moist_and_sunny(&rows) {
            let date = station::calendar::date_of(day as i32);
            let next = date.tomorrow().ok().and_then(|d| record.day(d)).and_then(|d| d.tmin_c);
            let Some((low, high)) = record.day(date).and_then(|d| Some((d.tmin_c?, d.tmax_c?)))
            else {
                continue;
            };
            dew.add(low - dew_point);
            let clear = (0.75 + 2e-5 * elevation)
                * daylight::extraterrestrial_radiation_mj_m2(
                    latitude,
                    f64::from(date.day_of_year()),
                );
            let seen = ((1.0 - (sun_mj / clear).clamp(0.25, 1.0)) / 0.75).powf(1.0 / 3.4);
            if let Some(next) = next {
                cloud.add(cloud_fraction(high - next, elevation) - seen);
            }
        }
        let sd = |e: &Errors| (e.rmse().powi(2) - e.bias().powi(2)).sqrt();
        println!(
            "{name}: dew point {:.2} K below the minimum, sd {:.2} ({} days); cloud {:+.2} of 1, sd {:.2}",
            dew.bias(),
            sd(&dew),
            dew.count,
            cloud.bias(),
            sd(&cloud),
        );
        assert!(below.contains(&dew.bias()), "{name}");
        assert!(cloud.bias().abs() < 0.15 && sd(&cloud) < 0.25, "{name}");
    }
}
