//! Sheets, pop-ups, pins, clips, loose mulch.

use std::ops::Range;

use crate::file::table::{Reader, Table};
use structure::anchors::Pin;

use crate::stock::{ClothKind, PopUp, Sheet, SheetKind, Stock, USUAL_PIN};

/// The stock, where each sheet stands, and where the pins stand.
pub fn stock(r: &mut Reader, t: &Table<'_>) -> Option<(Stock, Vec<Range<usize>>, Range<usize>)> {
    let pins = t.count(r, "pins");
    let weights = t.count(r, "weights");
    let clips = t.count(r, "clips");
    let loose_mulch_m3 = t.number(r, "loose_mulch");
    let pin_span = t.span_of("pins");
    let pin = t.table(r, "pin").map_or(Some(USUAL_PIN), |p| pin(r, &p));
    let pulls_n = t.numbers(r, "pull_test");
    let mut out = Some(Stock::default());
    let mut spans = Vec::new();
    for s in t.tables(r, "sheet") {
        let span = s.span_of("name");
        match (sheet(r, &s), &mut out) {
            (Some(sheet), Some(stock)) => {
                if stock.sheets.iter().any(|other| other.name == sheet.name) {
                    r.fault(
                        span.clone(),
                        format!("two sheets are called “{}”", sheet.name),
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
    let stock = Stock {
        pins: pins?,
        weights: weights?,
        clips: clips?,
        loose_mulch_m3: loose_mulch_m3?,
        pin: pin?,
        pulls_n,
        ..out?
    };
    Some((stock, spans, pin_span))
}

fn pin(r: &mut Reader, t: &Table<'_>) -> Option<Pin> {
    let diameter_m = if t.has("wire_gauge", r.units) {
        crate::file::hoops::section(r, t, None).map(|s| s.outer_m())
    } else {
        t.number(r, "diameter")
    };
    let depth_m = t.number(r, "length");
    let legs = t.count(r, "legs");
    Some(Pin { diameter_m: diameter_m?, depth_m: depth_m?, legs: legs? })
}

fn sheet(r: &mut Reader, t: &Table<'_>) -> Option<Sheet> {
    let name = t.text(r, "name");
    let kind = kind(r, t);
    let width_m = t.number(r, "width");
    let length_m = t.number(r, "length");
    let count = t.count(r, "count");
    let condition = t.word(r, "condition");
    let torn_share = t.number(r, "torn_share");
    let lasts_seasons = t.number(r, "lasts_seasons");
    let claim_k = t.number(r, "claim");
    Some(Sheet {
        name: name?,
        kind: kind?,
        width_m: width_m?,
        length_m: length_m?,
        count: count?,
        condition: condition?,
        torn_share,
        lasts_seasons,
        claim_k,
    })
}

fn pop_up(r: &mut Reader, t: &Table<'_>) -> Option<PopUp> {
    let name = t.text(r, "name");
    let kind = kind(r, t);
    let span_m = t.number(r, "span");
    let height_m = t.number(r, "height");
    let length_m = t.number(r, "length");
    let count = t.count(r, "count");
    let claim_k = t.number(r, "claim");
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
    Some(match t.word(r, "kind")? {
        ClothKind::RowCover => SheetKind::RowCover { weight_g_m2: t.number(r, "weight")? },
        ClothKind::Film => SheetKind::Film { thickness_um: t.number(r, "thickness")? },
        ClothKind::InsectNet => SheetKind::InsectNet,
        ClothKind::ShadeCloth => SheetKind::ShadeCloth { shade: t.number(r, "shade")? },
    })
}
