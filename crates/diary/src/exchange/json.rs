//! Everything as one JSON object.

use serde::{Deserialize, Serialize};

use crate::error::Error;
use crate::exchange::everything::Everything;
use crate::exchange::file_row::{Checked, FileRow, Placed};
use crate::exchange::forecast_row::ForecastRow;
use crate::exchange::note_row::NoteRow;
use crate::predictions::Prediction;
use crate::saved_plans::SavedPlan;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

#[derive(Serialize)]
struct Out {
    layout: u32,
    notes: Vec<NoteRow>,
    forecasts: Vec<ForecastRow>,
    plans: Vec<SavedPlan>,
    said: Vec<Prediction>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct In {
    layout: u32,
    #[serde(default = "Vec::new")]
    notes: Vec<Checked<NoteRow>>,
    #[serde(default = "Vec::new")]
    forecasts: Vec<Checked<ForecastRow>>,
    #[serde(default = "Vec::new")]
    plans: Vec<Checked<SavedPlan>>,
    #[serde(default = "Vec::new")]
    said: Vec<Checked<Prediction>>,
}

/// The object as text.
///
/// # Errors
/// A bug of ours.
pub fn write(all: &Everything) -> Result<String, Error> {
    fn flat<R: FileRow>(items: &[Placed<R::Item>]) -> Vec<R> {
        items.iter().map(|placed| R::from_item(&placed.item)).collect()
    }
    let out = Out {
        layout: LAYOUT,
        notes: flat(&all.notes),
        forecasts: flat(&all.forecasts),
        plans: flat(&all.plans),
        said: flat(&all.predictions),
    };
    Ok(serde_json::to_string_pretty(&out).map_err(Error::bug)? + "\n")
}

/// Reads such an object; `shown` is the file's name.
///
/// # Errors
/// The first fault, with file, line, column and what was expected.
pub fn read(shown: &str, bytes: &[u8]) -> Result<Everything, Error> {
    fn placed<R: FileRow>(shown: &str, list: &str, items: Vec<Checked<R>>) -> Vec<Placed<R::Item>> {
        let place = |n: usize| format!("{shown}, {list} number {n}");
        let items = items.into_iter().enumerate();
        items.map(|(n, Checked(item))| Placed { place: place(n + 1), item }).collect()
    }
    let wrong = |why: String| Error::Unreadable(format!("{why}\nNothing was taken in"));
    let all: In = serde_json::from_slice(bytes).map_err(|e| {
        let words = e.to_string();
        let words = words.split(" at line ").next().unwrap_or_default();
        wrong(format!("{shown}, line {}, character {}: {words}", e.line(), e.column()))
    })?;
    if all.layout != LAYOUT {
        let found = all.layout;
        return Err(wrong(format!("{shown}: layout {found}, this program reads layout {LAYOUT}")));
    }
    Ok(Everything {
        notes: placed(shown, "note", all.notes),
        forecasts: placed(shown, "forecast", all.forecasts),
        plans: placed(shown, "plan", all.plans),
        predictions: placed(shown, "row of what was said", all.said),
    })
}
