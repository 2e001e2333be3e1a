//! One table of the garden file: its values into fields, fields back into it, comments left where they are.

use garden::Garden;
use garden::crops::{self, CropId, Stage};
use garden::schema::{Key, Table, Takes};
use quantities::UnitSystem;
use toml_edit::{Array, TableLike, Value};

use crate::format;
use crate::pages::edit::form::{Form, number};
use crate::pages::edit::lists;

/// A field as a page shows it.
#[derive(Clone, Debug)]
pub struct Field {
    /// Its name in the form.
    pub name: String,
    /// What a person calls it.
    pub words: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What it holds.
    pub value: String,
    /// What may be chosen; empty for what is written.
    pub choices: Vec<String>,
    /// The same under headings, where what may be chosen hangs on another field; else empty.
    pub groups: Vec<(String, Vec<String>)>,
    /// The list on the page that helps to write it; empty where there is none.
    pub list: &'static str,
    /// Keyboard that a phone shows: `numeric`, `decimal`, or empty for letters.
    pub keyboard: &'static str,
    /// Whether it is a box to tick.
    pub flag: bool,
    /// Whether it must be given.
    pub must: bool,
    /// What it is and what it takes, in a sentence or two.
    pub help: String,
    /// What is wrong with it.
    pub fault: Option<String>,
}

/// The fields of a part, from the file's table or empty; `prefix` sets their names apart.
pub fn fields(
    of: &'static Table,
    table: Option<&dyn TableLike>,
    prefix: &str,
    units: UnitSystem,
    names: &Names,
) -> Vec<Field> {
    let crop = table.and_then(|t| t.get("crop")).and_then(|i| i.as_str()).unwrap_or_default();
    let field = |key: &'static Key| {
        let item = table.and_then(|t| t.get(&key.full(units)));
        let value = item.and_then(|i| i.as_value()).map(shown).unwrap_or_default();
        Field {
            name: format!("{prefix}{}", key.name),
            words: key.label,
            unit: key.unit().pick(units).shown,
            choices: choices(key, &value, crop, names),
            groups: match key.takes {
                Takes::Stage if crop.is_empty() => grouped_stages(),
                _ => Vec::new(),
            },
            list: if matches!(key.takes, Takes::Crop) { "crops" } else { "" },
            keyboard: keyboard(key),
            value,
            flag: matches!(key.takes, Takes::Flag),
            must: key.always_needed(),
            help: help(key, units),
            fault: None,
        }
    };
    of.fields().map(field).collect()
}

/// Letters, where a sign may be wanted: a phone's keys for numbers have none.
fn keyboard(key: &Key) -> &'static str {
    match key.takes {
        Takes::Number(s) if s.whole => "numeric",
        Takes::Number(s) if s.least >= 0.0 => "decimal",
        _ => "",
    }
}

/// The same fields holding what a form sent.
pub fn refill(fields: &mut [Field], form: &Form, names: &Names) {
    for field in fields {
        // Another crop has other stages.
        if let Some(prefix) = field.name.strip_suffix("stage") {
            let crop = form.get(&format!("{prefix}crop"));
            if !crop.is_empty() {
                field.choices = names.stages(crop);
                field.groups.clear();
            }
        }
        field.value = if field.flag {
            form.has(&field.name).to_string()
        } else {
            form.get(&field.name).to_owned()
        };
        if field.choices.is_empty() || field.choices.contains(&field.value) {
            continue;
        }
        if field.name.ends_with("stage") {
            field.value.clear();
        } else if !field.value.is_empty() {
            field.choices.push(field.value.clone());
        }
    }
}

/// What a field is, and the range it takes.
fn help(key: &Key, units: UnitSystem) -> String {
    let range = key.range(units).map(|(least, most)| format!(" From {least} to {most}."));
    format!("{}{}", key.help, range.unwrap_or_default())
}

fn choices(key: &Key, value: &str, crop: &str, names: &Names) -> Vec<String> {
    let mut out: Vec<String> = match key.takes {
        Takes::Word(choices) => choices.iter().map(|c| c.word.to_owned()).collect(),
        Takes::Stage => names.stages(crop),
        Takes::Sheet => names.sheets.clone(),
        _ => return Vec::new(),
    };
    if !value.is_empty() && !out.iter().any(|c| c == value) {
        out.push(value.to_owned());
    }
    out
}

/// Every stage that some crop knows, in the order of growth.
pub fn all_stages() -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for crop in crops::all() {
        for (word, _) in crops::stages(crop) {
            if !out.iter().any(|w| w == word) {
                out.push(word.to_owned());
            }
        }
    }
    out
}

/// Every stage: those of most crops, then the bloom stages by the crops that have them.
fn grouped_stages() -> Vec<(String, Vec<String>)> {
    let mut out = vec![("most crops".to_owned(), Vec::new())];
    for crop in crops::all() {
        let mut bloom = Vec::new();
        for (word, stage) in crops::stages(crop) {
            match stage {
                Stage::Bloom(_) => bloom.push(word.to_owned()),
                _ if out[0].1.iter().any(|w| w == word) => {}
                _ => out[0].1.push(word.to_owned()),
            }
        }
        match out.iter_mut().skip(1).find(|g| g.1 == bloom) {
            Some(same) => same.0 += &format!(", {}", crops::name(crop)),
            None if bloom.is_empty() => {}
            None => out.push((crops::name(crop).to_owned(), bloom)),
        }
    }
    out
}

/// A crop to be found in a list: its name, every name it goes by, and its stages by their places in [`all_stages`].
pub struct CropChoice {
    /// Its name.
    pub name: String,
    /// Every name, the first its own.
    pub names: String,
    /// Places of its stages.
    pub stages: String,
}

/// A value as a field holds it.
fn shown(value: &Value) -> String {
    match value {
        Value::String(s) => s.value().clone(),
        Value::Integer(i) => i.value().to_string(),
        Value::Float(x) => x.value().to_string(),
        Value::Boolean(b) => b.value().to_string(),
        Value::Array(a) => a.iter().map(shown).collect::<Vec<_>>().join(", "),
        other => other.to_string().trim().to_owned(),
    }
}

/// Writes the fields of a part into its table; what is wrong already here, by field name.
pub fn write(
    of: &'static Table,
    table: &mut dyn TableLike,
    prefix: &str,
    form: &Form,
    units: UnitSystem,
) -> Vec<(String, String)> {
    let mut wrong = Vec::new();
    for key in of.fields() {
        let name = format!("{prefix}{}", key.name);
        let full = key.full(units);
        match value(key, &name, form, table.get(&full).is_some()) {
            Ok(Some(value)) => put(table, &full, value),
            Ok(None) => {
                lists::take_out(table, &full);
            }
            Err(fault) => wrong.push((name, fault)),
        }
    }
    wrong
}

/// The value a form holds for a field; nothing where it is empty.
fn value(key: &Key, name: &str, form: &Form, there: bool) -> Result<Option<Value>, String> {
    let text = form.get(name);
    if matches!(key.takes, Takes::Flag) {
        let on = form.has(name);
        return Ok((on || there).then(|| on.into()));
    }
    if text.is_empty() {
        return if key.always_needed() { Err("This is needed.".into()) } else { Ok(None) };
    }
    match key.takes {
        Takes::Number(_) if matches!(key.name, "latitude" | "longitude") => {
            let latitude = key.name == "latitude";
            let sides = if latitude { format::LATITUDE_SIDES } else { format::LONGITUDE_SIDES };
            // As it was written, where it is a plain number.
            let x = number(text).or_else(|| format::degrees(text, sides).map(Into::into));
            x.map(Some)
                .ok_or_else(|| format!("Degrees, such as 45.85, 45.85 {0} or 45°51'{0}.", sides[1]))
        }
        Takes::Number(_) => {
            number(text).map(Some).ok_or_else(|| "A number, such as 30 or 2.5.".to_owned())
        }
        Takes::Pair(_) => {
            let two = || "Two numbers, such as 6, 50.".to_owned();
            let parts: Vec<&str> = text.split([',', ';']).map(str::trim).collect();
            let [east, north] = parts.as_slice() else { return Err(two()) };
            let mut array = Array::new();
            array.push(number(east).ok_or_else(two)?);
            array.push(number(north).ok_or_else(two)?);
            Ok(Some(array.into()))
        }
        _ => Ok(Some(text.into())),
    }
}

/// Puts a value under a key; one that is there already keeps its comment, and stays untouched where it says the same.
fn put(table: &mut dyn TableLike, key: &str, mut value: Value) {
    match table.get_mut(key).and_then(|i| i.as_value_mut()) {
        Some(old) if same(old, &value) => {}
        Some(old) => {
            *value.decor_mut() = old.decor().clone();
            *old = value;
        }
        None => {
            table.insert(key, toml_edit::value(value));
        }
    }
}

fn same(a: &Value, b: &Value) -> bool {
    let as_number = |v: &Value| v.as_float().or_else(|| v.as_integer().map(|i| i as f64));
    match (as_number(a), as_number(b)) {
        (Some(x), Some(y)) => x == y,
        _ => shown(a) == shown(b),
    }
}

/// Names that a garden itself gives, to choose from.
#[derive(Default)]
pub struct Names {
    /// Of its sheets.
    pub sheets: Vec<String>,
    /// Its own crops.
    own: Vec<CropId>,
}

impl Names {
    /// Those of a garden.
    pub fn of(garden: &Garden) -> Self {
        Self {
            sheets: garden.stock.sheets.iter().map(|s| s.name.clone()).collect(),
            own: garden.crops.clone(),
        }
    }

    /// The stages that a crop has; every stage, where no such crop is known.
    fn stages(&self, crop: &str) -> Vec<String> {
        let own = self.own.iter().copied().find(|c| crops::same(crops::name(*c), crop));
        match own.or_else(|| crops::find(crop)) {
            Some(crop) => crops::stages(crop).into_iter().map(|(w, _)| w.to_owned()).collect(),
            None => all_stages(),
        }
    }

    /// Every crop to choose from, the garden's own first.
    pub fn crops(&self) -> Vec<CropChoice> {
        let all = all_stages();
        let one = |crop: CropId| {
            let place = |(word, _): &(&str, _)| all.iter().position(|w| w == word);
            let stages = crops::stages(crop);
            let places = stages.iter().filter_map(place).map(|n| n.to_string());
            CropChoice {
                name: crops::name(crop).to_owned(),
                names: crops::words(crop).join(", "),
                stages: places.collect::<Vec<_>>().join(" "),
            }
        };
        self.own.iter().copied().chain(crops::all()).map(one).collect()
    }
}
