//! A commented garden file from a few answers, and a whole example: both written from the table of the file.

use std::fmt::Write as _;

use quantities::UnitSystem;

use crate::schema::tables::GARDEN;
use crate::schema::words::{Worded as _, listed};
use crate::schema::{Given, Key, Only, Table, Takes};

/// What the grower was asked.
#[derive(Clone, Debug, PartialEq)]
pub struct Answers {
    /// Name of the garden.
    pub name: String,
    /// Units.
    pub units: UnitSystem,
    /// Degrees north.
    pub latitude: f64,
    /// Degrees east.
    pub longitude: f64,
    /// Feet or metres.
    pub elevation: f64,
    /// IANA zone.
    pub zone: String,
    /// Soil word.
    pub soil: String,
    /// Exposure word.
    pub exposure: String,
    /// People.
    pub people: u32,
    /// Minutes each.
    pub minutes: f64,
    /// Number of beds.
    pub beds: u32,
}

/// Optional keys whose example stands where several could. Tables that a first garden may leave out stay behind a `#`: what the
/// grower owns and grows is not known yet.
const FIRST: [&str; 2] = ["span", "hardened"];
/// Widest line that takes its comment at its end, characters.
const WIDEST: usize = 110;

/// The garden file. Reads back without faults when the answers are sound; else its faults tell which are not.
/// Checked by `template::what_new_writes_reads_back`.
#[must_use]
pub fn write(answers: &Answers) -> String {
    let mut w = Writer { out: String::new(), units: answers.units, answers: Some(answers) };
    w.out.push_str(
        "# A garden for rimefold. Edit it freely; `rimefold check` shows every mistake at its place.\n\
         # Take the # away from a line to use it. docs/garden.md tells what each key takes.\n",
    );
    w.table(&GARDEN, true, true);
    w.out
}

/// A garden file with every table and key that go together, each with its example.
/// Checked by `schema::the_whole_example_reads_back`.
#[must_use]
pub fn example(units: UnitSystem) -> String {
    let mut w = Writer { out: String::new(), units, answers: None };
    w.table(&GARDEN, true, false);
    w.out
}

struct Writer<'a> {
    out: String,
    units: UnitSystem,
    answers: Option<&'a Answers>,
}

impl Writer<'_> {
    /// The keys of a table, then the tables in it; what is not in use stands behind a `#`.
    fn table(&mut self, table: &Table, used: bool, told: bool) {
        for key in table.keys {
            let holds_tables = matches!(key.takes, Takes::Table(_) | Takes::Tables(_));
            if !holds_tables && self.goes_with(table, key) {
                self.line(table, key, used && self.uses(key), told);
            }
        }
        for key in table.keys {
            let (child, head) = match key.takes {
                Takes::Table(child) => (child, format!("[{}]", child.path)),
                Takes::Tables(child) => (child, format!("[[{}]]", child.path)),
                _ => continue,
            };
            let used = used && self.uses(key);
            let times = self.answers.filter(|_| key.name == "bed").map_or(1, |a| a.beds);
            for n in 1..=times {
                let told = told && n == 1;
                if used || told {
                    let begun = self.out.len();
                    self.out.push('\n');
                    self.comment(child.help, told);
                    let mark = if used { "" } else { "# " };
                    let _ = writeln!(self.out, "{mark}{head}");
                    self.table(child, used, told);
                    if key.name == "bed" {
                        self.name_bed(begun, n);
                    }
                }
            }
        }
    }

    /// Beds after the first have names of their own.
    fn name_bed(&mut self, begun: usize, n: u32) {
        let bed = self.out.split_off(begun);
        self.out.push_str(&bed.replacen("\"bed 1\"", &format!("\"bed {n}\""), 1));
    }

    fn line(&mut self, table: &Table, key: &Key, used: bool, told: bool) {
        if !used && !told {
            return;
        }
        let mark = if used { "" } else { "# " };
        let value = self.answer(table, key).unwrap_or_else(|| self.turned(self.example(key)));
        let line = format!("{mark}{} = {value}", key.full(self.units));
        let help = match key.choices() {
            [] => key.help.trim_end_matches('.').to_owned(),
            choices => listed(choices),
        };
        let wide = line.chars().count() + help.chars().count() + 6 > WIDEST;
        self.comment(&help, told && wide);
        let beside = if told && !wide { format!("    # {help}") } else { String::new() };
        let _ = writeln!(self.out, "{line}{beside}");
    }

    fn comment(&mut self, text: &str, told: bool) {
        if told {
            let _ = writeln!(self.out, "# {text}");
        }
    }

    /// Whether a key is written in use: where it must be given, where a first garden has it, and in the whole example.
    fn uses(&self, key: &Key) -> bool {
        match key.given {
            // Wire goes by its gauge in US units only.
            _ if key.name == "wire_gauge" => self.units == UnitSystem::Us,
            Given::Needed => true,
            Given::Else(_) | Given::May(_) => self.answers.is_none() || FIRST.contains(&key.name),
        }
    }

    /// Whether a key belongs beside the examples of its neighbours.
    fn goes_with(&self, table: &Table, key: &Key) -> bool {
        let beside = |name: &'static str| table.keys.iter().filter(move |k| k.name == name);
        match key.only {
            Only::Always => true,
            Only::Without(other) => !beside(other).any(|k| self.uses(k)),
            Only::With(other, words) => {
                beside(other).any(|k| words.contains(&self.example(k).trim_matches('"')))
            }
        }
    }

    fn example(&self, key: &Key) -> &'static str {
        let [us, metric] = key.example;
        if self.units == UnitSystem::Us { us } else { metric }
    }

    /// An example as it stands in the grower's half of the globe: a month and day half a year on in the south.
    fn turned(&self, example: &str) -> String {
        let day = example.trim_matches('"').split_once('-');
        let month = day.and_then(|(month, day)| Some((month.parse::<u32>().ok()?, day)));
        match month {
            Some((month @ 1..=12, day)) if self.answers.is_some_and(|a| a.latitude < 0.0) => {
                format!("\"{:02}-{day}\"", (month + 5) % 12 + 1)
            }
            _ => example.to_owned(),
        }
    }

    /// What the grower said; nothing is owned before it is said.
    fn answer(&self, table: &Table, key: &Key) -> Option<String> {
        let a = self.answers?;
        let quoted = |text: &str| Some(toml::Value::String(text.to_owned()).to_string());
        match (table.path, key.name) {
            ("", "name") => quoted(&a.name),
            ("", "units") => quoted(a.units.word()),
            ("place", "latitude") => Some(format!("{:?}", a.latitude)),
            ("place", "longitude") => Some(format!("{:?}", a.longitude)),
            ("place", "elevation") => Some(format!("{:?}", a.elevation)),
            ("place", "zone") => quoted(&a.zone),
            ("site", "soil") => quoted(&a.soil),
            ("site", "exposure") => quoted(&a.exposure),
            ("labour", "people") => Some(a.people.to_string()),
            ("stock", "pins" | "clips") => Some("0".to_owned()),
            ("labour", "minutes_each") => Some(format!("{:?}", a.minutes)),
            _ => None,
        }
    }
}
