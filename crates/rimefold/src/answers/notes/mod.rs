//! What is noted, newest last: as text, and as JSON in the rows of the diary's own files.

use diary::entries::JudgedEntry;
use diary::exchange::file_row::FileRow as _;
use diary::exchange::note_row::NoteRow;
use diary::night;
use serde::Serialize;
use serde_json::Value;

use crate::answers;
use crate::diary::describe;
use crate::exit::Failure;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// Notes shown without `--all`.
const NEWEST: usize = 20;

/// The notes, newest last; all of them, or the newest.
pub fn text(entries: &[JudgedEntry], all: bool, words: &GardenFormat, width: usize) -> String {
    let mut paper = Paragraphs::new(width);
    let hidden = if all { 0 } else { entries.len().saturating_sub(NEWEST) };
    if hidden > 0 {
        paper.say("", 0, &format!("({} before these: --all)", count(hidden, "note")));
    }
    for JudgedEntry { entry, stands } in entries.iter().skip(hidden) {
        let local = night::local(entry.at, &words.zone);
        let day = local.strftime("%a %-d %b %Y");
        let time = words.time(entry.at);
        let what = describe::what(entry, words);
        let note = entry.note.as_ref().map_or_else(String::new, |n| format!("; {n}"));
        let struck = if *stands { "" } else { " (undone)" };
        let line = format!("{} {day} {time}: {what}{note}{struck}", entry.id.short());
        paper.say("", 9, &line);
    }
    if entries.is_empty() {
        paper.say("", 0, "Nothing is noted yet.");
    }
    paper.finish()
}

/// Version of the layout.
const LAYOUT: u32 = 1;

/// The answer of `rimefold note list --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Notes {
    /// Version of the layout.
    layout: u32,
    /// Newest last.
    notes: Vec<Note>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Note {
    /// The columns of the diary's files, as docs/diary.md tells them.
    #[serde(flatten)]
    #[cfg_attr(test, schemars(with = "std::collections::BTreeMap<String, Value>"))]
    row: Value,
    /// Whether it has not been taken back.
    stands: bool,
}

/// The same for programs, each with whether it stands; members as in docs/diary.md.
///
/// # Errors
/// A row that cannot be written: our bug.
pub fn json(entries: &[JudgedEntry]) -> Result<String, Failure> {
    let note = |k: &JudgedEntry| -> Result<Note, Failure> {
        let row = serde_json::to_value(NoteRow::from_item(&k.entry)).map_err(Failure::bug)?;
        Ok(Note { row, stands: k.stands })
    };
    let notes = entries.iter().map(note).collect::<Result<Vec<_>, _>>()?;
    answers::json(&Notes { layout: LAYOUT, notes })
}
