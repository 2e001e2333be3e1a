//! One table of the garden file: its values into fields, fields back into it, comments left where they are.

use garden::Garden;
use garden::crops;
use garden::schema::{Key, Table, Takes};
use quantities::UnitSystem;
use toml_edit::{Array, TableLike, Value};

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
    /// The page's list that is searched while it is written; empty without one.
    pub list: &'static str,
    /// The keys that a phone shows for it: `decimal` where nothing below zero can be meant, else `text`.
    pub keys: &'static str,
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
    let field = |key: &'static Key| {
        let item = table.and_then(|t| t.get(&key.full(units)));
        let value = item.and_then(|i| i.as_value()).map(shown).unwrap_or_default();
        Field {
            name: format!("{prefix}{}", key.name),
            words: key.label,
            unit: key.unit().pick(units).shown,
            choices: choices(key, &value, table, names),
            list: if matches!(key.takes, Takes::Crop) { CROPS } else { "" },
            keys: keys(key, units),
            value,
            flag: matches!(key.takes, Takes::Flag),
            must: key.always_needed(),
            help: help(key, units),
            fault: None,
        }
    };
    of.fields().map(field).collect()
}

/// The list of crops that a page with plantings has.
pub const CROPS: &str = "crops";

/// The keys of a phone for a field.
fn keys(key: &Key, units: UnitSystem) -> &'static str {
    let above_zero = key.range(units).is_some_and(|(least, _)| least >= 0.0);
    if matches!(key.takes, Takes::Number(_)) && above_zero { "decimal" } else { "text" }
}

/// The same fields holding what a form sent; stages are those of the crop that was sent.
pub fn refill(fields: &mut [Field], form: &Form) {
    let crop = fields.iter().find(|f| f.list == CROPS).map(|f| form.get(&f.name).to_owned());
    for field in fields {
        if field.name.ends_with(".stage") {
            field.choices = stages(crop.as_deref().unwrap_or_default());
        }
        field.value = if field.flag {
            form.has(&field.name).to_string()
        } else {
            form.get(&field.name).to_owned()
        };
        if !field.choices.is_empty()
            && !field.choices.contains(&field.value)
            && !field.value.is_empty()
        {
            field.choices.push(field.value.clone());
        }
    }
}

/// What a field is, and the range it takes.
fn help(key: &Key, units: UnitSystem) -> String {
    let range = key.range(units).map(|(least, most)| format!(" From {least} to {most}."));
    format!("{}{}", key.help, range.unwrap_or_default())
}

fn choices(key: &Key, value: &str, of: Option<&dyn TableLike>, names: &Names) -> Vec<String> {
    let crop = of.and_then(|t| t.get("crop")?.as_str()).unwrap_or_default();
    let mut out: Vec<String> = match key.takes {
        Takes::Word(choices) => choices.iter().map(|c| c.word.to_owned()).collect(),
        Takes::Stage => stages(crop),
        Takes::Sheet => names.sheets.clone(),
        _ => return Vec::new(),
    };
    if !value.is_empty() && !out.iter().any(|c| c == value) {
        out.push(value.to_owned());
    }
    out
}

/// The stages of a crop, in the order of growth; where it is not known yet, or the grower's own, those of every crop.
fn stages(crop: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let of = crops::find(crop).map_or_else(|| crops::all().collect(), |crop| vec![crop]);
    for crop in of {
        for (word, _) in crops::stages(crop) {
            if !out.iter().any(|w| w == word) {
                out.push(word.to_owned());
            }
        }
    }
    out
}

/// A crop as a page lists it: its name, what else it is called, its stages.
pub struct CropChoice {
    /// Its name.
    pub name: String,
    /// What else it is called.
    pub aliases: String,
    /// Its stages.
    pub stages: String,
}

/// The garden's own crops, then those of the table.
pub fn crop_choices(names: &Names) -> Vec<CropChoice> {
    let own = names.crops.iter().map(|name| CropChoice {
        name: name.clone(),
        aliases: String::new(),
        stages: stages(name).join(","),
    });
    let table = crops::all().map(|crop| CropChoice {
        name: crops::name(crop).to_owned(),
        aliases: crops::aliases(crop).join(", "),
        stages: stages(crops::name(crop)).join(","),
    });
    own.chain(table).collect()
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
    /// Of its own crops.
    pub crops: Vec<String>,
}

impl Names {
    /// Those of a garden.
    pub fn of(garden: &Garden) -> Self {
        Self {
            sheets: garden.stock.sheets.iter().map(|s| s.name.clone()).collect(),
            crops: garden.crops.iter().map(|c| crops::name(*c).to_owned()).collect(),
        }
    }
}
