//! Measured nights, from sunset to an hour after sunrise.

use std::error::Error;
use std::io::Read as _;
use std::path::Path;

use quantities::constants::SUNRISE_ALTITUDE_DEG;
use quantities::moist_air::{dew_point_c, saturation_over_water_kpa};
use quantities::sun::next_crossing;
use quantities::{Moment, Place};

/// One night.
pub struct MeasuredNight {
    /// Local hours, from noon of its evening on.
    pub hours: Vec<f64>,
    pub air_c: Vec<f64>,
    dew_c: Vec<Option<f64>>,
    sunset_h: f64,
}

impl MeasuredNight {
    pub fn low_c(&self) -> f64 {
        self.air_c.iter().copied().fold(f64::INFINITY, f64::min)
    }

    fn place(&self, after_sunset_h: f64) -> Option<usize> {
        let wanted = self.sunset_h + after_sunset_h;
        let off = |k: &usize| (self.hours[*k] - wanted).abs();
        (0..self.hours.len()).min_by(|a, b| off(a).total_cmp(&off(b))).filter(|k| off(k) <= 0.51)
    }

    /// Air so long after sunset, °C.
    pub fn air_at(&self, after_sunset_h: f64) -> Option<f64> {
        self.place(after_sunset_h).map(|k| self.air_c[k])
    }

    /// Dew point so long after sunset, °C.
    pub fn dew_at(&self, after_sunset_h: f64) -> Option<f64> {
        self.dew_c[self.place(after_sunset_h)?]
    }
}

/// Nights of a place.
pub struct Site {
    pub name: &'static str,
    pub fitted_on: &'static str,
    pub fitted: Vec<MeasuredNight>,
    pub tested: Vec<MeasuredNight>,
}

/// When, air in °C, relative humidity in per cent.
type Reading = (Moment, Option<f64>, Option<f64>);

/// The places with more than one year.
pub fn sites(data: &Path) -> Result<Vec<Site>, Box<dyn Error>> {
    let dinosaur = Place { latitude_deg: 40.24, longitude_deg: -108.97, elevation_m: 1848.0 };
    let delta = Place { latitude_deg: 38.1159, longitude_deg: -121.6467, elevation_m: -9.0 };
    let station = |year| nights(&dinosaur, -7, &station_year(data, year)?);
    let field = |year| nights(&delta, -8, &field_year(data, year)?);
    let mut fitted = field(2013)?;
    fitted.extend(field(2014)?);
    Ok(vec![
        Site {
            name: "Dinosaur, Colorado, 2019",
            fitted_on: "2018",
            fitted: station(2018)?,
            tested: station(2019)?,
        },
        Site {
            name: "Twitchell Island, California, 2015",
            fitted_on: "2013, 2014",
            fitted,
            tested: field(2015)?,
        },
    ])
}

fn moment(stamp: &str) -> Option<Moment> {
    let number = |r: std::ops::Range<usize>| stamp.get(r)?.parse::<i8>().ok();
    let year = stamp.get(0..4)?.parse().ok()?;
    let date = jiff::civil::Date::new(year, number(4..6)?, number(6..8)?).ok()?;
    let at = date.at(number(8..10)?, number(10..12)?, 0, 0);
    let zoned = jiff::tz::TimeZone::UTC.to_ambiguous_zoned_datetime(at).compatible().ok()?;
    Some(Moment(zoned.timestamp().as_second()))
}

fn measured(field: Option<&str>) -> Option<f64> {
    field?.parse().ok().filter(|x: &f64| *x > -99.0)
}

/// US Climate Reference Network, hourly: the air of the hour's last five minutes, UTC.
fn station_year(data: &Path, year: u16) -> Result<Vec<Reading>, Box<dyn Error>> {
    let text = std::fs::read_to_string(data.join(format!("CRNH0203-{year}-CO_Dinosaur_2_E.txt")))?;
    let reading = |line: &str| {
        let f: Vec<&str> = line.split_whitespace().collect();
        let at = moment(&format!("{}{}", f.get(1)?, f.get(2)?))?;
        Some((at, measured(f.get(8).copied()), measured(f.get(26).copied())))
    };
    Ok(text.lines().filter_map(reading).collect())
}

/// AmeriFlux US-Tw3, half-hourly, stamped at its end, UTC − 8.
fn field_year(data: &Path, year: u16) -> Result<Vec<Reading>, Box<dyn Error>> {
    let mut text = String::new();
    let file = std::fs::File::open(data.join(format!("US-Tw3_{year}.csv.gz")))?;
    flate2::read::GzDecoder::new(file).read_to_string(&mut text)?;
    let mut lines = text.lines();
    let names: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let column = |n: &str| names.iter().position(|x| *x == n).ok_or("a column is missing");
    let (end, air, damp) = (column("TIMESTAMP_END")?, column("TA")?, column("RH")?);
    let reading = |line: &str| {
        let f: Vec<&str> = line.split(',').collect();
        let at = moment(f.get(end)?)?.plus_seconds(8 * 3600);
        Some((at, measured(f.get(air).copied()), measured(f.get(damp).copied())))
    };
    Ok(lines.filter_map(reading).collect())
}

fn dew_point(air_c: f64, humidity: f64) -> f64 {
    dew_point_c(humidity.clamp(1.0, 100.0) / 100.0 * saturation_over_water_kpa(air_c))
}

/// Nights without a gap of more than two hours.
fn nights(
    place: &Place,
    zone_h: i64,
    readings: &[Reading],
) -> Result<Vec<MeasuredNight>, Box<dyn Error>> {
    let (Some(first), Some(last)) = (readings.first(), readings.last()) else {
        return Ok(Vec::new());
    };
    let mut out = Vec::new();
    let local = |m: Moment| m.0 + zone_h * 3600;
    let mut noon = Moment(local(first.0).div_euclid(86_400) * 86_400 + (12 - zone_h) * 3600);
    while noon.plus_seconds(86_400) <= last.0 {
        let sunset = next_crossing(place, noon, SUNRISE_ALTITUDE_DEG, true).ok_or("no sunset")?;
        let sunrise =
            next_crossing(place, sunset, SUNRISE_ALTITUDE_DEG, false).ok_or("no sunrise")?;
        let end = sunrise.plus_seconds(3600);
        let from = readings.partition_point(|r| r.0 < sunset);
        let of = readings[from..].iter().take_while(|r| r.0 <= end);
        let known: Vec<(Moment, f64, Option<f64>)> =
            of.filter_map(|(m, t, damp)| Some((*m, (*t)?, *damp))).collect();
        let hour = |m: Moment| (m.0 - noon.0) as f64 / 3600.0 + 12.0;
        let stamps = std::iter::once(sunset).chain(known.iter().map(|k| k.0)).chain([end]);
        let stamps: Vec<i64> = stamps.map(|m| m.0).collect();
        if stamps.windows(2).all(|w| w[1] - w[0] <= 2 * 3600) {
            out.push(MeasuredNight {
                hours: known.iter().map(|k| hour(k.0)).collect(),
                air_c: known.iter().map(|k| k.1).collect(),
                dew_c: known.iter().map(|(_, t, damp)| Some(dew_point(*t, (*damp)?))).collect(),
                sunset_h: hour(sunset),
            });
        }
        noon = noon.plus_seconds(86_400);
    }
    Ok(out)
}
