//! The replay for people: a table, what it means, what was measured and what drawn.

use std::fmt::Write as _;

use garden::garden::Garden;
use history::constants::{FREEZING_C, LEAD_H};
use history::replay::Policy;
use history::replay::policies::Rule;
use history::replay::score::{Score, Value};
use weather::frost::Interval;

use super::Replayed;
use crate::columns::columns;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(r: &Replayed, width: usize) -> String {
    let words = GardenFormat::new(r.garden.units, &r.garden.zone);
    let mut page = Page { paper: Paragraphs::new(width) };
    let station = r.station.as_deref().map_or(String::new(), |s| format!(" of {s}"));
    page.say(&format!(
        "{}: the nights of {}{station} again, {}. Money is the garden's own, a mean year's.",
        r.garden.name,
        r.span(),
        count(r.garden.beds.len(), "bed"),
    ));
    page.paper.blank();
    page.table(&r.scores.each, &words);
    page.paper.blank();
    page.say(&verdict(r, &words));
    page.paper.blank();
    page.beside(&r.scores.each);
    page.paper.blank();
    page.drawn(r, &words);
    page.paper.finish()
}

struct Page {
    paper: Paragraphs,
}

/// Width from which a table fits.
const TABLE_WIDTH: usize = 78;

impl Page {
    fn say(&mut self, text: &str) {
        self.paper.say("", 0, text);
    }

    fn table(&mut self, each: &[Score], words: &GardenFormat) {
        let row = |s: &Score| {
            let m = &s.mean;
            let hours = m.minutes / 60.0;
            let all = m.loss + m.labour + m.dimness;
            [m.loss, m.labour, m.dimness, all, m.evenings, hours, m.short_nights]
                .map(|x| format!("{x:.0}"))
        };
        if self.paper.width() < TABLE_WIDTH {
            for s in each {
                let [lost, work, light, all, evenings, hours, _] = row(s);
                self.say(&format!(
                    "{}: lost {lost}, work {work}, light {light}, all {all}; {evenings} evenings, {hours} hours.",
                    name(&s.policy, words)
                ));
            }
            return;
        }
        let heads = ["lost", "work", "light", "all", "evenings", "hours", "short"];
        let line = |first: String, cells: [String; 7]| [vec![first], cells.to_vec()].concat();
        let mut rows = vec![line(String::new(), heads.map(String::from))];
        rows.extend(each.iter().map(|s| line(name(&s.policy, words), row(s))));
        self.paper.raw(&columns(self.paper.width(), 0, rows));
    }

    /// Light and heat, where they count.
    fn beside(&mut self, each: &[Score]) {
        let Some(left) = each.iter().find(|s| s.policy == Policy::LeftOn) else { return };
        self.say(&format!(
            "Left on by day as well, covers keep back {:.0} days of light summed over beds, and the air under \
             them is above a crop's heat limit for {:.1} hours a year. Light is priced: a day of growth less is a day \
             of the crop's worth less; heat and bees are not. Short are nights on which a bed stayed open, or under a \
             thinner sheet, for want of sheets, pins or minutes.",
            left.mean.light_days, left.mean.heat_h
        ));
    }

    fn drawn(&mut self, r: &Replayed, words: &GardenFormat) {
        let [stood, warm, unknown] = r.counted();
        self.say(
            "Measured: each day's minimum and maximum. Derived: the hours between, and cloud from the daily fall. \
             Drawn, never measured: humidity, wind, how wrong each evening's forecast was, and how wrong the model.",
        );
        self.say(&format!(
            "Plantings stand as the garden file has them, in the weeks of the year in which such a crop can: {}. \
             Of {stood} bed-nights {warm} were too warm to matter and {unknown} lack weather. What is lost stays lost.",
            weeks(r)
        ));
        if r.left_out > 0 {
            let left_out = count(r.left_out, "year");
            self.say(&format!("{left_out} asked for lack too many days and are left out."));
        }
        self.say(&format!(
            "Self-check passed: heat in and out of every step agree within {:.2} W/m² (limit 0.1). Forecast errors as of a forecast read in \
             the late afternoon, {} give or take. Advice, not a promise.",
            r.stats.residual_w_m2,
            words.difference(weather::error_model::sigma_air_k(LEAD_H)) + " " + words.degree(),
        ));
    }
}

/// Both scales, and how sure each is.
fn verdict(r: &Replayed, words: &GardenFormat) -> String {
    let each = &r.scores.each;
    let of = |policy| each.iter().find(|s| s.policy == policy);
    let (Some(plan), Some(several)) = (of(Policy::Plan), of(Policy::SeveralNights)) else {
        return String::new();
    };
    let named = |s: &Score| {
        let all = s.mean.loss + s.mean.labour + s.mean.dimness;
        let spread =
            s.cost_spread.map_or(String::new(), |i| format!(" ({:.0} to {:.0})", i.low, i.high));
        format!("{}, {all:.0} a year{spread}", lower(&name(&s.policy, words)))
    };
    let mut out = format!(
        "Perfect foresight, free to leave covers on and with sheets and minutes enough, could not come below {:.0} a \
         year. Best rule of thumb with the same forecast: {}. Best without a forecast: {}. From the rule (0) to \
         perfect foresight (1) the evening plan comes {}, the plan of several nights {}; from the best without a \
         forecast (0) they come {} and {}.",
        r.scores.bound,
        named(&each[r.scores.best_rule]),
        named(&each[r.scores.best_fixed]),
        way(plan.over_rule),
        way(several.over_rule),
        way(plan.over_fixed),
        way(several.over_fixed),
    );
    if let Some(v) = plan.over_rule.filter(|v| v.over_years.is_some()) {
        let draws = r.years.first().map_or(0, |y| y.draws.len());
        let spread = v.over_draws.map_or(String::new(), |_| {
            format!(", the second the least and greatest of {}", count(draws, "draw"))
        });
        let _ = write!(
            out,
            " The first span is that of other such years, nine times in ten{spread} of what was not measured."
        );
    }
    out
}

/// `0.35 of the way (0.22 to 0.45; 0.30 to 0.41)`.
fn way(value: Option<Value>) -> String {
    let Some(v) = value else { return "as far as there is to go".into() };
    let span = |i: Interval| format!("{:.2} to {:.2}", i.low, i.high);
    let spans: Vec<String> = [v.over_years, v.over_draws].into_iter().flatten().map(span).collect();
    match spans.is_empty() {
        true => format!("{:.2} of the way", v.value),
        false => format!("{:.2} of the way ({})", v.value, spans.join("; ")),
    }
}

fn lower(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or(String::new(), |f| f.to_lowercase().chain(c).collect())
}

fn name(policy: &Policy, words: &GardenFormat) -> String {
    match policy {
        Policy::Never => "Never cover".into(),
        Policy::Always => "Cover every cold night".into(),
        Policy::LeftOn => "Leave the covers on".into(),
        Policy::ColdSpells => {
            format!("Below {}, left on while it stays so", words.temperature(FREEZING_C))
        }
        Policy::Rule(Rule { below_c, sown_hardy_below_c: None, five_nights: false }) => {
            format!("Cover below {}", words.temperature(*below_c))
        }
        Policy::Rule(Rule { below_c, sown_hardy_below_c, five_nights }) => {
            let hardy = sown_hardy_below_c.map_or(String::new(), |t| {
                format!(", sown hardy crops only below {}", words.temperature(t))
            });
            let five = if *five_nights { ", new transplants until five mild nights" } else { "" };
            format!("Cover below {}{hardy}{five}", words.temperature(*below_c))
        }
        Policy::Plan => "The evening plan".into(),
        Policy::SeveralNights => "The plan of several nights".into(),
        Policy::Perfect => "Perfect foresight".into(),
    }
}

/// `strawberries 19 April to 17 May, …`, plantings that stand alike together.
fn weeks(r: &Replayed) -> String {
    let mut groups: Vec<((u16, u16), Vec<&str>)> = Vec::new();
    for s in &r.seasons {
        let (dates, bed) = ((s.from_day, s.to_day), bed(&r.garden, s.bed));
        match groups.iter_mut().find(|g| g.0 == dates) {
            Some(group) if group.1.contains(&bed) => {}
            Some(group) => group.1.push(bed),
            None => groups.push((dates, vec![bed])),
        }
    }
    let say = |g: &((u16, u16), Vec<&str>)| {
        format!("{} {} to {}", g.1.join(", "), date(g.0.0), date(g.0.1))
    };
    groups.iter().map(say).collect::<Vec<_>>().join("; ")
}

fn bed(garden: &Garden, bed: usize) -> &str {
    garden.beds.get(bed).map_or("?", |b| &b.name)
}

/// Day and month of a day of a year of 365 days.
fn date(day_of_year: u16) -> String {
    let first = jiff::civil::date(2001, 1, 1);
    let day =
        first.checked_add(jiff::Span::new().days(i64::from(day_of_year) - 1)).unwrap_or(first);
    day.strftime("%-d %B").to_string()
}
