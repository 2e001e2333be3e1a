//! A site's measured weather as evenly spaced means, and the open bed run along it.

use microclimate::black_body::{black_body_temperature_c, emission};
use microclimate::parameters::STEP_S;
use microclimate::real::Real;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::soil::CELLS;
use microclimate::{Bed, Draws, Error, Forcing, Site, State, Stepped, column, sky, step};

/// One interval of measured weather; means over it.
#[derive(Clone, Copy, Debug)]
pub struct Slot {
    /// Air temperature, °C.
    pub air_c: f64,
    /// Vapour pressure, kPa.
    pub vapour_kpa: f64,
    /// Wind, m/s.
    pub wind_m_s: f64,
    /// Sunlight on the level, W/m².
    pub sun_w_m2: f64,
    /// Long-wave from the sky, W/m².
    pub sky_w_m2: f64,
}

impl Slot {
    /// Cloud that makes the model's long-wave the measured one; may lie outside 0 to 1.
    pub fn cloud(&self) -> f64 {
        let at = |c| sky::longwave_w_m2(self.air_c, self.vapour_kpa, c, 0.0);
        (self.sky_w_m2 - at(0.0)) / (at(1.0) - at(0.0))
    }

    fn between<R: Real>(&self, next: &Self, share: f64) -> Forcing<R> {
        let mix = |a: f64, b: f64| R::splat(a + (b - a) * share);
        Forcing {
            air_c: mix(self.air_c, next.air_c),
            vapour_kpa: mix(self.vapour_kpa, next.vapour_kpa),
            wind_m_s: mix(self.wind_m_s, next.wind_m_s),
            sky_w_m2: mix(self.sky_w_m2, next.sky_w_m2),
            sun_w_m2: mix(self.sun_w_m2, next.sun_w_m2),
        }
    }
}

/// What the model says of one interval, means over it.
#[derive(Clone, Copy, Debug)]
pub struct Said<R> {
    /// Ground and leaves by their shares of the view from above, °C.
    pub skin_c: R,
    /// Leaves, °C.
    pub leaf_c: R,
    /// Air among the plants, °C.
    pub air_c: R,
    /// Heat into the ground, W/m².
    pub ground_w_m2: R,
    /// Soil by cell, °C.
    pub soil_c: [R; CELLS],
}

/// Vapour pressure of air at a relative humidity over water, kPa; more than 100 % counts as 100 %.
pub fn vapour_kpa(air_c: f64, humidity_percent: f64) -> f64 {
    saturation_vapour_pressure_kpa(air_c) * humidity_percent.clamp(1.0, 100.0) / 100.0
}

/// Straight lines over the gaps of a record, level before its first and after its last value; `None` where all is a gap.
pub fn bridged(values: &[Option<f64>]) -> Option<Vec<f64>> {
    let known: Vec<(f64, f64)> =
        values.iter().enumerate().filter_map(|(i, v)| Some((i as f64, (*v)?))).collect();
    (!known.is_empty()).then(|| (0..values.len()).map(|i| at_depth(&known, i as f64)).collect())
}

/// What a thermometer that takes every face for black reads of a surface under a sky, °C: (ε σT⁴ + (1 − ε) L)^¼ (Thakur
/// and others 2022, Sci. Rep. 12:8592: leaving the reflected sky out costs 0.5 to 1.5 K).
pub fn brightness_c<R: Real>(surface_c: R, emissivity: f64, sky_w_m2: R) -> R {
    let flux = emission(surface_c).0 * emissivity + sky_w_m2 * (1.0 - emissivity);
    black_body_temperature_c(flux)
}

/// Temperature of a surface of emissivity ε that sends up `up` W/m² under a sky of `sky` W/m², °C.
pub fn surface_c(up: f64, sky: f64, emissivity: f64) -> f64 {
    let emitted = (up - (1.0 - emissivity) * sky) / emissivity;
    black_body_temperature_c(emitted)
}

/// Runs the open bed along the slots, each `slot_s` long, from a soil profile.
pub fn follow<R: Stepped>(
    bed: &Bed,
    draws: &Draws<R>,
    slots: &[Slot],
    slot_s: f64,
    soil_c: [f64; CELLS],
) -> Result<Vec<Said<R>>, Error> {
    let column = column::build(bed, draws);
    let site = Site::new(bed, None, &column, draws);
    let Some(first) = slots.first() else { return Ok(Vec::new()) };
    let mut state =
        State::resting(R::splat(first.air_c), R::splat(first.vapour_kpa), soil_c.map(R::splat));
    let steps = (slot_s / STEP_S).round() as usize;
    let leaves = bed.canopy.ground_cover;
    let mut out = Vec::with_capacity(slots.len());
    for i in 0..slots.len() {
        let zero = R::splat(0.0);
        let mut said = Said {
            skin_c: zero,
            leaf_c: zero,
            air_c: zero,
            ground_w_m2: zero,
            soil_c: [zero; CELLS],
        };
        let before = column.heat_j_m2(&state.soil);
        for k in 0..steps {
            // Means stand at the middles of their slots; a step ends at (k + 1)/steps of its slot.
            let at = i as f64 + (k + 1) as f64 / steps as f64 - 0.5;
            let before = (at.floor().max(0.0) as usize).min(slots.len() - 1);
            let next = (before + 1).min(slots.len() - 1);
            let force = slots[before].between(&slots[next], at.max(0.0) - before as f64);
            step(&site, &force, &mut state)?;
            let share = 1.0 / steps as f64;
            said.skin_c += (state.leaf_c * leaves + state.ground_c * (1.0 - leaves)) * share;
            said.leaf_c += state.leaf_c * share;
            said.air_c += state.air_c * share;
            for (sum, t) in said.soil_c.iter_mut().zip(state.soil.temperature_c) {
                *sum += t * share;
            }
        }
        said.ground_w_m2 = (column.heat_j_m2(&state.soil) - before) / slot_s;
        out.push(said);
    }
    Ok(out)
}

/// The soil profile between known depths and temperatures, °C, straight between them and level beyond.
pub fn profile(depths_m: &[f64; CELLS], known: &[(f64, f64)]) -> [f64; CELLS] {
    depths_m.map(|d| at_depth(known, d))
}

/// Temperature at a depth on the line through `known` (depth m, °C), which must be in order.
pub fn at_depth(known: &[(f64, f64)], depth_m: f64) -> f64 {
    let i = known.partition_point(|k| k.0 <= depth_m);
    match (i.checked_sub(1).and_then(|k| known.get(k)), known.get(i)) {
        (Some(a), Some(b)) => a.1 + (b.1 - a.1) * (depth_m - a.0) / (b.0 - a.0),
        (Some(a), None) => a.1,
        (None, Some(b)) => b.1,
        (None, None) => f64::NAN,
    }
}
