//! From a forecast just read and a plan just made to what the diary keeps of them.

use evening::report::{BedReport, Driver, Outcome, Report};
use garden::Garden;
use garden::bed::Bed;
use garden::fit::{Cover, Item};
use jiff::tz::TimeZone;
use quantities::Moment;
use weather::Forecast;

use crate::answers::tonight::json;
use crate::diary::id::Id;
use crate::diary::kept::{KeptForecast, Plan, Said, forecasts, plans};
use crate::diary::{Diary, night};
use crate::digest;
use crate::exit::Failure;

/// A forecast to keep: the bytes it was read from.
pub fn forecast(bytes: Vec<u8>, read: &Forecast, read_at: Moment) -> KeptForecast {
    KeptForecast {
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
) -> Result<(Plan, Vec<Said>), Failure> {
    let zone = TimeZone::get(&report.zone).unwrap_or(TimeZone::UTC);
    let plan = Plan {
        id: Id::random()?,
        asked_at: report.asked_at,
        written,
        night: night::of_sunset(report.sun.sunset, &zone),
        dark: report.sun.dark,
        sunrise: report.sun.sunrise,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        model: evening::MODEL,
        forecast,
        forecast_low_c: report.weather.forecast_low_c,
        garden_low_c: report.weather.garden_low_c,
        wind_m_s: report.weather.wind_m_s,
        cloud: report.weather.cloud,
        clear_calm: report.weather.driver == Driver::ClearCalm,
        tasks: u32::try_from(report.work.len()).unwrap_or(u32::MAX),
        report: serde_json::to_value(json::layout(report, None, garden))
            .map_err(Failure::bug)?
            .to_string(),
    };
    let beds = report.beds.iter().zip(&garden.beds);
    let said = beds.flat_map(|(said, bed)| ways(&plan.id, said, bed, garden)).collect();
    Ok((plan, said))
}

/// The bed left as it lies, then each cover.
fn ways(plan: &Id, report: &BedReport, bed: &Bed, garden: &Garden) -> Vec<Said> {
    let said = |way: usize, cover: Option<String>, layers, pieces, outcome: &Outcome| Said {
        plan: plan.clone(),
        bed: report.bed.clone(),
        way: u32::try_from(way).unwrap_or(u32::MAX),
        cover,
        layers,
        pieces,
        chosen: report.chosen.map_or(0, |c| c + 1) == way,
        limit_c: report.limit_c,
        chance_of_harm: outcome.chance_of_harm,
        air_low_c: outcome.air_low_c,
        leaf_low_c: outcome.leaf_low_c,
    };
    let left = bed.on_now.filter(|on| on.left_on);
    let left_name = left.and_then(|on| garden.stock.sheets.get(on.sheet)).map(|s| s.name.clone());
    let as_it_lies =
        said(0, left_name, left.map_or(0, |on| on.layers), u32::from(left.is_some()), &report.open);
    let covered = report.options.iter().enumerate().map(|(i, o)| {
        let name = Some(name(&o.cover, garden));
        said(i + 1, name, o.cover.layers, o.cover.pieces, &o.outcome)
    });
    std::iter::once(as_it_lies).chain(covered).collect()
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

impl Diary {
    /// Keeps a plan and the forecast behind it, both or neither; a forecast that is kept already is not kept twice.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn keep(
        &mut self,
        forecast: Option<&KeptForecast>,
        plan: &Plan,
        said: &[Said],
    ) -> Result<(), Failure> {
        self.write(|db| {
            if let Some(f) = forecast
                && !forecasts::there(db, &f.sha256)?
            {
                forecasts::insert(db, f)?;
            }
            plans::insert(db, plan)?;
            said.iter().try_for_each(|s| plans::insert_said(db, s))
        })
    }
}
