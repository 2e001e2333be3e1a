//! *Nights ahead*: each bed and night, harm left open and under that night's plan.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::answers::ahead::{self, Night, Row};
use crate::format::Words;
use crate::pages::App;
use crate::pages::page::{Head, ok};

#[derive(Template)]
#[template(path = "nights.html")]
struct Page {
    head: Head,
    caption: String,
    chart: String,
    nights: Vec<Night>,
    rows: Vec<Row>,
}

/// `GET /nights`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::new(&app, "/nights", "Nights ahead") };
    let garden = evening.planned_for.as_ref();
    let table = garden.and_then(|g| Some((g, ahead::table(&evening.ahead, g)?)));
    let Some((garden, ahead)) = table else {
        let (caption, chart) = Default::default();
        return ok(&Page { head, caption, chart, nights: Vec::new(), rows: Vec::new() });
    };
    let words = Words::new(garden.units, &garden.zone);
    ok(&Page {
        caption: ahead.caption,
        chart: ahead::svg::draw(&evening.ahead, &words),
        nights: ahead.nights,
        rows: ahead.rows,
        head,
    })
}
