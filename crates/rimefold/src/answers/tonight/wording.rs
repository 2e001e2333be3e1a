//! Tonight's plan in sentences, which the terminal and the pages both show.

use evening::report::{
    BedReport, Driver, Handwork, Measure, MorningAction, MorningReason, MorningTask, OptionReport,
    Phase, Reason, Report, Task, Warning, WarningKind,
};
use garden::Garden;
use garden::fit::{Cover, Item, Placement};
use garden::stock::SheetKind;

use crate::answers::tonight::brief::opens;
use crate::format::{GardenFormat, count};

/// Said under every plan.
pub const CAUTION: &str = "Advice, not a promise: forecasts miss, gardens differ. Pin cloth so that wind cannot carry it onto roads or wires; film can cook plants in an hour of sun; for heaters, lamps and wiring follow local codes and a licensed trade.";

/// A forecast this old is told to be renewed, h (chosen: services make several a day).
const OLD_FORECAST_H: f64 = 24.0;
/// From this chance on harm counts as near certain, and below this one a cover helps (chosen).
const NEAR_CERTAIN: f64 = 0.8;
const EVEN: f64 = 0.5;
/// A deadline nearer than this is now, s.
pub const NOW_S: i64 = 300;

/// A report ready to be told.
pub struct PlanWording<'a> {
    /// The plan.
    pub report: &'a Report,
    /// The garden it is for.
    pub garden: &'a Garden,
    /// Its units and zone.
    pub words: GardenFormat,
}

impl<'a> PlanWording<'a> {
    /// A report of a garden, in that garden's units.
    pub fn new(report: &'a Report, garden: &'a Garden) -> Self {
        Self { report, garden, words: GardenFormat::new(report.units, &report.zone) }
    }

    /// Whether the night is quiet: everything stands it open.
    pub fn quiet(&self) -> bool {
        self.report.work.is_empty()
            && self
                .report
                .beds
                .iter()
                .all(|b| matches!(b.reason, Reason::SafeOpen { .. } | Reason::Bare))
    }

    /// `28 °F at the garden (24 to 31)`.
    pub fn low(&self) -> String {
        let (w, low) = (&self.words, &self.report.weather.garden_low_c);
        format!(
            "{} at the garden ({} to {})",
            w.temperature(low.p50),
            w.bare(low.p10),
            w.bare(low.p90)
        )
    }

    /// How old the forecast was when this was asked: `Forecast of 10:14 am, 6 hours old.`
    pub fn forecast_age(&self) -> String {
        let Some(issued) = self.report.weather.issued else {
            return "The forecast does not say when it was made.".to_owned();
        };
        let hours = self.report.asked_at.hours_since(issued);
        let at = self.words.time(issued);
        match hours {
            h if h < 1.5 => format!("Forecast of {at}."),
            h if h < OLD_FORECAST_H => {
                format!("Forecast of {at}, {} old.", count(h.round() as usize, "hour"))
            }
            h => {
                let days = count((h / 24.0).round().max(1.0) as usize, "day");
                format!("The forecast is {days} old: fetch a new one.")
            }
        }
    }

    /// Says of a forecast that is too old, or does not tell its age, that it is; nothing of a fresh one.
    pub fn old_forecast(&self) -> Option<String> {
        let issued = self.report.weather.issued;
        let fresh = issued.is_some_and(|i| self.report.asked_at.hours_since(i) < OLD_FORECAST_H);
        (!fresh).then(|| self.forecast_age())
    }

    /// `Two people, 38 minutes each: start by 8:15 pm`; where that cannot be, when it would be done.
    pub fn effort(&self) -> String {
        let r = self.report;
        let carried = r.without_cloth.iter().filter(|h| h.measure.is_carrying());
        let last = r.work.iter().map(|t| t.by).chain(carried.map(|h| h.by));
        let last = last.filter(|by| *by <= r.sun.dark).max().unwrap_or(r.sun.dark);
        let needed = r.minutes_needed / f64::from(self.garden.labour.people.max(1));
        let done = r.asked_at.plus_seconds((60.0 * needed).ceil() as i64);
        let hands = capital(&self.hands(r.minutes_needed));
        if done <= last && !matches!(r.phase, Phase::AfterDark | Phase::BeforeDawn) {
            let rest = match r.by_lamp.len() {
                0 => String::new(),
                n => format!("; {n} more after dark by lamp, or lost"),
            };
            return format!("{hands}: {}{rest}", self.start());
        }
        let dark = if r.sun.dark > r.asked_at {
            format!("dark from {}", self.words.time(r.sun.dark))
        } else {
            "it is dark already".into()
        };
        let less = if r.short_lists.is_empty() { "" } else { "; what to do first stands below" };
        format!("{hands}: start now, done about {}; {dark}{less}", self.words.time(done))
    }

    /// `by 8:53 pm`, or `now`.
    pub fn by(&self, task: &Task) -> String {
        if let Some(since) = task.late_since {
            let time = self.words.time(since);
            // Work that cannot be done by a time still to come is late for it, not since.
            let late = if since <= self.report.asked_at { "LATE since" } else { "too late for" };
            return format!("{late} {time}: now");
        }
        if task.by.0 - self.report.asked_at.0 < NOW_S {
            "now".into()
        } else {
            format!("by {}", self.words.time(task.by))
        }
    }

    /// What a night without work is.
    pub fn verdict(&self) -> String {
        let at_risk = self.report.beds.iter().filter(|b| Self::at_risk(b)).count();
        let lies = self.as_it_lies().map(|lies| lies.trim_end_matches('.').to_owned());
        if let Some(lost) = self.likely_lost().filter(|_| at_risk == 0) {
            return lies.map_or_else(|| lost.clone(), |lies| format!("{lost}. {lies}"));
        }
        if let Some(lies) = lies {
            return match at_risk {
                0 => lies,
                1 => format!("One bed stays at risk. {lies}"),
                n => format!("{n} beds stay at risk. {lies}"),
            };
        }
        match at_risk {
            _ if self.quiet() => "Quiet night, nothing to cover".into(),
            0 => "Nothing worth covering".into(),
            1 => "One bed is at risk, and nothing at hand can cover it".into(),
            n => format!("{n} beds are at risk, and nothing at hand can cover them"),
        }
    }

    /// That beds are likely lost, where harm is near certain and no cover is worth its work.
    fn likely_lost(&self) -> Option<String> {
        let lost = || {
            let left =
                self.report.beds.iter().filter(|b| matches!(b.reason, Reason::NotWorthIt { .. }));
            left.filter(|b| b.open.chance_of_harm >= NEAR_CERTAIN)
        };
        let helps = |b: &BedReport| b.options.iter().any(|o| o.outcome.chance_of_harm < EVEN);
        let who = match lost().count() {
            0 => return None,
            1 => format!("{} will very likely lose a tenth or more", lost().next()?.bed),
            n => format!("{n} beds will very likely lose a tenth or more each"),
        };
        let why = if lost().any(helps) {
            "covering costs more than it saves"
        } else {
            "no cover here prevents it"
        };
        Some(format!("{who}, and {why}"))
    }

    /// What is left to do where beds are likely lost.
    fn last_resort(&self) -> &'static str {
        if self.report.asked_at < self.report.sun.dark {
            "Before dark: pick what is ripe, carry pots indoors, lay all the cloth you have in two layers; water dry soil only while the sun is on it."
        } else {
            "Now: carry pots indoors, and lay all the cloth you have in two layers."
        }
    }

    /// Beds that are likely lost while others are covered, with what is left to do for them.
    pub fn lost_tonight(&self) -> Option<String> {
        let lost = self.likely_lost().filter(|_| !self.report.work.is_empty())?;
        Some(format!("{}. {}", capital(&lost), self.last_resort()))
    }

    /// What is left to do where beds are likely lost; else the bed that comes nearest to its limit. For a night on which
    /// nothing is covered.
    pub fn closest(&self) -> Option<String> {
        let w = &self.words;
        if self.likely_lost().is_some() {
            return Some(self.last_resort().to_owned());
        }
        closest(self.report).map(|(b, margin)| {
            let side = if margin >= 0.0 { "above" } else { "below" };
            format!(
                "Closest: {}, {} {} {side} its limit nine nights in ten.",
                b.bed,
                w.difference(margin.abs()),
                w.degree()
            )
        })
    }

    /// What the night does to every cover's gain, where something is covered.
    pub fn driver(&self) -> Option<&'static str> {
        self.report.beds.iter().find_map(|b| match b.reason {
            Reason::Cover { driver, .. } => Some(driver_words(driver)),
            _ => None,
        })
    }

    /// The bed of a task and its cover.
    pub fn chosen(&self, task: &Task) -> Option<(&'a BedReport, &'a OptionReport)> {
        let bed = &self.report.beds[task.bed];
        Some((bed, bed.options.get(bed.chosen?)?))
    }

    /// What to lay.
    pub fn instruction(&self, o: &OptionReport) -> String {
        self.words.instruction(&o.cover, sheet_name(&o.cover, self.garden))
    }

    /// The cover in a few words.
    pub fn cover(&self, o: &OptionReport) -> String {
        few_words(&o.cover, self.garden)
    }

    /// What is at stake and what the cover does for it.
    pub fn why(&self, bed: &BedReport, o: &OptionReport) -> String {
        let w = &self.words;
        let limit =
            bed.limit_c.map_or_else(String::new, |l| format!("limit {} {}", w.bare(l), w.degree()));
        let mut text = format!(
            "{} ({limit}). Coldest leaf open {}, covered {}. {}. Gain {} {}",
            bed.planting,
            w.spread(&bed.open.leaf_low_c),
            w.spread(&o.outcome.leaf_low_c),
            self.harm_open_and_covered(bed, o),
            w.difference(o.leaf_gain_k.p50),
            w.degree()
        );
        if let Some(claim) = o.cover.claim_k {
            text += &format!("; the label claims {}", w.difference(claim));
        }
        text += ".";
        match self.will_not_save(bed, o) {
            Some(plainly) => format!("{text} {plainly}"),
            None => text,
        }
    }

    /// Says that loose mulch may do where it keeps seedlings nearly as safe.
    pub fn mulch_hint(&self, bed: &BedReport) -> Option<String> {
        let strewn =
            bed.options.iter().position(|o| matches!(o.cover.lie, Placement::LooseMulch { .. }))?;
        if bed.chosen == Some(strewn) {
            return Some("A loose mulch may do: low seedlings need no sheet.".into());
        }
        let o = &bed.options[strewn];
        let helps = o.outcome.chance_of_harm < 0.2
            && o.outcome.expected_loss < 0.5 * bed.open.expected_loss;
        helps.then(|| {
            format!(
                "A loose mulch may do here: {}; {}.",
                self.words.instruction(&o.cover, None),
                self.harm(&o.outcome, bed.worth)
            )
        })
    }

    /// Why a bed is left open, and a hint beside it; `None` for a covered bed.
    pub fn left(&self, bed: &BedReport) -> Option<(String, Option<String>)> {
        let w = &self.words;
        // Without what comes off, where something does.
        let left = bed.bare.as_ref().filter(|_| bed.takes_off).unwrap_or(&bed.open);
        let leaf = w.spread(&left.leaf_low_c);
        let limit = bed.limit_c.map_or_else(String::new, |l| w.bare(l));
        if !bed.lies.is_empty() && !bed.takes_off && bed.lies_at_night {
            return None;
        }
        let harm = self.harm(left, bed.worth);
        let text = match bed.reason {
            Reason::Bare => "nothing here that frost can harm.".into(),
            Reason::SafeOpen { margin_k } if margin_k >= 0.0 => {
                format!("{} stands it; coldest {leaf}, limit {limit}; {harm}.", bed.planting)
            }
            Reason::SafeOpen { .. } => {
                format!("{} should stand it; coldest {leaf}, limit {limit}; {harm}.", bed.planting)
            }
            Reason::NotWorthIt { saves, costs } => format!(
                "{}; coldest {leaf}, limit {limit}; {harm}. The best cover would save {saves:.0} and cost {costs:.0} of work.",
                bed.planting
            ),
            Reason::NoCoverFits => format!(
                "AT RISK, nothing you own fits. {}; coldest {leaf}, limit {limit}; {harm}.",
                bed.planting
            ),
            Reason::StockUsedElsewhere { loss } => format!(
                "AT RISK, {}. {}; coldest {leaf}, limit {limit}; {harm}, expected loss {loss:.0}.",
                self.short_of(bed),
                bed.planting
            ),
            Reason::Cover { .. } | Reason::Lies | Reason::CarriedIn => return None,
        };
        let hint =
            if matches!(bed.reason, Reason::SafeOpen { .. }) { None } else { self.mulch_hint(bed) };
        Some((text, hint))
    }

    /// Whether a bed is left open against a harm that is expected.
    pub fn at_risk(bed: &BedReport) -> bool {
        matches!(bed.reason, Reason::NoCoverFits | Reason::StockUsedElsewhere { .. })
    }

    /// What helps without cloth, a line each.
    pub fn without_cloth(&self) -> Vec<String> {
        let w = &self.words;
        let one = |h: &Handwork| {
            let bed = &self.report.beds[h.bed].bed;
            let by = w.time(h.by);
            let cost = match h.minutes {
                m if m > 0.0 => format!("{}, ", minutes(m)),
                _ => String::new(),
            };
            let several = self.garden.labour.people > 1 && h.minutes > 0.0;
            let person = if several { format!("person {}, ", h.person) } else { String::new() };
            let saves = format!("{cost}{person}saves {:.0}", h.saves);
            match h.measure {
                Measure::Water { gain_k } => format!(
                    "{bed}: water the soil well by {by}, never the leaves and never at dusk: the coldest leaf stays about {} {} warmer ({saves}).",
                    w.difference(gain_k.p50),
                    w.degree()
                ),
                Measure::Pick => format!(
                    "{bed}: pick what is ripe by {by}; covered or not, it is likely to lose much of the rest ({saves})."
                ),
                Measure::CarryIn { pots } => {
                    format!("{bed}: carry {} in by {by} ({saves}).", count(pots as usize, "pot"))
                }
            }
        };
        self.report.without_cloth.iter().map(one).collect()
    }

    /// The best that can be done in fewer minutes, list by list.
    pub fn short_lists(&self) -> Vec<String> {
        let r = self.report;
        let one = |list: &evening::report::ShortList| {
            let beds: Vec<&str> = list.beds.iter().map(|b| r.beds[*b].bed.as_str()).collect();
            let which = if beds.is_empty() {
                "nothing can be done in time".to_owned()
            } else {
                beds.join(", then ")
            };
            format!(
                "{:.0} minutes of work: {which}. Expected loss then {:.0}.",
                list.minutes, list.expected_loss
            )
        };
        r.short_lists.iter().map(one).collect()
    }

    /// What to open, when and why.
    pub fn morning(&self, task: &MorningTask) -> String {
        let w = &self.words;
        let action = match task.action {
            MorningAction::HalfOff => "pull it to one side",
            MorningAction::TakeOff => "take it off",
            MorningAction::OpenEnds => "open the ends",
            MorningAction::LeaveOn => "it may stay on",
        };
        let why = match task.why {
            MorningReason::Heat { limit_c } => {
                format!("it passes {} inside soon after", w.temperature(limit_c))
            }
            MorningReason::SunOnFilm => "film cooks plants in the sun".into(),
            MorningReason::Bees => "bees need the flowers".into(),
            MorningReason::Light => format!("{} keeps the light off", self.lies_on(task.bed)),
            MorningReason::ColdDay => "little is gained by opening".into(),
            MorningReason::Work => "opening is more work than the day's light is worth".into(),
        };
        let from = task.from.map_or_else(String::new, |m| format!(", from {} on", w.time(m)));
        let when = if task.action == MorningAction::LeaveOn {
            String::new()
        } else {
            format!("{from}, by {}", w.time(task.by))
        };
        let takes = match task.minutes {
            m if m > 0.0 => format!(" ({})", minutes(m)),
            _ => String::new(),
        };
        let left = match task.left_costs {
            x if x >= 1.0 => format!(", about {x:.0} lost if it stays as it is"),
            _ => String::new(),
        };
        format!("{action}{when}{takes}; {why}{left}.")
    }

    /// What lies on a bed in the morning: `the straw`, `the cloth`, `the film`.
    pub(super) fn lies_on(&self, bed: usize) -> &'static str {
        let bed = &self.report.beds[bed];
        let chosen = bed.chosen.and_then(|c| bed.options.get(c)).map(|o| &o.cover);
        let mut lying = bed.lies.iter().map(|l| &l.cover);
        match chosen.or(lying.next_back()) {
            Some(c) if matches!(c.lie, Placement::LooseMulch { .. }) => "the straw",
            Some(c) if c.cloth.is_some_and(|c| matches!(c.kind, SheetKind::Film { .. })) => {
                "the film"
            }
            _ => "the cloth",
        }
    }

    /// How many beds to open and the first of them, and what was said of the night that is ending.
    pub fn morning_lead(&self) -> [String; 2] {
        let opened = || self.report.morning.iter().filter(|m| opens(m));
        let first = match opened().min_by_key(|m| m.by) {
            None => "Nothing to open this morning.".to_owned(),
            Some(m) => format!(
                "Open {} this morning, first {} by {}.",
                count(opened().count(), "bed"),
                self.report.beds[m.bed].bed,
                self.words.time(m.by)
            ),
        };
        [first, format!("What was said of the night: low {}.", self.low())]
    }

    /// A warning with what to do.
    pub fn warning(&self, warning: &Warning) -> String {
        let w = &self.words;
        let beds = warning.beds.join(", ");
        match warning.kind {
            WarningKind::WindLiftsCloth { gust_m_s, from_m_s, likely_m_s, pins_needed } => {
                let hooped = |b: &garden::Bed| b.hoops.is_some() && warning.beds.contains(&b.name);
                let clip = if self.garden.beds.iter().any(hooped) {
                    ", clip the cloth to the hoops (6 a hoop),"
                } else {
                    ""
                };
                format!(
                    "WIND {beds}: gusts to {}; pins may pull out from {} on, more likely from {}. Use {pins_needed} pins{clip} or weigh the skirts down.",
                    w.wind(gust_m_s),
                    w.wind(from_m_s),
                    w.wind(likely_m_s)
                )
            }
            WarningKind::WindFlattensHoops { gust_m_s, from_m_s, likely_m_s } => format!(
                "WIND {beds}: gusts to {}; hoops may be pushed flat from {} on, and probably will be at {}. Take the cover down, or lay the cloth flat and weigh it.",
                w.wind(gust_m_s),
                w.wind(from_m_s),
                w.wind(likely_m_s)
            ),
            WarningKind::SnowLoad { snow_m, from_m, wet_m } => format!(
                "SNOW {beds}: {} expected; hoops may give way from {} of fresh snow on, under about {} if it is wet. Brush it off{}, and again after as much, or take the cover down now. Never reach under a loaded tunnel.",
                w.short(snow_m),
                w.short(from_m),
                w.short(wet_m),
                warning.at.map_or_else(String::new, |at| format!(" by {}", w.time(at)))
            ),
        }
    }

    /// The forecast of the night.
    pub fn weather(&self) -> String {
        let (w, r) = (&self.words, self.report);
        let or_absent = |x: Option<String>| x.unwrap_or_else(|| "not given".into());
        format!(
            "{}: low {} near {}; wind {}, cloud {}, gusts {}, snow {}.",
            r.weather.source,
            w.temperature(r.weather.forecast_low_c),
            w.time(r.weather.forecast_low_at),
            or_absent(r.weather.wind_m_s.map(|x| w.wind(x))),
            or_absent(r.weather.cloud.map(|x| format!("{:.0} %", 100.0 * x))),
            or_absent(r.weather.gust_m_s.map(|x| w.wind(x))),
            or_absent(r.weather.snow_m.map(|x| if x > 0.0 { w.short(x) } else { "none".into() }))
        )
    }

    /// How many nights, how good the plan is, how well the books close.
    pub fn sure(&self) -> String {
        let (r, p) = (self.report, &self.report.proof);
        let sure = match p.gap {
            Some(0.0) => "the best possible plan".to_owned(),
            Some(g) => format!("a plan at most {:.1} % dearer than the best", 100.0 * g),
            None => "a good plan, not proven best".to_owned(),
        };
        format!(
            "{} ways the night may go; {sure}: loss and work come to {:.0}, against {:.0} for the greedy plan and {:.0} for doing nothing. Self-check passed: heat in and out of every bed agree within {:.3} W/m² (seed {}).",
            r.weather.members,
            p.plan_cost,
            p.greedy_cost,
            p.do_nothing_cost,
            p.worst_residual_w_m2,
            r.weather.seed
        )
    }
}

fn closest(r: &Report) -> Option<(&BedReport, f64)> {
    r.beds
        .iter()
        .filter_map(|b| Some((b, b.open.leaf_low_c.p10 - b.limit_c?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

/// A sentence with its first letter large.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |c| c.to_uppercase().chain(letters).collect())
}

/// A cover in a few words: `2 × heavy 72`, `straw`.
pub fn few_words(cover: &Cover, garden: &Garden) -> String {
    let name = match cover.lie {
        Placement::LooseMulch { .. } => "straw",
        _ => sheet_name(cover, garden).unwrap_or("sheet"),
    };
    if cover.layers > 1 { format!("{} × {name}", cover.layers) } else { name.to_owned() }
}

/// Whole minutes, at least one.
pub fn minutes(x: f64) -> String {
    count(x.ceil().max(1.0) as usize, "minute")
}

/// Name of the sheet or pop-up tunnel of a cover.
pub fn sheet_name<'a>(cover: &Cover, garden: &'a Garden) -> Option<&'a str> {
    cover.uses.iter().find_map(|u| match u.0 {
        Item::Sheet(i) => garden.stock.sheets.get(i).map(|s| s.name.as_str()),
        Item::PopUp(i) => garden.stock.pop_ups.get(i).map(|p| p.name.as_str()),
        _ => None,
    })
}

fn driver_words(d: Driver) -> &'static str {
    match d {
        Driver::ClearCalm => {
            "Clear and calm: open leaves lose their heat to the sky and run colder than the air; cloth stops most of that, so covers gain much tonight."
        }
        Driver::Wind => {
            "Windy: moving air keeps open leaves near air temperature and blows through cloth, so covers gain less than on a calm night."
        }
        Driver::Cloud => {
            "Cloudy: the sky sends back most of the heat, open leaves stay near air temperature, so covers gain less than under a clear sky."
        }
        Driver::WindAndCloud => {
            "Wind and cloud: open leaves stay near air temperature and air blows through the cloth, so covers gain less than on a clear calm night."
        }
        Driver::Mixed => {
            "Neither clear calm nor wind or cloud stand out: covers gain something in between."
        }
    }
}
