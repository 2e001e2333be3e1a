//! From a place in the text of the garden file to the field that stands there.

use std::ops::Range;

use garden::file::Fault;
use garden::schema::{Key, Table};
use quantities::UnitSystem;
use toml_edit::{Document, Item};

/// A step on the way to a table: a key, or a place in a list.
#[derive(Clone, Debug)]
pub enum Step {
    /// Key.
    Key(&'static str),
    /// Place.
    At(usize),
}

/// A table that a form edits: where it is, its fields, and what their names begin with.
pub struct Part {
    /// Way to the table.
    pub way: Vec<Step>,
    /// What it holds.
    pub table: &'static Table,
    /// What the names of its fields begin with.
    pub prefix: String,
}

/// Each fault by field name, and in words those that stand at no field of the form.
pub fn by_field(
    text: &str,
    faults: &[Fault],
    parts: &[Part],
    units: UnitSystem,
) -> (Vec<(String, String)>, Vec<String>) {
    let Ok(document) = Document::parse(text) else {
        return (Vec::new(), faults.iter().map(words).collect());
    };
    let places: Vec<(String, Range<usize>)> = parts
        .iter()
        .filter_map(|p| Some((p, walk(document.as_item(), &p.way)?)))
        .flat_map(|(p, table)| p.table.fields().filter_map(move |k| place(p, k, table, units)))
        .collect();
    let (mut fields, mut others) = (Vec::new(), Vec::new());
    for fault in faults {
        let at = fault.span.start;
        let here = places.iter().find(|(_, span)| span.contains(&at));
        // A name that another has too is told where the other stands: it is ours that was just given.
        let said = text.get(fault.span.clone());
        let same = || {
            places.iter().find(|(n, span)| n.ends_with(".name") && text.get(span.clone()) == said)
        };
        match here.or_else(same) {
            Some((name, _)) => fields.push((name.clone(), words(fault))),
            None => others.push(words(fault)),
        }
    }
    (fields, others)
}

fn place(
    part: &Part,
    key: &Key,
    table: &Item,
    units: UnitSystem,
) -> Option<(String, Range<usize>)> {
    let span = table.as_table_like()?.get(&key.full(units))?.span()?;
    Some((format!("{}{}", part.prefix, key.name), span))
}

/// The item at the end of a way.
fn walk<'a>(mut item: &'a Item, way: &[Step]) -> Option<&'a Item> {
    for step in way {
        item = match step {
            Step::Key(key) => item.get(*key)?,
            Step::At(i) => item.get(*i)?,
        };
    }
    Some(item)
}

/// A fault in one line.
fn words(fault: &Fault) -> String {
    format!("{}. {}", fault.message, fault.could_stand())
}
