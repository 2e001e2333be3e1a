//! Cities of the US National Weather Service with forecast and observed minima, and the published frost dates nearest to each.

use std::collections::BTreeMap;
use std::error::Error;
use std::fmt::Write as _;

use garden::Garden;
use history::replay::{Year, run_batch};
use history::years::drawn_forecast::MadeForecasts;
use history::years::{Simulation, growing_season};
use quantities::Place;
use weather::StationRecord;
use weather::station::calendar::{checked, date_of};

/// Years in which a city's one year is laid down again and again.
pub const YEARS: std::ops::RangeInclusive<i16> = 2001..=2016;
/// Fewest nights with a forecast from 20 to 36 °F, March to November, that a city must have.
const LEAST_COLD: usize = 40;
/// A station further off than this says nothing of a city, km; a hundred metres of height count as twenty.
const FARTHEST_KM: f64 = 60.0;

/// Forecasts and readings by day number of 2021, °C.
#[derive(Default)]
pub struct Days {
    pub low: BTreeMap<i32, f64>,
    high: BTreeMap<i32, f64>,
    pub tonight: BTreeMap<i32, f64>,
    pub tomorrow: BTreeMap<i32, f64>,
}

/// One city.
pub struct City {
    /// City and state.
    pub name: String,
    /// Where.
    pub place: Place,
    /// Days of the year of the last and the first 32 °F in half the years 1981–2010, at the nearest station.
    pub frosts: (f64, f64),
    pub days: Days,
}

/// Every city with enough cold nights, enough days and a station near.
pub fn read() -> Result<Vec<City>, Box<dyn Error>> {
    let bytes = measured_data::file("pairs/nws_lows_2021.csv.gz").ok_or("no pairs")?;
    let mut found: BTreeMap<String, City> = BTreeMap::new();
    let text = String::from_utf8(bytes)?;
    let mut lines = text.lines();
    let heads: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let column = |name: &str| {
        heads.iter().position(|h| *h == name).ok_or_else(|| format!("no column {name}"))
    };
    let [date, city, state, lat, lon, height] =
        ["date", "city", "state", "lat", "lon", "elevation"].map(column);
    let (date, city, state) = (date?, city?, state?);
    let (lat, lon, height) = (lat?, lon?, height?);
    let values = [
        "forecast_lo_current_PM",
        "forecast_lo_prev_PM",
        "actual_lo_next_AM",
        "actual_hi_current_PM",
    ];
    let [tonight, tomorrow, low, high] = values.map(column);
    let (tonight, tomorrow, low, high) = (tonight?, tomorrow?, low?, high?);
    for line in lines {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |at: usize| cells.get(at).and_then(|c| c.parse::<f64>().ok());
        let celsius = |at: usize| number(at).map(|f| (f - 32.0) / 1.8);
        let Some(((latitude_deg, longitude_deg), elevation_m)) =
            number(lat).zip(number(lon)).zip(number(height))
        else {
            continue;
        };
        let Some(day) = cells.get(date).and_then(|d| day_number(d)) else { continue };
        let name = format!("{} {}", cells[city], cells[state]);
        let here = found.entry(name.clone()).or_insert_with(|| City {
            name,
            place: Place { latitude_deg, longitude_deg, elevation_m },
            frosts: (0.0, 0.0),
            days: Days::default(),
        });
        let mut put = |map: fn(&mut Days) -> &mut BTreeMap<i32, f64>, on: i32, at: usize| {
            if let Some(value) = celsius(at) {
                map(&mut here.days).insert(on, value);
            }
        };
        put(|d| &mut d.low, day + 1, low);
        put(|d| &mut d.high, day, high);
        put(|d| &mut d.tonight, day, tonight);
        // Told on the evening before.
        put(|d| &mut d.tomorrow, day - 1, tomorrow);
    }
    let frosts = frost_dates()?;
    Ok(found.into_values().filter_map(|c| c.near(&frosts)).filter(City::is_cold).collect())
}

fn day_number(text: &str) -> Option<i32> {
    let mut parts = text.split('-').map(|p| p.parse().ok());
    checked(parts.next()??, parts.next()??, parts.next()??)
}

/// Where a station is, and its two dates as days of the year.
type FrostDates = Vec<(Place, (f64, f64))>;

/// The published dates of the last and the first 32 °F in half the years.
fn frost_dates() -> Result<FrostDates, Box<dyn Error>> {
    let text = |name: &str| -> Result<String, Box<dyn Error>> {
        let bytes = measured_data::file(&format!("stations/noaa_normals_{name}.txt"));
        Ok(String::from_utf8_lossy(&bytes.ok_or("no normals")?).into_owned())
    };
    let dates = |text: &str| -> BTreeMap<String, f64> {
        let line = |l: &str| {
            let mut words = l.split_whitespace();
            let (station, date) = (words.next()?.to_owned(), words.next()?.get(..5)?);
            let (month, day) = date.split_once('/')?;
            let day = checked(2001, month.parse().ok()?, day.parse().ok()?)?;
            Some((station, f64::from(date_of(day).day_of_year())))
        };
        text.lines().filter_map(line).collect()
    };
    let last = dates(&text("1981-2010_ann-tmin-prblst-t32Fp50")?);
    let first = dates(&text("1981-2010_ann-tmin-prbfst-t32Fp50")?);
    let station = |line: &str| {
        let name = line.get(..11)?;
        let mut numbers = line.get(11..37)?.split_whitespace().map(|w| w.parse::<f64>().ok());
        let place = Place {
            latitude_deg: numbers.next()??,
            longitude_deg: numbers.next()??,
            elevation_m: numbers.next()??,
        };
        Some((place, (*last.get(name)?, *first.get(name)?)))
    };
    Ok(text("allstations")?.lines().filter_map(station).collect())
}

impl City {
    /// The garden in this city: its year sixteen times on forecasts that were `made`, each with other draws of what was not
    /// measured.
    pub fn replay(
        &self,
        garden: &Garden,
        place: i16,
        made: MadeForecasts,
        seed: u64,
    ) -> Result<Year, String> {
        let mut garden = garden.clone();
        garden.place = self.place;
        let record = self.record()?;
        let seasons = growing_season::between_frosts(&garden, Some(self.frosts));
        let simulation = Simulation::new(&garden, &record, &seasons, YEARS, seed)
            .map_err(|e| format!("{}: {e}", self.name))?
            .with_forecasts(made);
        let done =
            run_batch(&simulation, &simulation.years, 1, &|| ()).map_err(|e| e.to_string())?;
        let draws = done.years.into_iter().flat_map(|y| y.draws).collect();
        Ok(Year { year: place, draws, counted: [0; 3] })
    }

    /// With the dates of the nearest station; `None` where none is near.
    fn near(mut self, stations: &FrostDates) -> Option<Self> {
        let far = |place: &Place| {
            let up = (place.elevation_m - self.place.elevation_m).abs() / 100.0;
            self.place.distance_km(place) + weather::constants::KM_PER_100_M * up
        };
        let near = stations.iter().map(|s| (far(&s.0), s.1));
        let (km, frosts) = near.min_by(|a, b| a.0.total_cmp(&b.0))?;
        self.frosts = frosts;
        (km < FARTHEST_KM).then_some(self)
    }

    fn is_cold(&self) -> bool {
        let of = |t: &f64| (-20.0 / 3.0..=20.0 / 9.0).contains(t);
        let season = |day: &i32| (3..=11).contains(&date_of(*day).month());
        self.days.tonight.iter().filter(|(day, t)| season(day) && of(t)).count() >= LEAST_COLD
    }

    /// The day of the data that stands for a day of another year: January of 2022, else 2021. None for 29 February.
    fn source(day: i32) -> Option<i32> {
        let date = date_of(day);
        let year = if date.month() == 1 { 2022 } else { 2021 };
        checked(year, i32::from(date.month()), i32::from(date.day()))
    }

    pub fn laid_down() -> impl Iterator<Item = (i32, i32)> {
        let first = checked(i32::from(*YEARS.start()), 1, 1).unwrap_or(0);
        let last = checked(i32::from(*YEARS.end()) + 1, 1, 31).unwrap_or(0);
        (first..=last).filter_map(|day| Some((day, Self::source(day)?)))
    }

    /// Its year again and again, so that each lane draws the rest anew.
    pub fn record(&self) -> Result<StationRecord, String> {
        let mut csv = String::from("date,tmin_c,tmax_c\n");
        for (day, from) in Self::laid_down() {
            let cell = |map: &BTreeMap<i32, f64>| {
                map.get(&from).map_or(String::new(), |t| format!("{t:.1}"))
            };
            let (low, high) = (cell(&self.days.low), cell(&self.days.high));
            if !low.is_empty() && !high.is_empty() {
                let _ = writeln!(csv, "{},{low},{high}", date_of(day));
            }
        }
        weather::station::read(csv.as_bytes()).map_err(|e| format!("{}: {e}", self.name))
    }

    /// Its forecasts, laid down likewise.
    pub fn forecasts(&self) -> MadeForecasts {
        let told = |(day, from): (i32, i32)| {
            let of = |map: &BTreeMap<i32, f64>| map.get(&from).copied();
            (day, [of(&self.days.tonight), of(&self.days.tomorrow)])
        };
        MadeForecasts(Self::laid_down().map(told).collect())
    }
}
