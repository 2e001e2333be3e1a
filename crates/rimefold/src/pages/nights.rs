//! *Nights ahead*: all nights as one plan, as a picture and in words; then each bed night by night.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use evening::week::report::WeekReport;
use garden::Garden;

use crate::answers::ahead::{self, Night, Row};
use crate::answers::week::{self, Key, Work};
use crate::format::GardenFormat;
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
    plan: Option<Plan>,
}

/// The nights as one plan.
struct Plan {
    picture: String,
    /// Letter and cover.
    key: Vec<(char, String)>,
    /// When, and what to move then.
    moves: Vec<(&'static str, String)>,
    short: Vec<String>,
    proof: String,
}

/// `GET /nights`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::new(&app, "/nights", "Nights ahead") };
    let planned = evening.planned_for.as_ref().zip(evening.week.as_ref());
    let table = planned.and_then(|(g, w)| Some((g, w, ahead::table(w, g)?)));
    let Some((garden, report, ahead)) = table else {
        let (caption, chart) = Default::default();
        let (nights, rows) = (Vec::new(), Vec::new());
        return ok(&Page { head, caption, chart, nights, rows, plan: None });
    };
    let words = GardenFormat::new(garden.units, &garden.zone);
    ok(&Page {
        caption: ahead.caption,
        chart: ahead::svg::draw(&report.nights, &words),
        nights: ahead.nights,
        rows: ahead.rows,
        plan: Some(plan(report, garden, &words)),
        head,
    })
}

fn plan(report: &WeekReport, garden: &Garden, words: &GardenFormat) -> Plan {
    let key = Key::new(report, garden);
    let said = |(work, minutes): (Vec<Work>, f64)| {
        let all: Vec<String> =
            work.iter().map(|w| format!("{} {}", w.what, w.beds.join(", "))).collect();
        if all.is_empty() {
            return "nothing to move".to_owned();
        }
        format!("{}; {minutes:.0} person-minutes", all.join("; "))
    };
    let p = &report.proof;
    Plan {
        picture: week::svg::draw(report, &key, words),
        key: key.lines().into_iter().map(|(c, w)| (c, w.to_owned())).collect(),
        moves: vec![
            ("Tonight", said(week::evening(report, &key, 0))),
            ("In the morning", said(week::morning(report, &key, 0))),
        ],
        short: report.short.iter().map(|s| week::saving(s, garden)).collect(),
        proof: format!(
            "Expected loss and work {:.0}; all left as it lies at least {:.0}; no plan costs under {:.0}.",
            p.cost, p.left_alone, p.bound
        ),
    }
}
