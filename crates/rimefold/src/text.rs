//! The report as text, for a terminal of 80 columns or a phone.

use decision::report::{
    BedReport, Driver, MorningAction, MorningReason, OptionReport, Reason, Report, WarningKind,
};
use garden::Garden;
use garden::fit::{Cover, Item, Lie};

use crate::paper::Paper;
use crate::words::{Words, chance, count};

/// The whole answer.
pub fn write(report: &Report, garden: &Garden, width: usize) -> String {
    let words = Words::new(report.units, &report.zone);
    let mut page = Page { paper: Paper::new(width), words };
    page.headline(report, garden);
    if !report.work.is_empty() {
        page.tasks(report, garden);
    }
    page.left_open(report);
    page.short_lists(report);
    page.morning(report);
    page.warnings(report);
    page.weather(report);
    page.footer(report);
    page.paper.finish()
}

struct Page {
    paper: Paper,
    words: Words,
}

impl Page {
    fn say(&mut self, first: &str, indent: usize, text: &str) {
        self.paper.say(first, indent, text);
    }

    fn head(&mut self, text: &str) {
        self.paper.head(text);
    }

    fn headline(&mut self, r: &Report, garden: &Garden) {
        let w = &self.words;
        let low = format!(
            "{} at the garden ({} to {})",
            w.temperature(r.weather.garden_low_c.p50),
            w.bare(r.weather.garden_low_c.p10),
            w.bare(r.weather.garden_low_c.p90)
        );
        let asked = w.day(r.asked_at);
        if r.work.is_empty() {
            let closest = closest(r).map_or_else(String::new, |(b, margin)| {
                let side = if margin >= 0.0 { "above" } else { "below" };
                format!(
                    " Closest: {}, {} {} {side} its limit nine nights in ten.",
                    b.bed,
                    w.difference(margin.abs()),
                    w.degree()
                )
            });
            let quiet =
                r.beds.iter().all(|b| matches!(b.reason, Reason::SafeOpen { .. } | Reason::Bare));
            let verdict =
                if quiet { "Quiet night, nothing to cover:" } else { "Nothing worth covering:" };
            let text = format!("{verdict} low {low}.{closest}");
            self.say("", 0, &text);
            return;
        }
        let people = f64::from(garden.labour.people.max(1));
        let last = r.work.iter().map(|t| t.by).max().unwrap_or(r.sun.dark);
        let text = format!(
            "{}, {asked}. Tonight's low: {low}. Cover {}: {}{}, done by {}.",
            r.garden,
            count(r.work.len(), "bed"),
            minutes(r.minutes_needed / people),
            if garden.labour.people > 1 {
                format!(" for each of {}", garden.labour.people)
            } else {
                String::new()
            },
            w.time(last)
        );
        self.say("", 0, &text);
        let driver = r.beds.iter().find_map(|b| match b.reason {
            Reason::Cover { driver, .. } => Some(driver),
            _ => None,
        });
        if let Some(d) = driver {
            self.say("", 0, driver_words(d));
        }
    }

    fn tasks(&mut self, r: &Report, garden: &Garden) {
        self.head("Cover, in this order");
        for (n, task) in r.work.iter().enumerate() {
            let bed = &r.beds[task.bed];
            let Some(option) = bed.chosen.and_then(|c| bed.options.get(c)) else { continue };
            let name = sheet_name(&option.cover, garden);
            let what = format!(
                "{}: {}, by {}; {}.",
                bed.bed,
                self.words.instruction(&option.cover, name),
                self.words.time(task.by),
                minutes(task.minutes)
            );
            self.say(&format!("{:>2}. ", n + 1), 4, &what);
            let why = self.why(bed, option);
            self.say("    ", 4, &why);
            if let Some(hint) = self.mulch_hint(bed) {
                self.say("    ", 4, &hint);
            }
        }
    }

    fn why(&self, bed: &BedReport, o: &OptionReport) -> String {
        let w = &self.words;
        let limit =
            bed.limit_c.map_or_else(String::new, |l| format!("limit {} {}", w.bare(l), w.degree()));
        let mut text = format!(
            "{} ({limit}). Coldest leaf open {}, covered {}; harm {} open, {} covered. Gain {} {}",
            bed.planting,
            w.spread(&bed.open.leaf_low_c),
            w.spread(&o.outcome.leaf_low_c),
            chance(bed.open.chance_of_harm),
            chance(o.outcome.chance_of_harm),
            w.difference(o.leaf_gain_k.p50),
            w.degree()
        );
        if let Some(claim) = o.cover.claim_k {
            text += &format!("; the label claims {}", w.difference(claim));
        }
        text + "."
    }

    /// Says that loose mulch may do where it keeps seedlings nearly as safe.
    fn mulch_hint(&self, bed: &BedReport) -> Option<String> {
        let strewn =
            bed.options.iter().position(|o| matches!(o.cover.lie, Lie::LooseMulch { .. }))?;
        if bed.chosen == Some(strewn) {
            return Some("A loose mulch may do: low seedlings need no sheet.".into());
        }
        let o = &bed.options[strewn];
        let helps = o.outcome.chance_of_harm < 0.2
            && o.outcome.expected_loss < 0.5 * bed.open.expected_loss;
        helps.then(|| {
            format!(
                "A loose mulch may do here: {}, harm {}.",
                self.words.instruction(&o.cover, None),
                chance(o.outcome.chance_of_harm)
            )
        })
    }

    fn left_open(&mut self, r: &Report) {
        let left: Vec<&BedReport> = r.beds.iter().filter(|b| b.chosen.is_none()).collect();
        if left.is_empty()
            || r.work.is_empty()
                && left.iter().all(|b| matches!(b.reason, Reason::SafeOpen { .. } | Reason::Bare))
        {
            return;
        }
        self.head("Leave open");
        for bed in left {
            let w = &self.words;
            let leaf = w.spread(&bed.open.leaf_low_c);
            let limit = bed.limit_c.map_or_else(String::new, |l| w.bare(l));
            let harm = chance(bed.open.chance_of_harm);
            let text = match bed.reason {
                Reason::Bare => format!("{}: nothing here that frost can harm.", bed.bed),
                Reason::SafeOpen { margin_k } if margin_k >= 0.0 => format!(
                    "{}: {} stands it; coldest {leaf}, limit {limit}, harm {harm}.",
                    bed.bed, bed.planting
                ),
                Reason::SafeOpen { .. } => format!(
                    "{}: {} should stand it; coldest {leaf}, limit {limit}, harm {harm}.",
                    bed.bed, bed.planting
                ),
                Reason::NotWorthIt { saves, costs } => format!(
                    "{}: {}; coldest {leaf}, limit {limit}, harm {harm}. The best cover would save {saves:.0} and cost {costs:.0} of work.",
                    bed.bed, bed.planting
                ),
                Reason::NoCoverFits => format!(
                    "{}: AT RISK, nothing in stock fits. {}; coldest {leaf}, limit {limit}, harm {harm}.",
                    bed.bed, bed.planting
                ),
                Reason::StockUsedElsewhere { loss } => format!(
                    "{}: AT RISK, sheets, pins or minutes save more elsewhere. {}; coldest {leaf}, limit {limit}, harm {harm}, expected loss {loss:.0}.",
                    bed.bed, bed.planting
                ),
                Reason::Cover { .. } => continue,
            };
            self.say("  ", 4, &text);
            if !matches!(bed.reason, Reason::SafeOpen { .. })
                && let Some(hint) = self.mulch_hint(bed)
            {
                self.say("    ", 4, &hint);
            }
        }
    }

    fn short_lists(&mut self, r: &Report) {
        if r.short_lists.is_empty() {
            return;
        }
        self.head("If you only have so many minutes");
        for list in &r.short_lists {
            let beds: Vec<&str> = list.beds.iter().map(|b| r.beds[*b].bed.as_str()).collect();
            let which = if beds.is_empty() {
                "nothing can be done in time".to_owned()
            } else {
                beds.join(", then ")
            };
            let text = format!(
                "{:.0} person-minutes: {which}. Expected loss then {:.0}.",
                list.minutes, list.expected_loss
            );
            self.say("  ", 4, &text);
        }
    }

    fn morning(&mut self, r: &Report) {
        if r.morning.is_empty() {
            return;
        }
        self.head("Tomorrow morning");
        for task in &r.morning {
            let w = &self.words;
            let action = match task.action {
                MorningAction::TakeOff => "take it off",
                MorningAction::OpenEnds => "open the ends",
                MorningAction::LeaveOn => "it may stay on",
            };
            let why = match task.why {
                MorningReason::Heat { limit_c } => {
                    format!("it passes {} inside soon after", w.temperature(limit_c))
                }
                MorningReason::Bees => "bees need the flowers".into(),
                MorningReason::Light => "cloth takes light".into(),
                MorningReason::ColdDay => "the day stays cold".into(),
            };
            let from = task.from.map_or_else(String::new, |m| format!(", from {} on", w.time(m)));
            let when = if task.action == MorningAction::LeaveOn {
                String::new()
            } else {
                format!("{from}, by {}", w.time(task.by))
            };
            let text = format!("{}: {action}{when}; {why}.", r.beds[task.bed].bed);
            self.say("  ", 4, &text);
        }
    }

    fn warnings(&mut self, r: &Report) {
        if r.warnings.is_empty() {
            return;
        }
        self.head("Warnings");
        for warning in &r.warnings {
            let w = &self.words;
            let beds = warning.beds.join(", ");
            let text = match warning.kind {
                WarningKind::WindLiftsCloth { gust_m_s, from_m_s, likely_m_s, pins_needed } => {
                    format!(
                        "WIND {beds}: gusts to {}; pins may let go from {} on, as reckoned at {}. Use {pins_needed} pins, clip the cloth to the hoops (6 a hoop), or weigh the skirts down.",
                        w.wind(gust_m_s),
                        w.wind(from_m_s),
                        w.wind(likely_m_s)
                    )
                }
                WarningKind::WindFlattensHoops { gust_m_s, from_m_s, likely_m_s } => format!(
                    "WIND {beds}: gusts to {}; hoops may be pushed flat from {} on, as reckoned at {}. Take the cover down, or lay the cloth flat and weigh it.",
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
            };
            self.say("  ", 4, &text);
        }
    }

    fn weather(&mut self, r: &Report) {
        let quiet = r.work.is_empty();
        if !quiet {
            self.head("Weather behind this");
            let w = &self.words;
            let or_absent = |x: Option<String>| x.unwrap_or_else(|| "not given".into());
            let text = format!(
                "{}: low {} near {}; wind {}, cloud {}, gusts {}, snow {}.",
                r.weather.source,
                w.temperature(r.weather.forecast_low_c),
                w.time(r.weather.forecast_low_at),
                or_absent(r.weather.wind_m_s.map(|x| w.wind(x))),
                or_absent(r.weather.cloud.map(|x| format!("{:.0} %", 100.0 * x))),
                or_absent(r.weather.gust_m_s.map(|x| w.wind(x))),
                or_absent(r.weather.snow_m.map(|x| if x > 0.0 {
                    w.short(x)
                } else {
                    "none".into()
                }))
            );
            self.say("  ", 4, &text);
        }
        let notices = r.weather.notices.iter().filter(|_| !quiet);
        for notice in r.weather.doubts.iter().chain(notices) {
            self.say("  ", 4, notice);
        }
    }

    fn footer(&mut self, r: &Report) {
        if r.work.is_empty() {
            return;
        }
        let p = &r.proof;
        let sure = match p.gap {
            Some(0.0) => "the best possible plan".to_owned(),
            Some(g) => format!("a plan at most {:.1} % dearer than the best", 100.0 * g),
            None => "a good plan, not proven best".to_owned(),
        };
        self.head("How sure");
        let text = format!(
            "{} possible nights a bed (seed {}); {sure}: loss and labour {:.0}, against {:.0} for the first plan that comes to mind and {:.0} doing nothing. Energy books closed within {:.3} W/m².",
            r.weather.members,
            r.weather.seed,
            p.plan_cost,
            p.greedy_cost,
            p.do_nothing_cost,
            p.worst_residual_w_m2
        );
        self.say("  ", 4, &text);
        let caution = "Advice, not a promise: forecasts miss, gardens differ. Pin cloth so that wind cannot carry it onto roads or wires; film can cook plants in an hour of sun; for heaters, lamps and wiring follow local codes and a licensed trade.";
        self.say("  ", 4, caution);
    }
}

fn closest(r: &Report) -> Option<(&BedReport, f64)> {
    r.beds
        .iter()
        .filter_map(|b| Some((b, b.open.leaf_low_c.p10 - b.limit_c?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
}

fn minutes(x: f64) -> String {
    count(x.ceil().max(1.0) as usize, "minute")
}

fn sheet_name<'a>(cover: &Cover, garden: &'a Garden) -> Option<&'a str> {
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
