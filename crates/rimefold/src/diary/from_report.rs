//! From a forecast just read and a plan just made to what the diary keeps of them.

use diary::entry::Placement;
use diary::forecasts::SavedForecast;
use diary::night;
use diary::predictions::Prediction;
use diary::saved_plans::SavedPlan;
use evening::report::{BedReport, Driver, Outcome, Report};
use garden::Garden;
use garden::fit::{self, Cover, Item};
use jiff::tz::TimeZone;
use quantities::Moment;
use weather::Forecast;

use crate::answers::tonight::json;
use crate::diary::new_id;
use crate::digest;
use crate::exit::Failure;

/// A forecast to keep: the bytes it was read from.
pub fn forecast(bytes: Vec<u8>, read: &Forecast, read_at: Moment) -> SavedForecast {
    SavedForecast {
        sha256: digest::sha256(&bytes),
        source: read.source.to_owned(),
        issued: read.issued,
        read_at,
        bytes,
    }
}

/// A plan to keep, with what it said of each bed; `forecast` is the SHA-256 of the forecast behind it.
///
/// # Errors
/// The system gives no random bytes for its name.
pub fn plan(
    report: &Report,
    garden: &Garden,
    forecast: Option<String>,
    written: Moment,
) -> Result<(SavedPlan, Vec<Prediction>), Failure> {
    let zone = TimeZone::get(&report.zone).unwrap_or(TimeZone::UTC);
    let plan = SavedPlan {
        id: new_id()?,
        asked_at: report.asked_at,
        written,
        night: night::of_sunset(report.sun.sunset, &zone),
        dark: report.sun.dark,
        sunrise: report.sun.sunrise,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        model: evening::MODEL,
        forecast,
        forecast_low_c: report.weather.forecast_low_c,
        garden_low_p10_c: report.weather.garden_low_c.p10,
        garden_low_p50_c: report.weather.garden_low_c.p50,
        garden_low_p90_c: report.weather.garden_low_c.p90,
        wind_m_s: report.weather.wind_m_s,
        cloud: report.weather.cloud,
        clear_calm: report.weather.driver == Driver::ClearCalm,
        tasks: u32::try_from(report.work.len()).unwrap_or(u32::MAX),
        report: serde_json::to_value(json::layout(report, None, garden))
            .map_err(Failure::bug)?
            .to_string(),
    };
    let beds = report.beds.iter().enumerate();
    let predictions = beds
        .flat_map(|(n, said)| {
            let task = report.work.iter().position(|t| t.bed == n).map(|t| whole(t + 1));
            ways(&plan, said, task, garden)
        })
        .collect();
    Ok((plan, predictions))
}

fn whole(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

/// The bed left as it lies, then each cover; `task` lays the one that was chosen.
fn ways(
    plan: &SavedPlan,
    report: &BedReport,
    task: Option<u32>,
    garden: &Garden,
) -> Vec<Prediction> {
    let chosen = report.chosen.map_or(0, |c| c + 1);
    let said = |way: usize, cover: Option<String>, layers, pieces, outcome: &Outcome| Prediction {
        plan: plan.id.clone(),
        bed: report.bed.clone(),
        way: whole(way),
        cover,
        layers,
        pieces,
        chosen: chosen == way,
        limit_c: report.limit_c,
        chance_of_harm: outcome.chance_of_harm,
        air_p10_c: outcome.air_low_c.p10,
        air_p50_c: outcome.air_low_c.p50,
        air_p90_c: outcome.air_low_c.p90,
        leaf_p10_c: outcome.leaf_low_c.p10,
        leaf_p50_c: outcome.leaf_low_c.p50,
        leaf_p90_c: outcome.leaf_low_c.p90,
        placement: None,
        task: None,
        taught_k: None,
    };
    let left = report.lies.iter().find(|l| l.against_cold()).map(|l| &l.cover);
    let as_it_lies = said(
        0,
        left.map(|c| name(c, garden)),
        left.map_or(0, |c| c.layers),
        left.map_or(0, |c| c.pieces),
        &report.open,
    );
    let as_it_lies = Prediction { taught_k: Some(report.taught_k), ..as_it_lies };
    let covered = report.options.iter().enumerate().map(|(i, o)| {
        let name = Some(name(&o.cover, garden));
        let said = said(i + 1, name, o.cover.layers, o.cover.pieces, &o.outcome);
        let task = task.filter(|_| said.chosen);
        let taught_k = Some(o.taught_k);
        Prediction { placement: Some(placement(&o.cover)), task, taught_k, ..said }
    });
    std::iter::once(as_it_lies).chain(covered).collect()
}

/// How a cover lies, as the diary tells it.
pub fn placement(cover: &Cover) -> Placement {
    match cover.lie {
        fit::Placement::LowTunnel { .. } => Placement::LowTunnel,
        fit::Placement::Floating => Placement::Floating,
        fit::Placement::Drape => Placement::Drape,
        fit::Placement::PopUp { .. } => Placement::PopUp,
        fit::Placement::LooseMulch { .. } => Placement::LooseMulch,
    }
}

/// The grower's name of what a cover is made of.
fn name(cover: &Cover, garden: &Garden) -> String {
    let named = |item: &Item| match item {
        Item::Sheet(i) => garden.stock.sheets.get(*i).map(|s| s.name.clone()),
        Item::PopUp(i) => garden.stock.pop_ups.get(*i).map(|p| p.name.clone()),
        _ => None,
    };
    cover.uses.iter().find_map(|(item, _)| named(item)).unwrap_or_else(|| "loose mulch".into())
}
