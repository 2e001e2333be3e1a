//! A first garden by form: the questions that `rimefold new` asks.

use askama::Template;
use axum::extract::{Form, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use garden::garden::{Exposure, Texture};
use garden::schema::words::{Choice, Worded as _};
use garden::template::{Answers, write};
use garden::towns::{self, Town};
use quantities::UnitSystem;
use serde::Deserialize;

use crate::answers::check;
use crate::exit::{Exit, Failure};
use crate::format;
use crate::outside::files;
use crate::pages::App;
use crate::pages::folder::garden_file;
use crate::pages::page::{Head, on_to, show, trouble};

/// What the form sends.
#[derive(Clone, Debug, Deserialize)]
#[serde(default)]
pub struct Given {
    name: String,
    units: String,
    latitude: String,
    longitude: String,
    elevation: String,
    zone: String,
    soil: String,
    exposure: String,
    people: String,
    minutes: String,
    beds: String,
}

impl Default for Given {
    fn default() -> Self {
        let text = |s: &str| s.to_owned();
        Self {
            name: text(""),
            units: text("us"),
            latitude: text(""),
            longitude: text(""),
            elevation: text(""),
            zone: text(""),
            soil: text("loam"),
            exposure: text("open"),
            people: text("1"),
            minutes: text("30"),
            beds: text("2"),
        }
    }
}

impl Given {
    /// What a town tells; its height above the sea it does not.
    fn near(town: &Town) -> Self {
        Self {
            units: if town.is_us() { "us" } else { "metric" }.to_owned(),
            latitude: town.latitude_deg.to_string(),
            longitude: town.longitude_deg.to_string(),
            zone: town.zone.to_owned(),
            ..Self::default()
        }
    }
}

#[derive(Template)]
#[template(path = "begin.html")]
struct Page {
    head: Head,
    given: Given,
    faults: Vec<(&'static str, String)>,
    /// Towns to choose from.
    found: Vec<Town>,
    /// The town that was chosen.
    meant: Option<Town>,
    /// Whether no town is called so.
    nothing: bool,
}

impl Page {
    fn fault(&self, field: &str) -> Option<&str> {
        self.faults.iter().find(|f| f.0 == field).map(|f| f.1.as_str())
    }

    fn soils(&self) -> &'static [Choice] {
        Texture::CHOICES
    }

    fn exposures(&self) -> &'static [Choice] {
        Exposure::CHOICES
    }
}

/// Most towns of a name that are shown.
const TOWNS_SHOWN: usize = 12;

/// What the search for a town sends: the words, or the row of the one that was meant.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Search {
    town: String,
    row: String,
}

/// `GET /begin`.
pub async fn page(State(app): State<App>, Query(search): Query<Search>) -> Response {
    if app.garden_is_there() {
        return on_to("/");
    }
    let head = Head::new(&app, "", "A new garden");
    let mut found = towns::called(&search.town, TOWNS_SHOWN);
    let meant = search.row.parse().ok().and_then(Town::of_row);
    // One town of that name needs no choosing.
    let meant = meant.or_else(|| if let [one] = found[..] { Some(one) } else { None });
    if meant.is_some() {
        found.clear();
    }
    let nothing = !search.town.trim().is_empty() && found.is_empty() && meant.is_none();
    let given = meant.map_or_else(Given::default, |t| Given::near(&t));
    show(StatusCode::OK, &Page { head, given, faults: Vec::new(), found, meant, nothing })
}

/// `POST /begin`.
pub async fn make(State(app): State<App>, Form(given): Form<Given>) -> Response {
    let again = |faults: Vec<(&'static str, String)>| {
        let head = Head::new(&app, "", "A new garden");
        let (found, meant, nothing) = (Vec::new(), None, false);
        let page = Page { head, given: given.clone(), faults, found, meant, nothing };
        show(StatusCode::UNPROCESSABLE_ENTITY, &page)
    };
    let answers = match answers(&given) {
        Ok(answers) => answers,
        Err(faults) => return again(faults),
    };
    if app.garden_is_there() {
        // Sent twice, or from a page that has been open for long.
        let words = "there is a garden here already; it is left as it is";
        return trouble(&app, &Failure::new(Exit::Usage, words));
    }
    let text = write(&answers);
    if let Some(fault) = garden::file::read(&text).faults.first() {
        return again(vec![("name", format!("{}; expected {}", fault.message, fault.expected))]);
    }
    if let Err(f) = files::write_new(&garden_file(&app.planner.folder), &text) {
        return trouble(&app, &f);
    }
    match check::load_garden(&garden_file(&app.planner.folder)) {
        Ok((garden, warnings)) => app.planner.take_up(garden, warnings),
        Err(f) => return trouble(&app, &f),
    }
    on_to("/beds")
}

/// The answers, or every field that is wrong and why.
fn answers(g: &Given) -> Result<Answers, Vec<(&'static str, String)>> {
    let mut faults = Vec::new();
    let mut number = |field: &'static str, text: &str, least: f64, most: f64, what: &str| {
        let read = match field {
            "latitude" => format::degrees(text, format::LATITUDE_SIDES),
            "longitude" => format::degrees(text, format::LONGITUDE_SIDES),
            _ => format::number(text),
        };
        let x = read.filter(|x| (least..=most).contains(x));
        if x.is_none() {
            faults.push((field, format!("{what}, from {least} to {most}.")));
        }
        x.unwrap_or(0.0)
    };
    let us = g.units != "metric";
    let (low, high) = if us { (-1410.0, 16_400.0) } else { (-430.0, 5000.0) };
    let answers = Answers {
        name: g.name.trim().to_owned(),
        units: if us { UnitSystem::Us } else { UnitSystem::Metric },
        latitude: number(
            "latitude",
            &g.latitude,
            -66.0,
            66.0,
            "Degrees north, or 45.85 S for the south",
        ),
        longitude: number(
            "longitude",
            &g.longitude,
            -180.0,
            180.0,
            "Degrees east, or 90.9 W for the west",
        ),
        elevation: number("elevation", &g.elevation, low, high, "Height above the sea"),
        zone: g.zone.trim().to_owned(),
        soil: g.soil.clone(),
        exposure: g.exposure.clone(),
        people: number("people", &g.people, 1.0, 50.0, "A whole number").round() as u32,
        minutes: number("minutes", &g.minutes, 0.0, 600.0, "Minutes"),
        beds: number("beds", &g.beds, 1.0, 200.0, "A whole number").round() as u32,
    };
    if answers.name.is_empty() {
        faults.push(("name", "Give it a name.".into()));
    }
    if jiff::tz::TimeZone::get(&answers.zone).is_err() {
        faults.push(("zone", "A name such as America/Chicago or Europe/Paris.".into()));
    }
    if Texture::from_word(&answers.soil).is_none() {
        faults.push(("soil", "One of those listed.".into()));
    }
    if Exposure::from_word(&answers.exposure).is_none() {
        faults.push(("exposure", "One of those listed.".into()));
    }
    if faults.is_empty() { Ok(answers) } else { Err(faults) }
}
