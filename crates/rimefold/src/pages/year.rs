//! *Year*: frost dates, windows of every planting, what the hoops carry by month; worked out once, in the background.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use garden::Garden;
use history::year::USUAL_RISK;

use crate::answers::station;
use crate::answers::year::{self, Answer, Question, text};
use crate::exit::Failure;
use crate::format::{GardenFormat, count};
use crate::outside::files::{self, Stamp};
use crate::pages::App;
use crate::pages::folder::garden_file;
use crate::pages::meanwhile::{self, Work};
use crate::pages::page::{Head, TroublePage, ok, on_to, rendered};
use crate::pages::planner::Trouble;

/// Frosts that the chart shows, °C: of the ground, of the air, and two harder ones.
const FROSTS_C: [f64; 4] = [2.0, 0.0, -2.0, -4.0];

/// What a year was made from: the garden, the record and when that was written.
type Made = (Arc<Garden>, PathBuf, Option<Stamp>);

/// The year, kept until garden or record change.
#[derive(Clone, Default)]
pub struct YearCache(Arc<Mutex<Kept>>);

#[derive(Default)]
struct Kept {
    of: Option<Made>,
    year: Option<Result<Arc<Shown>, Trouble>>,
    step: Step,
    working: bool,
}

/// How many of how many steps are done.
type Step = (usize, usize);

/// The year as it is shown.
struct Shown {
    frost: String,
    strips: Vec<(String, String)>,
    key: String,
    lead: String,
    plantings: Vec<(String, Vec<String>)>,
    rests: Vec<String>,
}

impl YearCache {
    fn lock(&self) -> MutexGuard<'_, Kept> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The main part of the page, or how far it is; begins the work where what is there is old or nothing.
    fn look(&self, garden: Arc<Garden>, file: &Path, station: &Path) -> Work {
        let made = (garden, station.to_owned(), files::stamp(station));
        let mut kept = self.lock();
        if kept.working {
            return Work::Moving(kept.step.0, kept.step.1);
        }
        match &kept.year {
            Some(year) if kept.of.as_ref() == Some(&made) => {
                let year = year.clone();
                return Work::Done(rendered(&Body { year }));
            }
            _ => {}
        }
        kept.of = Some(made.clone());
        kept.working = true;
        kept.step = (0, 1);
        let (cache, file) = (self.clone(), file.to_owned());
        std::thread::spawn(move || {
            let told = |done: usize, of: usize| cache.lock().step = (done, of);
            let made_year =
                catch_unwind(AssertUnwindSafe(|| make(&made.0, (&file, &made.1), &told)));
            let year = made_year.unwrap_or_else(|_| Err(Failure::bug("the year broke off")));
            let mut kept = cache.lock();
            kept.year = Some(year.map(Arc::new).map_err(Trouble::from));
            kept.working = false;
        });
        Work::Moving(0, 1)
    }
}

fn make(
    garden: &Garden,
    (file, station): (&Path, &Path),
    progress: &(dyn Fn(usize, usize) + Sync),
) -> Result<Shown, Failure> {
    let bytes = files::read_record(station)?;
    let record = station::parse(station, &bytes, garden)?;
    let question = Question { years: None, only: None, risk: USUAL_RISK, seed: 1 };
    let place = year::place(file, &bytes, &question);
    // Where it cannot be kept it is worked out again after the next start.
    let answer = year::plan_year(garden, &record, &question, &place, progress, &mut Vec::new())?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let latitude = record.station.latitude_deg.unwrap_or(garden.place.latitude_deg);
    Ok(Shown {
        frost: station::svg::draw(&record, &FROSTS_C, (latitude, answer.new_year), &words),
        strips: year::svg::strips(&answer),
        key: year::svg::key(),
        lead: lead(&answer),
        plantings: plantings(&answer),
        rests: text::rests(&answer),
    })
}

fn lead(a: &Answer) -> String {
    let station = a.station.as_deref().map_or_else(String::new, |s| format!(" of {s}"));
    format!(
        "From {}{station}, {}, each run again through this garden’s beds. Harm is risked in {}.",
        count(a.year.years.len(), "year"),
        a.span(),
        a.risk()
    )
}

fn plantings(a: &Answer) -> Vec<(String, Vec<String>)> {
    let mut out = Vec::new();
    for b in &a.year.beds {
        for (i, p) in b.plantings.iter().enumerate() {
            let mut lines = text::planting(a, b, p);
            if i + 1 == b.plantings.len() {
                lines.extend(text::carried(a, b));
            }
            out.push((a.name(b.bed, p.planting), lines));
        }
    }
    out
}

#[derive(Template)]
#[template(path = "year.html")]
struct Page {
    head: Head,
    body: String,
}

#[derive(Template)]
#[template(path = "year_body.html")]
struct Body {
    year: Result<Arc<Shown>, Trouble>,
}

/// `GET /year`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let Some(garden) = evening.garden else { return on_to("/") };
    let file = garden_file(&app.planner.folder);
    let head = Head::new(&app, "/year", "Year");
    let Some(station) = files::station(&file) else {
        let lines = [
            "The year needs the record of a weather station near you: one line a day with lowest and highest, thirty years if you can.",
            "Bring its file here, or let the program find and fetch one:",
        ];
        let exact = "rimefold station find GARDEN\nrimefold station fetch GARDEN ID".to_owned();
        return ok(&TroublePage::new(head, &lines, Some(exact), &[("/station", "Bring a record")]));
    };
    let look = move || {
        // The garden that the pages know by then.
        let now = app.planner.evening().garden.unwrap_or_else(|| Arc::clone(&garden));
        app.year.look(now, &file, &station)
    };
    match look() {
        Work::Done(body) => ok(&Page { head, body }),
        Work::Moving(..) => {
            let page = rendered(&Page { head, body: meanwhile::HERE.to_owned() });
            let why = "The years of the record are being run again through this garden’s beds.";
            meanwhile::send(&page, why, look)
        }
    }
}
