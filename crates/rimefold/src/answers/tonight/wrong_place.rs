//! Whether a forecast is for the garden's place.

use garden::Garden;
use weather::Forecast;

use crate::exit::{Exit, Failure};
use crate::format::Words;

/// A forecast this far off is asked about, km (chosen: the next valley has other nights).
const ASKED_FROM_KM: f64 = 50.0;
/// A forecast this far off is refused, km (chosen: other weather altogether).
const REFUSED_FROM_KM: f64 = 500.0;
/// A difference of height that is asked about, m (chosen: about 2 K at the usual 6.5 K/km).
const HEIGHT_M: f64 = 300.0;

/// Says how far off the forecast's place is, where it is too far; `anyway` lets pass what is only asked about.
///
/// # Errors
/// [`Exit::Unsuitable`] with what to do.
pub fn check(
    garden: &Garden,
    forecast: &Forecast,
    anyway: bool,
) -> Result<Option<String>, Failure> {
    let Some(place) = forecast.place else { return Ok(None) };
    let (here, there) = (garden.place, place);
    let km = here.distance_km(&there);
    let height = (here.elevation_m - there.elevation_m).abs();
    if km < ASKED_FROM_KM && height < HEIGHT_M {
        return Ok(None);
    }
    let words = Words::new(garden.units, &garden.zone);
    let told = format!(
        "the forecast is for a place {km:.0} km away and {} higher or lower than the garden",
        words.long(height)
    );
    if km > REFUSED_FROM_KM {
        return Err(Failure::new(Exit::Unsuitable, format!("{told}: fetch one for the garden")));
    }
    if anyway {
        return Ok(Some(told));
    }
    let ask = "fetch one for the garden, or say --anyway";
    Err(Failure::new(Exit::Unsuitable, format!("{told}: {ask}")))
}
