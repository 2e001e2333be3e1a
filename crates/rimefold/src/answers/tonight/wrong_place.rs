//! Whether a forecast is for the garden's place.

use garden::Garden;
use quantities::Place;
use weather::Forecast;

use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;

/// A forecast this far off is asked about, km (chosen: the next valley has other nights).
const ASKED_FROM_KM: f64 = 50.0;
/// A forecast this far off is refused, km (chosen: other weather altogether).
const REFUSED_FROM_KM: f64 = 500.0;
/// A difference of height that is asked about, m (chosen: about 2 K at the usual 6.5 K/km).
const HEIGHT_M: f64 = 300.0;

/// A smaller distance is not told, km (chosen).
const LEAST_TOLD_KM: f64 = 5.0;
/// A smaller difference of height is not told, m (chosen).
const LEAST_TOLD_M: f64 = 30.0;

/// A forecast for another place.
pub struct Elsewhere {
    /// How far off it is.
    pub told: String,
    /// Whether it is of no use, whatever a grower says.
    pub useless: bool,
}

/// How far off the forecast's place is, where it is too far; `None` too where the forecast names no place.
pub fn elsewhere(garden: &Garden, forecast: &Forecast) -> Option<Elsewhere> {
    let (here, there) = (garden.place, forecast.place?);
    let km = here.distance_km(&there);
    let height = there.elevation_m - here.elevation_m;
    if km < ASKED_FROM_KM && height.abs() < HEIGHT_M {
        return None;
    }
    let words = GardenFormat::new(garden.units, &garden.zone);
    let side = if height < 0.0 { "lower" } else { "higher" };
    let far = (km >= LEAST_TOLD_KM).then(|| format!("{} away", words.distance(km)));
    let high = (height.abs() >= LEAST_TOLD_M)
        .then(|| format!("{} {side} than the garden", words.height(height.abs())));
    let how: Vec<String> = far.into_iter().chain(high).collect();
    let told = format!("the forecast is for a place {}", how.join(" and "));
    Some(Elsewhere { told, useless: km > REFUSED_FROM_KM })
}

/// Whether bytes are a forecast that serves the garden, else why not; `accepted` lets a place pass that a grower has accepted.
///
/// # Errors
/// Why not.
pub fn fits(
    garden: &Garden,
    bytes: &[u8],
    accepted: impl Fn(&Place) -> bool,
) -> Result<(), String> {
    let forecast = weather::read(bytes).map_err(|e| e.to_string())?;
    let accepted = forecast.place.as_ref().is_some_and(accepted);
    check(garden, &forecast, accepted, "accept it on the page").map(|_| ()).map_err(|f| f.message)
}

/// Lets a forecast pass, with what is to be told of it; `accepted` lets pass what is only asked about, and `how` says the way
/// to accept it.
///
/// # Errors
/// [`Exit::Unsuitable`] with what to do.
pub fn check(
    garden: &Garden,
    forecast: &Forecast,
    accepted: bool,
    how: &str,
) -> Result<Option<String>, Failure> {
    let Some(Elsewhere { told, useless }) = elsewhere(garden, forecast) else { return Ok(None) };
    let refused = |what: String| Err(Failure::new(Exit::Unsuitable, what));
    match (useless, accepted) {
        (true, _) => refused(format!("{told}: fetch one for the garden")),
        (false, false) => refused(format!("{told}: fetch one for the garden, or {how}")),
        (false, true) => Ok(Some(told)),
    }
}
