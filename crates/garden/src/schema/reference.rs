//! docs/garden.md, made from the table of the file.

use std::fmt::Write as _;

use quantities::UnitSystem;

use super::{Given, Key, Only, Table, Takes, tables};
use crate::template;

const HEAD: &str = "\
# The garden file

`garden.toml` says where a garden is, what grows in it and what you own. `rimefold new` writes one to begin with, the
pages of `rimefold serve` change it by forms, and `rimefold check` tells of every mistake at its place.

The file is [TOML](https://toml.io): lines of `key = value` under a table's head in brackets. Text stands in quotes; what
follows a `#` is a comment. A head in double brackets, such as `[[bed]]`, may come as often as there are beds, and what stands
below it belongs to that bed. A key that has a unit ends in it, so `length_ft` in a garden with `units = \"us\"` is `length_m`
in a metric one. Money is in any currency, the same throughout.

This page is made from the table by which the program reads the file. After a change there, renew it:
`cargo run -p garden --example garden_reference > docs/garden.md`
";

/// The reference page. Checked by `schema::the_reference_page_is_as_the_table_says`.
#[must_use]
pub fn page() -> String {
    let mut out = HEAD.to_owned();
    for table in tables::ALL {
        section(&mut out, table);
    }
    for (units, which) in [(UnitSystem::Us, "US"), (UnitSystem::Metric, "metric")] {
        let whole = template::example(units);
        let _ = write!(out, "\n## A whole garden in {which} units\n\n```toml\n{whole}```\n");
    }
    out
}

fn section(out: &mut String, table: &Table) {
    let many = tables::ALL
        .iter()
        .flat_map(|t| t.keys)
        .any(|k| matches!(k.takes, Takes::Tables(t) if std::ptr::eq(t, table)));
    let head = match (table.path, many) {
        ("", _) => "The top of the file".to_owned(),
        (path, true) => format!("`[[{path}]]`"),
        (path, false) => format!("`[{path}]`"),
    };
    let _ = write!(
        out,
        "\n## {head}\n\n{}\n\n| key | what | takes | if it is left out | example |\n|---|---|---|---|---|\n",
        table.help
    );
    for key in table.keys {
        let _ = writeln!(
            out,
            "| {} | {} | {} | {} | {} |",
            in_both(|u| format!("`{}`", key.full(u))),
            key.help,
            takes(key),
            left_out(key),
            if key.example == ["", ""] { String::new() } else { in_both(|u| example(key, u)) },
        );
    }
    for key in table.keys.iter().filter(|k| !k.choices().is_empty()) {
        let _ = writeln!(out, "\n`{}`:\n", key.name);
        for choice in key.choices() {
            let _ = writeln!(out, "- `{}`: {}", choice.word, choice.means);
        }
    }
}

/// In US and metric units, once where both are the same.
fn in_both(say: impl Fn(UnitSystem) -> String) -> String {
    let (us, metric) = (say(UnitSystem::Us), say(UnitSystem::Metric));
    if us == metric { us } else { format!("{us}<br>{metric}") }
}

fn example(key: &Key, units: UnitSystem) -> String {
    let [us, metric] = key.example;
    format!("`{}`", if units == UnitSystem::Us { us } else { metric })
}

fn takes(key: &Key) -> String {
    let range = in_both(|u| {
        let (least, most) = key.range(u).unwrap_or_default();
        let shown = key.unit().pick(u).shown;
        format!("{least} to {most}{}{shown}", if shown.is_empty() { "" } else { " " })
    });
    match key.takes {
        Takes::Text => "text".into(),
        Takes::Number(span) if span.whole => format!("a whole number, {range}"),
        Takes::Number(_) => range,
        Takes::Numbers(_) => format!("a list of numbers, each {range}"),
        Takes::Pair(_) => format!("two numbers, each {range}"),
        Takes::Word(_) => "one of the words below".into(),
        Takes::Crop => "a crop".into(),
        Takes::Stage => "a stage of the crop".into(),
        Takes::Sheet => "a name from `[[stock.sheet]]`".into(),
        Takes::Day => "month and day".into(),
        Takes::Flag => "`true` or `false`".into(),
        Takes::Table(t) => format!("a table, `[{}]`", t.path),
        Takes::Tables(t) => format!("tables, `[[{}]]`", t.path),
    }
}

fn left_out(key: &Key) -> String {
    let place = match key.only {
        Only::Always => String::new(),
        Only::With(other, words) => format!("only where `{other}` is {}", words.join(" or ")),
        Only::Without(other) => format!("only without `{other}`"),
    };
    let given = match key.given {
        Given::Needed => "needed".into(),
        Given::Else(x) => x.to_string(),
        Given::May(otherwise) => otherwise.to_owned(),
    };
    match (key.given, key.only) {
        (_, Only::Always) => given,
        (Given::Needed, _) => format!("needed, and {place}"),
        (Given::Else(_) | Given::May(_), _) => format!("{given}; {place}"),
    }
}
