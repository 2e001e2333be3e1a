//! Sheets, pop-ups, pins, clips, loose mulch.

use std::ops::Range;

use crate::file::table::{FILM, FORCE, KELVIN, LONG, Reader, SHORT, THIN, Table, VOLUME, WEIGHT};
use structure::anchors::Pin;

use crate::stock::{Condition, PopUp, Sheet, SheetKind, Stock, USUAL_PIN};

/// Kinds of cover as words.
#[derive(Clone, Copy)]
pub enum Kind {
    RowCover,
    Film,
    InsectNet,
    ShadeCloth,
}

/// Words for kinds of cover.
pub const KINDS: [(&str, Kind); 4] = [
    ("row cover", Kind::RowCover),
    ("film", Kind::Film),
    ("insect net", Kind::InsectNet),
    ("shade cloth", Kind::ShadeCloth),
];

const CONDITIONS: [(&str, Condition); 3] =
    [("good", Condition::Good), ("worn", Condition::Worn), ("torn", Condition::Torn)];

/// The stock, where each sheet stands, and where the pins stand.
pub fn stock(r: &mut Reader, t: &Table<'_>) -> Option<(Stock, Vec<Range<usize>>, Range<usize>)> {
    let pins = t.count(r, "pins", 100_000);
    let clips = t.count(r, "clips", 100_000);
    let loose_mulch_m3 = t.maybe_measure(r, "loose_mulch", VOLUME, 0.0..=1000.0).unwrap_or(0.0);
    let pin_span = t.span_of("pins");
    let pin = t.maybe_table(r, "pin").map_or(Some(USUAL_PIN), |p| pin(r, &p));
    let pulls_n = t.maybe_measures(r, "pull_test", FORCE, 0.0..=5000.0);
    let mut out = Some(Stock::default());
    let mut spans = Vec::new();
    for s in t.tables(r, "sheet") {
        let span = s.span_of("name");
        match (sheet(r, &s), &mut out) {
            (Some(sheet), Some(stock)) => {
                if stock.sheets.iter().any(|other| other.name == sheet.name) {
                    r.fault(
                        span.clone(),
                        format!("two sheets are called `{}`", sheet.name),
                        "a name of its own for each entry",
                    );
                }
                stock.sheets.push(sheet);
                spans.push(span);
            }
            _ => out = None,
        }
    }
    for p in t.tables(r, "pop_up") {
        match (pop_up(r, &p), &mut out) {
            (Some(pop_up), Some(stock)) => stock.pop_ups.push(pop_up),
            _ => out = None,
        }
    }
    t.no_more(r);
    let stock = Stock { pins: pins?, clips: clips?, loose_mulch_m3, pin: pin?, pulls_n, ..out? };
    Some((stock, spans, pin_span))
}

fn pin(r: &mut Reader, t: &Table<'_>) -> Option<Pin> {
    let diameter_m = if t.has("wire_gauge") {
        crate::file::hoops::section(r, t, None).map(|s| s.outer_m())
    } else {
        t.measure(r, "diameter", THIN, 0.001..=0.03)
    };
    let depth_m = t.measure(r, "length", SHORT, 0.02..=1.5);
    let legs = t.number(r, "legs", 1.0..=4.0).map(|l| l as u32);
    t.no_more(r);
    Some(Pin { diameter_m: diameter_m?, depth_m: depth_m?, legs: legs? })
}

fn sheet(r: &mut Reader, t: &Table<'_>) -> Option<Sheet> {
    let name = t.text(r, "name");
    let kind = kind(r, t);
    let width_m = t.measure(r, "width", SHORT, 0.3..=15.0);
    let length_m = t.measure(r, "length", LONG, 0.3..=1000.0);
    let count = t.count(r, "count", 1000);
    let condition = t.word(r, "condition", &CONDITIONS);
    let claim_k = t.maybe_measure(r, "claim", KELVIN, 0.0..=15.0);
    t.no_more(r);
    Some(Sheet {
        name: name?,
        kind: kind?,
        width_m: width_m?,
        length_m: length_m?,
        count: count?,
        condition: condition?,
        claim_k,
    })
}

fn pop_up(r: &mut Reader, t: &Table<'_>) -> Option<PopUp> {
    let name = t.text(r, "name");
    let kind = kind(r, t);
    let span_m = t.measure(r, "span", SHORT, 0.2..=5.0);
    let height_m = t.measure(r, "height", SHORT, 0.1..=2.0);
    let length_m = t.measure(r, "length", LONG, 0.3..=30.0);
    let count = t.count(r, "count", 1000);
    let claim_k = t.maybe_measure(r, "claim", KELVIN, 0.0..=15.0);
    t.no_more(r);
    Some(PopUp {
        name: name?,
        kind: kind?,
        span_m: span_m?,
        height_m: height_m?,
        length_m: length_m?,
        count: count?,
        claim_k,
    })
}

/// Kind of cover with its weight, thickness or shade.
pub fn kind(r: &mut Reader, t: &Table<'_>) -> Option<SheetKind> {
    Some(match t.word(r, "kind", &KINDS)? {
        Kind::RowCover => {
            SheetKind::RowCover { weight_g_m2: t.measure(r, "weight", WEIGHT, 8.0..=150.0)? }
        }
        Kind::Film => {
            SheetKind::Film { thickness_um: t.measure(r, "thickness", FILM, 15.0..=300.0)? }
        }
        Kind::InsectNet => SheetKind::InsectNet,
        Kind::ShadeCloth => SheetKind::ShadeCloth { shade: t.number(r, "shade", 0.05..=0.95)? },
    })
}
