//! The sensors of a garden: where each hangs, what it last gave, what is wrong.

pub mod json;
pub mod text;

use ::diary::entry::{Entry, What};
use garden::Garden;
use jiff::civil::Date;
use quantities::Moment;

use crate::format::{GardenFormat, count};
use crate::machines::files::TakenFile;
use crate::machines::lows::Came;
use crate::machines::state::State;

/// What is said of one sensor.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// Its name.
    pub name: String,
    /// Where it hangs.
    pub place: String,
    /// Its last reading and how old that is.
    pub last: String,
    /// Nights noted.
    pub nights: String,
    /// What is wrong.
    pub trouble: Option<String>,
}

/// What is said of each.
pub fn told(state: &State, words: &GardenFormat, now: Moment) -> Vec<Told> {
    let each = state.sensors.iter().map(|s| Told {
        name: s.name.clone(),
        place: match &s.bed {
            Some(bed) => format!("over {bed}"),
            None => "in the open".to_owned(),
        },
        last: match &s.last {
            Some(r) => format!("{}, {} ago", words.temperature(r.celsius), age(now.0 - r.at.0)),
            None => "nothing yet".to_owned(),
        },
        nights: count(s.nights, "night"),
        trouble: s.told(words, now),
    });
    each.collect()
}

/// How long ago, in the unit that a person would take.
fn age(seconds: i64) -> String {
    let minutes = (seconds / 60).max(0) as usize;
    match minutes {
        0..120 => count(minutes, "minute"),
        120..2880 => count(minutes / 60, "hour"),
        _ => count(minutes / 1440, "day"),
    }
}

/// What became of a file, in a sentence.
pub fn took(file: &TakenFile, words: &GardenFormat) -> String {
    let t = &file.taken;
    let mut out = format!(
        "{}: {} taken, {} to {}",
        file.path.display(),
        count(t.believed as usize, "reading"),
        words.iso_date(file.span.0),
        words.iso_date(file.span.1)
    );
    let parts = [
        (t.known, "there already"),
        (t.impossible, "not believed: no garden has such a temperature"),
        (t.jumped, "not believed: far from the reading before"),
        (t.ahead, "with a time still to come: look at the logger's clock"),
        (t.old, "older than is kept"),
        (file.empty as u32, "rows without a temperature"),
    ];
    for (n, what) in parts.into_iter().filter(|p| p.0 > 0) {
        out += &format!("; {n} {what}");
    }
    out
}

/// What a night of a sensor came to, in a line.
pub fn night_told(sensor: &str, night: Date, came: &Came, words: &GardenFormat) -> String {
    let low = |e: &Entry| match &e.what {
        What::Reading { celsius, .. } => words.temperature(*celsius),
        _ => String::new(),
    };
    let what = match came {
        Came::Noted(entry) => format!("low {} by {sensor}, noted", low(entry)),
        Came::Unlikely { entry, expected_c } => format!(
            "low {} by {sensor} is far from the {} expected, and is not noted; is its unit right? If it is true, note it yourself",
            low(entry),
            words.temperature(*expected_c)
        ),
        Came::Stuck => format!("{sensor} gave one and the same number; not noted"),
        Came::Unsaid => format!(
            "{sensor} is not noted, for nobody said what lay on its bed: note what is laid and taken off"
        ),
    };
    format!("night of {night}: {what}")
}

/// How the sensors of a garden send: shown where there is none.
pub fn how(garden: &Garden) -> &'static str {
    if garden.sensors.is_empty() {
        "No sensor stands in the garden file. Write one, such as\n\n  [[sensor]]\n  name = \"pole\"\n  folder = \"logger\"\n\nand its files are read from that folder; docs/garden.md tells the other ways."
    } else {
        ""
    }
}
