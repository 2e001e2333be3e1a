//! The year as JSON: days as month-day, shares 0 to 1, one object.

use garden::fit::{Cover as Fits, Placement};
use history::year::autumn::LastPicking as Ends;
use history::year::chores::ChoreKind;
use history::year::development::Absent;
use history::year::spring::SetOut as Sets;
use history::year::winter::{Verdict as Stands, Winter as Survival};
use history::year::{BedYear, CoverPeriod, PlantingYear, WINTER_STRAW_M};
use serde::Serialize;

use super::{Answer, text, word};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold year --json`. Days are month and day, such as `05-03`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Year {
    /// Version of the layout.
    layout: u32,
    garden: String,
    station: Option<String>,
    /// Whether the record has the depth of snow.
    snow_measured: bool,
    /// Years it rests on.
    years: Vec<i16>,
    years_left_out: usize,
    /// Chance of harm that is taken, 0 to 1.
    risk: f64,
    beds: Vec<Bed>,
    chores: Vec<Chore>,
    proof: Proof,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Chore {
    what: &'static str,
    from: String,
    to: String,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Bed {
    bed: String,
    covers: Vec<Cover>,
    plantings: Vec<Planting>,
    carried: Vec<Carried>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cover {
    lie: &'static str,
    /// Name of the sheet or pop-up tunnel.
    item: Option<String>,
    layers: u32,
    pieces: u32,
}

/// What the hoops carry.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Carried {
    what: &'static str,
    from: String,
    to: String,
    in_shed: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Planting {
    crop: Option<&'static str>,
    /// Open, then each cover.
    set_out: Vec<SetOut>,
    set_out_absent: Option<&'static str>,
    last_picking: Vec<LastPicking>,
    last_picking_absent: Option<&'static str>,
    winter: Option<Winter>,
    winter_absent: Option<&'static str>,
    pests: Vec<Pest>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct SetOut {
    /// Index into the bed's `covers`; null: open.
    cover: Option<usize>,
    /// At the risk that is taken.
    earliest: Option<String>,
    earliest_5_to_95: Option<[String; 2]>,
    waits_for_warmth: bool,
    fit_to_set_out: Option<String>,
    /// Grown under that cover.
    first_picking: Option<String>,
    /// Begun the same day without it.
    first_picking_grown_open: Option<String>,
    last_picking_by_growth: Option<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct LastPicking {
    /// Index into the bed's `covers`; null: open.
    cover: Option<usize>,
    last_picking_median: Option<String>,
    last_picking_at_risk: Option<String>,
    days_gained: f64,
    pickings_gained_rough: f64,
    root: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Winter {
    verdict: &'static str,
    /// Index into the bed's `covers`.
    cover: Option<usize>,
    winters: usize,
    share_of_winters_stood: Vec<Stood>,
    under_deep_straw: Option<Straw>,
}

/// Shares, 0 to 1.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Stood {
    cover: Option<usize>,
    tops: Option<f64>,
    roots: Option<f64>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Straw {
    depth_m: f64,
    roots: f64,
    takes_m3: f64,
    have: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Pest {
    pest: &'static str,
    first_flight: Option<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    worst_residual_w_m2: f64,
    steps_of_sixteen_years: usize,
}

/// The whole answer.
pub fn layout(a: &Answer) -> Year {
    let chores = a.year.chores.iter().map(|c| Chore {
        what: match c.what {
            ChoreKind::Voles => "voles, weekly",
            ChoreKind::Snow => "snow, daily",
            ChoreKind::StoredCloth => "stored cloth, monthly",
        },
        from: day(a, c.days.start),
        to: day(a, c.days.end - 1),
    });
    Year {
        layout: LAYOUT,
        garden: a.garden.name.clone(),
        station: a.station.clone(),
        snow_measured: a.snow,
        years: a.year.years.clone(),
        years_left_out: a.left_out,
        risk: a.year.risk,
        beds: a.year.beds.iter().map(|b| bed(a, b)).collect(),
        chores: chores.collect(),
        proof: Proof {
            worst_residual_w_m2: a.stats.residual_w_m2,
            steps_of_sixteen_years: a.stats.steps,
        },
    }
}

fn day(a: &Answer, index: usize) -> String {
    a.date(index, 2001).strftime("%m-%d").to_string()
}

fn bed(a: &Answer, b: &BedYear) -> Bed {
    let carried = |c: &CoverPeriod| Carried {
        what: word(c.what),
        from: day(a, c.days.start),
        to: day(a, c.days.end - 1),
        in_shed: c.have,
    };
    Bed {
        bed: a.garden.beds[b.bed].name.clone(),
        covers: b.covers.iter().map(|c| cover(a, c)).collect(),
        plantings: b.plantings.iter().map(|p| planting(a, b, p)).collect(),
        carried: b.cover_periods.iter().map(carried).collect(),
    }
}

fn cover(a: &Answer, c: &Fits) -> Cover {
    let lie = match c.lie {
        Placement::LowTunnel { .. } => "low tunnel",
        Placement::Floating => "floating cover",
        Placement::Drape => "drape",
        Placement::PopUp { .. } => "pop-up tunnel",
        Placement::LooseMulch { .. } => "loose mulch",
    };
    let item = text::item(&a.garden, c).map(str::to_owned);
    Cover { lie, item, layers: c.layers, pieces: c.pieces }
}

fn planting(a: &Answer, b: &BedYear, p: &PlantingYear) -> Planting {
    let set_out = p.spring.iter().flatten().enumerate().map(|(i, r)| set_out(a, i, r));
    let last_picking = p.autumn.iter().flatten().enumerate().map(|(i, r)| last_picking(a, i, r));
    let pest = |(pest, flight): &(&'static str, Option<usize>)| Pest {
        pest,
        first_flight: flight.map(|d| day(a, d)),
    };
    let crop = a.garden.beds[b.bed].plantings.get(p.planting);
    Planting {
        crop: crop.map(|p| garden::crops::name(p.crop)),
        set_out: set_out.collect(),
        set_out_absent: p.spring.as_ref().err().map(|e| absent(*e)),
        last_picking: last_picking.collect(),
        last_picking_absent: p.autumn.as_ref().err().map(|e| absent(*e)),
        winter: p.winter.as_ref().ok().map(winter),
        winter_absent: p.winter.as_ref().err().map(|e| absent(*e)),
        pests: p.pests.iter().map(pest).collect(),
    }
}

fn set_out(a: &Answer, way: usize, r: &Sets) -> SetOut {
    let dated = |d: Option<usize>| d.map(|d| day(a, d));
    SetOut {
        cover: way.checked_sub(1),
        earliest: dated(r.day),
        earliest_5_to_95: r
            .interval
            .map(|i| [day(a, i.low.round() as usize), day(a, i.high.round() as usize)]),
        waits_for_warmth: r.waits_for_warmth,
        fit_to_set_out: dated(r.fit_to_set_out),
        first_picking: dated(r.first_picking),
        first_picking_grown_open: dated(r.first_picking_open),
        last_picking_by_growth: dated(r.last_picking),
    }
}

fn last_picking(a: &Answer, way: usize, r: &Ends) -> LastPicking {
    let dated = |d: Option<usize>| d.map(|d| day(a, d));
    LastPicking {
        cover: way.checked_sub(1),
        last_picking_median: dated(r.day),
        last_picking_at_risk: dated(r.early),
        days_gained: r.days_gained,
        pickings_gained_rough: r.pickings_gained,
        root: r.root,
    }
}

fn winter(w: &Survival) -> Winter {
    let (verdict, cover) = match w.verdict {
        Stands::Open => ("open", None),
        Stands::Under(c) => ("under cover", Some(c)),
        Stands::Straw => ("under straw", None),
        Stands::No => ("no", None),
    };
    let stood = w.stood.iter().enumerate();
    Winter {
        verdict,
        cover,
        winters: w.winters,
        share_of_winters_stood: stood
            .map(|(i, (tops, roots))| Stood { cover: i.checked_sub(1), tops: *tops, roots: *roots })
            .collect(),
        under_deep_straw: w.straw.map(|s| Straw {
            depth_m: WINTER_STRAW_M,
            roots: s.roots,
            takes_m3: s.takes_m3,
            have: s.have,
        }),
    }
}

fn absent(why: Absent) -> &'static str {
    match why {
        Absent::NoGrowth => "growth not known",
        Absent::NoLimits => "cold limits not known",
        Absent::Perennial => "stands for years",
        Absent::NotCarried => "not usually carried over",
        Absent::PickedInSummer => "picked in summer",
        Absent::NoWinters => "no two years in a row",
    }
}
