//! Writing into the diary from the pages: covers ticked off, readings, what was seen, and taking back.

use ::diary::Id;
use ::diary::entry::{Act, Cover, Entry, Extreme, Place, Placement, SheetState, Sighting, What};
use ::diary::keyword::Keyword as _;
use axum::extract::{Form, Query, State};
use axum::response::Response;
use garden::Garden;
use quantities::Moment;
use quantities::UnitSystem;
use quantities::units::celsius_from_fahrenheit;
use serde::Deserialize;

use crate::diary::{new_id, unlikely};
use crate::exit::{Exit, Failure};
use crate::format::{GardenFormat, number};
use crate::pages::App;
use crate::pages::diary;
use crate::pages::note_form::{Note, moment};
use crate::pages::page::{on_to, trouble};
use crate::pages::tonight::Asked;

/// A cover ticked off.
#[derive(Deserialize)]
pub struct CoverForm {
    id: String,
    bed: String,
    #[serde(default)]
    sheet: String,
    #[serde(default)]
    layers: String,
    #[serde(default)]
    placement: String,
    act: String,
    /// How long ago it was done, s, where a phone kept it until it could send it; empty: just now.
    #[serde(default)]
    ago: String,
    #[serde(default)]
    back: String,
}

/// What a phone kept longer than this before it sent it is not taken, s: by then the diary may tell another story.
const LONGEST_KEPT_S: i64 = 48 * 3600;

/// `POST /cover`.
pub async fn cover(
    State(app): State<App>,
    Query(asked): Query<Asked>,
    Form(form): Form<CoverForm>,
) -> Response {
    let now = app.planner.clock.now();
    let read = || {
        let act = Act::from_keyword(&form.act).ok_or_else(|| not("what was done", &form.act))?;
        let sheet = Some(form.sheet.clone()).filter(|s| !s.is_empty());
        let layers = form.layers.parse().ok();
        let placement = Placement::from_keyword(&form.placement);
        let cover = Cover { bed: form.bed.clone(), sheet, layers, placement };
        let what = What::Cover { act, cover };
        let at = done_at(&form.ago, now)?;
        Ok(Entry { id: id(&form.id)?, at, written: now, what, note: None })
    };
    let entry = match read() {
        Ok(entry) => entry,
        Err(f) => return trouble(&app, &f),
    };
    match app.writer.add(entry).await {
        Ok(()) if asked.by == "person" => on_to("/?by=person"),
        Ok(()) => on_to(&form.back),
        Err(f) => trouble(&app, &f),
    }
}

/// When something was done that was sent `ago` seconds later. Seconds and not a time of day: no phone's clock need be right.
fn done_at(ago: &str, now: Moment) -> Result<Moment, Failure> {
    if ago.is_empty() {
        return Ok(now);
    }
    let seconds: i64 = ago.parse().map_err(|_| not("a number of seconds", ago))?;
    if seconds < 0 {
        return Err(Failure::new(Exit::Usage, "That is still to come."));
    }
    if seconds > LONGEST_KEPT_S {
        let told = "This was done more than two days ago. Write it down on the page Diary, with its day and time.";
        return Err(Failure::new(Exit::Usage, told));
    }
    Ok(now.plus_seconds(-seconds))
}

/// What is to be taken back.
#[derive(Deserialize)]
pub struct Back {
    id: String,
    #[serde(default)]
    back: String,
}

/// `POST /undo`.
pub async fn undo(State(app): State<App>, Form(form): Form<Back>) -> Response {
    let now = app.planner.clock.now();
    let undone = async {
        let (strikes, id) = (id(&form.id)?, new_id()?);
        app.writer.ask(move |d| d.undo_once(&strikes, id, now)).await
    };
    match undone.await {
        Ok(()) => {
            // What was taken back may lie on a bed in the plan: that one no longer holds.
            app.planner.nudge();
            on_to(&form.back)
        }
        Err(f) => trouble(&app, &f),
    }
}

/// `POST /diary`.
pub async fn note(State(app): State<App>, Form(form): Form<Note>) -> Response {
    let evening = app.planner.evening();
    let Some(garden) = evening.garden else { return on_to("/") };
    let entry = match entry(&form, &garden, app.planner.clock.now()) {
        Ok(entry) => entry,
        Err((field, fault)) => return diary::again(&app, form, field, fault).await,
    };
    if form.anyway.is_empty() {
        let (asked, words) = (entry.clone(), GardenFormat::new(garden.units, &garden.zone));
        let kept = app.writer.entries();
        match app.writer.ask(move |d| unlikely::told(d, &kept, &asked, &words)).await {
            Ok(None) => {}
            Ok(Some(told)) => {
                let told = format!("{told}. Look once more.");
                return diary::again(&app, form, diary::UNLIKELY, told).await;
            }
            Err(f) => return trouble(&app, &f),
        }
    }
    match app.writer.add(entry).await {
        Ok(()) => on_to("/diary#kept"),
        Err(f) => trouble(&app, &f),
    }
}

/// The entry a form stands for, or the field that is wrong and why.
fn entry(form: &Note, garden: &Garden, now: Moment) -> Result<Entry, (&'static str, String)> {
    let some = |text: &str| Some(text.trim().to_owned()).filter(|t| !t.is_empty());
    let bed = || some(&form.bed).ok_or_else(|| ("bed", "Which bed?".to_owned()));
    let sheet = || some(&form.sheet).ok_or_else(|| ("sheet", "Which sheet?".to_owned()));
    let act = |act| Ok(What::Cover { act, cover: Cover::named(bed()?, some(&form.sheet)) });
    let reading = |extreme| {
        let place = if form.place == "under" {
            Place::Under { bed: bed()?, sheet: some(&form.sheet) }
        } else {
            Place::Open { bed: some(&form.bed) }
        };
        Ok(What::Reading { extreme, celsius: celsius(form, garden.units)?, place })
    };
    let what = match form.kind.as_str() {
        "minimum" => reading(Extreme::Minimum)?,
        "maximum" => reading(Extreme::Maximum)?,
        "now" => reading(Extreme::Now)?,
        "covered" => act(Act::Covered)?,
        "opened" => act(Act::Opened)?,
        "half-open" => act(Act::HalfOpen)?,
        "vented" => act(Act::Vented)?,
        "loss" => What::Seen { sighting: Sighting::Loss(share(&form.percent)?), bed: bed()? },
        "snow" => What::Seen { sighting: Sighting::SnowBrushed, bed: bed()? },
        "voles" => What::Seen { sighting: Sighting::Voles, bed: bed()? },
        "damaged" => What::Sheet { state: SheetState::Damaged, sheet: sheet()? },
        "retired" => What::Sheet { state: SheetState::Retired, sheet: sheet()? },
        _ => return Err(("kind", "What happened?".into())),
    };
    let at = moment(&form.day, &form.time, garden, now)?;
    let id = id(&form.id).map_err(|f| ("kind", f.message))?;
    let entry = Entry { id, at, written: now, what, note: None }.with_note(some(&form.words));
    entry.check().map_err(|w| (field(w.column), format!("Expected {}.", w.expected)))?;
    Ok(entry)
}

/// The field of a column.
fn field(column: &str) -> &'static str {
    match column {
        "bed" => "bed",
        "sheet" => "sheet",
        "temperature_c" => "degrees",
        "share" => "percent",
        "at" => "day",
        "note" => "words",
        _ => "kind",
    }
}

fn celsius(form: &Note, units: UnitSystem) -> Result<f64, (&'static str, String)> {
    let fault = || ("degrees", "A temperature is a number, such as 28.".to_owned());
    let given = number(&form.degrees).ok_or_else(fault)?;
    let given = if form.below.is_empty() { given } else { -given.abs() };
    Ok(match units {
        UnitSystem::Us => celsius_from_fahrenheit(given),
        UnitSystem::Metric => given,
    })
}

fn share(text: &str) -> Result<f64, (&'static str, String)> {
    let percent = number(text).filter(|p| (0.0..=100.0).contains(p));
    let fault = || ("percent", "How much was lost, from 0 to 100 in a hundred?".to_owned());
    Ok(percent.ok_or_else(fault)? / 100.0)
}

fn id(text: &str) -> Result<Id, Failure> {
    if text.is_empty() {
        return new_id();
    }
    Id::try_from(text.to_owned()).map_err(|e| Failure::new(Exit::Usage, e))
}

fn not(what: &str, found: &str) -> Failure {
    Failure::new(Exit::Usage, format!("`{found}` is not {what}"))
}
