//! Tables and lists of tables in the garden file, however they are written.

use toml_edit::{ArrayOfTables, InlineTable, Item, Table, TableLike, Value};

/// How many tables a list holds.
pub fn len(item: Option<&Item>) -> usize {
    match item {
        Some(Item::ArrayOfTables(list)) => list.len(),
        Some(Item::Value(Value::Array(list))) => list.len(),
        _ => 0,
    }
}

/// Place in a list of `len` from the number in an address; one past the last for `new`.
pub fn place(which: &str, len: usize) -> Option<usize> {
    match which {
        "new" => Some(len),
        n => n.parse::<usize>().ok()?.checked_sub(1).filter(|i| *i < len),
    }
}

/// One table of a list.
pub fn at(item: Option<&Item>, i: usize) -> Option<&dyn TableLike> {
    match item? {
        Item::ArrayOfTables(list) => list.get(i).map(|t| t as &dyn TableLike),
        Item::Value(Value::Array(list)) => {
            list.get(i).and_then(Value::as_inline_table).map(|t| t as &dyn TableLike)
        }
        _ => None,
    }
}

/// One table of a list, to be changed.
pub fn at_mut(item: Option<&mut Item>, i: usize) -> Option<&mut dyn TableLike> {
    match item? {
        Item::ArrayOfTables(list) => list.get_mut(i).map(|t| t as &mut dyn TableLike),
        Item::Value(Value::Array(list)) => {
            list.get_mut(i).and_then(Value::as_inline_table_mut).map(|t| t as &mut dyn TableLike)
        }
        _ => None,
    }
}

/// Adds copies of one table at the end of a list, one for each name, each changed by `change`.
pub fn copy(
    item: Option<&mut Item>,
    i: usize,
    names: impl Iterator<Item = String>,
    change: impl Fn(&mut dyn TableLike, String),
) {
    match item {
        Some(Item::ArrayOfTables(list)) => {
            let Some(first) = list.get(i).cloned() else { return };
            for name in names {
                let mut copy = first.clone();
                // Where it stood in the file is not where the copy goes.
                unplaced(&mut copy);
                change(&mut copy, name);
                list.push(copy);
            }
        }
        Some(Item::Value(Value::Array(list))) => {
            let Some(first) = list.get(i).and_then(Value::as_inline_table).cloned() else { return };
            for name in names {
                let mut copy = first.clone();
                change(&mut copy, name);
                list.push(copy);
            }
        }
        _ => {}
    }
}

/// Takes from a table and those in it the places where they stood.
fn unplaced(table: &mut Table) {
    table.set_position(None);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => unplaced(inner),
            Item::ArrayOfTables(list) => list.iter_mut().for_each(unplaced),
            _ => {}
        }
    }
}

/// Takes one table out of a list.
pub fn remove(item: Option<&mut Item>, i: usize) {
    match item {
        Some(Item::ArrayOfTables(list)) if i < list.len() => {
            list.remove(i);
        }
        Some(Item::Value(Value::Array(list))) if i < list.len() => {
            list.remove(i);
        }
        _ => {}
    }
}

/// Adds an empty table to the list under a key and returns its place.
pub fn add(table: &mut dyn TableLike, key: &str) -> usize {
    match table.get_mut(key) {
        Some(Item::ArrayOfTables(list)) => {
            list.push(Table::new());
            list.len() - 1
        }
        Some(Item::Value(Value::Array(list))) => {
            list.push(InlineTable::new());
            list.len() - 1
        }
        _ => {
            let mut list = ArrayOfTables::new();
            list.push(Table::new());
            table.insert(key, Item::ArrayOfTables(list));
            0
        }
    }
}

/// Takes a key out of a table; comments that stood before it stay, before what follows.
pub fn take_out(table: &mut dyn TableLike, key: &str) {
    let comments =
        table.key(key).and_then(|k| k.leaf_decor().prefix()?.as_str().map(str::to_owned));
    let place = table.iter().position(|(k, _)| k == key);
    table.remove(key);
    let (Some(comments), Some(place)) = (comments.filter(|c| c.contains('#')), place) else {
        return;
    };
    let next = table.iter().nth(place).map(|(k, _)| k.to_owned());
    let Some(next) = next else { return };
    let before = |old: Option<&str>| format!("{comments}{}", old.unwrap_or_default());
    match table.get_mut(&next) {
        Some(Item::ArrayOfTables(list)) => {
            if let Some(first) = list.get_mut(0) {
                let old = first.decor().prefix().and_then(|p| p.as_str()).map(str::to_owned);
                first.decor_mut().set_prefix(before(old.as_deref()));
            }
        }
        Some(Item::Table(first)) => {
            let old = first.decor().prefix().and_then(|p| p.as_str()).map(str::to_owned);
            first.decor_mut().set_prefix(before(old.as_deref()));
        }
        _ => {
            if let Some(mut key) = table.key_mut(&next) {
                let old = key.leaf_decor().prefix().and_then(|p| p.as_str()).map(str::to_owned);
                key.leaf_decor_mut().set_prefix(before(old.as_deref()));
            }
        }
    }
}

/// The table under a key, made in one line where there is none.
pub fn child<'a>(table: &'a mut dyn TableLike, key: &str) -> Option<&'a mut dyn TableLike> {
    if table.get(key).and_then(Item::as_table_like).is_none() {
        table.insert(key, toml_edit::value(InlineTable::new()));
    }
    table.get_mut(key).and_then(Item::as_table_like_mut)
}
