//! *Nights ahead*: each bed and night, harm left open and under that night's plan.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use evening::report::{BedReport, Report};

use crate::draw::nights_svg;
use crate::format::{Words, chance, count};
use crate::pages::App;
use crate::pages::page::{Head, ok};
use crate::sentences::Telling;

#[derive(Template)]
#[template(path = "nights.html")]
struct Page {
    head: Head,
    caption: String,
    chart: String,
    nights: Vec<Night>,
    rows: Vec<Row>,
}

struct Night {
    day: String,
    low: String,
}

struct Row {
    number: usize,
    bed: String,
    cells: Vec<Cell>,
}

struct Cell {
    open: String,
    covered: String,
    what: String,
    cover: bool,
    risk: bool,
}

/// `GET /nights`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::of(&app, "/nights", "Nights ahead") };
    let reports = &evening.ahead;
    let (Some(garden), Some(first)) = (&evening.planned_for, reports.first()) else {
        let (caption, chart) = Default::default();
        return ok(&Page { head, caption, chart, nights: Vec::new(), rows: Vec::new() });
    };
    let words = Words::new(garden.units, &garden.zone);
    let night = |r: &Report| Night {
        day: words.short_date(r.sun.sunset),
        low: format!("low {}", words.spread(&r.weather.garden_low_c)),
    };
    let row = |(i, bed): (usize, &BedReport)| Row {
        number: i + 1,
        bed: bed.bed.clone(),
        cells: reports.iter().map(|r| cell(&r.beds[i], &Telling::new(r, garden))).collect(),
    };
    ok(&Page {
        caption: format!(
            "{} from {}; temperatures in {}, the middle and eight nights in ten",
            count(reports.len(), "night"),
            words.date(first.sun.sunset),
            words.degree()
        ),
        chart: nights_svg::draw(reports, &words),
        nights: reports.iter().map(night).collect(),
        rows: first.beds.iter().enumerate().map(row).collect(),
        head,
    })
}

fn cell(bed: &BedReport, told: &Telling<'_>) -> Cell {
    let option = bed.chosen.and_then(|c| bed.options.get(c));
    let harm = |p: f64| if bed.limit_c.is_some() { chance(p) } else { "–".into() };
    Cell {
        open: harm(bed.open.chance_of_harm),
        covered: option.map_or_else(String::new, |o| harm(o.outcome.chance_of_harm)),
        what: option.map_or_else(String::new, |o| told.cover(o)),
        cover: option.is_some(),
        risk: Telling::at_risk(bed),
    }
}
