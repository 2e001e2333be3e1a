//! The forecast of a garden fetched from the service that its file names, into `forecast.json` beside it.
//!
//! Addresses as the services document them (from memory): places to four decimals and no finer, as two of them ask.

use std::path::{Path, PathBuf};
use std::time::Duration;

use garden::Garden;
use garden::forecast::{ForecastFrom, Service};
use serde_json::Value;

use crate::exit::{Exit, Failure};
use crate::outside::fetch::{Fetched, Kind, Order, fetch, named};
use crate::outside::files;

/// How patiently, and from where in place of the services' own addresses.
#[derive(Clone, Debug)]
pub struct Manner {
    /// Longest wait for an answer or its next piece.
    pub timeout: Duration,
    /// First pause between tries.
    pub pause: Duration,
    /// Stands for scheme and host of a service, as of a copy of one's own; `None` for its own.
    pub base: Option<String>,
}

impl Default for Manner {
    fn default() -> Self {
        Self { timeout: Duration::from_secs(30), pause: Duration::from_secs(2), base: None }
    }
}

/// Where the forecast is put.
pub fn path(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name("forecast.json")
}

/// The first address that is asked for a garden's forecast.
///
/// Checked by `fetch::addresses_are_those_of_the_services`.
pub fn address(garden: &Garden, of: &ForecastFrom, base: Option<&str>) -> String {
    let at = |own: &'static str| base.unwrap_or(own).trim_end_matches('/').to_owned();
    let place = &garden.place;
    let (lat, lon) = (decimals(place.latitude_deg), decimals(place.longitude_deg));
    let height = place.elevation_m.round();
    match of.from {
        Service::UsWeatherService => {
            format!("{}/points/{lat},{lon}", at("https://api.weather.gov"))
        }
        Service::MetNorway => format!(
            "{}/weatherapi/locationforecast/2.0/complete?lat={lat}&lon={lon}&altitude={height}",
            at("https://api.met.no")
        ),
        Service::OpenMeteo => format!(
            "{}/v1/forecast?latitude={lat}&longitude={lon}&elevation={height}&hourly=temperature_2m,dew_point_2m,\
             relative_humidity_2m,wind_speed_10m,wind_gusts_10m,cloud_cover,shortwave_radiation,precipitation,snowfall\
             &past_days=1&forecast_days=8&timezone=auto",
            at("https://api.open-meteo.com")
        ),
        Service::Address => of.address.clone().unwrap_or_default(),
    }
}

/// Degrees to at most four decimals, none that say nothing.
fn decimals(degrees: f64) -> String {
    format!("{}", (degrees * 1e4).round() / 1e4)
}

/// Fetches the forecast that the garden file names; what is there stays until a sound new one replaces it. `fits` says whether
/// the bytes are a forecast of this garden.
///
/// # Errors
/// The file names none, or it could not be fetched: why.
pub fn fetch_for(
    garden: &Garden,
    garden_file: &Path,
    manner: &Manner,
    fits: &dyn Fn(&[u8]) -> Result<(), String>,
) -> Result<Fetched, Failure> {
    let none = || {
        let why = "garden.toml does not say from where: write [forecast] with from = \"open-meteo\" or another (docs/garden.md)";
        Failure::new(Exit::Usage, why)
    };
    let of = garden.forecast.as_ref().ok_or_else(none)?;
    let mut url = address(garden, of, manner.base.as_deref());
    if of.from == Service::UsWeatherService {
        url = grid(&url, garden_file, of, manner)?;
    }
    one(url, &path(garden_file), ("a forecast of this garden", fits), of, manner)
}

/// The address of the grid square that the US service has a point in; asked anew only after a while, for it seldom changes.
fn grid(
    point: &str,
    garden_file: &Path,
    of: &ForecastFrom,
    manner: &Manner,
) -> Result<String, Failure> {
    let kept = garden_file.with_file_name("forecast-point.json");
    let read = |bytes: &[u8]| -> Result<String, String> {
        let value: Value = serde_json::from_slice(bytes).map_err(|e| e.to_string())?;
        let address = value.pointer("/properties/forecastGridData").and_then(Value::as_str);
        address.map(str::to_owned).ok_or_else(|| "it names no forecastGridData".to_owned())
    };
    one(
        point.to_owned(),
        &kept,
        ("a point of that service", &|bytes| read(bytes).map(|_| ())),
        of,
        manner,
    )?;
    let address = read(&files::read(&kept)?).map_err(|e| Failure::new(Exit::Fetch, e))?;
    // Only the service that was asked may name the next address.
    let host = |url: &str| url.split('/').nth(2).unwrap_or_default().to_owned();
    match &manner.base {
        Some(base) => {
            let rest = address.splitn(4, '/').nth(3).unwrap_or_default();
            Ok(format!("{}/{rest}", base.trim_end_matches('/')))
        }
        None if host(&address) == host(point) => Ok(address),
        None => {
            let why = format!("{point} names an address of another host, {address}");
            Err(Failure::new(Exit::Fetch, why))
        }
    }
}

/// What is asked for in words, and whether bytes are it.
type Wanted<'a> = (&'static str, &'a dyn Fn(&[u8]) -> Result<(), String>);

fn one(
    url: String,
    path: &Path,
    (what, check): Wanted<'_>,
    of: &ForecastFrom,
    manner: &Manner,
) -> Result<Fetched, Failure> {
    let contact = of.contact.as_deref().unwrap_or("a garden's forecast");
    let kind = Kind {
        what,
        not_there: "does the service know the garden's place?",
        most: files::LARGEST,
        name: named(contact),
        redirects: 0,
    };
    let (timeout, pause) = (manner.timeout, manner.pause);
    fetch(&Order { url, path, timeout, pause, check, kind: &kind })
}
