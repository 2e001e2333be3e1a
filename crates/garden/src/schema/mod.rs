//! The one table of `garden.toml`: every table, key, unit, range, choice and default, each with a sentence and an example.
//!
//! The reader, the forms of the pages, what `rimefold new` writes and the reference page all come from it.
//!
//! | module | holds |
//! |---|---|
//! | [`tables`] | the table itself |
//! | [`mod@unit`] | units in both systems, as keys end in them and as people read them |
//! | [`words`] | words to choose from, and what each means |
//! | [`mod@reference`] | docs/garden.md made from it |

pub mod reference;
pub mod tables;
pub mod unit;
pub mod words;

use quantities::UnitSystem;

use unit::Unit;
use words::Choice;

/// A table of the file.
#[derive(Debug)]
pub struct Table {
    /// Way to it from the top, such as `bed.planting`; empty for the file itself.
    pub path: &'static str,
    /// What a fault calls it.
    pub what: &'static str,
    /// What it holds, in one sentence.
    pub help: &'static str,
    /// Its keys, in the order in which they are written.
    pub keys: &'static [Key],
}

/// One key of a table.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// Name without the ending that tells the unit.
    pub name: &'static str,
    /// What a form calls it; empty where no form has it.
    pub label: &'static str,
    /// What it takes.
    pub takes: Takes,
    /// Where it belongs.
    pub only: Only,
    /// Whether it must be given.
    pub given: Given,
    /// What it is, in one sentence.
    pub help: &'static str,
    /// A value as the file has it, in US and in metric units.
    pub example: [&'static str; 2],
}

/// What a key takes.
#[derive(Clone, Copy, Debug)]
pub enum Takes {
    /// Text in quotes.
    Text,
    /// A number.
    Number(Span),
    /// A list of numbers.
    Numbers(Span),
    /// Two numbers: east and north.
    Pair(Span),
    /// One of these words.
    Word(&'static [Choice]),
    /// A crop of the crop table.
    Crop,
    /// A stage that the crop knows.
    Stage,
    /// The name of a sheet in the stock.
    Sheet,
    /// A day of the year as month and day.
    Day,
    /// Yes or no.
    Flag,
    /// A table.
    Table(&'static Table),
    /// A list of tables.
    Tables(&'static Table),
}

/// The numbers that are taken.
#[derive(Clone, Copy, Debug)]
pub struct Span {
    /// Unit.
    pub unit: Unit,
    /// Least, SI.
    pub least: f64,
    /// Greatest, SI.
    pub most: f64,
    /// Whether only whole numbers are.
    pub whole: bool,
}

/// Where a key belongs.
#[derive(Clone, Copy, Debug)]
pub enum Only {
    /// Always.
    Always,
    /// Where another key says one of these words.
    With(&'static str, &'static [&'static str]),
    /// Where another key is not there.
    Without(&'static str),
}

/// Whether a key must be given where it belongs.
#[derive(Clone, Copy, Debug)]
pub enum Given {
    /// It must.
    Needed,
    /// Else it is this, SI.
    Else(f64),
    /// Else this holds.
    May(&'static str),
}

impl Table {
    /// The keys that a form can show, each name once.
    pub fn fields(&self) -> impl Iterator<Item = &'static Key> {
        self.keys.iter().filter(|k| !k.label.is_empty())
    }

    /// Name of the key that leads to it.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.path.rsplit('.').next().unwrap_or_default()
    }
}

impl Key {
    /// The key as it stands in a garden of these units.
    #[must_use]
    pub fn full(&self, units: UnitSystem) -> String {
        format!("{}{}", self.name, self.unit().pick(units).ending)
    }

    /// Its unit.
    #[must_use]
    pub fn unit(&self) -> Unit {
        match self.takes {
            Takes::Number(s) | Takes::Numbers(s) | Takes::Pair(s) => s.unit,
            _ => unit::NONE,
        }
    }

    /// The words to choose from; none where it takes something else.
    #[must_use]
    pub fn choices(&self) -> &'static [Choice] {
        match self.takes {
            Takes::Word(choices) => choices,
            _ => &[],
        }
    }

    /// Whether it must be given wherever the table is.
    #[must_use]
    pub fn always_needed(&self) -> bool {
        matches!((self.only, self.given), (Only::Always, Given::Needed))
    }

    /// The range it takes in these units, as the reader checks it.
    #[must_use]
    pub fn range(&self, units: UnitSystem) -> Option<(f64, f64)> {
        match self.takes {
            Takes::Number(s) | Takes::Numbers(s) | Takes::Pair(s) => Some(s.range(units)),
            _ => None,
        }
    }
}

impl Span {
    /// Least and greatest in these units, to two decimals.
    #[must_use]
    pub fn range(self, units: UnitSystem) -> (f64, f64) {
        let scale = self.unit.pick(units);
        let shown = |x: f64| (scale.reading(x) * 100.0).round() / 100.0;
        (shown(self.least), shown(self.most))
    }
}
