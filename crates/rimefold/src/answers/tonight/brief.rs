//! The plan in a few words a bed: what the first screen and the table of the terminal show.

use evening::report::{
    BedReport, MorningAction, MorningReason, MorningTask, OptionReport, Phase, Reason, Task,
    WarningKind,
};
use garden::fit::{Cover, Item, Placement};
use quantities::Moment;

use crate::answers::tonight::wording::{NOW_S, PlanWording, minutes};
use crate::format::count;

/// A deadline this far before dark is told beside its bed, s.
const EARLY_S: i64 = 600;

impl PlanWording<'_> {
    /// `Cover 9 beds.` with who, how long, and from when at the latest.
    pub fn orders(&self) -> String {
        format!("Cover {}. {}.", count(self.report.work.len(), "bed"), self.effort())
    }

    /// `two people, 38 minutes each`; of one alone only the minutes.
    pub fn hands(&self, person_minutes: f64) -> String {
        let people = self.garden.labour.people;
        let each = minutes(person_minutes / f64::from(people.max(1)));
        if people > 1 { format!("{} people, {each} each", number_word(people)) } else { each }
    }

    /// `start by 8:15 pm`, or `start now`.
    pub fn start(&self) -> String {
        let r = self.report;
        let late = matches!(r.phase, Phase::AfterDark | Phase::BeforeDawn);
        r.start_by
            .filter(|s| !late && s.0 - r.asked_at.0 >= NOW_S)
            .map_or_else(|| "start now".to_owned(), |s| format!("start by {}", self.words.time(s)))
    }

    /// `25 to 32`: the low, eight nights in ten.
    pub fn low_range(&self) -> String {
        let low = &self.report.weather.garden_low_c;
        format!("{} to {}", self.words.bare(low.p10), self.words.bare(low.p90))
    }

    /// The night in two words; nothing where neither wind nor cloud stands out.
    pub fn sky(&self) -> Option<&'static str> {
        use evening::report::Driver;
        match self.report.weather.driver {
            Driver::ClearCalm => Some("clear and calm"),
            Driver::Wind => Some("windy"),
            Driver::Cloud => Some("cloudy"),
            Driver::WindAndCloud => Some("wind and cloud"),
            Driver::Mixed => None,
        }
    }

    /// The cover and how it lies: `2 × heavy 72, flat, roll up 10 in`.
    pub fn how(&self, o: &OptionReport) -> String {
        let c = &o.cover;
        let lies = match c.lie {
            Placement::LooseMulch { depth_m } => {
                return format!("straw, {} deep", self.words.short(depth_m));
            }
            Placement::PopUp { .. } => String::new(),
            Placement::LowTunnel { .. } => ", hoops".into(),
            Placement::Floating => ", flat".into(),
            Placement::Drape => ", tied".into(),
        };
        let roll = if c.roll_up {
            format!(", roll up {}", self.words.short(c.skirt_m))
        } else {
            String::new()
        };
        let pieces =
            if c.pieces > 1 { format!(", {} end to end", c.pieces) } else { String::new() };
        format!("{}{lies}{pieces}{roll}", self.cover(o))
    }

    /// What is done on a bed, in a few words.
    pub fn task_how(&self, task: &Task) -> String {
        match self.chosen(task) {
            Some((_, option)) => format!("{}{}", self.action(task), self.how(option)),
            None => "take off what lies".to_owned(),
        }
    }

    /// When a bed is not just due before dark: `not before 6:40 pm`, `by 7:10 pm`, `LATE: now`.
    pub fn task_time(&self, task: &Task) -> Option<String> {
        let (w, r) = (&self.words, self.report);
        if task.late_since.is_some() {
            return Some(self.by(task));
        }
        let from = task.not_before.map(|m| format!("from {}", w.time(m)));
        let early = task.by.0 < r.sun.dark.0 - EARLY_S && r.asked_at < r.sun.dark;
        let by = (early || r.asked_at >= r.sun.dark).then(|| self.by(task));
        from.or(by)
    }

    /// What threatens, in one line.
    pub fn threat(&self) -> Option<String> {
        let all = &self.report.warnings;
        let of = |kind: fn(&WarningKind) -> bool| -> Vec<&str> {
            let warned = all.iter().filter(|w| kind(&w.kind));
            warned.flat_map(|w| w.beds.iter().map(String::as_str)).collect()
        };
        let lifted = of(|k| matches!(k, WarningKind::WindLiftsCloth { .. }));
        let pins = all.iter().find_map(|w| match w.kind {
            WarningKind::WindLiftsCloth { pins_needed, .. } => Some(pins_needed),
            _ => None,
        });
        let mut out = Vec::new();
        match (lifted.as_slice(), pins) {
            ([], _) | (_, None) => {}
            ([bed], Some(pins)) => {
                out.push(format!("Wind, {bed}: {pins} pins, or weigh the skirts down."));
            }
            (beds, _) => {
                out.push(format!("Wind may lift the cloth of {}: weigh the skirts.", some(beds)));
            }
        }
        let flattened = of(|k| matches!(k, WarningKind::WindFlattensHoops { .. }));
        if !flattened.is_empty() {
            out.push(format!("Wind may flatten the hoops of {}.", some(&flattened)));
        }
        let loaded = of(|k| matches!(k, WarningKind::SnowLoad { .. }));
        let least = all.iter().filter_map(|w| match w.kind {
            WarningKind::SnowLoad { from_m, .. } => Some(from_m),
            _ => None,
        });
        if let Some(least) = least.reduce(f64::min) {
            let (beds, depth) = (some(&loaded), self.words.short(least));
            out.push(format!("Snow may break the hoops of {beds}: brush it off before {depth}."));
        }
        (!out.is_empty()).then(|| out.join(" "))
    }

    /// Place of each task of the work when time runs out: the list of the fewest minutes that still has it, then what it
    /// saves a minute.
    pub fn ranks(&self) -> Vec<usize> {
        let r = self.report;
        let list = |t: &Task| r.short_lists.iter().position(|l| l.beds.contains(&t.bed));
        let rate = |t: &Task| t.saves / (t.minutes + t.walk_minutes).max(0.1);
        let mut order: Vec<usize> = (0..r.work.len()).collect();
        order.sort_by(|a, b| {
            let (a, b) = (&r.work[*a], &r.work[*b]);
            let lists = list(a).unwrap_or(usize::MAX).cmp(&list(b).unwrap_or(usize::MAX));
            lists.then(rate(b).total_cmp(&rate(a)))
        });
        let mut rank = vec![0; order.len()];
        for (place, task) in order.into_iter().enumerate() {
            rank[task] = place + 1;
        }
        rank
    }

    /// The beds that stay open and stand it, in one line.
    pub fn stand_open(&self) -> Option<String> {
        let stands = |b: &&BedReport| {
            matches!(b.reason, Reason::SafeOpen { .. } | Reason::Bare) && b.lies.is_empty()
        };
        let names = names(self.report.beds.iter().filter(stands));
        (!names.is_empty()).then(|| format!("Stay open and stand it: {names}."))
    }

    /// The beds that are not worth the work, in one line.
    pub fn not_worth_it(&self) -> Option<String> {
        let beds = self.report.beds.iter();
        let names = names(beds.filter(|b| matches!(b.reason, Reason::NotWorthIt { .. })));
        (!names.is_empty())
            .then(|| format!("Stay open, since covering costs more than it saves: {names}."))
    }

    /// The beds that cannot be saved, with what is short, a line a cause.
    pub fn not_saved(&self) -> Vec<String> {
        let r = self.report;
        let most_stays = |b: &&BedReport| {
            let o = b.chosen.and_then(|c| b.options.get(c));
            o.is_some_and(|o| self.will_not_save(b, o).is_some())
        };
        let mut out = Vec::new();
        let hopeless = names(r.beds.iter().filter(most_stays));
        if !hopeless.is_empty() {
            out.push(format!("Likely lost even when covered: {hopeless}."));
        }
        let mut by_cause: Vec<(&'static str, Vec<&str>)> = Vec::new();
        for bed in r.beds.iter().filter(|b| Self::at_risk(b)) {
            let cause = self.short_of(bed);
            match by_cause.iter_mut().find(|c| c.0 == cause) {
                Some((_, beds)) => beds.push(&bed.bed),
                None => by_cause.push((cause, vec![&bed.bed])),
            }
        }
        out.extend(by_cause.into_iter().map(|(c, b)| format!("AT RISK, {c}: {}.", b.join(", "))));
        out
    }

    /// What a bed that is left at risk would need and does not get: the first of cloth, pins and minutes that stands in the way
    /// of each of its covers.
    pub fn short_of(&self, bed: &BedReport) -> &'static str {
        if bed.options.is_empty() || matches!(bed.reason, Reason::NoCoverFits) {
            return "nothing you own fits";
        }
        let covers = || bed.options.iter().map(|o| &o.cover);
        let cloth = |c: &Cover| c.uses.iter().all(|u| is_fastening(u.0) || self.is_left(*u));
        let pins = |c: &Cover| c.uses.iter().all(|u| self.is_left(*u));
        if !covers().any(cloth) {
            "the sheets that fit save more on other beds"
        } else if !covers().any(|c| cloth(c) && pins(c)) {
            "pins and clips run short and save more on other beds"
        } else {
            "the minutes run short and save more on other beds"
        }
    }

    /// Whether the plan leaves as many of an item as are asked for.
    fn is_left(&self, (item, needed): (Item, u32)) -> bool {
        let stock = &self.garden.stock;
        let owned = match item {
            Item::Sheet(i) => stock.sheets.get(i).map_or(0, |s| s.count),
            Item::PopUp(i) => stock.pop_ups.get(i).map_or(0, |p| p.count),
            Item::Pins => stock.hold_downs(),
            Item::Clips => stock.clips,
            Item::LooseMulchLitres => (1000.0 * stock.loose_mulch_m3) as u32,
        };
        let of = |c: &Cover| c.uses.iter().filter(|u| u.0 == item).map(|u| u.1).sum::<u32>();
        let planned = |b: &BedReport| b.options.get(b.chosen?).map(|o| of(&o.cover));
        let used: u32 = self.report.beds.iter().filter_map(planned).sum();
        used + needed <= owned
    }

    /// What the morning asks for, in one line.
    pub fn morning_line(&self, word: &str) -> Option<String> {
        let tasks = &self.report.morning;
        let opened: Vec<&MorningTask> = tasks.iter().filter(|m| opens(m)).collect();
        let first = opened.iter().min_by_key(|m| m.by);
        let stay = tasks.len() - opened.len();
        let stays = match (stay, first) {
            (0, _) => String::new(),
            (n, Some(_)) => format!("; {} may stay covered", count(n, "bed")),
            (n, None) => return Some(format!("{word}: {} may stay covered.", count(n, "bed"))),
        };
        let first = first?;
        let bed = &self.report.beds[first.bed].bed;
        let by = self.words.time(first.by);
        let open = count(opened.len(), "bed");
        Some(format!("{word}: open {open}, first {bed} by {by}{stays}."))
    }

    /// The beds whose covers may stay on in the morning, each cause one line.
    pub fn may_stay(&self) -> Option<String> {
        let r = self.report;
        let stay: Vec<&MorningTask> = r.morning.iter().filter(|m| !opens(m)).collect();
        let beds: Vec<&str> = stay.iter().map(|m| r.beds[m.bed].bed.as_str()).collect();
        let cool = stay.iter().all(|m| matches!(m.why, MorningReason::ColdDay));
        let why = if cool { "; little is gained by opening" } else { "" };
        (!beds.is_empty()).then(|| format!("May stay covered: {}{why}.", beds.join(", ")))
    }

    /// The beds that sun or heat should have opened by `now`, for a garden whose diary does not say what lies.
    pub fn overdue(&self, now: Moment) -> Option<String> {
        let hot = |m: &&MorningTask| {
            let heat = matches!(m.why, MorningReason::SunOnFilm | MorningReason::Heat { .. });
            heat && opens(m) && m.by < now
        };
        let beds: Vec<&str> =
            self.report.morning.iter().filter(hot).map(|m| &*self.report.beds[m.bed].bed).collect();
        (!beds.is_empty()).then(|| format!("LATE, if still shut: open {} now.", beds.join(", ")))
    }

    /// What to open in the morning, bed by bed; then what may stay, in one line.
    pub fn morning_lines(&self) -> Vec<String> {
        let r = self.report;
        let opened = r.morning.iter().filter(|m| opens(m));
        let line = |m: &MorningTask| format!("{}: {}", r.beds[m.bed].bed, self.morning(m));
        opened.map(line).chain(self.may_stay()).collect()
    }
}

/// Whether a bed is opened in the morning, or its cover taken off.
pub fn opens(task: &MorningTask) -> bool {
    task.action != MorningAction::LeaveOn
}

fn is_fastening(item: Item) -> bool {
    matches!(item, Item::Pins | Item::Clips | Item::LooseMulchLitres)
}

fn names<'a>(beds: impl Iterator<Item = &'a BedReport>) -> String {
    beds.map(|b| b.bed.as_str()).collect::<Vec<_>>().join(", ")
}

/// Two names, or how many there are.
fn some(beds: &[&str]) -> String {
    match beds {
        [one] => (*one).to_owned(),
        [one, other] => format!("{one} and {other}"),
        more => format!("{} beds", more.len()),
    }
}

/// `two`, up to twelve; figures above.
fn number_word(n: u32) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS.get(n as usize).map_or_else(|| n.to_string(), |w| (*w).to_owned())
}
