//! One bed's night: its chart, what is at stake, what the cover does. A page of its own, so that *Tonight* stays light.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use crate::answers::tonight::svg;
use crate::answers::tonight::wording::{PlanWording, capital};
use crate::pages::App;
use crate::pages::page::{Head, ok, on_to};

#[derive(Template)]
#[template(path = "night.html")]
struct Page {
    head: Head,
    bed: String,
    number: usize,
    lines: Vec<String>,
    chart: Option<String>,
}

/// `GET /night/{bed}`, by its number in the plan.
pub async fn page(State(app): State<App>, Path(number): Path<usize>) -> Response {
    let evening = app.planner.evening();
    let (Some(report), Some(garden)) = (&evening.report, &evening.planned_for) else {
        return on_to("/");
    };
    let Some(bed) = number.checked_sub(1).and_then(|i| report.beds.get(i)) else {
        return on_to("/");
    };
    let told = PlanWording::new(report, garden);
    let option = bed.chosen.and_then(|c| bed.options.get(c));
    let mut lines = Vec::new();
    let place = report.work.iter().position(|t| t.bed + 1 == number);
    if let Some(task) = place.map(|n| &report.work[n]) {
        let laid = option.map_or_else(String::new, |o| told.instruction(o));
        let what = capital(&format!("{}{laid}", told.action(task)));
        lines.push(format!("{what}, {}{}.", told.by(task), told.person(task)));
    }
    if let Some(option) = option {
        lines.push(told.why(bed, option));
        lines.extend(told.mulch_hint(bed));
    } else if let Some((text, hint)) = told.left(bed) {
        lines.push(capital(&text));
        lines.extend(hint);
    } else if !bed.lies.is_empty() {
        lines.push(capital(&told.lies(bed)));
    }
    if let Some(n) = place {
        let rank = told.ranks()[n];
        lines.push(format!("If time is short, this one comes {}.", ordinal(rank)));
    }
    ok(&Page {
        head: Head::new(&app, "/", &bed.bed).of_plan(&told, app.planner.clock.now()),
        bed: bed.bed.clone(),
        number,
        lines,
        chart: bed.limit_c.and_then(|_| svg::draw(bed, report, &told.words)),
    })
}

/// `1st`, `2nd`, `3rd`, `11th`.
fn ordinal(n: usize) -> String {
    let ending = match (n % 10, n % 100) {
        (_, 11..=13) => "th",
        (1, _) => "st",
        (2, _) => "nd",
        (3, _) => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}
