//! *Tonight*: what to do in one look, each bed's night and reasons behind a tap; what to open in the morning.

pub mod night;
mod rows;
mod seen;

use askama::Template;
use axum::extract::{Query, State};
use axum::response::Response;
use evening::report::{Report, WarningKind};
use quantities::Moment;

use crate::answers::drawing::hatch::Hatch;
use crate::answers::drawing::plan::{self, Mark};
use crate::answers::tonight::weather_svg;
use crate::answers::tonight::wording::{PlanWording, capital, minutes};
use crate::exit::Exit;
use crate::format::count;
use crate::pages::App;
use crate::pages::page::{Head, TroublePage, ok, on_to};
use crate::pages::planner::Trouble;
use rows::{LeftRow, LiesRow, MorningRow, TaskRow};
use seen::Seen;

#[derive(Template)]
#[template(path = "tonight.html")]
struct Page {
    head: Head,
    low: String,
    title: String,
    range: String,
    orders: String,
    /// Messages that nobody has said to have seen.
    unseen: Vec<(::diary::Id, String)>,
    notes: Vec<String>,
    after: bool,
    threat: Option<String>,
    today: Vec<MorningRow>,
    /// The rows, in one list or one a person; the heading of each.
    lists: Vec<(String, Vec<TaskRow>)>,
    by_person: bool,
    hands: Hands,
    by_lamp: Vec<String>,
    lies: Vec<LiesRow>,
    open_line: Option<String>,
    not_saved: Vec<String>,
    left: Vec<LeftRow>,
    without_cloth: Vec<String>,
    short: Vec<String>,
    morning_line: Option<String>,
    morning: Vec<MorningRow>,
    stay_line: Option<String>,
    stay: Vec<MorningRow>,
    warnings: Vec<String>,
    weather: Vec<String>,
    plan: Option<String>,
    weather_chart: Option<String>,
    /// Whether readings of this evening are in it.
    read_here: bool,
    foot: Option<[String; 2]>,
}

/// Who works tonight.
struct Hands {
    people: u32,
    minutes: String,
    /// Whether that is not what the garden file says.
    changed: bool,
}

/// How the list is asked for.
#[derive(serde::Deserialize)]
pub struct Asked {
    #[serde(default)]
    pub by: String,
}

/// `GET /`.
pub async fn page(State(app): State<App>, Query(asked): Query<Asked>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::new(&app, "/", "Tonight") };
    let (Some(report), Some(garden)) = (&evening.report, &evening.planned_for) else {
        // A garden made a moment ago is read in a moment.
        let unread = |t: &Trouble| {
            t.code == Exit::Missing && evening.garden.is_none() && app.garden_is_there()
        };
        return match evening.trouble.filter(|t| !unread(t)) {
            None => {
                let line = "The first plan is coming: every bed under every cover, through two hundred ways the night may go. This takes a few seconds.";
                let head = Head { working: true, ..head };
                ok(&TroublePage::new(head, &[line], None, &[("/", "Look again")]))
            }
            Some(t) if t.code == Exit::Missing && evening.garden.is_none() => on_to("/begin"),
            Some(t) if evening.garden.is_some() => {
                let head = Head { title: "No plan for tonight".into(), ..head };
                let ways = [("/forecast", "Bring a forecast"), ("/beds", "Beds")];
                ok(&TroublePage::new(
                    head,
                    &["There is no plan for tonight yet."],
                    Some(t.message),
                    &ways,
                )
                .asking_for_the_place(evening.asks_place.is_some()))
            }
            Some(t) => {
                let head = Head { title: "The garden file has faults".into(), ..head };
                let line = "Mend them in garden.toml; this page follows by itself.";
                ok(&TroublePage::new(head, &[line], Some(t.message), &[("/", "Look again")]))
            }
        };
    };
    let told = PlanWording::new(report, garden);
    let entries = app.writer.entries();
    let now = app.planner.clock.now();
    let seen = Seen::new(report, &told.words, &entries, now);
    let after = now > report.sun.sunrise;
    let (tasks, lies) = (rows::tasks(&told, &seen), rows::lies(&told, &seen));
    let mut notes: Vec<String> = evening.elsewhere.iter().map(|e| capital(e) + ".").collect();
    notes.extend(app.fetcher.told().map(|t| capital(&t) + "."));
    notes.extend(app.teller.told().iter().map(|t| capital(t) + "."));
    notes.extend(app.machines.told().iter().map(|t| capital(t) + "."));
    notes.extend(told.contradictions());
    notes.extend(told.lost_tonight().filter(|_| !after));
    notes.extend(told.lost_so_far());
    notes.extend(told.old_forecast().filter(|_| !after));
    let orders = orders(&told, &tasks, &lies, after);
    let plan = plan::draw(garden, &told.words, &|i| mark(&told, i));
    let open_line = told.stand_open().into_iter().chain(told.not_worth_it());
    ok(&Page {
        low: told.words.temperature(report.weather.garden_low_c.p50),
        title: title(&told, after),
        range: told.low_range()
            + &told.sky().filter(|_| !after).map_or_else(String::new, |s| format!(", {s}")),
        foot: foot(&told, &tasks, after),
        orders,
        unseen: app.teller.unseen(now),
        notes,
        after,
        threat: told.threat().filter(|_| !after),
        today: rows::today(&told, &seen),
        by_person: asked.by == "person",
        lists: lists(&told, tasks, asked.by == "person"),
        hands: Hands {
            people: garden.labour.people,
            minutes: format!("{:.0}", garden.labour.minutes_each),
            changed: evening.garden.as_ref().is_some_and(|g| g.labour != garden.labour),
        },
        by_lamp: told.by_lamp(),
        lies,
        open_line: Some(open_line.collect::<Vec<_>>().join(" ")).filter(|l| !l.is_empty()),
        not_saved: if after { Vec::new() } else { told.not_saved() },
        left: [rows::left(&told, true), rows::left(&told, false)].into_iter().flatten().collect(),
        without_cloth: told.without_cloth(),
        short: told.short_lists(),
        morning_line: told.morning_line("Tomorrow"),
        morning: rows::morning(&told, &seen, true),
        stay_line: told.may_stay(),
        stay: rows::morning(&told, &seen, false),
        warnings: warnings(&told, now, after),
        weather: weather(&told, &evening.warnings),
        plan,
        read_here: !evening.air.is_empty(),
        weather_chart: weather_svg::draw(report, &evening.air, &told.words),
        head: head.of_plan(&told, now),
    })
}

fn title(told: &PlanWording<'_>, after: bool) -> String {
    let sun = &told.report.sun;
    if after {
        format!("This morning, {}", told.words.date(sun.sunrise))
    } else {
        format!("Tonight, {}", told.words.date(sun.sunset))
    }
}

/// What to do now, in one or two sentences.
fn orders(told: &PlanWording<'_>, tasks: &[TaskRow], lies: &[LiesRow], after: bool) -> String {
    if after {
        let [first, _] = told.morning_lead();
        return first;
    }
    let left: Vec<&TaskRow> = tasks.iter().filter(|t| t.done.is_none()).collect();
    // What was laid this evening, in this plan's list or before it was made.
    let laid = tasks.len() - left.len() + lies.iter().filter(|l| l.done.is_some()).count();
    let mut out: Vec<String> = told.today_lead().into_iter().collect();
    if left.is_empty() && laid == 0 {
        out.push(told.verdict() + ".");
        out.extend(told.closest());
    } else if left.is_empty() {
        out.push(format!("All {} are covered.", count(laid, "bed")));
    } else if laid > 0 {
        let hands = capital(&told.hands(left.iter().map(|t| t.takes).sum()));
        let of = count(left.len() + laid, "bed");
        out.push(format!("{} of {of} left to cover. {hands}: {}.", left.len(), told.start()));
    } else {
        out.push(told.orders());
    }
    out.join(" ")
}

/// How much is done, and what is left of the light.
fn foot(told: &PlanWording<'_>, tasks: &[TaskRow], after: bool) -> Option<[String; 2]> {
    if tasks.is_empty() || after {
        return None;
    }
    let left: f64 = tasks.iter().filter(|t| t.done.is_none()).map(|t| t.takes).sum();
    let done = tasks.iter().filter(|t| t.done.is_some()).count();
    let people = told.garden.labour.people.max(1);
    let each = if people > 1 { " each" } else { "" };
    let left = match left {
        0.0 => String::new(),
        m => format!("{}{each} · ", minutes(m / f64::from(people)).replace("minutes", "min")),
    };
    let dark = format!("{left}dark {}", told.words.time(told.report.sun.dark));
    Some([format!("{done} of {} done", tasks.len()), dark])
}

/// The rows in one list, or one for each person.
fn lists(told: &PlanWording<'_>, tasks: Vec<TaskRow>, by: bool) -> Vec<(String, Vec<TaskRow>)> {
    if !by || told.garden.labour.people < 2 {
        return vec![("Cover, in this order".to_owned(), tasks)];
    }
    let mut out: Vec<(u32, Vec<TaskRow>)> = Vec::new();
    for task in tasks {
        match out.iter_mut().find(|l| l.0 == task.person) {
            Some((_, rows)) => rows.push(task),
            None => out.push((task.person, vec![task])),
        }
    }
    out.sort_by_key(|l| l.0);
    let head = |rows: &[TaskRow]| minutes(rows.iter().map(|t| t.takes).sum());
    out.into_iter().map(|(p, rows)| (format!("Person {p}, {}", head(&rows)), rows)).collect()
}

/// A bed of the plan: the number of its row, and what is laid over it.
pub fn mark(told: &PlanWording<'_>, bed: usize) -> Mark {
    let r: &Report = told.report;
    let number = r.work.iter().position(|t| t.bed == bed).map(|n| n + 1);
    let over = r.beds.get(bed).and_then(|b| Some((b, b.options.get(b.chosen?)?)));
    Mark {
        number,
        cover: over.map(|(_, o)| Hatch::of_cover(&o.cover)),
        words: over.map_or_else(String::new, |(_, o)| told.cover(o)),
    }
}

/// The warnings in full; in the morning nothing of a wind that has passed.
fn warnings(told: &PlanWording<'_>, now: Moment, after: bool) -> Vec<String> {
    let holds = |w: &&evening::report::Warning| {
        let snow = matches!(w.kind, WarningKind::SnowLoad { .. });
        !after || (snow && w.at.is_none_or(|at| at > now))
    };
    told.report.warnings.iter().filter(holds).map(|w| told.warning(w)).collect()
}

fn weather(told: &PlanWording<'_>, warnings: &[String]) -> Vec<String> {
    let mut out: Vec<String> = told.driver().map(str::to_owned).into_iter().collect();
    out.extend([told.forecast_age(), told.weather()]);
    let w = &told.report.weather;
    out.extend(w.doubts.iter().chain(&w.notices).cloned());
    if !warnings.is_empty() {
        out.push(format!("The garden file has {}: see Beds.", count(warnings.len(), "warning")));
    }
    out
}
