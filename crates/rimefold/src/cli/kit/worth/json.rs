//! What sheets would have saved, for programs.

use garden::Garden;
use history::sheet_value::report::{Mean, Piece, Saved, Set, Sheet};
use serde_json::{Value, json};

use super::Estimate;
use crate::cli::kit::json::{bill_line, thing};

/// The member `worth`.
pub fn write(e: &Estimate, garden: &Garden) -> Value {
    json!({
        "station": e.station,
        "years": e.worth.years,
        "decided_by": "forecast",
        "hoops": "reckoned to stand",
        "sheets": e.worth.sheets.iter().map(|s| sheet(s, garden)).collect::<Vec<_>>(),
        "set": e.worth.set.as_ref().map(|s| set(s, garden)),
        "residual_w_m2": e.worth.stats.residual_w_m2,
    })
}

fn sheet(s: &Sheet, garden: &Garden) -> Value {
    let (in_shed, cloth) = thing(s.thing, garden);
    json!({
        "bed": garden.beds[s.bed].name,
        "in_shed": in_shed,
        "cloth": cloth,
        "width_m": s.width_m,
        "length_m": s.length_m,
        "pieces": s.pieces,
        "saves_a_year": saved(&s.saved),
        "evenings_a_year": s.evenings,
    })
}

fn set(s: &Set, garden: &Garden) -> Value {
    let piece = |p: &Piece| {
        let beds: Vec<&str> = p.beds.iter().map(|b| garden.beds[*b].name.as_str()).collect();
        let (_, cloth) = thing(p.thing, garden);
        json!({
            "cloth": cloth, "width_m": p.width_m, "length_m": p.length_m, "count": p.count, "beds": beds,
        })
    };
    json!({
        "budget": s.budget,
        "lines": s.lines.iter().map(|l| bill_line(l, garden)).collect::<Vec<_>>(),
        "pieces": s.pieces.iter().map(piece).collect::<Vec<_>>(),
        "paid": s.paid,
        "a_season": s.a_season,
        "saves_a_year": saved(&s.saved),
        "counted_net": s.net,
        "counted_net_at_most": s.at_most,
        "mean_year": {"shed_alone": mean(&s.shed), "with_the_set": mean(&s.with)},
    })
}

fn saved(s: &Saved) -> Value {
    json!({"mean": s.mean, "tenth_under": s.low, "tenth_over": s.high})
}

fn mean(m: &Mean) -> Value {
    json!({"loss": m.loss, "labour": m.labour, "evenings": m.evenings, "nights_short": m.short})
}
