//! A garden file read: the garden with its warnings, or every fault at its place.

pub mod fault;
mod placed;
pub mod text;

use std::path::Path;

use garden::Garden;
use garden::file::{Fault, Reading};

use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::files;

/// Longest line of a garden file, bytes.
const LONGEST_LINE: usize = 2000;
/// Most faults that are shown; their number is told.
const MOST: usize = 20;

/// A garden without faults and its warnings as text, or all its faults.
pub fn load_garden(path: &Path) -> Result<(Garden, Vec<String>), Failure> {
    let bytes = files::read_garden(path)?;
    let shown = path.display().to_string();
    let text = String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        Failure::new(
            Exit::Garden,
            format!("{shown}: byte {at} is not text; a garden file is TOML in UTF-8"),
        )
    })?;
    if let Some(line) = text.lines().position(|l| l.len() > LONGEST_LINE) {
        let line = line + 1;
        let words = format!(
            "{shown}, line {line}: longer than {LONGEST_LINE} characters; a garden file has one key a line"
        );
        return Err(Failure::new(Exit::Garden, words));
    }
    let Reading { garden, faults, warnings } = garden::file::read(&text);
    let file = path.file_name().map_or_else(|| shown.clone(), |f| f.to_string_lossy().into());
    let refused = |faults: &[Fault]| {
        let told = faults.iter().take(MOST);
        let mut message: Vec<String> = told.map(|f| fault::told(&text, f)).collect();
        let more = faults.len().saturating_sub(MOST);
        message.extend((more > 0).then(|| format!("and {more} more")));
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
    let doubts = placed::doubts(&garden).map(|(key, message, expected)| {
        let start = text.find(key).unwrap_or(0);
        Fault { span: start..start + key.len(), message, expected, nearest: None }
    });
    let warnings = doubts.into_iter().chain(warnings);
    Ok((garden, warnings.map(|w| fault::told(&text, &w)).collect()))
}
