//! *How it knows*: where the numbers come from, what the model is known to miss, and its record in this garden.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use crate::answers::tonight::wording::PlanWording;
use crate::format::GardenFormat;
use crate::pages::diary::Record;
use crate::pages::page::{Head, ok};
use crate::pages::{App, diary};

#[derive(Template)]
#[template(path = "knows.html")]
struct Page {
    head: Head,
    tonight: Vec<String>,
    record: Record,
    version: &'static str,
    model: u32,
}

/// `GET /knows`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let mut tonight = Vec::new();
    if let (Some(report), Some(garden)) = (&evening.report, &evening.planned_for) {
        let told = PlanWording::new(report, garden);
        tonight.push(told.weather());
        tonight.extend(report.weather.notices.iter().chain(&report.weather.doubts).cloned());
        tonight.push(told.sure());
    }
    let head = Head::new(&app, "/knows", "How it knows");
    let record = match &evening.garden {
        Some(garden) => {
            let words = GardenFormat::new(garden.units, &garden.zone);
            diary::record(&app, garden, &words).await
        }
        None => Record::default(),
    };
    let version = env!("CARGO_PKG_VERSION");
    ok(&Page { head, tonight, record, version, model: evening::MODEL })
}
