//! The garden file read for a form.

use std::path::PathBuf;

use quantities::UnitSystem;
use toml_edit::DocumentMut;

use crate::digest::sha256;
use crate::exit::{Exit, Failure};
use crate::outside::files;
use crate::pages::App;
use crate::pages::folder::garden_file;

/// The file as it is now.
pub struct Open {
    /// Where it lies.
    pub path: PathBuf,
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
