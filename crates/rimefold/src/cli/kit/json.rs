//! The kit as JSON: SI units, the garden's own money, days as month and day.

use garden::Garden;
use garden::need::Wanted;
use garden::stock::SheetKind;
use purchase::kit::StockItem;
use purchase::kit::{Cover, Line, Outcome, Piece, Why, YearBill};
use purchase::kit::{Kit, Settings};
use serde_json::{Value, json};

use crate::cli::kit::text::{item, month_day};
use crate::cli::kit::worth::{self, Estimate};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The whole kit.
pub fn write(
    kit: &Kit,
    garden: &Garden,
    settings: Settings,
    estimate: Option<&Estimate>,
) -> String {
    let names = |beds: &[usize]| -> Vec<&str> {
        beds.iter().map(|b| garden.beds[*b].name.as_str()).collect()
    };
    let value = json!({
        "layout": LAYOUT,
        "garden": garden.name,
        "budget_a_year": settings.budget,
        "years_given": settings.years,
        "counted_in": if kit.cost.by_area { "m2" } else { "money" },
        "covers": kit.covers.iter().map(|c| cover(c, garden)).collect::<Vec<_>>(),
        "sheets": kit.sheets.iter().map(|p| sheet(p, kit, garden)).collect::<Vec<_>>(),
        "hoops": kit.hoops.iter().map(|h| json!({
            "length_m": h.length_m, "count": h.count, "beds": names(&h.users),
        })).collect::<Vec<_>>(),
        "hoops_without_rod_on_offer": names(&kit.no_rod),
        "hoops_standing": names(&kit.standing),
        "pins": {"wanted": kit.pins, "there": garden.stock.pins},
        "clips": {"wanted": kit.clips, "there": garden.stock.clips},
        "years": kit.years.iter().map(|y| year(y, kit, garden)).collect::<Vec<_>>(),
        "cost": {
            "paid": kit.cost.paid,
            "a_season": kit.cost.a_season,
            "used_a_season": kit.cost.used_a_season,
            "without_budget": kit.cost.without_budget,
        },
        "proof": {
            "at_least": kit.cost.at_least,
            "gap": kit.cost.gap,
            "years_gap": kit.cost.years_gap,
        },
        "worth": estimate.map_or(Value::Null, |e| worth::json(e, garden)),
    });
    format!("{value:#}\n")
}

fn cover(c: &Cover, garden: &Garden) -> Value {
    let (kind, least) = match c.need.wanted {
        Wanted::RowCover { least_g_m2 } => ("row cover", json!({"least_g_m2": least_g_m2})),
        Wanted::Film => ("film", Value::Null),
        Wanted::InsectNet => ("insect net", Value::Null),
        Wanted::ShadeCloth { least_shade } => ("shade cloth", json!({"least_shade": least_shade})),
    };
    let outcome = match c.outcome {
        Outcome::Met { sheet, pieces, year } => {
            json!({"met": true, "sheet": sheet, "pieces": pieces, "year": year})
        }
        Outcome::Unmet(why) => json!({"met": false, "why": word(why)}),
    };
    json!({
        "bed": garden.beds[c.bed].name,
        "kind": kind,
        "least": least,
        "from": month_day(c.need.from_day),
        "to": month_day(c.need.to_day),
        "outcome": outcome,
    })
}

fn word(why: Why) -> &'static str {
    match why {
        Why::CannotLie => "cannot lie",
        Why::NoCloth => "no cloth",
        Why::TooSmall => "too small",
        Why::Budget => "budget",
        Why::TooDear => "too dear",
        Why::Scarce => "scarce",
    }
}

fn sheet(p: &Piece, kit: &Kit, garden: &Garden) -> Value {
    let (name, kind) = thing(p.thing, garden);
    let beds = p.users.iter().map(|c| garden.beds[kit.covers[*c].bed].name.as_str());
    json!({
        "in_shed": name,
        "cloth": kind,
        "width_m": p.width_m,
        "length_m": p.length_m,
        "count": p.count,
        "unshared": p.unshared,
        "beds": beds.collect::<Vec<_>>(),
    })
}

/// One line of a bill.
pub fn bill_line(l: &Line, garden: &Garden) -> Value {
    json!({"item": item(l.item, garden), "count": l.count, "price": l.price})
}

/// Name of a sheet in the shed, and its cloth.
pub fn thing(thing: StockItem, garden: &Garden) -> (Option<&str>, Option<Value>) {
    let (name, kind) = match thing {
        StockItem::Stock(i) => {
            let sheet = &garden.stock.sheets[i];
            (Some(sheet.name.as_str()), Some(sheet.kind))
        }
        StockItem::Cloth(kind) => (None, Some(kind)),
        StockItem::Rod(..) => (None, None),
    };
    let kind = kind.map(|kind| match kind {
        SheetKind::RowCover { weight_g_m2 } => {
            json!({"kind": "row cover", "weight_g_m2": weight_g_m2})
        }
        SheetKind::Film { thickness_um } => json!({"kind": "film", "thickness_um": thickness_um}),
        SheetKind::InsectNet => json!({"kind": "insect net"}),
        SheetKind::ShadeCloth { shade } => json!({"kind": "shade cloth", "shade": shade}),
    });
    (name, kind)
}

fn year(y: &YearBill, kit: &Kit, garden: &Garden) -> Value {
    let met = y.met.iter().map(|c| garden.beds[kit.covers[*c].bed].name.as_str());
    json!({
        "lines": y.lines.iter().map(|l| bill_line(l, garden)).collect::<Vec<_>>(),
        "spent": y.spent,
        "met": met.collect::<Vec<_>>(),
    })
}
