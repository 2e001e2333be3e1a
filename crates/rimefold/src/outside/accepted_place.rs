//! The place of a forecast that a grower has said serves the garden, kept in a file beside garden.toml.

use std::path::{Path, PathBuf};

use quantities::Place;

use crate::exit::Failure;
use crate::outside::files;

/// The file.
const NAME: &str = "forecast-place.txt";

/// Where it is kept.
pub fn path(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(NAME)
}

/// Whether forecasts for `place` have been accepted.
pub fn holds(garden_file: &Path, place: &Place) -> bool {
    std::fs::read_to_string(path(garden_file))
        .is_ok_and(|text| text.lines().next() == Some(&line(place)))
}

/// Accepts forecasts for `place`, and for no other.
///
/// # Errors
/// The file cannot be written.
pub fn accept(garden_file: &Path, place: &Place) -> Result<(), Failure> {
    let text = format!(
        "{}\nForecasts for this place (latitude, longitude, metres above the sea) were said to serve this garden.\n",
        line(place)
    );
    files::replace(&path(garden_file), text.as_bytes())
}

/// A place as one line; two forecasts of one place give the same.
fn line(place: &Place) -> String {
    format!("{:.3} {:.3} {:.0}", place.latitude_deg, place.longitude_deg, place.elevation_m)
}
