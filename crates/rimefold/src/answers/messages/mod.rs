//! What a message says: what to do and from when first, why then, where to look last. And the same for programs: as JSON
//! ([`json`]) and as an alert of the Common Alerting Protocol ([`cap`]).

pub mod cap;
pub mod json;

use diary::messages::Message;
use evening::report::Report;
use garden::Garden;
use quantities::Moment;
use watch::facts::Sense;
use watch::subject::{Difference, Subject};

use crate::answers::tonight::wording::{PlanWording, capital};
use crate::format::{GardenFormat, count, listed};

/// Lines of the plan that a message tells at most; the rest stands on the page.
const MOST_TASKS: usize = 12;

/// The lines of a message; `report` is the plan of now, `climate` what the station's past says of such nights, asked only where
/// there is no plan, `link` where the pages are.
///
/// Checked by `watch::*`.
pub fn words(
    subject: &Subject,
    garden: &Garden,
    report: Option<&Report>,
    climate: &dyn Fn() -> Option<String>,
    link: Option<&str>,
) -> String {
    let w = GardenFormat::new(garden.units, &garden.zone);
    let told = report.map(|r| PlanWording::new(r, garden));
    let mut lines = match subject {
        Subject::Evening { .. } => told.as_ref().map_or_else(Vec::new, plan),
        Subject::Change { what, .. } => {
            let mut lines = told.as_ref().map_or_else(Vec::new, plan);
            if let Some(first) = lines.first_mut() {
                *first = format!("Changed: {first}");
            }
            lines.insert(1.min(lines.len()), differences(what));
            lines
        }
        Subject::AllClear { .. } => {
            let mut lines = vec!["Nothing to cover tonight after all.".to_owned()];
            lines.extend(told.as_ref().map(|t| format!("Low {}.", t.low())));
            lines
        }
        Subject::Colder { air_c, told_c, beds } => vec![
            format!(
                "Look at {} now: the air is at {}, colder than was said.",
                listed(beds),
                w.temperature(*air_c)
            ),
            format!("In nine nights of ten it was not to pass {}.", w.temperature(*told_c)),
        ],
        Subject::Near { beds, first } => vec![
            format!(
                "Look at {} now: likely at its limit by {}.",
                listed(beds),
                w.time(Moment(*first))
            ),
            "The diary does not say that anything covers it.".to_owned(),
        ],
        Subject::Open { opens, again } => {
            let first = opens.iter().map(|o| o.by).min().unwrap_or_default();
            let beds: Vec<String> = opens.iter().map(|o| o.bed.clone()).collect();
            let by = w.time(Moment(first));
            let line = if *again {
                format!("OPEN NOW: {}. It was to be open by {by}.", listed(&beds))
            } else {
                format!("Open {} by {by}.", listed(&beds))
            };
            vec![line, "Sun on what is shut cooks the plants under it.".to_owned()]
        }
        Subject::NoPlan { why } => {
            let look = "No plan for tonight: look at a forecast yourself, and cover if in doubt.";
            let lines = [Some(look.to_owned()), climate(), Some(sentence(why))];
            lines.into_iter().flatten().collect()
        }
        Subject::Blind { blind } => {
            let do_this = match &blind.sense {
                Sense::Forecast => {
                    "The forecast is old: look at another one yourself tonight.".to_owned()
                }
                Sense::Sensor(name) => format!("Look at the sensor {name}."),
                Sense::Disk => "The diary cannot be written: make room on the disk.".to_owned(),
                Sense::Recipient(name) => {
                    format!("Tell {name} yourself: no message reaches them.")
                }
            };
            vec![do_this, sentence(&blind.why)]
        }
        Subject::SeesAgain { sense } => vec![match sense {
            Sense::Forecast => "There is a new forecast again.".to_owned(),
            Sense::Sensor(name) => format!("The sensor {name} is back."),
            Sense::Disk => "The diary can be written again.".to_owned(),
            Sense::Recipient(name) => format!("Messages reach {name} again."),
        }],
        Subject::Upkeep { upkeep } => vec![upkeep.words.clone()],
    };
    if lines.is_empty() {
        lines.push("Look at the plan for tonight.".to_owned());
    }
    lines.extend(link.map(str::to_owned));
    lines.join("\n")
}

/// The plan: orders, the list, the night, what stays in danger, the morning.
fn plan(told: &PlanWording<'_>) -> Vec<String> {
    let r = told.report;
    let mut lines = Vec::new();
    if r.work.is_empty() {
        lines.push(capital(&told.verdict()) + ".");
        lines.extend(told.closest());
    } else {
        lines.push(told.orders());
        for (n, task) in r.work.iter().take(MOST_TASKS).enumerate() {
            let time = told.task_time(task).map_or_else(String::new, |t| format!(" ({t})"));
            let bed = &r.beds[task.bed].bed;
            lines.push(format!("{}. {bed}: {}{time}", n + 1, told.task_how(task)));
        }
        let more = r.work.len().saturating_sub(MOST_TASKS);
        if more > 0 {
            lines.push(format!("And {} more.", count(more, "bed")));
        }
    }
    lines.extend(told.lost_tonight());
    lines.extend(told.not_saved());
    lines.extend(told.threat());
    let sky = told.sky().map_or_else(String::new, |s| format!(", {s}"));
    lines.push(format!("Low {} {}{sky}.", told.low_range(), told.words.degree()));
    lines.extend(told.old_forecast());
    lines.extend(told.morning_line("In the morning"));
    lines
}

/// What differs from the plan that was told.
fn differences(what: &[Difference]) -> String {
    let of = |pick: fn(&Difference) -> Option<&String>| -> Vec<String> {
        what.iter().filter_map(pick).cloned().collect()
    };
    let named = |word: &str, beds: Vec<String>| {
        (!beds.is_empty()).then(|| format!("{word}: {}.", beds.join(", ")))
    };
    let cover = of(|d| match d {
        Difference::Cover(bed) => Some(bed),
        _ => None,
    });
    let other = of(|d| match d {
        Difference::OtherCover(bed) => Some(bed),
        _ => None,
    });
    let leave = of(|d| match d {
        Difference::Leave(bed) => Some(bed),
        _ => None,
    });
    let danger = of(|d| match d {
        Difference::MoreDanger(bed) => Some(bed),
        _ => None,
    });
    let start = what.iter().find_map(|d| match d {
        Difference::Sooner => Some("Start sooner than was said."),
        Difference::Later => Some("There is more time than was said."),
        _ => None,
    });
    [
        named("New", cover),
        named("Another cover", other),
        named("No longer", leave),
        named("In more danger", danger),
        start.map(str::to_owned),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" ")
}

fn sentence(words: &str) -> String {
    let words = capital(words.trim());
    if words.ends_with(['.', '!', '?']) { words } else { words + "." }
}

/// The first line of a message.
pub fn first_line(message: &Message) -> &str {
    message.text.lines().next().unwrap_or_default()
}
