//! What sheets would have saved, for programs.

use garden::Garden;
use history::sheet_value::report::{self as saved, Mean, Saved as Saves};
use serde::Serialize;

use super::Estimate;
use crate::answers::kit::goods_json::{BillLine, Cloth, cloth};

/// The member `worth` of the answer of `rimefold kit --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Worth {
    station: Option<String>,
    /// Years of record.
    years: Vec<i16>,
    /// `forecast`: each evening decides by its forecast, not by the night.
    decided_by: &'static str,
    hoops: &'static str,
    sheets: Vec<Sheet>,
    /// Null where a price is missing.
    set: Option<Set>,
    residual_w_m2: f64,
}

/// One sheet alone on its bed.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Sheet {
    bed: String,
    /// Name of a sheet in the shed.
    in_shed: Option<String>,
    cloth: Option<Cloth>,
    width_m: f64,
    length_m: f64,
    pieces: u32,
    saves_a_year: Saved,
    evenings_a_year: f64,
}

/// Money a year.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Saved {
    mean: f64,
    tenth_under: f64,
    tenth_over: f64,
}

/// The best set to buy.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Set {
    /// In all.
    budget: Option<f64>,
    lines: Vec<BillLine>,
    pieces: Vec<Piece>,
    paid: f64,
    a_season: f64,
    /// By the evening plan beyond the shed alone, before its cost a season.
    saves_a_year: Saved,
    /// What the program counts after that cost.
    counted_net: f64,
    /// What no set counted so exceeds.
    counted_net_at_most: f64,
    mean_year: MeanYears,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Piece {
    cloth: Option<Cloth>,
    width_m: f64,
    length_m: f64,
    count: u32,
    beds: Vec<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct MeanYears {
    shed_alone: MeanYear,
    with_the_set: MeanYear,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct MeanYear {
    loss: f64,
    labour: f64,
    evenings: f64,
    nights_short: f64,
}

/// The member `worth`.
pub fn layout(e: &Estimate, garden: &Garden) -> Worth {
    Worth {
        station: e.station.clone(),
        years: e.worth.years.clone(),
        decided_by: "forecast",
        hoops: "taken to stand",
        sheets: e.worth.sheets.iter().map(|s| sheet(s, garden)).collect(),
        set: e.worth.set.as_ref().map(|s| set(s, garden)),
        residual_w_m2: e.worth.stats.residual_w_m2,
    }
}

fn sheet(s: &saved::Sheet, garden: &Garden) -> Sheet {
    let (in_shed, cloth) = cloth(s.thing, garden);
    Sheet {
        bed: garden.beds[s.bed].name.clone(),
        in_shed,
        cloth,
        width_m: s.width_m,
        length_m: s.length_m,
        pieces: s.pieces,
        saves_a_year: saves(&s.saved),
        evenings_a_year: s.evenings,
    }
}

fn set(s: &saved::Set, garden: &Garden) -> Set {
    let piece = |p: &saved::Piece| Piece {
        cloth: cloth(p.thing, garden).1,
        width_m: p.width_m,
        length_m: p.length_m,
        count: p.count,
        beds: p.beds.iter().map(|b| garden.beds[*b].name.clone()).collect(),
    };
    Set {
        budget: s.budget,
        lines: s.lines.iter().map(|l| BillLine::new(l, garden)).collect(),
        pieces: s.pieces.iter().map(piece).collect(),
        paid: s.paid,
        a_season: s.a_season,
        saves_a_year: saves(&s.saved),
        counted_net: s.net,
        counted_net_at_most: s.at_most,
        mean_year: MeanYears { shed_alone: mean(&s.shed), with_the_set: mean(&s.with) },
    }
}

fn saves(s: &Saves) -> Saved {
    Saved { mean: s.mean, tenth_under: s.low, tenth_over: s.high }
}

fn mean(m: &Mean) -> MeanYear {
    MeanYear { loss: m.loss, labour: m.labour, evenings: m.evenings, nights_short: m.short }
}
