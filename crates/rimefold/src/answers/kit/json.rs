//! The kit as JSON: SI units, the garden's own money, days as month and day.

use garden::Garden;
use garden::need::Wanted;
use purchase::kit::{self, Outcome as Ends, Settings, Why, YearBill};
use serde::Serialize;

use super::goods_json::{BillLine, Cloth, cloth};
use super::names::month_day;
use super::sheet_value::Estimate;
use super::sheet_value::json::{self as sheet_value, Worth};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold kit --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Kit {
    /// Version of the layout.
    layout: u32,
    garden: String,
    budget_a_year: Option<f64>,
    /// Years over which it may be bought.
    years_given: u32,
    /// `money`, or `m2` where a price is missing.
    counted_in: &'static str,
    covers: Vec<Cover>,
    sheets: Vec<Sheet>,
    hoops: Vec<Hoops>,
    hoops_without_rod_on_offer: Vec<String>,
    hoops_standing: Vec<String>,
    pins: Small,
    clips: Small,
    /// The bill of each year.
    years: Vec<Year>,
    cost: Cost,
    proof: Proof,
    /// What sheets would have saved; null without a station's record.
    worth: Option<Worth>,
}

/// A need of a bed and what came of it.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cover {
    bed: String,
    kind: &'static str,
    least: Option<Least>,
    /// Month and day.
    from: String,
    to: String,
    outcome: Outcome,
}

#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Least {
    RowCover { least_g_m2: f64 },
    ShadeCloth { least_shade: f64 },
}

#[derive(Serialize)]
#[serde(untagged)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Outcome {
    /// `sheet` is an index into `sheets`, `year` the first year with it.
    Met {
        met: bool,
        sheet: usize,
        pieces: u32,
        year: usize,
    },
    Unmet {
        met: bool,
        why: &'static str,
    },
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Sheet {
    /// Name of a sheet in the shed; null: to cut.
    in_shed: Option<String>,
    cloth: Option<Cloth>,
    width_m: f64,
    length_m: f64,
    count: u32,
    /// How many it would take if no bed shared.
    unshared: u32,
    beds: Vec<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Hoops {
    length_m: f64,
    count: u32,
    beds: Vec<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Small {
    wanted: u32,
    there: u32,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Year {
    lines: Vec<BillLine>,
    spent: f64,
    /// Beds covered from then on.
    met: Vec<String>,
}

/// In what `counted_in` says.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cost {
    paid: f64,
    a_season: f64,
    used_a_season: f64,
    without_budget: Option<f64>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    /// No kit costs less a season.
    at_least: f64,
    gap: f64,
    /// Null: the order of buying is not proven best.
    years_gap: Option<f64>,
}

/// The whole kit.
pub fn layout(
    kit: &kit::Kit,
    garden: &Garden,
    settings: Settings,
    estimate: Option<&Estimate>,
) -> Kit {
    let names = |beds: &[usize]| -> Vec<String> {
        beds.iter().map(|b| garden.beds[*b].name.clone()).collect()
    };
    let hoops = kit.hoops.iter().map(|h| Hoops {
        length_m: h.length_m,
        count: h.count,
        beds: names(&h.users),
    });
    let cost = &kit.cost;
    Kit {
        layout: LAYOUT,
        garden: garden.name.clone(),
        budget_a_year: settings.budget,
        years_given: settings.years,
        counted_in: if cost.by_area { "m2" } else { "money" },
        covers: kit.covers.iter().map(|c| cover(c, garden)).collect(),
        sheets: kit.sheets.iter().map(|p| sheet(p, kit, garden)).collect(),
        hoops: hoops.collect(),
        hoops_without_rod_on_offer: names(&kit.no_rod),
        hoops_standing: names(&kit.standing),
        pins: Small { wanted: kit.pins, there: garden.stock.hold_downs() },
        clips: Small { wanted: kit.clips, there: garden.stock.clips },
        years: kit.years.iter().map(|y| year(y, kit, garden)).collect(),
        cost: Cost {
            paid: cost.paid,
            a_season: cost.a_season,
            used_a_season: cost.used_a_season,
            without_budget: cost.without_budget,
        },
        proof: Proof { at_least: cost.at_least, gap: cost.gap, years_gap: cost.years_gap },
        worth: estimate.map(|e| sheet_value::layout(e, garden)),
    }
}

fn cover(c: &kit::Cover, garden: &Garden) -> Cover {
    let (kind, least) = match c.need.wanted {
        Wanted::RowCover { least_g_m2 } => ("row cover", Some(Least::RowCover { least_g_m2 })),
        Wanted::Film => ("film", None),
        Wanted::InsectNet => ("insect net", None),
        Wanted::ShadeCloth { least_shade } => {
            ("shade cloth", Some(Least::ShadeCloth { least_shade }))
        }
    };
    Cover {
        bed: garden.beds[c.bed].name.clone(),
        kind,
        least,
        from: month_day(c.need.from_day),
        to: month_day(c.need.to_day),
        outcome: match c.outcome {
            Ends::Met { sheet, pieces, year } => Outcome::Met { met: true, sheet, pieces, year },
            Ends::Unmet(why) => Outcome::Unmet { met: false, why: word(why) },
        },
    }
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

fn sheet(p: &kit::Piece, kit: &kit::Kit, garden: &Garden) -> Sheet {
    let (in_shed, cloth) = cloth(p.thing, garden);
    Sheet {
        in_shed,
        cloth,
        width_m: p.width_m,
        length_m: p.length_m,
        count: p.count,
        unshared: p.unshared,
        beds: beds_of(&p.users, kit, garden),
    }
}

fn year(y: &YearBill, kit: &kit::Kit, garden: &Garden) -> Year {
    Year {
        lines: y.lines.iter().map(|l| BillLine::new(l, garden)).collect(),
        spent: y.spent,
        met: beds_of(&y.met, kit, garden),
    }
}

/// Beds of some of the kit's covers.
fn beds_of(covers: &[usize], kit: &kit::Kit, garden: &Garden) -> Vec<String> {
    covers.iter().map(|c| garden.beds[kit.covers[*c].bed].name.clone()).collect()
}
