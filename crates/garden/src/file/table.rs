//! A TOML table read by the table of the file: what it may hold, what it takes, what is wrong with it.

use std::ops::Range;

use quantities::UnitSystem;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::file::Fault;
use crate::schema::words::{Worded, listed};
use crate::schema::{self, Given, Key, Only, Takes};

/// Longest text a name may be, characters.
const LONGEST_TEXT: usize = 80;
/// Most words that a fault lists.
const MOST_LISTED: usize = 12;
/// Likeness (Jaro-Winkler) from which a word is taken to be meant (own choice).
const LIKE: f64 = 0.72;

/// Faults gathered so far and the units of the file.
pub struct Reader {
    faults: Vec<Fault>,
    pub units: UnitSystem,
}

impl Reader {
    pub fn new() -> Self {
        Self { faults: Vec::new(), units: UnitSystem::Us }
    }

    pub fn into_faults(self) -> Vec<Fault> {
        self.faults
    }

    pub fn fault(&mut self, span: Range<usize>, message: String, expected: &str) {
        self.faults.push(Fault { span, message, expected: expected.to_owned(), nearest: None });
    }

    /// A fault about a word that is not one of the valid ones.
    pub fn unknown_word(&mut self, span: Range<usize>, what: &str, found: &str, valid: &[&str]) {
        let message = format!("“{found}” is no {what} that is known here");
        let expected = one_of(valid).unwrap_or_else(|| format!("a known {what}"));
        self.faults.push(Fault { span, message, expected, nearest: nearest(found, valid) });
    }
}

fn one_of(valid: &[&str]) -> Option<String> {
    (1..=MOST_LISTED).contains(&valid.len()).then(|| format!("one of: {}", valid.join(", ")))
}

/// The nearest valid word, when it is near enough to be meant.
#[must_use]
pub fn nearest(found: &str, valid: &[&str]) -> Option<String> {
    let found = found.to_lowercase();
    valid
        .iter()
        .map(|v| (strsim::jaro_winkler(&found, &v.to_lowercase()), *v))
        .filter(|(score, _)| *score > LIKE)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, v)| v.to_owned())
}

/// A table being read.
pub struct Table<'a> {
    table: &'a DeTable<'a>,
    pub span: Range<usize>,
    schema: &'static schema::Table,
    /// The keys that strange ones are most like: what they miss is the same fault.
    meant: Vec<String>,
    /// Whether some of it may stand under a head that is misspelt.
    partial: bool,
}

/// A value with its key.
type Found<'a> = (&'static Key, String, &'a Spanned<DeValue<'a>>);

impl<'a> Table<'a> {
    /// The table, once every key that does not belong there has been told of.
    pub fn new(
        r: &mut Reader,
        table: &'a DeTable<'a>,
        span: Range<usize>,
        schema: &'static schema::Table,
    ) -> Self {
        let mut new = Self { table, span, schema, meant: Vec::new(), partial: false };
        new.meant = new.tell_of_strange_keys(r);
        new
    }

    /// Tells of keys that do not belong here; the keys that were meant by them.
    fn tell_of_strange_keys(&self, r: &mut Reader) -> Vec<String> {
        let mut meant = Vec::new();
        let (what, units) = (self.schema.what, r.units);
        let keys = self.schema.keys;
        for (key, _) in self.table.iter() {
            let (span, name): (_, &str) = (key.span(), key.get_ref());
            if let Some(known) = keys.iter().find(|k| k.full(units) == name) {
                if let Some(only) = self.elsewhere(known.name, units) {
                    r.fault(span, format!("{what} takes no {name} here"), &only);
                }
            } else if let Some(other) = keys.iter().find(|k| k.full(other(units)) == name) {
                let span = self.table.get(name).map_or(span, Spanned::span);
                let message = format!(
                    "{name} is not in the units of this garden (units = \"{}\")",
                    units.word()
                );
                r.fault(span, message, &other.full(units));
            } else {
                let mut valid: Vec<String> = keys.iter().map(|k| k.full(units)).collect();
                valid.dedup();
                let valid: Vec<&str> = valid.iter().map(String::as_str).collect();
                let expected = one_of(&valid).unwrap_or_else(|| "a key of docs/garden.md".into());
                let message = format!("{what} has no key “{name}”");
                let nearest = nearest(name, &valid);
                meant.extend(nearest.clone());
                r.faults.push(Fault { span, message, expected, nearest });
            }
        }
        meant
    }

    /// Where a key belongs that does not belong here; `None` where it does, or where that cannot be told.
    fn elsewhere(&self, name: &str, units: UnitSystem) -> Option<String> {
        if self.key(name, units).is_some() {
            return None;
        }
        self.schema.keys.iter().filter(|k| k.name == name).find_map(|k| match k.only {
            Only::With(decider, words) => {
                let known = self.schema.keys.iter().find(|k| k.name == decider)?.choices();
                let said = self.table.get(decider)?.get_ref().as_str()?.trim();
                let sound = known.iter().any(|c| c.word.eq_ignore_ascii_case(said));
                sound.then(|| format!("it only where {decider} is {}", words.join(" or ")))
            }
            Only::Without(key) => Some(format!("either it or {key}, not both")),
            Only::Always => None,
        })
    }

    /// The key of that name that belongs here.
    fn key(&self, name: &str, units: UnitSystem) -> Option<&'static Key> {
        self.schema.keys.iter().filter(|k| k.name == name).find(|k| match k.only {
            Only::Always => true,
            Only::With(decider, words) => self
                .table
                .get(decider)
                .and_then(|v| v.get_ref().as_str())
                .is_some_and(|said| words.iter().any(|w| w.eq_ignore_ascii_case(said.trim()))),
            Only::Without(key) => !self.has(key, units),
        })
    }

    /// The value under a key; where it is missing and needed that is told.
    fn get(&self, r: &mut Reader, name: &str) -> Option<Found<'a>> {
        let key = self.key(name, r.units)?;
        let full = key.full(r.units);
        let value = self.table.get(full.as_str());
        let told = self.table.contains_key(key.full(other(r.units)).as_str());
        let told = told || self.partial || self.is_meant(&full);
        if value.is_none() && matches!(key.given, Given::Needed) && !told {
            let message = format!("{} has no {full}", self.schema.what);
            r.fault(self.head(), message, &format!("{full} = …"));
        }
        Some((key, full, value?))
    }

    /// Whether a strange key was told of that is most like this one.
    pub fn is_meant(&self, key: &str) -> bool {
        self.meant.iter().any(|m| m == key)
    }

    /// The first line of the table, to point at when a key is missing.
    fn head(&self) -> Range<usize> {
        self.span.start..self.span.end.min(self.span.start + 1).max(self.span.start)
    }

    /// Where the value of `key` stands, else the head.
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.table.get(key).map_or_else(|| self.head(), Spanned::span)
    }

    /// Whether a key is there, by its name without its unit.
    pub fn has(&self, name: &str, units: UnitSystem) -> bool {
        let keys = self.schema.keys.iter().filter(|k| k.name == name);
        keys.map(|k| k.full(units)).any(|full| self.table.contains_key(full.as_str()))
    }

    pub fn text(&self, r: &mut Reader, name: &str) -> Option<String> {
        let (_, full, value) = self.get(r, name)?;
        let Some(text) = value.get_ref().as_str().map(str::trim).filter(|t| !t.is_empty()) else {
            r.fault(value.span(), format!("{full} is not text"), "text in quotes");
            return None;
        };
        let expected = format!("one line of at most {LONGEST_TEXT} characters");
        let told = match text.chars().find(|c| c.is_control()) {
            Some('\n' | '\r') => format!("{full} has more than one line"),
            Some('\t') => format!("{full} holds a tab"),
            Some(c) => format!("{full} holds a control character, U+{:04X}", u32::from(c)),
            None if text.chars().count() > LONGEST_TEXT => format!("{full} is too long"),
            None => return Some(text.to_owned()),
        };
        r.fault(value.span(), told, &expected);
        None
    }

    pub fn flag(&self, r: &mut Reader, name: &str) -> Option<bool> {
        let (_, full, value) = self.get(r, name)?;
        let flag = value.get_ref().as_bool();
        if flag.is_none() {
            r.fault(value.span(), format!("{full} is neither true nor false"), "true or false");
        }
        flag
    }

    pub fn word<T: Worded>(&self, r: &mut Reader, name: &str) -> Option<T> {
        let (_, full, value) = self.get(r, name)?;
        let Some(found) = value.get_ref().as_str() else {
            let expected = format!("one of: {}", listed(T::CHOICES));
            r.fault(value.span(), format!("{full} is not text"), &expected);
            return None;
        };
        let hit = T::from_word(found);
        if hit.is_none() {
            let words: Vec<&str> = T::CHOICES.iter().map(|c| c.word).collect();
            r.unknown_word(value.span(), name, found, &words);
        }
        hit
    }

    /// A number in SI; where it is missing, what it is else.
    pub fn number(&self, r: &mut Reader, name: &str) -> Option<f64> {
        let otherwise = match self.key(name, r.units)?.given {
            Given::Else(x) => Some(x),
            Given::Needed | Given::May(_) => None,
        };
        match self.get(r, name) {
            Some((key, full, value)) => checked(r, key, &full, value),
            None => otherwise,
        }
    }

    /// A whole number.
    pub fn count(&self, r: &mut Reader, name: &str) -> Option<u32> {
        self.number(r, name).map(|x| x as u32)
    }

    /// A list of numbers in SI; empty where it is missing.
    pub fn numbers(&self, r: &mut Reader, name: &str) -> Vec<f64> {
        let Some((key, full, value)) = self.get(r, name) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            r.fault(value.span(), format!("{full} is not a list"), "numbers in [ ]");
            return Vec::new();
        };
        list.iter().filter_map(|v| checked(r, key, &full, v)).collect()
    }

    /// Two numbers, east and north, in SI.
    pub fn pair(&self, r: &mut Reader, name: &str) -> Option<(f64, f64)> {
        let (key, full, value) = self.get(r, name)?;
        let list = value.get_ref().as_array();
        let numbers: Vec<Option<f64>> =
            list.into_iter().flat_map(|a| a.iter()).map(|v| checked(r, key, &full, v)).collect();
        match numbers.as_slice() {
            [Some(east), Some(north)] => Some((*east, *north)),
            [_, _] => None,
            _ => {
                r.fault(value.span(), format!("{full} is not a pair"), "[east, north]");
                None
            }
        }
    }

    pub fn table(&self, r: &mut Reader, name: &str) -> Option<Table<'a>> {
        let (key, _, value) = self.get(r, name)?;
        match (value.get_ref(), key.takes) {
            (DeValue::Table(t), Takes::Table(schema)) => {
                let partial = self.is_meant(name);
                Some(Table { partial, ..Table::new(r, t, value.span(), schema) })
            }
            _ => {
                let expected = format!("[{name}] or {name} = {{ … }}");
                r.fault(value.span(), format!("{name} is not a table"), &expected);
                None
            }
        }
    }

    /// A list of tables; empty where it is missing.
    pub fn tables(&self, r: &mut Reader, name: &str) -> Vec<Table<'a>> {
        let Some(value) = self.table.get(name) else { return Vec::new() };
        let Some(Takes::Tables(schema)) = self.key(name, r.units).map(|k| k.takes) else {
            return Vec::new();
        };
        let expected = format!("[[{name}]]");
        let Some(list) = value.get_ref().as_array() else {
            r.fault(value.span(), format!("{name} is not a list of tables"), &expected);
            return Vec::new();
        };
        let mut out = Vec::new();
        for item in list.iter() {
            match item.get_ref() {
                DeValue::Table(t) => out.push(Table::new(r, t, item.span(), schema)),
                _ => r.fault(item.span(), format!("an entry of {name} is not a table"), &expected),
            }
        }
        out
    }
}

/// Every table of a list, each with a name of its own; `None` when any has a fault. `taken` says that a name is taken.
pub fn named<T>(
    r: &mut Reader,
    tables: Vec<Table<'_>>,
    read: impl Fn(&mut Reader, &Table<'_>) -> Option<T>,
    name: impl Fn(&T) -> &str,
    taken: impl Fn(&str) -> String,
) -> Option<Vec<T>> {
    let mut out = Some(Vec::<T>::new());
    for t in tables {
        let new = read(r, &t).filter(|new| {
            let known = out.iter().flatten().any(|s| name(s).eq_ignore_ascii_case(name(new)));
            if known {
                r.fault(t.span_of("name"), taken(name(new)), "a name of its own");
            }
            !known
        });
        match (new, &mut out) {
            (Some(new), Some(all)) => all.push(new),
            _ => out = None,
        }
    }
    out
}

fn other(units: UnitSystem) -> UnitSystem {
    match units {
        UnitSystem::Us => UnitSystem::Metric,
        UnitSystem::Metric => UnitSystem::Us,
    }
}

/// A number inside its range, in SI.
fn checked(r: &mut Reader, key: &Key, full: &str, value: &Spanned<DeValue<'_>>) -> Option<f64> {
    let (Takes::Number(span) | Takes::Numbers(span) | Takes::Pair(span)) = key.takes else {
        return None;
    };
    let (least, greatest) = span.range(r.units);
    let number = match value.get_ref() {
        DeValue::Integer(i) => {
            i64::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok().map(|i| i as f64)
        }
        DeValue::Float(f) => f.as_str().replace('_', "").parse().ok(),
        _ => None,
    };
    let Some(x) = number.filter(|x: &f64| x.is_finite()) else {
        let expected = format!("a number from {least} to {greatest}");
        r.fault(value.span(), format!("{full} is not a number"), &expected);
        return None;
    };
    if !(least..=greatest).contains(&x) {
        let expected = format!("a number from {least} to {greatest}");
        r.fault(value.span(), format!("{full} is {x}"), &expected);
        return None;
    }
    if span.whole && x.fract() != 0.0 {
        r.fault(value.span(), format!("{full} is {x}"), "a whole number");
        return None;
    }
    Some(span.unit.pick(r.units).to_si(x))
}
