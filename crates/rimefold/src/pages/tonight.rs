//! *Tonight*: what to do, in order, with tick-off; each bed's night as a chart; what to open in the morning.

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use diary::entries::JudgedEntry;
use diary::keyword::Keyword as _;
use diary::state::{self, BedState, Openness};
use diary::{Id, night};
use evening::report::{BedReport, MorningAction, Report};
use quantities::Moment;

use crate::answers::tonight::svg;
use crate::answers::tonight::wording::{PlanWording, minutes, sheet_name};
use crate::diary::from_report;
use crate::exit::Exit;
use crate::format::{GardenFormat, count};
use crate::pages::App;
use crate::pages::page::{Head, TroublePage, fresh, ok, on_to};
use crate::pages::planner::Trouble;

#[derive(Template)]
#[template(path = "tonight.html")]
struct Page {
    head: Head,
    title: String,
    lede: Vec<String>,
    after: bool,
    warnings: Vec<String>,
    today: Vec<MorningLine>,
    tasks: Vec<TaskLine>,
    by_lamp: Vec<String>,
    lies: Vec<LiesLine>,
    left: Vec<LeftLine>,
    without_cloth: Vec<String>,
    short: Vec<String>,
    morning: Vec<MorningLine>,
    weather: Vec<String>,
}

/// One bed to cover.
struct TaskLine {
    n: usize,
    bed: String,
    what: String,
    by: String,
    minutes: String,
    takes: f64,
    why: String,
    hint: Option<String>,
    chart: Option<String>,
    sheet: String,
    layers: String,
    placement: &'static str,
    done: Option<Done>,
    fresh: String,
}

/// What has been ticked off.
struct Done {
    words: String,
    id: Id,
}

/// One bed on which something lies that stays.
struct LiesLine {
    bed: String,
    text: String,
    done: Option<Done>,
}

/// One bed to leave.
struct LeftLine {
    bed: String,
    text: String,
    hint: Option<String>,
    at_risk: bool,
    chart: Option<String>,
}

/// One bed to open.
struct MorningLine {
    bed: String,
    text: String,
    done: Option<Done>,
    offer: bool,
    fresh: String,
}

/// `GET /`.
pub async fn page(State(app): State<App>) -> Response {
    let evening = app.planner.evening();
    let head = Head { working: evening.working, ..Head::new(&app, "/", "Tonight") };
    let (Some(report), Some(garden)) = (&evening.report, &evening.planned_for) else {
        // A garden made a moment ago is read in a moment.
        let unread = |t: &Trouble| {
            t.code == Exit::Missing && evening.garden.is_none() && app.garden_is_there()
        };
        return match evening.trouble.filter(|t| !unread(t)) {
            None => {
                let line = "The night is being reckoned: every bed, every cover, two hundred nights. This takes a moment.";
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
    let (tasks, lies) = (tasks(&told, &seen), lies(&told, &seen));
    let mut warnings: Vec<String> = evening.elsewhere.iter().map(|e| capital(e) + ".").collect();
    warnings.extend(told.contradictions());
    warnings.extend(told.lost_so_far());
    warnings.extend(report.warnings.iter().map(|w| told.warning(w)));
    ok(&Page {
        title: title(&told, after),
        lede: lede(&told, &tasks, &lies, after),
        after,
        warnings,
        today: today(&told, &seen),
        tasks,
        by_lamp: told.by_lamp(),
        lies,
        left: left(&told),
        without_cloth: told.without_cloth(),
        short: told.short_lists(),
        morning: morning(&told, &seen),
        weather: weather(&told, &evening.warnings),
        head,
    })
}

fn title(told: &PlanWording<'_>, after: bool) -> String {
    let night = if after { "Last night" } else { "Tonight" };
    format!("{night}, {}", told.words.date(told.report.sun.sunset))
}

fn lede(told: &PlanWording<'_>, tasks: &[TaskLine], lies: &[LiesLine], after: bool) -> Vec<String> {
    let r = told.report;
    let low = told.low();
    if after {
        return told.morning_lead().into();
    }
    let left: Vec<&TaskLine> = tasks.iter().filter(|t| t.done.is_none()).collect();
    // What was laid this evening, in this plan's list or before it was made.
    let laid = tasks.len() - left.len() + lies.iter().filter(|l| l.done.is_some()).count();
    let mut out: Vec<String> = told.today_lead().into_iter().collect();
    if left.is_empty() && laid == 0 {
        out.push(format!("{}. Low {low}. {}", told.verdict(), told.forecast_age()));
        out.extend(told.closest());
        return out;
    }
    out.push(if left.is_empty() {
        format!("All {} are covered.", count(laid, "bed"))
    } else if laid > 0 {
        let each =
            left.iter().map(|t| t.takes).sum::<f64>() / f64::from(told.garden.labour.people.max(1));
        let start = r.start_by.filter(|s| s.0 > r.asked_at.0);
        let start =
            start.map_or_else(String::new, |s| format!(", start by {}", told.words.time(s)));
        format!(
            "{} of {} left to cover: {} each{start}.",
            left.len(),
            count(left.len() + laid, "bed"),
            minutes(each)
        )
    } else {
        format!("Cover {}: {}.", count(r.work.len(), "bed"), told.effort())
    });
    out.push(format!("Tonight’s low: {low}. {}", told.forecast_age()));
    out.extend(told.driver().map(str::to_owned));
    out
}

fn today(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<MorningLine> {
    let r = told.report;
    let line = |task: &evening::report::MorningTask| {
        let bed = &r.beds[task.bed].bed;
        // Noted since the plan was made: it is gone from the next one.
        let done = seen.changed_since(bed, r.asked_at);
        let (text, offer) = (capital(&told.today(task)), true);
        MorningLine { bed: bed.clone(), text, done, offer, fresh: fresh() }
    };
    r.today.iter().map(line).collect()
}

fn lies(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<LiesLine> {
    let r = told.report;
    let line = |b: &usize| {
        let bed = &r.beds[*b];
        let (text, done) = (capital(&told.lies(bed)), seen.covered(&bed.bed, None));
        LiesLine { bed: bed.bed.clone(), text, done }
    };
    r.stays.iter().map(line).collect()
}

fn tasks(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<TaskLine> {
    let line = |(i, task)| {
        let (bed, option) = told.chosen(task)?;
        let what = format!("{}{}", told.action(task), told.instruction(option));
        Some(TaskLine {
            n: i + 1,
            bed: bed.bed.clone(),
            what: format!("{}{}.", capital(&what), told.person(task)),
            by: told.by(task),
            minutes: minutes(task.minutes),
            takes: task.minutes + task.walk_minutes,
            why: told.why(bed, option),
            hint: told.mulch_hint(bed),
            chart: svg::draw(bed, told.report, &told.words),
            done: seen.covered(&bed.bed, sheet_name(&option.cover, told.garden)),
            sheet: sheet_name(&option.cover, told.garden).unwrap_or_default().to_owned(),
            layers: Some(option.cover.layers)
                .filter(|n| *n > 0)
                .map_or_else(String::new, |n| n.to_string()),
            placement: from_report::placement(&option.cover).keyword(),
            fresh: fresh(),
        })
    };
    told.report.work.iter().enumerate().filter_map(line).collect()
}

fn left(told: &PlanWording<'_>) -> Vec<LeftLine> {
    let line = |bed: &BedReport| {
        let (text, hint) = told.left(bed)?;
        Some(LeftLine {
            bed: bed.bed.clone(),
            text: capital(&text),
            hint,
            at_risk: PlanWording::at_risk(bed),
            chart: bed.limit_c.and_then(|_| svg::draw(bed, told.report, &told.words)),
        })
    };
    told.report.beds.iter().filter_map(line).collect()
}

fn morning(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<MorningLine> {
    let r = told.report;
    let line = |task: &evening::report::MorningTask| MorningLine {
        bed: r.beds[task.bed].bed.clone(),
        text: capital(&told.morning(task)),
        done: seen.opened(&r.beds[task.bed].bed),
        offer: task.action != MorningAction::LeaveOn,
        fresh: fresh(),
    };
    r.morning.iter().map(line).collect()
}

fn weather(told: &PlanWording<'_>, warnings: &[String]) -> Vec<String> {
    let mut out = vec![told.weather()];
    let w = &told.report.weather;
    out.extend(w.doubts.iter().chain(&w.notices).cloned());
    if !warnings.is_empty() {
        out.push(format!("The garden file has {}: see Beds.", count(warnings.len(), "warning")));
    }
    out
}

/// A sentence with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// What the diary says of this night.
struct Seen<'a> {
    report: &'a Report,
    words: &'a GardenFormat,
    /// What lay on each bed in the night, or lies there now where the night is not over.
    night: Vec<BedState>,
    /// What lies on each bed now.
    now: Vec<BedState>,
}

impl<'a> Seen<'a> {
    fn new(
        report: &'a Report,
        words: &'a GardenFormat,
        entries: &[JudgedEntry],
        now: Moment,
    ) -> Self {
        let night = state::lying(entries, now.min(morning_of(report)));
        Self { report, words, night, now: state::lying(entries, now) }
    }

    /// Whether a bed has been covered this evening, and if so with what, where that is not what the plan says.
    fn covered(&self, bed: &str, planned: Option<&str>) -> Option<Done> {
        let from = night::afternoon_before(self.report.sun.dark);
        let in_time = self.night.iter().chain(&self.now);
        let mut covered = in_time.filter(|b| b.is_bed(bed) && b.is_covered_since(from, None));
        // What was opened in the morning lay there in the night.
        let Some(state) = covered.next() else { return self.opened(bed) };
        let other = state.newest_sheet().and_then(|s| s.sheet.as_deref());
        match other.filter(|_| planned.is_some() && !state.is_covered_since(from, planned)) {
            Some(other) => {
                Some(self.done(&format!("covered with “{other}”, not as planned"), state))
            }
            None => Some(self.done("covered", state)),
        }
    }

    fn opened(&self, bed: &str) -> Option<Done> {
        let from = morning_of(self.report);
        self.open_bed(bed, |since| since >= from)
    }

    /// What was done to a bed since a plan was made.
    fn changed_since(&self, bed: &str, made: Moment) -> Option<Done> {
        self.open_bed(bed, |since| since > made)
    }

    /// How far a bed has been opened, where that was done at a moment that counts.
    fn open_bed(&self, bed: &str, counts: impl Fn(Moment) -> bool) -> Option<Done> {
        let bed = self.now.iter().find(|b| b.is_bed(bed) && counts(b.since))?;
        let word = match bed.openness {
            Openness::Shut => return None,
            Openness::Off => "opened",
            Openness::HalfOff => "half open",
            Openness::EndsOpen => "ends open",
        };
        Some(self.done(word, bed))
    }

    fn done(&self, word: &str, bed: &BedState) -> Done {
        Done { words: format!("{word}, {}", self.words.time(bed.since)), id: bed.entry.clone() }
    }
}

/// From when on an opening is of the morning, not of the evening before.
fn morning_of(report: &Report) -> Moment {
    report.sun.sunrise.plus_seconds(-2 * 3600)
}
