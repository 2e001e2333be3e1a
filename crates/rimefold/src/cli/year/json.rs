//! The year as JSON: days as month-day, shares 0 to 1, one object.

use garden::fit::{Cover, Placement};
use history::year::chores::ChoreKind;
use history::year::development::Absent;
use history::year::winter::{Verdict, Winter};
use history::year::{BedYear, CoverKind, CoverPeriod, PlantingYear, WINTER_STRAW_M};
use serde_json::{Value, json};

use super::Answer;

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The whole answer.
pub fn write(a: &Answer) -> String {
    let chores = a.year.chores.iter().map(|c| {
        let what = match c.what {
            ChoreKind::Voles => "voles, weekly",
            ChoreKind::Snow => "snow, daily",
            ChoreKind::StoredCloth => "stored cloth, monthly",
        };
        json!({ "what": what, "from": day(a, c.days.start), "to": day(a, c.days.end - 1) })
    });
    let value = json!({
        "layout": LAYOUT,
        "garden": a.garden.name,
        "station": a.station,
        "snow_measured": a.snow,
        "years": a.year.years,
        "years_left_out": a.left_out,
        "risk": a.year.risk,
        "beds": a.year.beds.iter().map(|b| bed(a, b)).collect::<Vec<_>>(),
        "chores": chores.collect::<Vec<_>>(),
        "proof": {
            "worst_residual_w_m2": a.stats.residual_w_m2,
            "steps_of_sixteen_years": a.stats.steps,
        },
    });
    format!("{value:#}\n")
}

fn day(a: &Answer, index: usize) -> String {
    a.date(index, 2001).strftime("%m-%d").to_string()
}

fn bed(a: &Answer, b: &BedYear) -> Value {
    let carried = |c: &CoverPeriod| {
        let what = match c.what {
            CoverKind::Cloth => "cloth",
            CoverKind::WinterCloth => "winter cloth",
            CoverKind::Net => "insect net",
            CoverKind::Shade => "shade cloth",
        };
        json!({
            "what": what, "from": day(a, c.days.start), "to": day(a, c.days.end - 1), "in_shed": c.have,
        })
    };
    json!({
        "bed": a.garden.beds[b.bed].name,
        "covers": b.covers.iter().map(|c| cover(a, c)).collect::<Vec<_>>(),
        "plantings": b.plantings.iter().map(|p| planting(a, b, p)).collect::<Vec<_>>(),
        "carried": b.cover_periods.iter().map(carried).collect::<Vec<_>>(),
    })
}

fn cover(a: &Answer, c: &Cover) -> Value {
    let lie = match c.lie {
        Placement::LowTunnel { .. } => "low tunnel",
        Placement::Floating => "floating cover",
        Placement::Drape => "drape",
        Placement::PopUp { .. } => "pop-up tunnel",
        Placement::LooseMulch { .. } => "loose mulch",
    };
    json!({ "lie": lie, "item": super::text::item(&a.garden, c), "layers": c.layers, "pieces": c.pieces })
}

fn planting(a: &Answer, b: &BedYear, p: &PlantingYear) -> Value {
    let dated = |d: Option<usize>| d.map(|d| day(a, d));
    let spring = p.spring.as_ref().map(|rows| {
        let row = |(i, r): (usize, &history::year::spring::SetOut)| {
            json!({
                "cover": i.checked_sub(1),
                "earliest": dated(r.day),
                "earliest_5_to_95": r.interval.map(|i| [day(a, i.low.round() as usize), day(a, i.high.round() as usize)]),
                "waits_for_warmth": r.waits_for_warmth,
                "fit_to_set_out": dated(r.fit_to_set_out),
                "first_picking": dated(r.first_picking),
                "first_picking_grown_open": dated(r.first_picking_open),
                "last_picking_by_growth": dated(r.last_picking),
            })
        };
        rows.iter().enumerate().map(row).collect::<Vec<_>>()
    });
    let autumn = p.autumn.as_ref().map(|rows| {
        let row = |(i, r): (usize, &history::year::autumn::LastPicking)| {
            json!({
                "cover": i.checked_sub(1),
                "last_picking_median": dated(r.day),
                "last_picking_at_risk": dated(r.early),
                "days_gained": r.days_gained,
                "pickings_gained_rough": r.pickings_gained,
                "root": r.root,
            })
        };
        rows.iter().enumerate().map(row).collect::<Vec<_>>()
    });
    let pests = p.pests.iter().map(|(name, d)| json!({"pest": name, "first_flight": dated(*d)}));
    let crop = a.garden.beds[b.bed].plantings.get(p.planting).map(|p| garden::crops::name(p.crop));
    json!({
        "crop": crop,
        "set_out": spring.unwrap_or_default(),
        "set_out_absent": p.spring.as_ref().err().map(|e| key(*e)),
        "last_picking": autumn.unwrap_or_default(),
        "last_picking_absent": p.autumn.as_ref().err().map(|e| key(*e)),
        "winter": p.winter.as_ref().ok().map(winter),
        "winter_absent": p.winter.as_ref().err().map(|e| key(*e)),
        "pests": pests.collect::<Vec<_>>(),
    })
}

fn winter(w: &Winter) -> Value {
    let (verdict, cover) = match w.verdict {
        Verdict::Open => ("open", None),
        Verdict::Under(c) => ("under cover", Some(c)),
        Verdict::Straw => ("under straw", None),
        Verdict::No => ("no", None),
    };
    let stood =
        w.stood.iter().enumerate().map(
            |(i, (tops, roots))| json!({"cover": i.checked_sub(1), "tops": tops, "roots": roots}),
        );
    json!({
        "verdict": verdict,
        "cover": cover,
        "winters": w.winters,
        "share_of_winters_stood": stood.collect::<Vec<_>>(),
        "under_deep_straw": w.straw.map(|s| json!({
            "depth_m": WINTER_STRAW_M, "roots": s.roots, "takes_m3": s.takes_m3, "have": s.have,
        })),
    })
}

fn key(why: Absent) -> &'static str {
    match why {
        Absent::NoGrowth => "growth not known",
        Absent::NoLimits => "cold limits not known",
        Absent::Perennial => "stands for years",
        Absent::NotCarried => "not usually carried over",
        Absent::NoWinters => "no two years in a row",
    }
}
