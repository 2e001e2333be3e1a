//! What sheets would have saved, for people.

use garden::Garden;
use history::sheet_value::SheetValue;
use history::sheet_value::report::{Saved, Set, Sheet};
use purchase::kit::Settings;
use purchase::kit::StockItem;

use super::Estimate;
use crate::answers::kit::names::{item, sheet};
use crate::columns::columns;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// Width from which a table fits.
const TABLE_WIDTH: usize = 79;

/// Less than this a year is not worth a line, money.
const LEAST: f64 = 0.5;

/// The section, or where a record comes from.
pub fn say(
    estimate: Option<&Estimate>,
    garden: &Garden,
    settings: Settings,
    words: &GardenFormat,
    paper: &mut Paragraphs,
) {
    let Some(e) = estimate else {
        paper.blank();
        paper.say(
            "",
            0,
            "What each sheet would have saved over past years can be said once a station's record lies beside the garden: \
             `rimefold station find` lists stations near it, `rimefold station use` takes a record you have.",
        );
        return;
    };
    let mut page = Page { garden, words, paper };
    page.sheets(e);
    page.set(&e.worth, settings);
}

struct Page<'a> {
    garden: &'a Garden,
    words: &'a GardenFormat,
    paper: &'a mut Paragraphs,
}

impl Page<'_> {
    fn say(&mut self, indent: usize, text: &str) {
        self.paper.say(&" ".repeat(indent), indent + 2, text);
    }

    /// Bed by bed: the best sheet of each cloth on offer, and the best of the shed.
    fn sheets(&mut self, e: &Estimate) {
        self.paper.head("What a sheet would have saved");
        let station = e.station.as_deref().map_or(String::new(), |s| format!(" of {s}"));
        self.paper.say(
            "",
            0,
            &format!(
                "An estimate from {}{station}: one sheet alone on its bed, used on the evenings whose forecast called for \
                 it, its work taken off. Hoops are taken as standing already.",
                span(&e.worth.years)
            ),
        );
        let wide = self.paper.width() >= TABLE_WIDTH;
        let line = |cells: [&str; 5]| cells.map(str::to_owned).to_vec();
        let mut rows = vec![
            line(["", "saves", "one year", "in ten", "evenings"]),
            line(["", "a year", "under", "over", "a year"]),
        ];
        let mut none: Vec<&str> = Vec::new();
        let mut beds: Vec<usize> = e.worth.sheets.iter().map(|s| s.bed).collect();
        beds.dedup();
        for bed in beds {
            let of_bed = e.worth.sheets.iter().filter(|s| s.bed == bed);
            let shown = best_of_each(of_bed);
            let name = self.garden.beds[bed].name.as_str();
            if shown.is_empty() {
                none.push(name);
                continue;
            }
            if wide {
                rows.push(line([name, "", "", "", ""]));
                rows.extend(shown.iter().map(|s| self.row(s)));
                continue;
            }
            self.say(2, name);
            for s in shown {
                self.sheet(s);
            }
        }
        if wide {
            self.paper.raw(&columns(self.paper.width(), 2, rows));
        }
        if !none.is_empty() {
            self.say(2, &format!("No sheet would have saved much on: {}.", none.join(", ")));
        }
    }

    fn thing(&self, s: &Sheet) -> String {
        let pieces = if s.pieces > 1 { format!("{} × ", s.pieces) } else { String::new() };
        let name = match s.thing {
            StockItem::Stock(i) => format!("in stock: “{}”", self.garden.stock.sheets[i].name),
            _ => sheet(s.thing, (s.width_m, s.length_m), self.garden, self.words),
        };
        format!("{pieces}{name}")
    }

    fn row(&self, s: &Sheet) -> Vec<String> {
        let evenings = s.evenings.round() as usize;
        let cells = [s.saved.mean, s.saved.low, s.saved.high].map(whole);
        let name = format!("  {}", self.thing(s));
        [vec![name], cells.to_vec(), vec![evenings.to_string()]].concat()
    }

    fn sheet(&mut self, s: &Sheet) {
        let name = self.thing(s);
        let evenings = s.evenings.round() as usize;
        let (saved, evenings) = (saves(&s.saved), count(evenings, "evening"));
        self.say(4, &format!("{name}: {saved}, used on {evenings} a year."));
    }

    fn set(&mut self, worth: &SheetValue, settings: Settings) {
        let Some(set) = &worth.set else {
            self.paper.head("Best sheets to buy");
            self.say(2, "A price is missing, so no set can be weighed against what it costs.");
            return;
        };
        self.paper.head("Best sheets to buy");
        if let Some(budget) = set.budget {
            let years = count(settings.years as usize, "year");
            self.say(2, &format!("Within {budget:.2}, the budget of {years}:"));
        }
        if set.lines.is_empty() {
            self.say(
                2,
                &format!(
                    "None: on this record nothing on offer saves more a year, beyond what your stock saves already, than it \
                     costs a season.{}",
                    not_ruled_out(set)
                ),
            );
            return;
        }
        self.bought(set);
        self.outcome(set, worth.years.len());
    }

    fn bought(&mut self, set: &Set) {
        for line in &set.lines {
            let price = line.price.map_or_else(
                || String::from("no price"),
                |p| format!("{:.2}", p * f64::from(line.count)),
            );
            let name = item(line.item, self.garden);
            self.say(2, &format!("{} × {name}: {price}", line.count));
        }
        for piece in &set.pieces {
            let name = sheet(piece.thing, (piece.width_m, piece.length_m), self.garden, self.words);
            let beds: Vec<&str> =
                piece.beds.iter().map(|b| self.garden.beds[*b].name.as_str()).collect();
            self.say(4, &format!("cut {} × {name}, for {}", piece.count, beds.join(", ")));
        }
    }

    fn outcome(&mut self, set: &Set, years: usize) {
        let pays = if set.saved.mean < set.a_season {
            " That is less than it costs a season: think twice."
        } else {
            ""
        };
        self.say(
            2,
            &format!(
                "{:.2} to buy, {:.2} a season. Beyond what your stock saves already it {}, as the evening plan would have \
                 used it night by night in {}: losses to cold from {:.0} to {:.0} a year, evenings of work from {:.0} to \
                 {:.0}.{pays}",
                set.paid,
                set.a_season,
                saves(&set.saved),
                count(years, "year"),
                set.shed.loss,
                set.with.loss,
                set.shed.evenings,
                set.with.evenings,
            ),
        );
        self.say(
            2,
            &format!(
                "How it was chosen: each bed is counted with one sheet, and only if no evening of the record lacks that sheet, \
                 pins or minutes. Counted so, it comes to {:.0} a year after its cost a season.{}",
                set.net,
                not_ruled_out(set)
            ),
        );
    }
}

/// ` No other set does better.`, or how much better one might do.
fn not_ruled_out(set: &Set) -> String {
    if set.at_most - set.net < LEAST {
        return String::from(" No other set on offer, counted so, does better.");
    }
    format!(" A set that comes to {:.0}, counted so, is not ruled out.", set.at_most)
}

fn best_of_each<'a>(of_bed: impl Iterator<Item = &'a Sheet>) -> Vec<&'a Sheet> {
    let mut shown: Vec<&Sheet> = Vec::new();
    for s in of_bed.filter(|s| s.saved.mean >= LEAST) {
        let alike = |t: &&Sheet| match (t.thing, s.thing) {
            (StockItem::Stock(_), StockItem::Stock(_)) => true,
            (a, b) => a == b,
        };
        if !shown.iter().any(alike) {
            shown.push(s);
        }
    }
    shown
}

/// `saves about 120 a year (one year in ten under 3, one in ten over 310)`.
fn saves(s: &Saved) -> String {
    format!(
        "saves about {} a year (one year in ten under {}, one in ten over {})",
        whole(s.mean),
        whole(s.low),
        whole(s.high)
    )
}

/// A whole number with a real minus, never −0.
fn whole(x: f64) -> String {
    let n = x.round();
    if n < 0.0 { format!("−{:.0}", -n) } else { format!("{:.0}", n.abs()) }
}

/// `30 years of record, 1991 to 2020`.
fn span(years: &[i16]) -> String {
    let n = count(years.len(), "year");
    match (years.first(), years.last()) {
        (Some(a), Some(b)) if a != b => format!("{n} of record, {a} to {b}"),
        (Some(a), _) => format!("one year of record, {a}"),
        _ => n,
    }
}
