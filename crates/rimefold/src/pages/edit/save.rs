//! The garden file read for a form, and written again unless it changed underneath.

use std::path::PathBuf;
use std::sync::PoisonError;

use quantities::UnitSystem;
use toml_edit::DocumentMut;

use crate::digest::sha256;
use crate::exit::{Exit, Failure};
use crate::outside::files;
use crate::pages::App;
use crate::pages::edit::faults::{Part, by_field};
use crate::pages::edit::outcome::Outcome;
use crate::pages::folder::garden_file;

/// The file as it is now.
pub struct Open {
    path: PathBuf,
    /// Its tables, comments and all.
    pub document: DocumentMut,
    /// What tells whether it is still the same.
    pub digest: String,
    /// Units it is written in.
    pub units: UnitSystem,
}

/// Reads the garden file for editing.
///
/// # Errors
/// It is not there, or is no TOML.
pub fn open(app: &App) -> Result<Open, Failure> {
    let path = garden_file(&app.planner.folder);
    let bytes = files::read(&path)?;
    let digest = sha256(&bytes);
    let broken = |e: String| Failure::new(Exit::Garden, format!("{}: {e}", path.display()));
    let text = String::from_utf8(bytes).map_err(|e| broken(e.to_string()))?;
    let document: DocumentMut =
        text.parse().map_err(|e: toml_edit::TomlError| broken(e.to_string()))?;
    let metric = document.get("units").and_then(|u| u.as_str()) == Some("metric");
    let units = if metric { UnitSystem::Metric } else { UnitSystem::Us };
    Ok(Open { path, document, digest, units })
}

impl Open {
    /// Writes it whole, or not at all: only what reads back without a fault, and only over what the form was made from.
    ///
    /// # Errors
    /// It cannot be written.
    pub fn save(self, app: &App, shown: &str, parts: &[Part]) -> Result<Outcome, Failure> {
        if self.digest != shown {
            return Ok(Outcome::Changed);
        }
        let text = self.document.to_string();
        let reading = garden::file::read(&text);
        let zone = reading.garden.as_ref().map(|g| g.zone.trim().to_owned());
        if zone.is_some_and(|z| jiff::tz::TimeZone::get(&z).is_err()) {
            let fault = (
                "place.zone".to_owned(),
                "A name such as America/Chicago or Europe/Paris.".to_owned(),
            );
            return Ok(Outcome::Faults(vec![fault], Vec::new()));
        }
        if !reading.faults.is_empty() {
            let (fields, others) = by_field(&text, &reading.faults, parts, self.units);
            return Ok(Outcome::Faults(fields, others));
        }
        // One at a time, and looked at once more: another window may have saved meanwhile.
        let _one = app.planner.saving.lock().unwrap_or_else(PoisonError::into_inner);
        if sha256(&files::read(&self.path)?) != shown {
            return Ok(Outcome::Changed);
        }
        files::replace(&self.path, text)?;
        app.planner.nudge();
        Ok(Outcome::Done)
    }
}
