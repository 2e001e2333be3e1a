//! The measured pairs: what was forecast, or read next door, and what came.

use std::collections::{BTreeMap, HashMap};
use std::error::Error;

use jiff::civil::Date;
use learning::Prior;
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

/// One night of one place.
#[derive(Clone, Copy, Debug)]
pub struct Pair {
    pub day: f64,
    pub said_c: f64,
    pub read_c: f64,
    /// Clearness on the scale of the set's prior.
    pub clear: f64,
}

/// Places of one kind.
pub struct Set {
    pub name: &'static str,
    pub prior: Prior,
    /// Nights before a place's first judged night.
    pub before: usize,
    /// Every so manyeth night is judged.
    pub step: usize,
    pub places: Vec<(String, Vec<Pair>)>,
}

type Rows = Result<Vec<HashMap<String, String>>, Box<dyn Error>>;

pub fn rows(name: &str) -> Rows {
    let bytes = measured_data::file(&format!("pairs/{name}")).ok_or("no measured data")?;
    Ok(csv::Reader::from_reader(&bytes[..]).deserialize().collect::<Result<_, _>>()?)
}

fn number(row: &HashMap<String, String>, column: &str) -> Option<f64> {
    row.get(column)?.parse().ok().filter(|x: &f64| x.is_finite())
}

fn day(date: Date) -> f64 {
    f64::from((date - Date::constant(1970, 1, 1)).get_days())
}

/// Where a place is.
#[derive(Clone, Copy, Debug, Default)]
struct Spot {
    latitude: f64,
    longitude: f64,
    elevation_m: f64,
}

impl Spot {
    fn km(&self, other: &Self) -> f64 {
        let (a, b) = (self.latitude.to_radians(), other.latitude.to_radians());
        let across = (self.longitude - other.longitude).to_radians().cos();
        6371.0 * (a.sin() * b.sin() + a.cos() * b.cos() * across).clamp(-1.0, 1.0).acos()
    }
}

/// Leads of the American forecasts, h, and their columns.
pub const LEADS: [(f64, &str); 4] = [
    (12.0, "forecast_lo_current_PM"),
    (24.0, "forecast_lo_current_AM"),
    (36.0, "forecast_lo_prev_PM"),
    (48.0, "forecast_lo_prev_AM"),
];

/// One night of one American city, °C.
#[derive(Clone, Copy, Debug, Default)]
pub struct CityNight {
    /// Low as forecast at each of [`LEADS`].
    pub said_c: [Option<f64>; 4],
    /// High of the day before, as forecast.
    pub high_c: Option<f64>,
    pub low_c: Option<f64>,
}

/// One American city.
#[derive(Clone, Debug, Default)]
pub struct City {
    pub state: String,
    spot: Spot,
    pub nights: BTreeMap<i64, CityNight>,
}

/// Every city by name.
pub fn cities() -> Result<BTreeMap<String, City>, Box<dyn Error>> {
    let mut cities: BTreeMap<String, City> = BTreeMap::new();
    for row in rows("nws_lows_2021.csv.gz")? {
        let celsius = |column: &str| number(&row, column).map(|f| (f - 32.0) / 1.8);
        let (name, state) = (row["city"].clone(), row["state"].clone());
        let city = cities.entry(format!("{name} {state}")).or_default();
        city.state = state;
        let spot = |c: &str| number(&row, c).unwrap_or_default();
        city.spot =
            Spot { latitude: spot("lat"), longitude: spot("lon"), elevation_m: spot("elevation") };
        let night = CityNight {
            said_c: LEADS.map(|(_, column)| celsius(column)),
            high_c: celsius("forecast_hi_current_AM"),
            low_c: celsius("actual_lo_next_AM"),
        };
        city.nights.insert(day(row["date"].parse()?) as i64, night);
    }
    Ok(cities)
}

/// How far it is forecast to fall from the day's high: large on clear calm nights. From −2 to 2 about 9 K, in fives;
/// 0 where not known.
fn clearness(fall_k: Option<f64>) -> f64 {
    fall_k.map_or(0.0, |fall| ((fall - 9.0) / 5.0).clamp(-2.0, 2.0))
}

/// Of a fall. Chosen on these pairs.
const FALL_PRIOR: Prior = Prior { clear_k: 0.0, clear_sigma_k: 0.4 };

/// The forecast for one city against the lows of another, or of itself.
fn against(said: &City, read: &City) -> Vec<Pair> {
    let pair = |(day, n): (&i64, &CityNight)| {
        let said_c = n.said_c[0]?;
        let read_c = read.nights.get(day)?.low_c?;
        let clear = clearness(n.high_c.map(|h| h - said_c));
        Some(Pair { day: *day as f64, said_c, read_c, clear })
    };
    said.nights.iter().filter_map(pair).collect()
}

/// Forecasts for American cities, held against the city itself, its neighbour, and a neighbour up or down a hill.
pub fn american() -> Result<Vec<Set>, Box<dyn Error>> {
    let cities = cities()?;
    let nearest = |name: &String, wanted: &dyn Fn(&City, &City) -> bool| {
        let here = &cities[name];
        let others = cities.iter().filter(|(n, c)| *n != name && wanted(here, c));
        others
            .min_by(|a, b| here.spot.km(&a.1.spot).total_cmp(&here.spot.km(&b.1.spot)))
            .map(|o| o.1)
    };
    let hill = |a: &City, b: &City| {
        (a.spot.elevation_m - b.spot.elevation_m).abs() > 150.0 && a.spot.km(&b.spot) < 300.0
    };
    let set = |name, said: &dyn Fn(&String) -> Option<Vec<Pair>>| Set {
        name,
        prior: FALL_PRIOR,
        before: 100,
        step: 1,
        places: cities.keys().filter_map(|n| Some((n.clone(), said(n)?))).collect(),
    };
    Ok(vec![
        set("own city", &|n| Some(against(&cities[n], &cities[n]))),
        set("neighbour city", &|n| Some(against(nearest(n, &|_, _| true)?, &cities[n]))),
        set("neighbour, over 150 m up or down", &|n| Some(against(nearest(n, &hill)?, &cities[n]))),
    ])
}

/// A night's low and the high of the day before it, °C.
type LowHigh = (f64, Option<f64>);

/// Valley stations in the Alps; the neighbour's low with 1.6 K of noise stands for a forecast.
pub fn valleys() -> Result<Set, Box<dyn Error>> {
    let mut spots = BTreeMap::new();
    for row in rows("trentino_stations.csv")? {
        let get = |c: &str| number(&row, c).unwrap_or_default();
        let spot =
            Spot { latitude: get("y"), longitude: get("x"), elevation_m: get("elevation_m") };
        spots.insert(row["station"].clone(), spot);
    }
    let mut days: BTreeMap<String, BTreeMap<i64, LowHigh>> = BTreeMap::new();
    for row in rows("trentino_daily_1990_2007.csv.gz")? {
        let get = |c: &str| row[c].parse::<i16>();
        let date = Date::new(get("year")?, get("month")? as i8, get("day")? as i8)?;
        if let Some(low) = number(&row, "tmin_c") {
            let of = days.entry(row["station"].clone()).or_default();
            of.insert(day(date) as i64, (low, number(&row, "tmax_c")));
        }
    }
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut places = Vec::new();
    for (name, lows) in &days {
        let far = |other: &String| match (spots.get(name), spots.get(other)) {
            (Some(a), Some(b)) => a.km(b),
            _ => f64::INFINITY,
        };
        let others = days.keys().filter(|o| *o != name);
        let Some(next) = others.min_by(|a, b| far(a).total_cmp(&far(b))) else { continue };
        let mut pairs = Vec::new();
        for (day, (read_c, _)) in lows {
            let Some((low, _)) = days[next].get(day) else { continue };
            let noise: f64 = StandardNormal.sample(&mut rng);
            let said_c = low + 1.6 * noise;
            let high = days[next].get(&(day - 1)).and_then(|d| d.1);
            let clear = clearness(high.map(|h| h - said_c));
            pairs.push(Pair { day: *day as f64, said_c, read_c: *read_c, clear });
        }
        places.push((name.clone(), pairs));
    }
    Ok(Set { name: "valley station", prior: FALL_PRIOR, before: 100, step: 7, places })
}

/// Stations of Seoul in summer, by year; clearness from cloud and wind, as the program computes it.
pub fn seoul() -> Result<Set, Box<dyn Error>> {
    let mut places: BTreeMap<String, Vec<Pair>> = BTreeMap::new();
    for row in rows("seoul_2013_2017.csv.gz")? {
        let get = |c: &str| number(&row, c);
        let (Some(said_c), Some(read_c)) = (get("LDAPS_Tmin_lapse"), get("Next_Tmin")) else {
            continue;
        };
        let clear = match (get("LDAPS_CC1"), get("LDAPS_CC4"), get("LDAPS_WS")) {
            (Some(a), Some(b), Some(wind)) => {
                (1.0 - (0.5 * (a + b)).clamp(0.0, 1.0)) / (1.0 + (0.5 * wind).powi(2))
            }
            _ => 0.0,
        };
        let date: Date = row["Date"].parse()?;
        let name = format!("station {} in {}", row["station"], date.year());
        let pair = Pair { day: day(date), said_c, read_c, clear };
        places.entry(name).or_default().push(pair);
    }
    for pairs in places.values_mut() {
        pairs.sort_by(|a, b| a.day.total_cmp(&b.day));
    }
    let prior = Prior { clear_k: 0.0, clear_sigma_k: 1.0 };
    Ok(Set {
        name: "Seoul, summers",
        prior,
        before: 30,
        step: 1,
        places: places.into_iter().collect(),
    })
}
