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
    if let Some(option) = option {
        lines.push(format!("{}.", capital(&told.instruction(option))));
        lines.push(told.why(bed, option));
        lines.extend(told.mulch_hint(bed));
    } else if let Some((text, hint)) = told.left(bed) {
        lines.push(capital(&text));
        lines.extend(hint);
    } else if !bed.lies.is_empty() {
        lines.push(capital(&told.lies(bed)));
    }
    ok(&Page {
        head: Head::new(&app, "/", &bed.bed),
        bed: bed.bed.clone(),
        number,
        lines,
        chart: bed.limit_c.and_then(|_| svg::draw(bed, report, &told.words)),
    })
}
