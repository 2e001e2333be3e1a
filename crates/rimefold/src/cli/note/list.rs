//! `rimefold note list`: what is noted, newest last.

use diary::entries::JudgedEntry;
use diary::exchange::file_row::FileRow as _;
use diary::exchange::note_row::NoteRow;
use diary::{Diary, night};
use serde_json::{Value, json};

use crate::cli::Output;
use crate::cli::note::args::ListArgs;
use crate::diary::describe;
use crate::exit::Failure;
use crate::format::{Words, count};
use crate::outside::terminal;
use crate::paragraphs::Paragraphs;

/// Notes shown without `--all`.
const NEWEST: usize = 20;

/// The list as text or JSON.
pub fn run(diary: &Diary, args: &ListArgs, words: &Words) -> Result<Output, Failure> {
    let entries = diary.entries()?;
    let text = if args.json { object(&entries)? } else { text(&entries, args.all, words) };
    Ok(Output { text, aside: Vec::new() })
}

fn text(entries: &[JudgedEntry], all: bool, words: &Words) -> String {
    let mut paper = Paragraphs::new(terminal::width());
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
        let struck = if *stands { "" } else { " (taken back)" };
        let line = format!("{} {day} {time}: {what}{note}{struck}", entry.id.short());
        paper.say("", 9, &line);
    }
    if entries.is_empty() {
        paper.say("", 0, "Nothing is noted yet.");
    }
    paper.finish()
}

fn object(entries: &[JudgedEntry]) -> Result<String, Failure> {
    let row = |k: &JudgedEntry| -> Result<Value, Failure> {
        let mut row = serde_json::to_value(NoteRow::from_item(&k.entry)).map_err(Failure::bug)?;
        row["stands"] = json!(k.stands);
        Ok(row)
    };
    let notes = entries.iter().map(row).collect::<Result<Vec<_>, _>>()?;
    Ok(format!("{:#}\n", json!({"layout": 1, "notes": notes})))
}
