//! The garden file written from a form, unless it changed underneath.

use std::sync::PoisonError;

use crate::digest::sha256;
use crate::exit::Failure;
use crate::outside::files;
use crate::pages::App;
use crate::pages::edit::faults::{Part, by_field};
use crate::pages::edit::open::Open;
use crate::pages::edit::outcome::Outcome;

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
