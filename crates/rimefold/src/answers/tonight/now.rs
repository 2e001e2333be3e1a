//! What lies and what to do about it now, in sentences that the terminal and the pages both show.

use evening::constants::WILL_NOT_SAVE;
use evening::report::{
    Action, BedReport, MorningAction, MorningReason, MorningTask, OptionReport, Outcome, Phase,
    Task,
};
use garden::fit::Placement;
use garden::lying::{Contradiction, Lying, Opening};

use crate::answers::tonight::wording::{PlanWording, sheet_name};
use crate::format::{count, percent};

impl PlanWording<'_> {
    /// What was noted and cannot be, with how to put it right.
    pub fn contradictions(&self) -> Vec<String> {
        let when = |m: &Option<quantities::Moment>| {
            m.map_or_else(String::new, |m| format!(" ({})", self.words.day(m)))
        };
        let one = |c: &Contradiction| match c {
            Contradiction::MoreThanOwned { name, noted, owned, newest, not_believed } => {
                let newest: Vec<String> =
                    newest.iter().map(|(bed, since)| format!("{bed}{}", when(since))).collect();
                format!(
                    "{noted} of “{name}” are noted on beds, you own {owned}. Newest notes: {}. Which is wrong? Until it is put right {} is taken as open: note it opened, or undo the wrong note.",
                    newest.join(", "),
                    not_believed.join(", ")
                )
            }
            Contradiction::UnknownSheet { bed, name } => format!(
                "“{name}” is noted on {bed}, but garden.toml has no sheet of that name; the bed is taken as open. Note it again with a name from the stock, or add the sheet."
            ),
            Contradiction::Unnamed { bed, taken_for: Some(name) } => format!(
                "{bed} is noted as covered, but not with what; it is taken for one “{name}”. Note it again with the sheet."
            ),
            Contradiction::Unnamed { bed, taken_for: None } => format!(
                "{bed} is noted as covered, but not with what, and nothing at hand fits; it is taken as open. Note it again with the sheet."
            ),
            Contradiction::UnknownBed { bed } => format!(
                "A cover is noted on “{bed}”, which garden.toml does not have; note it again with the name of a bed."
            ),
        };
        self.report.contradictions.iter().map(one).collect()
    }

    /// What comes off today, the most urgent first; what is late in capitals.
    pub fn today(&self, task: &MorningTask) -> String {
        let w = &self.words;
        let Some(since) = task.late_since else {
            return self.morning(task);
        };
        let what = match task.action {
            MorningAction::OpenEnds => "open the ends now",
            MorningAction::HalfOff => "pull it to one side now",
            MorningAction::TakeOff => "take it off now",
            MorningAction::LeaveOn => "it may stay on",
        };
        let inside = task
            .inside_c
            .map_or_else(String::new, |t| format!(", about {} inside", w.temperature(t)));
        let why = match task.why {
            MorningReason::Heat { .. } | MorningReason::SunOnFilm => {
                format!("shut in the sun since {}{inside}", w.time(since))
            }
            MorningReason::Bees => format!("bees have wanted the flowers since {}", w.time(since)),
            MorningReason::Light => {
                format!("{} has kept the light off since {}", self.lies_on(task.bed), w.time(since))
            }
            MorningReason::ColdDay | MorningReason::Work => format!("since {}", w.time(since)),
        };
        format!("LATE: {what}; {why}. Then note it.")
    }

    /// The lead over what comes off today.
    pub fn today_lead(&self) -> Option<String> {
        let today = &self.report.today;
        let late = today.iter().filter(|t| t.late_since.is_some()).count();
        match (today.len(), late) {
            (0, _) => None,
            (n, 0) => Some(format!("Open {} today.", count(n, "bed"))),
            (n, late) => Some(format!("LATE: open {} today, {late} of them now.", count(n, "bed"))),
        }
    }

    /// What lies on a bed that needs nothing now.
    pub fn lies(&self, bed: &BedReport) -> String {
        let one = |l: &Lying| {
            let name = match l.cover.lie {
                Placement::LooseMulch { .. } => "loose mulch",
                _ => sheet_name(&l.cover, self.garden).unwrap_or("a sheet"),
            };
            let layers =
                if l.cover.layers > 1 { format!("{} × ", l.cover.layers) } else { String::new() };
            let opening = match l.opening {
                Opening::Shut => "",
                Opening::EndsOpen => ", ends open",
                Opening::HalfOff => ", half off",
            };
            let since =
                l.since.map_or_else(String::new, |m| format!(" since {}", self.words.day(m)));
            format!("{layers}{name}{opening}{since}")
        };
        let lies: Vec<String> = bed.lies.iter().map(one).collect();
        let risk = if bed.limit_c.is_some() {
            format!("; {}", self.harm(&bed.open, bed.worth))
        } else {
            String::new()
        };
        format!("{}{risk}.", lies.join(" and "))
    }

    /// `97 in 100 to lose a tenth or more, about 60 % lost`.
    pub fn harm(&self, outcome: &Outcome, worth: f64) -> String {
        format!(
            "{} to lose a tenth or more, expected loss {}",
            in_a_hundred(outcome.chance_of_harm),
            share(outcome, worth)
        )
    }

    /// The same of a bed open and covered.
    pub fn harm_open_and_covered(&self, bed: &BedReport, o: &OptionReport) -> String {
        format!(
            "Chance to lose a tenth or more: {} open, {} covered; expected loss {} open, {} covered",
            in_a_hundred(bed.open.chance_of_harm),
            in_a_hundred(o.outcome.chance_of_harm),
            share(&bed.open, bed.worth),
            share(&o.outcome, bed.worth)
        )
    }

    /// The chances in a hundred of a bed to lose a tenth or more, open and as it is to be done.
    pub fn chances(&self, task: &Task) -> (String, String) {
        let bed = &self.report.beds[task.bed];
        let n = |chance: f64| {
            if 100.0 * chance < 1.0 { "<1".to_owned() } else { format!("{:.0}", 100.0 * chance) }
        };
        let done = self.chosen(task).map(|(_, o)| o.outcome).or(bed.bare);
        (n(bed.open.chance_of_harm), done.map_or_else(String::new, |o| n(o.chance_of_harm)))
    }

    /// Says plainly where a cover leaves most of the harm.
    pub fn will_not_save(&self, bed: &BedReport, o: &OptionReport) -> Option<&'static str> {
        let left = o.outcome.expected_loss;
        let most = left > WILL_NOT_SAVE * bed.open.expected_loss;
        (most && o.outcome.chance_of_harm >= 0.5)
            .then_some("This will not save them: most of the harm stays.")
    }

    /// `, person 2`, where there are several, and from when film may be laid.
    pub fn person(&self, task: &Task) -> String {
        let several = self.garden.labour.people > 1;
        let person = if several { format!(", person {}", task.person) } else { String::new() };
        let sun = task.not_before.map_or_else(String::new, |m| {
            format!("; not before {}, when the sun is off", self.words.time(m))
        });
        person + &sun
    }

    /// What is done, before the words of the cover.
    pub fn action(&self, task: &Task) -> &'static str {
        match task.action {
            Action::Lay => "",
            Action::Double => "one more layer, so that it is ",
            Action::Swap => "take off what lies, then ",
            Action::Shut if self.lies_half_off(task.bed) => "pull back over it: ",
            Action::Shut => "shut what lies there: ",
            Action::TakeOff => "take off what lies: it saves more elsewhere",
        }
    }

    fn lies_half_off(&self, bed: usize) -> bool {
        let half = |l: &Lying| l.against_cold() && l.opening == Opening::HalfOff;
        let by_then = self.report.today.iter().filter(|t| t.bed == bed);
        self.report.beds[bed].lies.iter().any(half)
            || by_then.into_iter().any(|t| t.action == MorningAction::HalfOff)
    }

    /// The first lines when there is nothing to do now but something lies; `None` where nothing lies.
    pub fn as_it_lies(&self) -> Option<String> {
        let r = self.report;
        if r.stays.is_empty() {
            return None;
        }
        let next = r
            .morning
            .first()
            .filter(|m| m.action != MorningAction::LeaveOn)
            .map_or_else(String::new, |m| {
                format!(" Next: {}: {}", r.beds[m.bed].bed, self.morning(m))
            });
        let on = count(r.stays.len(), "bed");
        Some(format!("Nothing to lay now; covers lie on {on} and stay.{next}"))
    }

    /// What the cold has taken since sunset, where it is worth a word.
    pub fn lost_so_far(&self) -> Option<String> {
        let r = self.report;
        let lost: Vec<String> = r
            .beds
            .iter()
            .filter(|b| b.lost_so_far >= 1.0)
            .map(|b| format!("{} {:.0}", b.bed, b.lost_so_far))
            .collect();
        let end = match r.phase {
            Phase::BeforeDawn if r.work.is_empty() => " Nothing more can be saved before the sun.",
            _ => "",
        };
        (!lost.is_empty())
            .then(|| format!("Likely lost already since sunset: {}.{end}", lost.join(", ")))
    }

    /// What is left to do by lamp, with what each saves.
    pub fn by_lamp(&self) -> Vec<String> {
        let r = self.report;
        let one = |t: &Task| {
            format!(
                "{}: {} by lamp, by {}; saves {:.0}, else it is lost.",
                r.beds[t.bed].bed,
                crate::answers::tonight::wording::minutes(t.minutes),
                self.words.time(t.by),
                t.saves
            )
        };
        r.by_lamp.iter().map(one).collect()
    }
}

/// `97 in 100`.
fn in_a_hundred(chance: f64) -> String {
    let n = 100.0 * chance;
    if n < 1.0 { "under 1 in 100".to_owned() } else { format!("{n:.0} in 100") }
}

/// Expected loss as a share of what the bed is worth.
fn share(outcome: &Outcome, worth: f64) -> String {
    percent(if worth > 0.0 { outcome.expected_loss / worth } else { 0.0 })
}
