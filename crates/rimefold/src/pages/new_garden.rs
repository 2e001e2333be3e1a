//! A first garden by form: the questions that `rimefold new` asks.

use askama::Template;
use axum::extract::{Form, State};
use axum::http::StatusCode;
use axum::response::Response;
use garden::garden::{Exposure, Texture};
use garden::schema::words::{Choice, Worded as _};
use garden::template::{Answers, write};
use quantities::{UnitSystem, units};
use serde::Deserialize;

use crate::answers::check;
use crate::answers::towns::{self, Town};
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
    bed_length: String,
    bed_width: String,
    /// A town as it was typed.
    town: String,
    /// The town that was picked, by its label; or `typed`, or `here`.
    find: String,
    /// Height above the sea as the browser knows it, metres.
    high: String,
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
            bed_length: text(""),
            bed_width: text(""),
            town: text(""),
            find: text(""),
            high: text(""),
        }
    }
}

#[derive(Template)]
#[template(path = "begin.html")]
struct Page {
    head: Head,
    given: Given,
    /// Towns to choose from.
    towns: Vec<String>,
    /// What was filled in.
    found: Option<String>,
    faults: Vec<(&'static str, String)>,
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

/// `GET /begin`.
pub async fn page(State(app): State<App>) -> Response {
    if app.garden_is_there() {
        return on_to("/");
    }
    let head = Head::new(&app, "", "A new garden");
    let (towns, faults) = Default::default();
    show(StatusCode::OK, &Page { head, given: Given::default(), towns, found: None, faults })
}

/// `POST /begin`.
pub async fn make(State(app): State<App>, Form(mut given): Form<Given>) -> Response {
    // Enter in the town's field asks for the town.
    if given.latitude.trim().is_empty() && !given.town.trim().is_empty() && given.find.is_empty() {
        given.find = "typed".to_owned();
    }
    let again = |faults: Vec<(&'static str, String)>| {
        let head = Head::new(&app, "", "A new garden");
        let page = Page { head, given: given.clone(), towns: Vec::new(), found: None, faults };
        show(StatusCode::UNPROCESSABLE_ENTITY, &page)
    };
    if !given.find.is_empty() {
        return look_up(&app, given);
    }
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

/// The same form with the place filled in, or with the towns of that name to choose from.
fn look_up(app: &App, mut given: Given) -> Response {
    let (mut towns, mut found, mut faults) = (Vec::new(), None, Vec::new());
    let asked = std::mem::take(&mut given.find);
    let place = match asked.as_str() {
        "here" => format::place(&format!("{} {}", given.latitude, given.longitude)),
        "typed" => format::place(&given.town),
        _ => None,
    };
    match place {
        Some([latitude, longitude]) => {
            let town = towns::nearest(latitude, longitude);
            fill(&mut given, [latitude, longitude], town);
            found = Some("Filled in from the place.".to_owned());
        }
        None => {
            let named = if asked == "typed" { &given.town } else { &asked };
            let several = towns::find(named);
            match several.as_slice() {
                [] => faults.push(("town", "No town of 10,000 people or more is called so. Take a larger one near you, or write latitude and longitude, such as 45.85 S, 170.5 E.".to_owned())),
                [town, rest @ ..] if rest.is_empty() || town.label() == *named => {
                    given.town = town.label();
                    found = Some(format!("Filled in from {}.", town.label()));
                    fill(&mut given, [town.latitude, town.longitude], Some(*town));
                }
                several => towns = several.iter().map(Town::label).collect(),
            }
        }
    }
    if let Some(words) = &mut found {
        words.push_str(if given.elevation.is_empty() {
            " Only the height above the sea is yours to say."
        } else {
            " Look at the height."
        });
    }
    let head = Head::new(app, "", "A new garden");
    show(StatusCode::OK, &Page { head, given, towns, found, faults })
}

/// Fills in what follows from the place.
fn fill(given: &mut Given, [latitude, longitude]: [f64; 2], town: Option<Town>) {
    given.latitude = format!("{latitude}");
    given.longitude = format!("{longitude}");
    if let Some(town) = town {
        given.zone = town.zone.to_owned();
        given.units = town.units.word().to_owned();
    }
    if let Some(metres) = format::number(&given.high) {
        let unit = if given.units == "us" { units::FOOT_M } else { 1.0 };
        given.elevation = format!("{:.0}", metres / unit);
        given.high.clear();
    }
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
    let (longest, narrowest, widest) = if us { (984.0, 4.0, 196.0) } else { (300.0, 10.0, 500.0) };
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
        bed_length: number("bed_length", &g.bed_length, 1.0, longest, "A length"),
        bed_width: number("bed_width", &g.bed_width, narrowest, widest, "A width"),
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
