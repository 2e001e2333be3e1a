//! `/evening.ics`: the evening for a phone's calendar, and the page that tells the address.

use askama::Template;
use axum::extract::{Extension, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse as _, Response};
use jiff::Timestamp;
use serde::Deserialize;

use crate::answers::calendar::calendar;
use crate::answers::tonight::events;
use crate::answers::upkeep::events::of_upkeep;
use crate::exit::Failure;
use crate::machines::token;
use crate::pages::App;
use crate::pages::auth::Stranger;
use crate::pages::folder::garden_file;
use crate::pages::page::{Head, nothing_here, ok, on_to, trouble};

/// Where the calendar is.
pub const PATH: &str = "/evening.ics";

/// What a calendar shows in place of the password.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct Shown {
    token: String,
}

/// `GET /evening.ics`: by the password, or by the token that the page told.
pub async fn evening(
    State(app): State<App>,
    stranger: Option<Extension<Stranger>>,
    Query(shown): Query<Shown>,
) -> Response {
    if stranger.is_some() {
        let own = token::of_calendar(&garden_file(&app.planner.folder));
        if !own.is_some_and(|own| token::same(&own, &shown.token)) {
            return (StatusCode::FORBIDDEN, "that is not the calendar's token\n").into_response();
        }
    }
    let evening = app.planner.evening();
    let Some(garden) = evening.garden else { return nothing_here(&app) };
    let now = app.planner.clock.now();
    // A plan that is kept on the page for the morning is still of the evening before.
    let report = evening.report.filter(|r| now < r.weather.night.end);
    let mut events = events::of_evening(&garden, report.as_deref(), now);
    events.extend(of_upkeep(&garden, &app.writer.entries(), report.as_deref(), now));
    let made = Timestamp::from_second(now.0).unwrap_or_default();
    let text = calendar(&format!("{}, evenings", garden.name), made, &events);
    ([(header::CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response()
}

#[derive(Template)]
#[template(path = "calendar.html")]
struct Page {
    head: Head,
    address: String,
    /// Whether others on the network reach it.
    reached: bool,
}

/// `GET /calendar`: the address to subscribe to.
pub async fn page(State(app): State<App>, headers: HeaderMap) -> Response {
    if app.planner.evening().garden.is_none() {
        return on_to("/");
    }
    let host = headers.get(header::HOST).and_then(|h| h.to_str().ok()).unwrap_or_default();
    let mut address = format!("http://{host}{PATH}");
    let reached = app.auth.locked();
    if reached {
        match token::of_calendar(&garden_file(&app.planner.folder)) {
            Some(token) => address += &format!("?token={token}"),
            None => return trouble(&app, &Failure::bug("the calendar has no token")),
        }
    }
    ok(&Page { head: Head::new(&app, "/nights", "Calendar"), address, reached })
}
