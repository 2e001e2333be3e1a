//! Bringing a forecast or a station's record: a file that was fetched elsewhere is checked and put beside the garden.

use askama::Template;
use axum::extract::{Form, Multipart, State};
use axum::http::StatusCode;
use axum::response::Response;
use garden::Garden;
use serde::Deserialize;

use crate::answers::station;
use crate::answers::tonight::wrong_place;
use crate::exit::Failure;
use crate::outside::{accepted_place, files, save};
use crate::pages::App;
use crate::pages::folder::garden_file;
use crate::pages::page::{Head, ok, on_to, show, trouble};

/// What may be brought.
struct What {
    title: &'static str,
    text: &'static str,
    label: &'static str,
    path: &'static str,
    back: &'static str,
    /// Why bytes are not what is asked for.
    wrong: fn(&[u8], Option<&Garden>) -> Option<String>,
    /// Puts them where they are looked for.
    put: fn(&App, &[u8]) -> Result<(), Failure>,
}

const FORECAST: What = What {
    title: "Bring a forecast",
    text: "A forecast file for your place: the US National Weather Service’s gridpoint or hourly JSON, MET Norway’s locationforecast JSON, Open-Meteo’s hourly JSON, or a plain hourly CSV. They are told apart by content. It takes the place of the one before.",
    label: "Forecast file",
    path: "/forecast",
    back: "/",
    wrong: |bytes, garden| match weather::read(bytes) {
        _ if bytes.len() as u64 > files::LARGEST => {
            Some(format!("It is larger than {} MB; that is no forecast.", files::LARGEST >> 20))
        }
        Err(e) => Some(format!("This cannot be read as a forecast: {e}")),
        Ok(forecast) => {
            let elsewhere = wrong_place::elsewhere(garden?, &forecast).filter(|e| e.useless)?;
            Some(format!("It is of no use here: {}.", elsewhere.told))
        }
    },
    put: put_forecast,
};

const RECORD: What = What {
    title: "Bring a station’s record",
    text: "The record of a weather station near you, one line a day with lowest and highest, thirty years if you can: GHCN-Daily by station (CSV or .dly), USCRN, or a plain daily CSV. They are told apart by content. The one before is kept beside it with .old after its name.",
    label: "Record file",
    path: "/station",
    back: "/year",
    wrong: |bytes, garden| match weather::station::read(bytes) {
        Err(e) => Some(format!("This cannot be read as a record: {e}")),
        Ok(record) => Some(format!("It does not fit: {}.", station::turned(&record, garden?)?)),
    },
    put: put_record,
};

#[derive(Template)]
#[template(path = "bring.html")]
struct Page {
    head: Head,
    what: &'static What,
    fault: Option<String>,
}

fn made(app: &App, what: &'static What, fault: Option<String>) -> Page {
    Page { head: Head::new(app, what.back, what.title), what, fault }
}

/// `GET /forecast`.
pub async fn forecast(State(app): State<App>) -> Response {
    ok(&made(&app, &FORECAST, None))
}

/// `GET /station`.
pub async fn record(State(app): State<App>) -> Response {
    ok(&made(&app, &RECORD, None))
}

/// `POST /forecast`.
pub async fn take_forecast(State(app): State<App>, parts: Multipart) -> Response {
    take(&app, &FORECAST, parts).await
}

/// What the question for a forecast's place sends.
#[derive(Deserialize)]
pub struct PlaceForm {
    #[serde(default)]
    serves: String,
}

/// `POST /forecast/place`: forecasts for the place that is asked about serve this garden.
pub async fn accept_place(State(app): State<App>, Form(form): Form<PlaceForm>) -> Response {
    let asked = app.planner.evening().asks_place.filter(|_| !form.serves.is_empty());
    let Some(place) = asked else { return on_to("/") };
    match accepted_place::accept(&garden_file(&app.planner.folder), &place) {
        Ok(()) => {
            app.planner.nudge();
            on_to("/")
        }
        Err(f) => trouble(&app, &f),
    }
}

/// `POST /station`.
pub async fn take_record(State(app): State<App>, parts: Multipart) -> Response {
    take(&app, &RECORD, parts).await
}

async fn take(app: &App, what: &'static What, parts: Multipart) -> Response {
    let again =
        |fault: String| show(StatusCode::UNPROCESSABLE_ENTITY, &made(app, what, Some(fault)));
    let bytes = match file(parts).await {
        Ok(bytes) if !bytes.is_empty() => bytes,
        Ok(_) => return again("Choose a file first.".into()),
        Err(fault) => return again(fault),
    };
    let garden = app.planner.evening().garden;
    if let Some(fault) = (what.wrong)(&bytes, garden.as_deref()) {
        return again(fault);
    }
    match (what.put)(app, &bytes) {
        Ok(()) => {
            app.planner.nudge();
            on_to(what.back)
        }
        Err(f) => trouble(app, &f),
    }
}

async fn file(mut parts: Multipart) -> Result<Vec<u8>, String> {
    let lost =
        |e: axum::extract::multipart::MultipartError| format!("The file did not arrive whole: {e}");
    while let Some(part) = parts.next_field().await.map_err(lost)? {
        if part.name() == Some("file") {
            return part.bytes().await.map(Vec::from).map_err(lost);
        }
    }
    Ok(Vec::new())
}

/// Puts a forecast where plans look first, in place of the one before.
fn put_forecast(app: &App, bytes: &[u8]) -> Result<(), Failure> {
    let first = bytes.iter().find(|b| !b.is_ascii_whitespace());
    let name = if matches!(first, Some(b'{' | b'[')) { "forecast.json" } else { "forecast.csv" };
    save::replace(&app.planner.folder.join(name), bytes)?;
    // Only one may lie there, else the older would be read.
    if name == "forecast.csv" {
        save::set_aside(&app.planner.folder.join("forecast.json"))?;
    }
    Ok(())
}

/// Puts a record where the year looks first.
fn put_record(app: &App, bytes: &[u8]) -> Result<(), Failure> {
    save::replace_keeping(&app.planner.folder.join("station.csv"), bytes)
}
