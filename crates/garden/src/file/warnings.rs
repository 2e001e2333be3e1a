//! What a grower would be warned about in a garden that reads well.

use std::ops::Range;

use crate::file::{Fault, Spans};
use crate::fit::{Item, covers};
use crate::garden::Garden;

/// Hoops farther apart than this let cloth sag (5 ft; common practice, no source).
const WIDEST_SPACING_M: f64 = 1.55;

pub fn warnings(garden: &Garden, spans: &Spans) -> Vec<Fault> {
    let mut out = Vec::new();
    let mut used = vec![false; garden.stock.sheets.len()];
    let mut say = |span: &Range<usize>, message: String, expected: &str| {
        out.push(Fault {
            span: span.clone(),
            message,
            expected: expected.to_owned(),
            nearest: None,
        });
    };
    for (bed, span) in garden.beds.iter().zip(&spans.beds) {
        let covers = covers(garden, bed);
        for item in covers.iter().flat_map(|c| &c.uses) {
            if let Item::Sheet(i) = item.0 {
                used[i] = true;
            }
        }
        if let Some(on) = bed.on_now {
            used[on.sheet] = true;
        }
        if covers.is_empty() && !bed.plantings.is_empty() {
            say(
                span,
                format!("nothing in the stock fits bed “{}”", bed.name),
                "a wider or longer sheet, hoops, or more pins",
            );
        }
        if let Some(hoops) = bed.hoops {
            if hoops.spacing_m > WIDEST_SPACING_M {
                say(
                    span,
                    format!(
                        "the hoops of bed “{}” stand far apart; cloth sags and snow collects",
                        bed.name
                    ),
                    "hoops 3 to 5 ft (0.9 to 1.5 m) apart",
                );
            }
            if (hoops.span_m() - bed.width_m).abs() > 0.5 * bed.width_m {
                say(
                    span,
                    format!("the hoops of bed “{}” do not span its width", bed.name),
                    "a span near the bed's width",
                );
            }
        }
    }
    for ((sheet, span), used) in garden.stock.sheets.iter().zip(&spans.sheets).zip(used) {
        if !used {
            say(
                span,
                format!("no bed can use sheet “{}”", sheet.name),
                "a bed it fits, or a note to sell or cut it",
            );
        }
    }
    if garden.stock.hold_downs() == 0 && !garden.stock.sheets.is_empty() {
        say(
            &spans.pins,
            "there is not a single pin or weight to hold a sheet".into(),
            "pins, staples or bags of sand",
        );
    }
    out.sort_by_key(|f| f.span.start);
    out
}
