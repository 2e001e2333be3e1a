//! The report as text, for a terminal of 80 columns or a phone.

use evening::report::{MorningTask, Report};
use garden::Garden;

use crate::answers::tonight::wording::{CAUTION, PlanWording, minutes};
use crate::format::count;
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(report: &Report, garden: &Garden, width: usize) -> String {
    let mut page = Page { paper: Paragraphs::new(width), told: PlanWording::new(report, garden) };
    let wrong = page.told.contradictions();
    page.list("Put right", wrong);
    page.today();
    page.headline();
    if !report.work.is_empty() {
        page.tasks();
    }
    let by_lamp = page.told.by_lamp();
    page.list("After dark by lamp, or lost", by_lamp);
    let lost = page.told.lost_so_far();
    page.list("Harm so far", lost.into_iter().collect());
    page.lies();
    page.left_open();
    let without_cloth = page.told.without_cloth();
    page.list("Without cloth", without_cloth);
    let told = &page.told;
    let lists = told.short_lists();
    page.list("If you only have so many minutes", lists);
    page.morning();
    page.warnings();
    page.weather();
    page.footer();
    page.paper.finish()
}

/// What to open of the night that is ending.
pub fn morning(report: &Report, garden: &Garden, width: usize) -> String {
    let mut page = Page { paper: Paragraphs::new(width), told: PlanWording::new(report, garden) };
    let day = page.told.words.date(report.sun.sunrise);
    page.say("", 0, &format!("{}, {day}. {}", report.garden, page.told.morning_lead().join(" ")));
    let lines = page.morning_lines();
    page.list("This morning", lines);
    page.paper.finish()
}

struct Page<'a> {
    paper: Paragraphs,
    told: PlanWording<'a>,
}

impl Page<'_> {
    fn say(&mut self, first: &str, indent: usize, text: &str) {
        self.paper.say(first, indent, text);
    }

    fn list(&mut self, head: &str, lines: Vec<String>) {
        if !lines.is_empty() {
            self.paper.head(head);
        }
        for line in lines {
            self.say("  ", 4, &line);
        }
    }

    fn today(&mut self) {
        let (t, r) = (&self.told, self.told.report);
        let Some(lead) = t.today_lead() else { return };
        let lines = r.today.iter().map(|m| format!("{}: {}", r.beds[m.bed].bed, t.today(m)));
        let lines: Vec<String> = lines.collect();
        self.say("", 0, &lead);
        self.list("Open or take off, in this order", lines);
        self.say("", 0, "");
    }

    fn lies(&mut self) {
        let (t, r) = (&self.told, self.told.report);
        let line = |b: &usize| format!("{}: {}", r.beds[*b].bed, t.lies(&r.beds[*b]));
        let lines = r.stays.iter().map(line).collect();
        self.list("Lies and stays", lines);
    }

    fn headline(&mut self) {
        let (t, r) = (&self.told, self.told.report);
        if r.work.is_empty() {
            let closest = t.closest().map_or_else(String::new, |c| format!(" {c}"));
            let text = format!("{}: low {}. {}{closest}", t.verdict(), t.low(), t.forecast_age());
            self.say("", 0, &text);
            return;
        }
        let text = format!(
            "{}, {}. Tonight's low: {}. {} Cover {}: {}.",
            r.garden,
            t.words.day(r.asked_at),
            t.low(),
            t.forecast_age(),
            count(r.work.len(), "bed"),
            t.effort()
        );
        let driver = t.driver();
        self.say("", 0, &text);
        if let Some(driver) = driver {
            self.say("", 0, driver);
        }
    }

    fn tasks(&mut self) {
        self.paper.head("Cover, in this order");
        for (n, task) in self.told.report.work.iter().enumerate() {
            let t = &self.told;
            let Some((bed, option)) = t.chosen(task) else {
                let bed = &t.report.beds[task.bed].bed;
                let what = format!("{bed}: {}; {}.", t.action(task), minutes(task.minutes));
                self.say(&format!("{:>2}. ", n + 1), 4, &what);
                continue;
            };
            let what = format!(
                "{}: {}{}, {}; {}{}.",
                bed.bed,
                t.action(task),
                t.instruction(option),
                t.by(task),
                minutes(task.minutes),
                t.person(task)
            );
            let (why, hint) = (t.why(bed, option), t.mulch_hint(bed));
            self.say(&format!("{:>2}. ", n + 1), 4, &what);
            self.say("    ", 4, &why);
            if let Some(hint) = hint {
                self.say("    ", 4, &hint);
            }
        }
    }

    fn left_open(&mut self) {
        if self.told.quiet() {
            return;
        }
        let r = self.told.report;
        let left: Vec<_> =
            r.beds.iter().filter_map(|b| Some((&b.bed, self.told.left(b)?))).collect();
        if !left.is_empty() {
            self.paper.head("Leave open");
        }
        for (bed, (text, hint)) in left {
            self.say("  ", 4, &format!("{bed}: {text}"));
            if let Some(hint) = hint {
                self.say("    ", 4, &hint);
            }
        }
    }

    fn morning(&mut self) {
        let lines = self.morning_lines();
        self.list("Tomorrow morning", lines);
    }

    fn morning_lines(&self) -> Vec<String> {
        let (t, r) = (&self.told, self.told.report);
        let line = |m: &MorningTask| format!("{}: {}", r.beds[m.bed].bed, t.morning(m));
        r.morning.iter().map(line).collect()
    }

    fn warnings(&mut self) {
        let lines = self.told.report.warnings.iter().map(|w| self.told.warning(w)).collect();
        self.list("Warnings", lines);
    }

    fn weather(&mut self) {
        let r = self.told.report;
        let quiet = r.work.is_empty();
        if !quiet {
            let weather = self.told.weather();
            self.list("Weather behind this", vec![weather]);
        }
        let notices = r.weather.notices.iter().filter(|_| !quiet);
        for notice in r.weather.doubts.iter().chain(notices) {
            self.say("  ", 4, notice);
        }
    }

    fn footer(&mut self) {
        if self.told.report.work.is_empty() {
            return;
        }
        let lines = vec![self.told.sure(), CAUTION.to_owned()];
        self.list("How sure", lines);
    }
}
