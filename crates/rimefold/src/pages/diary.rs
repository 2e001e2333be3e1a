//! *Diary*: what happened here, with forms to write it down and to take it back; how well what was said has held.

use std::sync::Arc;

use ::diary::entries::JudgedEntry;
use ::diary::entry::What;
use ::diary::{Diary, Error, Id, exchange};
use askama::Template;
use axum::extract::{Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use garden::Garden;
use serde::Deserialize;

use crate::answers::skill;
use crate::diary::{describe, verdict};
use crate::format::GardenFormat;
use crate::pages::App;
use crate::pages::note_form::Note;
use crate::pages::page::{self, Head, ok, on_to, show, trouble};

/// Entries shown at first, and nights compared.
const SHOWN: usize = 40;
const NIGHTS: usize = 14;

/// What is wrong with a reading that is far colder than anything near: it may be right all the same.
pub const UNLIKELY: &str = "unlikely";

#[derive(Template)]
#[template(path = "diary.html")]
struct Page {
    head: Head,
    degree: &'static str,
    beds: Vec<String>,
    sheets: Vec<String>,
    today: String,
    given: Note,
    fault: Option<(&'static str, String)>,
    fresh: String,
    lines: Vec<Line>,
    more: usize,
    record: Record,
}

/// One entry.
struct Line {
    when: String,
    what: String,
    note: Option<String>,
    id: Id,
    short: String,
    stands: bool,
}

impl Page {
    /// What was given in a field of a form, where that form was sent.
    fn v(&self, group: &str, field: &str) -> &str {
        if self.given.group != group {
            return if field == "day" { &self.today } else { "" };
        }
        let g = &self.given;
        match field {
            "kind" => &g.kind,
            "bed" => &g.bed,
            "sheet" => &g.sheet,
            "degrees" => &g.degrees,
            "below" => &g.below,
            "place" => &g.place,
            "percent" => &g.percent,
            "day" => &g.day,
            "time" => &g.time,
            "words" => &g.words,
            _ => "",
        }
    }

    /// What is wrong with it.
    fn wrong(&self, group: &str, field: &str) -> Option<&str> {
        let here = |at: &str| at == field || at == UNLIKELY && field == "degrees";
        self.fault.as_ref().filter(|f| self.given.group == group && here(f.0)).map(|f| f.1.as_str())
    }

    /// Whether a reading is asked about.
    fn asks(&self) -> bool {
        self.fault.as_ref().is_some_and(|f| f.0 == UNLIKELY)
    }
}

/// What an address of the diary may ask.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    all: Option<String>,
}

/// `GET /diary`.
pub async fn page(State(app): State<App>, Query(asked): Query<Asked>) -> Response {
    match made(&app, Note::default(), None, asked.all.is_some()).await {
        Some(page) => ok(&page),
        None => on_to("/"),
    }
}

/// The page again with what was given and what is wrong with it.
pub async fn again(app: &App, given: Note, field: &'static str, fault: String) -> Response {
    match made(app, given, Some((field, fault)), false).await {
        Some(page) => show(StatusCode::UNPROCESSABLE_ENTITY, &page),
        None => on_to("/"),
    }
}

async fn made(
    app: &App,
    given: Note,
    fault: Option<(&'static str, String)>,
    all: bool,
) -> Option<Page> {
    let garden = app.planner.evening().garden?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let entries = app.writer.entries();
    let told = entries.iter().rev().filter(|k| !matches!(k.entry.what, What::Undo { .. }));
    let count = told.clone().count();
    let most = if all { usize::MAX } else { SHOWN };
    let fresh = if given.id.is_empty() { page::fresh() } else { given.id.clone() };
    let record = record(app, &garden, &words).await;
    Some(Page {
        head: Head::new(app, "/diary", "Diary"),
        degree: words.degree(),
        beds: garden.beds.iter().map(|b| b.name.clone()).collect(),
        sheets: covers(&garden),
        today: words.iso_date(app.planner.clock.now()),
        given,
        fault,
        fresh,
        lines: told.take(most).map(|k| line(k, &words)).collect(),
        more: count.saturating_sub(most),
        record,
    })
}

/// Names of every sheet and pop-up tunnel.
fn covers(garden: &Garden) -> Vec<String> {
    let sheets = garden.stock.sheets.iter().map(|s| s.name.clone());
    sheets.chain(garden.stock.pop_ups.iter().map(|p| p.name.clone())).collect()
}

fn line(kept: &JudgedEntry, words: &GardenFormat) -> Line {
    let e = &kept.entry;
    Line {
        when: words.day(e.at),
        what: describe::what(e, words),
        note: e.note.clone(),
        id: e.id.clone(),
        short: e.id.short().to_owned(),
        stands: kept.stands,
    }
}

/// How well what was said has held.
#[derive(Default)]
pub struct Record {
    /// The last nights drawn.
    pub chart: Option<String>,
    /// What it comes to.
    pub verdicts: Vec<String>,
    /// The last nights in words, newest first.
    pub nights: Vec<String>,
}

/// How well what was said has held in this garden.
pub async fn record(app: &App, garden: &Arc<Garden>, words: &GardenFormat) -> Record {
    let zone = words.zone.clone();
    match app.writer.skill(zone).await {
        Ok(skill) => {
            let from = skill.nights.len().saturating_sub(NIGHTS);
            Record {
                chart: skill::svg::draw(&skill.nights[from..], words),
                verdicts: verdict::verdicts(&skill, garden, words),
                nights: verdict::nights(&skill, words).into_iter().rev().take(NIGHTS).collect(),
            }
        }
        Err(f) => Record {
            verdicts: vec![format!("The diary cannot be read: {}", f.message)],
            ..Record::default()
        },
    }
}

/// `GET /diary.csv`: the notes; forecasts and plans are in the JSON.
pub async fn csv(State(app): State<App>) -> Response {
    let write = |d: &Diary| {
        let [(_, notes), ..] = exchange::csv::write(&d.everything()?)?;
        Ok(notes)
    };
    file(&app, write, "text/csv; charset=utf-8", "diary.csv").await
}

/// `GET /diary.json`: all of it.
pub async fn json(State(app): State<App>) -> Response {
    let write = |d: &Diary| exchange::json::write(&d.everything()?);
    file(&app, write, "application/json", "diary.json").await
}

async fn file(
    app: &App,
    write: fn(&Diary) -> Result<String, Error>,
    kind: &'static str,
    name: &str,
) -> Response {
    match app.writer.ask(move |d| write(d)).await {
        Ok(text) => {
            let mut response = text.into_response();
            let headers = response.headers_mut();
            headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
            if let Ok(as_file) = HeaderValue::from_str(&format!("attachment; filename=\"{name}\""))
            {
                headers.insert(header::CONTENT_DISPOSITION, as_file);
            }
            response
        }
        Err(f) => trouble(app, &f),
    }
}
