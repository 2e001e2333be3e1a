//! What a day under a cover costs: growth for want of light, heat, flowers that no bee reaches.

use garden::bed::Bed;
use garden::crops;
use garden::growth::{self, Day};
use garden::lying::Opening;
use garden::planting::{Planting, Start};

use crate::constants::BEES_FLY_C;
use crate::steps::hours;

/// Share of a planting lost to an hour one kelvin above its heat limit (from memory, rough): film left shut on a sunny
/// day, 20 K over for five hours, loses all; cloth on a warm afternoon, 3 K over for three, a tenth.
const LOST_PER_KELVIN_HOUR: f64 = 0.01;
/// Days that a planting's flowers come and set over (common practice, no source: strawberry three weeks, tree fruit less).
const BLOOM_DAYS: f64 = 20.0;
/// Hours of flight that set all of a day's flowers (from memory, rough).
const FLIGHT_WANTED_H: f64 = 4.0;
/// Share of the bees that find in by open ends (from memory, rough).
const BEES_BY_ENDS: f64 = 0.5;

/// A day under a cover, step by step from sunrise to sunset.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct DayUnder {
    /// Air among the plants, °C.
    pub inside_c: Vec<f64>,
    /// Air outside, °C.
    pub outside_c: Vec<f64>,
    /// Lowest air outside since the evening, °C.
    pub night_low_c: f64,
    /// Sunrise to sunset, h.
    pub day_length_h: f64,
    /// Share of the light that comes through.
    pub light_share: f64,
    /// Share of the bees that come in.
    pub bees: f64,
}

/// Share of the bees that come in to what lies over a bed; all where it lies to one side.
#[must_use]
pub fn bees_by(opening: Opening) -> f64 {
    match opening {
        Opening::Shut => 0.0,
        Opening::EndsOpen => BEES_BY_ENDS,
        Opening::HalfOff => 1.0,
    }
}

/// Whether bees fly in such air, °C.
#[must_use]
pub fn bees_fly(air_c: f64) -> bool {
    air_c >= BEES_FLY_C
}

/// Money that a bed loses by a day under a cover, all plantings together.
#[must_use]
pub fn of_bed(bed: &Bed, day: &DayUnder) -> f64 {
    bed.plantings.iter().map(|p| cost(p, day)).sum()
}

/// Money that a planting loses by a day under a cover, light, heat and bees together; at most its worth.
///
/// Checked by `week::a_day_under_cover_costs_what_it_should`.
/// Equation 89 of docs/science.md.
#[must_use]
pub fn cost(planting: &Planting, day: &DayUnder) -> f64 {
    (light(planting, day) + heat(planting, day) + bees(planting, day)).min(planting.worth)
}

/// Growth lost for want of light, money; warmth under the cover counts against it, a gain is not counted.
///
/// worth (G_open − G_under)/G_picking, G degree-days slowed by short days and dim light (rows 55, 56, 58 of
/// docs/science.md). That worth grows evenly with degree-days is assumed (from memory).
/// Checked by `week::a_day_under_cover_costs_what_it_should`.
#[must_use]
pub fn light(planting: &Planting, day: &DayUnder) -> f64 {
    let Some(growth) = growth::crop_growth(planting.crop) else { return 0.0 };
    let start = match planting.start {
        Start::DirectSown => growth::Start::Sown,
        Start::Transplant => growth::Start::SetOut,
    };
    let own = growth.start.and_then(|s| growth.to_picking(s));
    let Some(to_picking) = growth.to_picking(start).or(own) else { return 0.0 };
    let most = |x: &[f64]| x.iter().copied().fold(day.night_low_c, f64::max);
    let of = |tmax: f64, light_share: f64| {
        let day_length_h = day.day_length_h;
        Day { tmin_c: Some(day.night_low_c), tmax_c: Some(tmax), day_length_h, light_share }
            .growth(&growth)
            .unwrap_or(0.0)
    };
    let lost = of(most(&day.outside_c), 1.0) - of(most(&day.inside_c), day.light_share);
    planting.worth * (lost / to_picking).clamp(0.0, 1.0)
}

/// Harm by heat beyond what the open bed would suffer, money.
///
/// worth · 0.01 per K h of Σ (T_in − limit)⁺ − (T_out − limit)⁺, at most the worth; T in °C.
/// Checked by `week::a_day_under_cover_costs_what_it_should`.
#[must_use]
pub fn heat(planting: &Planting, day: &DayUnder) -> f64 {
    let limit = crops::heat_limit_c(planting.crop);
    let over = |x: &[f64]| x.iter().map(|t| (t - limit).max(0.0)).sum::<f64>() * hours(1);
    let more = over(&day.inside_c) - over(&day.outside_c);
    planting.worth * (LOST_PER_KELVIN_HOUR * more).clamp(0.0, 1.0)
}

/// Set lost by flowers that bees do not reach, money; nought for what needs none, or on a day too cold to fly.
///
/// worth/20 · min(1, hours at 10 °C or more ÷ 4) · (1 − share of bees that come in); common practice, no source.
/// Checked by `week::a_day_under_cover_costs_what_it_should`.
#[must_use]
pub fn bees(planting: &Planting, day: &DayUnder) -> f64 {
    if !crops::needs_bees(planting.crop, planting.stage) {
        return 0.0;
    }
    let flight = hours(day.outside_c.iter().filter(|t| bees_fly(**t)).count());
    planting.worth / BLOOM_DAYS * (flight / FLIGHT_WANTED_H).min(1.0) * (1.0 - day.bees)
}
