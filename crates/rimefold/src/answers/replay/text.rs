//! The replay for people: a table, what it means, what was measured and what drawn.

use std::fmt::Write as _;

use garden::garden::Garden;
use history::constants::LEAD_H;
use history::replay::Policy;
use history::replay::policies::Rule;
use history::replay::score::Score;

use super::Replayed;
use crate::format::{Words, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(r: &Replayed, width: usize) -> String {
    let words = Words::new(r.garden.units, &r.garden.zone);
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
const TABLE_WIDTH: usize = 76;

impl Page {
    fn say(&mut self, text: &str) {
        self.paper.say("", 0, text);
    }

    fn table(&mut self, each: &[Score], words: &Words) {
        let row = |s: &Score| {
            let m = &s.mean;
            let hours = m.minutes / 60.0;
            [m.loss, m.labour, m.loss + m.labour, m.evenings, hours, m.short_nights]
                .map(|x| format!("{x:.0}"))
        };
        if self.paper.width() < TABLE_WIDTH {
            for s in each {
                let [lost, work, both, evenings, hours, _] = row(s);
                self.say(&format!(
                    "{}: lost {lost}, work {work}, both {both}; {evenings} evenings, {hours} hours.",
                    name(&s.policy, words)
                ));
            }
            return;
        }
        let heads = ["lost", "work", "both", "evenings", "hours", "short"];
        let line = |first: &str, cells: &[String]| {
            let cells: String = cells.iter().map(|c| format!("{c:>9}")).collect();
            format!("{first:<22}{cells}\n")
        };
        self.paper.raw(&line("", &heads.map(String::from)));
        for s in each {
            let name = name(&s.policy, words);
            // Long names take a line of their own.
            let first = if name.chars().count() > 21 {
                self.say(&name);
                String::new()
            } else {
                name
            };
            self.paper.raw(&line(&first, &row(s)));
        }
    }

    /// Light and heat, where they count.
    fn beside(&mut self, each: &[Score]) {
        let Some(left) = each.iter().find(|s| s.policy == Policy::LeftOn) else { return };
        self.say(&format!(
            "Left on by day as well, covers keep back {:.0} days of light summed over beds, and the air under \
             them is above a crop's heat limit for {:.1} hours a year; neither is counted in money. Short are nights \
             on which a bed stayed open, or under a thinner sheet, for want of sheets, pins or minutes.",
            left.mean.light_days, left.mean.heat_h
        ));
    }

    fn drawn(&mut self, r: &Replayed, words: &Words) {
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
            "The books of every step close within {:.2} W/m² (limit 0.1). Forecast errors as of a forecast read in \
             the late afternoon, {} give or take. Advice, not a promise.",
            r.stats.residual_w_m2,
            words.difference(weather::error_model::sigma_air_k(LEAD_H)) + " " + words.degree(),
        ));
    }
}

fn verdict(r: &Replayed, words: &Words) -> String {
    let each = &r.scores.each;
    let rule = &each[r.scores.best_rival];
    let Some(plan) = each.iter().find(|s| s.policy == Policy::Plan) else { return String::new() };
    let both = |s: &Score| s.mean.loss + s.mean.labour;
    let mut out =
        format!("Best rule: {}, {:.0} a year", lower(&name(&rule.policy, words)), both(rule));
    if let Some(i) = rule.cost_spread {
        let _ = write!(out, " ({:.0} to {:.0})", i.low, i.high);
    }
    match (plan.value, plan.value_spread) {
        (Some(v), Some(i)) => {
            let _ = write!(
                out,
                ". From that rule (0) to perfect foresight (1) the evening plan comes {v:.2} of the way \
                 ({:.2} to {:.2}, nine times in ten of other such years).",
                i.low, i.high
            );
        }
        (Some(v), None) => {
            let _ = write!(
                out,
                ". From that rule (0) to perfect foresight (1) the evening plan comes {v:.2} of the way; one year \
                 says little."
            );
        }
        _ => {
            out.push_str(". Perfect foresight that opens every morning would have done no better.")
        }
    }
    out
}

fn lower(text: &str) -> String {
    let mut c = text.chars();
    c.next().map_or(String::new(), |f| f.to_lowercase().chain(c).collect())
}

fn name(policy: &Policy, words: &Words) -> String {
    match policy {
        Policy::Never => "Never cover".into(),
        Policy::Always => "Cover every cold night".into(),
        Policy::LeftOn => "Leave the covers on".into(),
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
