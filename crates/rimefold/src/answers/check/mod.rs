//! A garden file read: the garden with its warnings, or every fault at its place.

pub mod fault;
pub mod text;

use std::path::Path;

use garden::Garden;
use garden::file::{Fault, Reading};

use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::files;

/// A garden without faults and its warnings as text, or all its faults.
pub fn load_garden(path: &Path) -> Result<(Garden, Vec<String>), Failure> {
    let bytes = files::read(path)?;
    let shown = path.display().to_string();
    let text = String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        Failure::new(
            Exit::Garden,
            format!("{shown}: byte {at} is not text; a garden file is TOML in UTF-8"),
        )
    })?;
    let Reading { garden, faults, warnings } = garden::file::read(&text);
    let file = path.file_name().map_or_else(|| shown.clone(), |f| f.to_string_lossy().into());
    let refused = |faults: &[Fault]| {
        let mut message: Vec<String> = faults.iter().map(|f| fault::told(&text, f)).collect();
        message.push(format!("{file} has {}.", count(faults.len(), "fault")));
        Failure::new(Exit::Garden, message.join("\n\n"))
    };
    let Some(mut garden) = garden.filter(|_| faults.is_empty()) else {
        return Err(refused(&faults));
    };
    if jiff::tz::TimeZone::get(&garden.zone).is_err() {
        let start = text.find(&format!("\"{}\"", garden.zone)).unwrap_or(0);
        let fault = Fault {
            span: start..start + garden.zone.len() + 2,
            message: format!("“{}” is not a time zone", garden.zone),
            expected: "an IANA name such as America/Chicago or Europe/Paris".into(),
            nearest: None,
        };
        return Err(refused(&[fault]));
    }
    garden.zone = garden.zone.trim().to_owned();
    Ok((garden, warnings.iter().map(|w| fault::told(&text, w)).collect()))
}
