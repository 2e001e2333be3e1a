//! Everything as one JSON object.

use serde::{Deserialize, Serialize};

use crate::diary::exchange::notes::NoteRow;
use crate::diary::exchange::rows::{Checked, Flat, ForecastRow};
use crate::diary::exchange::said::{PlanRow, SaidRow};
use crate::diary::exchange::{Everything, Placed};
use crate::exit::{Exit, Failure};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

#[derive(Serialize)]
struct Out {
    layout: u32,
    notes: Vec<NoteRow>,
    forecasts: Vec<ForecastRow>,
    plans: Vec<PlanRow>,
    said: Vec<SaidRow>,
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
    plans: Vec<Checked<PlanRow>>,
    #[serde(default = "Vec::new")]
    said: Vec<Checked<SaidRow>>,
}

/// The object as text.
///
/// # Errors
/// A bug of ours.
pub fn write(all: &Everything) -> Result<String, Failure> {
    fn flat<R: Flat>(items: &[Placed<R::Item>]) -> Vec<R> {
        items.iter().map(|placed| R::of(&placed.item)).collect()
    }
    let out = Out {
        layout: LAYOUT,
        notes: flat(&all.notes),
        forecasts: flat(&all.forecasts),
        plans: flat(&all.plans),
        said: flat(&all.said),
    };
    Ok(serde_json::to_string_pretty(&out).map_err(Failure::bug)? + "\n")
}

/// Reads such an object; `shown` is the file's name.
///
/// # Errors
/// The first fault, with file, line, column and what was expected.
pub fn read(shown: &str, bytes: &[u8]) -> Result<Everything, Failure> {
    fn placed<R: Flat>(shown: &str, list: &str, items: Vec<Checked<R>>) -> Vec<Placed<R::Item>> {
        let place = |n: usize| format!("{shown}, {list} number {n}");
        let items = items.into_iter().enumerate();
        items.map(|(n, Checked(item))| Placed { place: place(n + 1), item }).collect()
    }
    let wrong = |why: String| Failure::new(Exit::Diary, format!("{why}\nNothing was taken in"));
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
        said: placed(shown, "row of what was said", all.said),
    })
}
