//! Measured hours of three places, in local standard time.

use std::collections::BTreeMap;

use jiff::civil::{Date, date};
use weather::station;

/// Hours since 1970 in local standard time, and the mean air temperature measured in the hour that begins then.
pub type Measured = BTreeMap<i64, f64>;

pub fn hour_of(day: Date, hour: i64) -> i64 {
    i64::from(station::calendar::day_number(day)) * 24 + hour
}

pub fn champaign() -> Option<Measured> {
    let text = measured_data::file("hourly/champaign1998_forcing98_with_validation.dat.gz")?;
    let text = String::from_utf8(text).expect("text");
    let first = station::calendar::day_number(date(1998, 1, 1));
    let mut halves: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    for row in text.lines().take(17_520) {
        let c: Vec<f64> = row.split_whitespace().take(5).filter_map(|x| x.parse().ok()).collect();
        // The time is the end of the half hour: 30 belongs to hour 0, 100 to hour 0, 0 to the hour before.
        let minutes = (c[1] / 100.0).floor() * 60.0 + c[1] % 100.0;
        let end = (f64::from(first) + c[0] - 1.0) * 1440.0 + minutes;
        halves.entry(((end - 1.0) / 60.0).floor() as i64).or_default().push(c[4]);
    }
    Some(whole_hours(halves))
}

pub fn alfalfa() -> Option<Measured> {
    let text = String::from_utf8(measured_data::file("hourly/US-Tw3_2014.csv.gz")?).expect("text");
    let mut halves: BTreeMap<i64, Vec<f64>> = BTreeMap::new();
    for row in text.lines().skip(1) {
        let c: Vec<&str> = row.split(',').collect();
        let t: f64 = c[2].parse().expect("a number");
        let part = |r: std::ops::Range<usize>| c[0][r].parse::<i16>().expect("digits");
        let day = date(part(0..4), part(4..6) as i8, part(6..8) as i8);
        if t > -90.0 {
            halves.entry(hour_of(day, i64::from(part(8..10)))).or_default().push(t);
        }
    }
    Some(whole_hours(halves))
}

pub fn dinosaur(year: i16) -> Option<Measured> {
    let bytes = measured_data::file(&format!("hourly/CRNH0203-{year}-CO_Dinosaur_2_E.txt"))?;
    let text = String::from_utf8(bytes).expect("text");
    let mut out = Measured::new();
    for row in text.lines() {
        let c: Vec<&str> = row.split_whitespace().collect();
        let part = |r: std::ops::Range<usize>| c[3][r].parse::<i16>().expect("digits");
        let day = date(part(0..4), part(4..6) as i8, part(6..8) as i8);
        let (end, t): (i64, f64) = (c[4].parse().expect("time"), c[9].parse().expect("number"));
        if t > -90.0 {
            out.insert(hour_of(day, end / 100) - 1, t);
        }
    }
    Some(out)
}

fn whole_hours(halves: BTreeMap<i64, Vec<f64>>) -> Measured {
    halves
        .into_iter()
        .filter(|(_, h)| h.len() == 2)
        .map(|(k, h)| (k, (h[0] + h[1]) / 2.0))
        .collect()
}

/// Last minute of a step since 1970 in local standard time, air °C, relative humidity %, solar radiation W/m².
pub type Row = (i64, f64, f64, f64);

/// Champaign 1998, by the half hour.
pub fn champaign_rows() -> Option<Vec<Row>> {
    let text = measured_data::file("hourly/champaign1998_forcing98_with_validation.dat.gz")?;
    let first = i64::from(station::calendar::day_number(date(1998, 1, 1)));
    let row = |r: &str| {
        let c: Vec<f64> = r.split_whitespace().take(8).filter_map(|x| x.parse().ok()).collect();
        let minutes = (c[1] / 100.0).floor() as i64 * 60 + c[1] as i64 % 100;
        ((first + c[0] as i64 - 1) * 1440 + minutes - 1, c[4], c[5], c[7])
    };
    Some(String::from_utf8(text).expect("text").lines().take(17_520).map(row).collect::<Vec<_>>())
}

/// Dinosaur, by the hour.
pub fn dinosaur_rows(year: i16) -> Option<Vec<Row>> {
    let text = measured_data::file(&format!("hourly/CRNH0203-{year}-CO_Dinosaur_2_E.txt"))?;
    let row = |r: &str| {
        let c: Vec<&str> = r.split_whitespace().collect();
        let part = |r: std::ops::Range<usize>| c[3][r].parse::<i16>().expect("digits");
        let hour = hour_of(date(part(0..4), part(4..6) as i8, part(6..8) as i8), 0);
        let end: i64 = c[4].parse().expect("time");
        let of = |i: usize| c[i].parse::<f64>().expect("number");
        ((hour + end / 100) * 60 - 1, of(9), of(26), of(13))
    };
    Some(String::from_utf8(text).expect("text").lines().map(row).collect::<Vec<_>>())
}
