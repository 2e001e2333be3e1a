//! The report as text, for a terminal of 80 columns or a phone: what to do as one table, or everything with its reasons.

use evening::report::{Report, Task};
use garden::Garden;
use quantities::Moment;

use crate::answers::tonight::wording::{CAUTION, PlanWording, minutes};
use crate::columns::words_and_numbers;
use crate::paragraphs::Paragraphs;

/// Columns from which the beds stand in a table, not one after another.
const TABLE_FROM: usize = 64;

/// What to do, in at most twenty lines for twelve beds.
pub fn brief(report: &Report, garden: &Garden, width: usize) -> String {
    let mut page = Page { paper: Paragraphs::new(width), told: PlanWording::new(report, garden) };
    let wrong = page.told.contradictions();
    page.list("Put right", wrong);
    page.today();
    page.headline();
    let (doomed, threat) = (page.told.lost_tonight(), page.told.threat());
    page.lines(doomed.into_iter().chain(threat));
    let lost = page.told.lost_so_far();
    page.lines(lost);
    if !report.work.is_empty() {
        page.table();
    }
    let by_lamp = page.told.by_lamp();
    page.list("After dark by lamp, or lost", by_lamp);
    page.stays();
    if !page.told.quiet() {
        let (open, little) = (page.told.stand_open(), page.told.not_worth_it());
        page.lines(open.into_iter().chain(little));
    }
    let not_saved = page.told.not_saved();
    page.lines(not_saved);
    let without_cloth = page.told.without_cloth();
    page.list("Without cloth", without_cloth);
    let morning = page.told.morning_line("Tomorrow");
    page.lines(morning);
    if !report.work.is_empty() {
        let key = "Chance in 100 to lose a tenth or more; rank if time is short; reasons: --why";
        page.say("", 0, key);
    }
    page.paper.finish()
}

/// The whole answer.
pub fn write(report: &Report, garden: &Garden, width: usize) -> String {
    let mut page = Page { paper: Paragraphs::new(width), told: PlanWording::new(report, garden) };
    let wrong = page.told.contradictions();
    page.list("Put right", wrong);
    page.today();
    page.headline();
    let doomed = page.told.lost_tonight();
    page.lines(doomed);
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
    page.list("If time is short", lists);
    page.morning();
    page.warnings();
    page.weather();
    page.footer();
    page.paper.finish()
}

/// What to open of the night that is ending, asked at a time.
pub fn morning(report: &Report, garden: &Garden, width: usize, now: Moment) -> String {
    let mut page = Page { paper: Paragraphs::new(width), told: PlanWording::new(report, garden) };
    let day = page.told.words.date(report.sun.sunrise);
    page.say("", 0, &format!("{}, {day}. {}", report.garden, page.told.morning_lead().join(" ")));
    let late = page.told.overdue(now);
    page.lines(late);
    let lines = page.told.morning_lines();
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

    fn lines(&mut self, lines: impl IntoIterator<Item = String>) {
        for line in lines {
            self.say("", 0, &line);
        }
    }

    /// The beds to cover, in walking order: sheet and how, minutes, chances, rank.
    fn table(&mut self) {
        let (t, r) = (&self.told, self.told.report);
        let ranks = t.ranks();
        let row = |(n, task): (usize, &Task)| {
            let time = t.task_time(task).map_or_else(String::new, |time| format!(", {time}"));
            let how = format!("{}{time}", t.task_how(task));
            let (open, covered) = t.chances(task);
            let bed = format!("{:>2} {}", n + 1, r.beds[task.bed].bed);
            [bed, how, format!("{:.0}", task.minutes.ceil()), open, covered, ranks[n].to_string()]
        };
        let rows: Vec<[String; 6]> = r.work.iter().enumerate().map(row).collect();
        let width = self.paper.width();
        if width < TABLE_FROM {
            for [bed, how, minutes, open, covered, rank] in rows {
                let said = format!(
                    "{bed}: {how}; {minutes} min; {open} open, {covered} covered; rank {rank}"
                );
                self.paper.list_item(4, &said);
            }
            return;
        }
        let head = ["", "", "min", "open", "covered", "rank"].map(str::to_owned).to_vec();
        let rows = std::iter::once(head).chain(rows.into_iter().map(Vec::from)).collect();
        self.paper.raw(&words_and_numbers(width, 0, (2, 1), rows));
    }

    /// The beds on which something lies that stays, in one line.
    fn stays(&mut self) {
        let r = self.told.report;
        let beds: Vec<&str> = r.stays.iter().map(|b| r.beds[*b].bed.as_str()).collect();
        if !beds.is_empty() {
            self.say("", 0, &format!("Lies and stays: {}.", beds.join(", ")));
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
        let low = t.words.temperature(r.weather.garden_low_c.p50);
        let sky = t.sky().map_or_else(String::new, |s| format!(", {s}"));
        let at = t.words.day(r.asked_at);
        let night = format!("{}, {at}. Low {low} ({}){sky}.", r.garden, t.low_range());
        let dark = if r.sun.dark > r.asked_at {
            format!(" Dark at {}.", t.words.time(r.sun.dark))
        } else {
            String::new()
        };
        let orders = format!("{}{dark}", t.orders());
        let age = t.forecast_age();
        self.lines([night, orders, age]);
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
        let lines = self.told.morning_lines();
        self.list("Tomorrow morning", lines);
    }

    fn warnings(&mut self) {
        let lines = self.told.report.warnings.iter().map(|w| self.told.warning(w)).collect();
        self.list("Warnings", lines);
    }

    fn weather(&mut self) {
        let r = self.told.report;
        let quiet = r.work.is_empty();
        if !quiet {
            let t = &self.told;
            let lines = t.driver().map(str::to_owned).into_iter();
            let lines = lines.chain([t.weather()]).collect();
            self.list("Weather behind this", lines);
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
