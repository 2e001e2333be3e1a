//! For paper: tonight's list to carry to the garden, and the cut list for the table.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use garden::{Bed, Garden};

use crate::answers::cut;
use crate::answers::drawing::plan;
use crate::answers::tonight::brief::opens;
use crate::answers::tonight::wording::capital;
use crate::answers::tonight::wording::{PlanWording, minutes};
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::pages::App;
use crate::pages::page::{Head, TroublePage, ok, on_to};
use crate::pages::tonight::mark;

/// Columns of text on paper.
const PAPER_COLUMNS: usize = 80;

#[derive(Template)]
#[template(path = "night_sheet.html")]
struct NightSheet {
    head: Head,
    title: String,
    lead: String,
    warnings: Vec<String>,
    tasks: Vec<TaskLine>,
    morning: Vec<(String, String)>,
    stay: Option<String>,
    left: Vec<(String, String)>,
    plan: Option<String>,
}

struct TaskLine {
    bed: String,
    what: String,
    by: String,
    minutes: String,
}

/// `GET /print/night`.
pub async fn night(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let (Some(report), Some(garden)) = (&evening.report, &evening.planned_for) else {
        return on_to("/");
    };
    let told = PlanWording::new(report, garden);
    let task = |t: &evening::report::Task| TaskLine {
        bed: report.beds[t.bed].bed.clone(),
        what: match told.chosen(t) {
            Some((_, option)) => capital(&told.instruction(option)),
            None => capital(told.action(t)),
        },
        by: told.by(t).trim_start_matches("by ").to_owned(),
        minutes: minutes(t.minutes),
    };
    let left = report.beds.iter().filter_map(|b| Some((b.bed.clone(), told.left(b)?.0)));
    ok(&NightSheet {
        head: Head::new(&app, "/", "Tonight’s list").of_plan(&told, app.planner.clock.now()),
        title: format!("{}, {}", report.garden, told.words.date(report.sun.sunset)),
        lead: if report.work.is_empty() {
            format!("Nothing to cover. Low {}.", told.low())
        } else {
            format!(
                "{} Low {}. Sunset {}, dark {}.",
                told.orders(),
                told.low(),
                told.words.time(report.sun.sunset),
                told.words.time(report.sun.dark)
            )
        },
        warnings: report.warnings.iter().map(|w| told.warning(w)).collect(),
        tasks: report.work.iter().map(task).collect(),
        morning: report
            .morning
            .iter()
            .filter(|m| opens(m))
            .map(|m| (report.beds[m.bed].bed.clone(), told.morning(m)))
            .collect(),
        stay: told.may_stay(),
        left: left.collect(),
        plan: plan::draw(garden, &told.words, &|i| mark(&told, i)),
    })
}

#[derive(Template)]
#[template(path = "cut_sheet.html")]
struct CutSheet {
    head: Head,
    garden: String,
    picture: String,
    text: String,
}

/// `GET /print/cuts`.
pub async fn cuts(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let Some(garden) = evening.garden.clone() else { return on_to("/") };
    let head = Head::new(&app, "/stock", "Cut list");
    let made = tokio::task::spawn_blocking(move || cut_on_paper(&garden)).await;
    match made {
        Ok(Ok((garden, picture, text))) => ok(&CutSheet { head, garden, picture, text }),
        Ok(Err(f)) => ok(&TroublePage::new(
            head,
            &["There is no cut list yet."],
            Some(f.message),
            &[("/stock", "Stock")],
        )),
        Err(_) => ok(&TroublePage::new(
            head,
            &["The cut list failed; this is a fault of ours."],
            None,
            &[("/stock", "Stock")],
        )),
    }
}

/// The cut list of every bed: name of the garden, drawing, text.
fn cut_on_paper(garden: &Garden) -> Result<(String, String, String), Failure> {
    let beds: Vec<&Bed> = garden.beds.iter().collect();
    let list = cut::cut_list(garden, &beds, "garden.toml")?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let text = cut::text::write(&list, &words, PAPER_COLUMNS);
    let plain = anstream::adapter::strip_str(&text).to_string();
    Ok((garden.name.clone(), cut::svg::draw(&list, &words), plain))
}
