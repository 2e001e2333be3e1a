//! A TOML table that knows its place, is read key by key, and then complains about what was not asked for.

use std::cell::RefCell;
use std::ops::{Range, RangeInclusive};

use quantities::UnitSystem;
use quantities::units::{FOOT_M, INCH_M, OZ_PER_YD2_G_M2};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::file::Fault;

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
        let nearest = nearest(found, valid);
        let mut list: Vec<&str> = valid.to_vec();
        if list.len() > 12 {
            list.clear();
        }
        let expected = if list.is_empty() {
            format!("a known {what}")
        } else {
            format!("one of: {}", list.join(", "))
        };
        let message = format!("`{found}` is not a known {what}");
        self.faults.push(Fault { span, message, expected, nearest });
    }
}

/// The nearest valid word, when it is near enough to be meant.
#[must_use]
pub fn nearest(found: &str, valid: &[&str]) -> Option<String> {
    let found = found.to_lowercase();
    valid
        .iter()
        .map(|v| (strsim::jaro_winkler(&found, &v.to_lowercase()), *v))
        .filter(|(score, _)| *score > 0.72)
        .max_by(|a, b| a.0.total_cmp(&b.0))
        .map(|(_, v)| v.to_owned())
}

/// What a measure is, with its key ending and factor in each unit system.
#[derive(Clone, Copy)]
pub struct Measure {
    pub us: (&'static str, f64),
    pub metric: (&'static str, f64),
}

impl Measure {
    /// Key ending and factor in one system.
    pub fn of(self, units: UnitSystem) -> (&'static str, f64) {
        match units {
            UnitSystem::Us => self.us,
            UnitSystem::Metric => self.metric,
        }
    }
}

/// Long lengths: feet or metres.
pub const LONG: Measure = Measure { us: ("_ft", FOOT_M), metric: ("_m", 1.0) };
/// Short lengths: inches or centimetres.
pub const SHORT: Measure = Measure { us: ("_in", INCH_M), metric: ("_cm", 0.01) };
/// Thin rods: inches or millimetres.
pub const THIN: Measure = Measure { us: ("_in", INCH_M), metric: ("_mm", 0.001) };
/// Weight of cloth.
pub const WEIGHT: Measure = Measure { us: ("_oz_yd2", OZ_PER_YD2_G_M2), metric: ("_g_m2", 1.0) };
/// Thickness of film, µm.
pub const FILM: Measure = Measure { us: ("_mil", 25.4), metric: ("_um", 1.0) };
/// Pulls read off a spring balance, N.
pub const FORCE: Measure = Measure { us: ("_lb", 4.448_221_615), metric: ("_kg", 9.806_65) };
/// Temperature differences, K.
pub const KELVIN: Measure = Measure { us: ("_f", 1.0 / 1.8), metric: ("_c", 1.0) };
/// Volumes, m³.
pub const VOLUME: Measure =
    Measure { us: ("_ft3", FOOT_M * FOOT_M * FOOT_M), metric: ("_m3", 1.0) };

/// A table being read.
pub struct Table<'a> {
    table: &'a DeTable<'a>,
    pub span: Range<usize>,
    what: &'static str,
    asked: RefCell<Vec<String>>,
}

impl<'a> Table<'a> {
    pub fn new(table: &'a DeTable<'a>, span: Range<usize>, what: &'static str) -> Self {
        Self { table, span, what, asked: RefCell::default() }
    }

    fn get(&self, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        self.asked.borrow_mut().push(key.to_owned());
        self.table.get(key)
    }

    fn need(&self, r: &mut Reader, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        let value = self.get(key);
        if value.is_none() {
            r.fault(self.head(), format!("{} has no `{key}`", self.what), &format!("`{key} = …`"));
        }
        value
    }

    /// The first line of the table, to point at when a key is missing.
    fn head(&self) -> Range<usize> {
        self.span.start..self.span.end.min(self.span.start + 1).max(self.span.start)
    }

    /// Where the value of `key` stands, else the head.
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.table.get(key).map_or_else(|| self.head(), Spanned::span)
    }

    pub fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    pub fn text(&self, r: &mut Reader, key: &str) -> Option<String> {
        let value = self.need(r, key)?;
        let Some(text) = value.get_ref().as_str().map(str::trim).filter(|t| !t.is_empty()) else {
            r.fault(value.span(), format!("`{key}` is not text"), "text in quotes");
            return None;
        };
        if text.chars().count() > 80 || text.chars().any(char::is_control) {
            r.fault(
                value.span(),
                format!("`{key}` is too long"),
                "one line of at most 80 characters",
            );
            return None;
        }
        Some(text.to_owned())
    }

    pub fn flag(&self, r: &mut Reader, key: &str) -> Option<bool> {
        let value = self.get(key)?;
        let flag = value.get_ref().as_bool();
        if flag.is_none() {
            r.fault(value.span(), format!("`{key}` is neither true nor false"), "true or false");
        }
        flag
    }

    pub fn word<T: Copy>(&self, r: &mut Reader, key: &str, valid: &[(&str, T)]) -> Option<T> {
        let value = self.need(r, key)?;
        let words: Vec<&str> = valid.iter().map(|v| v.0).collect();
        let Some(found) = value.get_ref().as_str() else {
            r.fault(
                value.span(),
                format!("`{key}` is not text"),
                &format!("one of: {}", words.join(", ")),
            );
            return None;
        };
        let hit = valid.iter().find(|v| v.0.eq_ignore_ascii_case(found.trim()));
        if hit.is_none() {
            r.unknown_word(value.span(), key, found, &words);
        }
        hit.map(|v| v.1)
    }

    /// The same where it may be missing.
    pub fn maybe_word<T: Copy>(&self, r: &mut Reader, key: &str, valid: &[(&str, T)]) -> Option<T> {
        self.get(key)?;
        self.word(r, key, valid)
    }

    fn checked(
        r: &mut Reader,
        key: &str,
        value: &Spanned<DeValue<'_>>,
        range: &RangeInclusive<f64>,
    ) -> Option<f64> {
        let number = match value.get_ref() {
            DeValue::Integer(i) => {
                i64::from_str_radix(&i.as_str().replace('_', ""), i.radix()).ok().map(|i| i as f64)
            }
            DeValue::Float(f) => f.as_str().replace('_', "").parse().ok(),
            _ => None,
        };
        let (least, greatest) = (range.start(), range.end());
        match number.filter(|x: &f64| x.is_finite()) {
            None => {
                r.fault(
                    value.span(),
                    format!("`{key}` is not a number"),
                    &format!("a number from {least} to {greatest}"),
                );
                None
            }
            Some(x) if !range.contains(&x) => {
                r.fault(
                    value.span(),
                    format!("`{key}` is {x}"),
                    &format!("a number from {least} to {greatest}"),
                );
                None
            }
            x => x,
        }
    }

    pub fn number(&self, r: &mut Reader, key: &str, range: RangeInclusive<f64>) -> Option<f64> {
        let value = self.need(r, key)?;
        Self::checked(r, key, value, &range)
    }

    pub fn maybe_number(
        &self,
        r: &mut Reader,
        key: &str,
        range: RangeInclusive<f64>,
    ) -> Option<f64> {
        let value = self.get(key)?;
        Self::checked(r, key, value, &range)
    }

    pub fn count(&self, r: &mut Reader, key: &str, most: u32) -> Option<u32> {
        let x = self.number(r, key, 0.0..=f64::from(most))?;
        if x.fract() != 0.0 {
            r.fault(self.span_of(key), format!("`{key}` is {x}"), "a whole number");
            return None;
        }
        Some(x as u32)
    }

    /// A measure in the units of the file, in SI; the range is in SI too.
    pub fn measure(
        &self,
        r: &mut Reader,
        key: &str,
        m: Measure,
        si: RangeInclusive<f64>,
    ) -> Option<f64> {
        let (own, _) = self.unit_keys(r, key, m);
        if !self.has(&own.0) && !self.wrong_unit(r, key, m) {
            self.need(r, &own.0);
        }
        self.maybe_measure(r, key, m, si)
    }

    /// The same where it may be missing.
    pub fn maybe_measure(
        &self,
        r: &mut Reader,
        key: &str,
        m: Measure,
        si: RangeInclusive<f64>,
    ) -> Option<f64> {
        let (own, _) = self.unit_keys(r, key, m);
        if !self.has(&own.0) {
            self.wrong_unit(r, key, m);
            return None;
        }
        let round = |x: f64| (x / own.1 * 100.0).round() / 100.0;
        let x = self.maybe_number(r, &own.0, round(*si.start())..=round(*si.end()))?;
        Some(x * own.1)
    }

    fn unit_keys(&self, r: &Reader, key: &str, m: Measure) -> ((String, f64), String) {
        let us = (format!("{key}{}", m.us.0), m.us.1);
        let metric = (format!("{key}{}", m.metric.0), m.metric.1);
        match r.units {
            UnitSystem::Us => (us, metric.0),
            UnitSystem::Metric => (metric, us.0),
        }
    }

    /// Whether the key stands there in the other unit system; says so once.
    fn wrong_unit(&self, r: &mut Reader, key: &str, m: Measure) -> bool {
        let (own, other) = self.unit_keys(r, key, m);
        if !self.has(&other) {
            return false;
        }
        let again = self.asked.borrow().contains(&other);
        self.get(&other);
        if !again {
            let units = if r.units == UnitSystem::Us { "us" } else { "metric" };
            r.fault(
                self.span_of(&other),
                format!("`{other}` is not in the units of this garden (units = \"{units}\")"),
                &format!("`{}`", own.0),
            );
        }
        true
    }

    pub fn table(&self, r: &mut Reader, key: &'static str) -> Option<Table<'a>> {
        self.need(r, key)?;
        self.maybe_table(r, key)
    }

    pub fn maybe_table(&self, r: &mut Reader, key: &'static str) -> Option<Table<'a>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(t) => Some(Table::new(t, value.span(), key)),
            _ => {
                r.fault(
                    value.span(),
                    format!("`{key}` is not a table"),
                    &format!("[{key}] or {key} = {{ … }}"),
                );
                None
            }
        }
    }

    pub fn tables(&self, r: &mut Reader, key: &'static str) -> Vec<Table<'a>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            r.fault(
                value.span(),
                format!("`{key}` is not a list of tables"),
                &format!("[[{key}]]"),
            );
            return Vec::new();
        };
        let mut out = Vec::new();
        for item in list.iter() {
            match item.get_ref() {
                DeValue::Table(t) => out.push(Table::new(t, item.span(), key)),
                _ => r.fault(
                    item.span(),
                    format!("an entry of `{key}` is not a table"),
                    &format!("[[{key}]]"),
                ),
            }
        }
        out
    }

    /// A list of measures in SI; empty where it is missing.
    pub fn maybe_measures(
        &self,
        r: &mut Reader,
        key: &str,
        m: Measure,
        si: RangeInclusive<f64>,
    ) -> Vec<f64> {
        let (own, _) = self.unit_keys(r, key, m);
        if !self.has(&own.0) {
            self.wrong_unit(r, key, m);
            return Vec::new();
        }
        let Some(value) = self.get(&own.0) else { return Vec::new() };
        let Some(list) = value.get_ref().as_array() else {
            r.fault(value.span(), format!("`{}` is not a list", own.0), "numbers in [ ]");
            return Vec::new();
        };
        let range = si.start() / own.1..=si.end() / own.1;
        list.iter().filter_map(|v| Self::checked(r, &own.0, v, &range)).map(|x| x * own.1).collect()
    }

    /// Two numbers, east and north, in SI.
    pub fn pair(&self, r: &mut Reader, key: &str, m: Measure, most_si: f64) -> Option<(f64, f64)> {
        let (own, _) = self.unit_keys(r, key, m);
        if !self.has(&own.0) {
            self.wrong_unit(r, key, m);
            return None;
        }
        let value = self.get(&own.0)?;
        let most = most_si / own.1;
        let numbers: Vec<Option<f64>> = value
            .get_ref()
            .as_array()
            .map(|a| a.iter().map(|v| Self::checked(r, &own.0, v, &(-most..=most))).collect())
            .unwrap_or_default();
        match numbers.as_slice() {
            [Some(e), Some(n)] => Some((e * own.1, n * own.1)),
            [_, _] => None,
            _ => {
                r.fault(value.span(), format!("`{}` is not a pair", own.0), "[east, north]");
                None
            }
        }
    }

    /// Complains about every key that nobody asked for.
    pub fn no_more(&self, r: &mut Reader) {
        let asked = self.asked.borrow();
        let valid: Vec<&str> = asked.iter().map(String::as_str).collect();
        for (key, _) in self.table.iter() {
            let name: &str = key.get_ref();
            if !valid.contains(&name) {
                let message = format!("{} has no key `{name}`", self.what);
                r.faults.push(Fault {
                    span: key.span(),
                    message,
                    expected: "one of the keys that `rimefold new` writes".into(),
                    nearest: nearest(name, &valid),
                });
            }
        }
    }
}
