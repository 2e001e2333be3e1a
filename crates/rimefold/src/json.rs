//! The report as JSON: SI units, UTC times, one object. Documented in `docs/json.md`.

use evening::report::{OptionReport, Outcome, Reason, Report, Spread, TemperatureSeries};
use garden::Garden;
use garden::fit::{Item, Placement};
use jiff::Timestamp;
use quantities::Moment;
use serde_json::{Value, json};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The whole report, for a file.
pub fn write(r: &Report, garden: &Garden) -> String {
    format!("{:#}\n", value(r, garden))
}

/// The whole report.
pub fn value(r: &Report, garden: &Garden) -> Value {
    let beds: Vec<Value> = r
        .beds
        .iter()
        .map(|b| {
            json!({
                "bed": b.bed,
                "planting": b.planting,
                "limit_c": b.limit_c,
                "open": outcome(&b.open),
                "chosen": b.chosen,
                "reason": reason(&b.reason),
                "in_soil": b.in_soil,
                "open_course": course(&b.open_temperatures),
                "covered_course": b.covered_temperatures.as_ref().map(course),
                "options": b.options.iter().map(|o| option(o, garden)).collect::<Vec<_>>(),
            })
        })
        .collect();
    json!({
        "layout": LAYOUT,
        "garden": r.garden,
        "asked_at": time(r.asked_at),
        "sunset": time(r.sun.sunset),
        "dark": time(r.sun.dark),
        "sunrise": time(r.sun.sunrise),
        "weather": {
            "source": r.weather.source,
            "issued": r.weather.issued.map(time),
            "forecast_low_c": r.weather.forecast_low_c,
            "forecast_low_at": time(r.weather.forecast_low_at),
            "garden_low_c": spread(&r.weather.garden_low_c),
            "air_course": course(&r.weather.air_temperatures),
            "wind_m_s": r.weather.wind_m_s,
            "gust_m_s": r.weather.gust_m_s,
            "cloud": r.weather.cloud,
            "driver": format!("{:?}", r.weather.driver),
            "snow_m": r.weather.snow_m,
            "notices": r.weather.notices,
            "doubts": r.weather.doubts,
            "nights": r.weather.members,
            "seed": r.weather.seed,
        },
        "beds": beds,
        "work": r.work.iter().map(|t| json!({
            "bed": r.beds[t.bed].bed, "minutes": t.minutes, "walk_minutes": t.walk_minutes, "by": time(t.by),
        })).collect::<Vec<_>>(),
        "minutes_available": r.minutes_available,
        "minutes_needed": r.minutes_needed,
        "short_lists": r.short_lists.iter().map(|s| json!({
            "minutes": s.minutes,
            "beds": s.beds.iter().map(|b| &r.beds[*b].bed).collect::<Vec<_>>(),
            "options": s.options,
            "expected_loss": s.expected_loss,
        })).collect::<Vec<_>>(),
        "morning": r.morning.iter().map(|m| json!({
            "bed": r.beds[m.bed].bed, "action": format!("{:?}", m.action), "from": m.from.map(time),
            "by": time(m.by), "why": format!("{:?}", m.why),
        })).collect::<Vec<_>>(),
        "warnings": r.warnings.iter().map(|w| json!({"kind": format!("{:?}", w.kind), "beds": w.beds})).collect::<Vec<_>>(),
        "proof": {
            "plan_cost": r.proof.plan_cost,
            "do_nothing_cost": r.proof.do_nothing_cost,
            "greedy_cost": r.proof.greedy_cost,
            "gap": r.proof.gap,
            "worst_residual_w_m2": r.proof.worst_residual_w_m2,
            "bed_hours": r.proof.bed_hours,
        },
    })
}

fn option(o: &OptionReport, garden: &Garden) -> Value {
    let uses: Vec<Value> = o
        .cover
        .uses
        .iter()
        .map(|(item, n)| {
            let name = match item {
                Item::Sheet(i) => garden.stock.sheets.get(*i).map_or("?", |s| &s.name),
                Item::PopUp(i) => garden.stock.pop_ups.get(*i).map_or("?", |p| &p.name),
                Item::Pins => "pins",
                Item::Clips => "clips",
                Item::LooseMulchLitres => "loose mulch, litres",
            };
            json!({"item": name, "count": n})
        })
        .collect();
    let lie = match o.cover.lie {
        Placement::LowTunnel { .. } => "low tunnel",
        Placement::Floating => "floating cover",
        Placement::Drape => "drape",
        Placement::PopUp { .. } => "pop-up tunnel",
        Placement::LooseMulch { .. } => "loose mulch",
    };
    json!({
        "cover": lie,
        "layers": o.cover.layers,
        "pieces": o.cover.pieces,
        "skirt_m": o.cover.skirt_m,
        "roll_up": o.cover.roll_up,
        "minutes": o.cover.minutes,
        "claim_k": o.cover.claim_k,
        "uses": uses,
        "outcome": outcome(&o.outcome),
        "leaf_gain_k": spread(&o.leaf_gain_k),
        "air_gain_k": spread(&o.air_gain_k),
    })
}

fn outcome(o: &Outcome) -> Value {
    json!({
        "leaf_low_c": spread(&o.leaf_low_c),
        "air_low_c": spread(&o.air_low_c),
        "chance_of_harm": o.chance_of_harm,
        "expected_loss": o.expected_loss,
        "reaches_limit_at": o.reaches_limit_at.map(time),
    })
}

fn reason(r: &Reason) -> Value {
    match r {
        Reason::Bare => json!({"kind": "bare"}),
        Reason::SafeOpen { margin_k } => json!({"kind": "safe open", "margin_k": margin_k}),
        Reason::NotWorthIt { saves, costs } => {
            json!({"kind": "not worth it", "saves": saves, "costs": costs})
        }
        Reason::NoCoverFits => json!({"kind": "no cover fits"}),
        Reason::StockUsedElsewhere { loss } => {
            json!({"kind": "stock used elsewhere", "loss": loss})
        }
        Reason::Cover { saves, driver } => {
            json!({"kind": "cover", "saves": saves, "driver": format!("{driver:?}")})
        }
    }
}

fn spread(s: &Spread) -> Value {
    json!({"p10": s.p10, "p50": s.p50, "p90": s.p90})
}

fn course(c: &TemperatureSeries) -> Value {
    let each: Vec<Value> = c.half_hours.iter().map(spread).collect();
    json!({"start": time(c.start), "half_hours_c": each})
}

fn time(m: Moment) -> String {
    Timestamp::from_second(m.0).unwrap_or_default().to_string()
}
