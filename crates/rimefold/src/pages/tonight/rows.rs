//! The rows of *Tonight*: a bed to cover, a bed to open, a bed that is left.

use diary::keyword::Keyword as _;
use evening::report::{BedReport, MorningAction, MorningTask, Task};

use crate::answers::tonight::bar::Scale;
use crate::answers::tonight::brief::opens;
use crate::answers::tonight::svg;
use crate::answers::tonight::wording::{PlanWording, capital, sheet_name};
use crate::diary::from_report;
use crate::pages::page::fresh;
use crate::pages::tonight::seen::{Done, Seen};

/// One bed to cover.
pub struct TaskRow {
    pub n: usize,
    /// What is noted when it is done, and the word on the button.
    pub act: (&'static str, &'static str),
    pub bed: String,
    pub person: u32,
    /// `12 min`, and when it is not just due before dark, when.
    pub meta: String,
    pub how: String,
    pub bar: Option<String>,
    pub what: String,
    pub rank: usize,
    pub why: String,
    pub hint: Option<String>,
    pub chart: Option<String>,
    /// Person-minutes, walking included.
    pub takes: f64,
    pub sheet: String,
    pub layers: String,
    pub placement: &'static str,
    pub done: Option<Done>,
    pub fresh: String,
}

/// One bed on which something lies that stays.
pub struct LiesRow {
    pub bed: String,
    pub text: String,
    pub done: Option<Done>,
}

/// One bed to leave.
pub struct LeftRow {
    pub bed: String,
    pub text: String,
    pub hint: Option<String>,
    pub chart: Option<String>,
}

/// One bed to open.
pub struct MorningRow {
    pub bed: String,
    /// `by 7:00 am`, empty where it may stay.
    pub by: String,
    pub text: String,
    /// Whether only its ends are opened.
    pub ends_only: bool,
    pub done: Option<Done>,
    pub fresh: String,
}

/// Something that can be done to a cover in the morning: keyword, word on the button, and what is heard after the bed's name.
type Opening = (&'static str, &'static str, &'static str);

const OPENINGS: [Opening; 3] = [
    ("opened", "Opened", " is opened"),
    ("vented", "Ends open", ": ends open"),
    ("half-open", "Half open", " is half open"),
];

impl MorningRow {
    /// What the large button says: what is asked for.
    pub fn first(&self) -> Opening {
        OPENINGS[usize::from(self.ends_only)]
    }

    /// The others.
    pub fn others(&self) -> Vec<Opening> {
        OPENINGS.into_iter().filter(|o| *o != self.first()).collect()
    }
}

pub fn tasks(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<TaskRow> {
    let (scale, ranks) = (Scale::of(told.report), told.ranks());
    let row = |(i, task): (usize, &Task)| {
        let Some((bed, option)) = told.chosen(task) else {
            return off(told, (i, task), scale.draw(&told.report.beds[task.bed], &told.words));
        };
        let what = format!("{}{}", told.action(task), told.instruction(option));
        let time = told.task_time(task).map_or_else(String::new, |t| format!(" · {t}"));
        TaskRow {
            n: i + 1,
            act: ("covered", "Covered"),
            bed: bed.bed.clone(),
            person: task.person,
            meta: format!("{:.0} min{time}", task.minutes.ceil()),
            how: told.task_how(task),
            bar: scale.draw(bed, &told.words),
            what: format!("{}, {}{}.", capital(&what), told.by(task), told.person(task)),
            rank: ranks[i],
            why: told.why(bed, option),
            hint: told.mulch_hint(bed),
            chart: svg::draw(bed, told.report, &told.words),
            takes: task.minutes + task.walk_minutes,
            sheet: sheet_name(&option.cover, told.garden).unwrap_or_default().to_owned(),
            layers: Some(option.cover.layers)
                .filter(|n| *n > 0)
                .map_or_else(String::new, |n| n.to_string()),
            placement: from_report::placement(&option.cover).keyword(),
            done: seen.covered(&bed.bed, sheet_name(&option.cover, told.garden)),
            fresh: fresh(),
        }
    };
    told.report.work.iter().enumerate().map(row).collect()
}

/// What lies comes off for the night and nothing is laid: once that is noted the plan no longer asks for it.
fn off(told: &PlanWording<'_>, (i, task): (usize, &Task), bar: Option<String>) -> TaskRow {
    let bed = &told.report.beds[task.bed];
    let how = told.task_how(task);
    let time = told.task_time(task).map_or_else(String::new, |t| format!(" · {t}"));
    TaskRow {
        n: i + 1,
        act: ("opened", "Taken off"),
        bed: bed.bed.clone(),
        person: task.person,
        meta: format!("{:.0} min{time}", task.minutes.ceil()),
        bar,
        what: format!("{}, {}{}.", capital(&how), told.by(task), told.person(task)),
        how,
        rank: told.ranks()[i],
        why: told.left(bed).unwrap_or_default().0,
        hint: None,
        chart: svg::draw(bed, told.report, &told.words),
        takes: task.minutes + task.walk_minutes,
        sheet: String::new(),
        layers: String::new(),
        placement: "",
        done: None,
        fresh: fresh(),
    }
}

pub fn lies(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<LiesRow> {
    let r = told.report;
    let row = |b: &usize| {
        let bed = &r.beds[*b];
        let (text, done) = (capital(&told.lies(bed)), seen.covered(&bed.bed, None));
        LiesRow { bed: bed.bed.clone(), text, done }
    };
    r.stays.iter().map(row).collect()
}

/// The beds that are left, those at risk and the others.
pub fn left(told: &PlanWording<'_>, at_risk: bool) -> Vec<LeftRow> {
    let row = |bed: &BedReport| {
        let (text, hint) = told.left(bed)?;
        Some(LeftRow {
            bed: bed.bed.clone(),
            text: capital(&text),
            hint,
            chart: bed.limit_c.and_then(|_| svg::draw(bed, told.report, &told.words)),
        })
    };
    let beds = told.report.beds.iter().filter(|b| PlanWording::at_risk(b) == at_risk);
    beds.filter_map(row).collect()
}

pub fn today(told: &PlanWording<'_>, seen: &Seen<'_>) -> Vec<MorningRow> {
    let r = told.report;
    let row = |task: &MorningTask| {
        let bed = &r.beds[task.bed].bed;
        // Noted since the plan was made: it is gone from the next one.
        let done = seen.changed_since(bed, r.asked_at);
        MorningRow {
            bed: bed.clone(),
            by: deadline(told, task),
            text: capital(&told.today(task)),
            ends_only: task.action == MorningAction::OpenEnds,
            done,
            fresh: fresh(),
        }
    };
    r.today.iter().map(row).collect()
}

/// What is opened in the morning, or what may stay.
pub fn morning(told: &PlanWording<'_>, seen: &Seen<'_>, opened: bool) -> Vec<MorningRow> {
    let r = told.report;
    let row = |task: &MorningTask| MorningRow {
        bed: r.beds[task.bed].bed.clone(),
        by: deadline(told, task),
        text: capital(&told.morning(task)),
        ends_only: task.action == MorningAction::OpenEnds,
        done: seen.opened(&r.beds[task.bed].bed),
        fresh: fresh(),
    };
    r.morning.iter().filter(|m| opens(m) == opened).map(row).collect()
}

fn deadline(told: &PlanWording<'_>, task: &MorningTask) -> String {
    match (opens(task), task.late_since) {
        (false, _) => String::new(),
        (true, Some(_)) => "late: now".into(),
        (true, None) => format!("by {}", told.words.time(task.by)),
    }
}
