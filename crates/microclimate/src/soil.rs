//! Heat in the ground: conduction through mulch and soil, with freezing.

use crate::real::Real;

/// Number of cells of the column.
pub const CELLS: usize = 15;

/// One cell of the ground, per member.
#[derive(Clone, Copy, Debug)]
pub struct Cell<R> {
    /// Thickness Δz, m.
    pub thickness_m: f64,
    /// Conductivity k, W m⁻¹ K⁻¹.
    pub conductivity: R,
    /// Volumetric heat capacity C, J m⁻³ K⁻¹.
    pub capacity: R,
    /// Water that can freeze, kg/m².
    pub water_kg_m2: R,
}

/// The column with its implicit step worked out once for a fixed time step.
///
/// Backward Euler: C Δz (T' − T)/Δt = g_above (T'_above − T') − g_below (T' − T'_below), no flux below
/// the last cell; eliminated from the bottom up, so that the flux into the ground is linear in
/// the surface temperature: G = g₀ (Ts − T'₀), T'₀ = m₀ + w₀ Ts.
/// Checked by `laws::a_soil_wave_is_damped_as_the_analytic_one`.
#[derive(Clone, Debug)]
pub struct Column<R> {
    cells: [Cell<R>; CELLS],
    /// Conductance above each cell, W m⁻² K⁻¹; the first one to the surface.
    above: [R; CELLS],
    /// C Δz / Δt of each cell.
    store: [R; CELLS],
    /// 1 / pivot of each cell in the bottom-up elimination.
    inverse: [R; CELLS],
}

/// Temperatures and ice of the column.
#[derive(Clone, Copy, Debug)]
pub struct ColumnState<R> {
    /// °C, from the top down.
    pub temperature_c: [R; CELLS],
    /// Ice, kg/m².
    pub ice_kg_m2: [R; CELLS],
}

/// How the ground answers to a surface temperature in this step: T'₀ = at_zero + per_kelvin · Ts.
#[derive(Clone, Copy, Debug)]
pub struct Response<R> {
    /// g₀, W m⁻² K⁻¹.
    pub conductance: R,
    /// Slope of the heat flux into the ground, ∂G/∂Ts.
    pub slope: R,
    /// Heat flux into the ground at Ts = 0 °C, W/m².
    pub at_zero: R,
    partial: [R; CELLS],
}

/// Latent heat of fusion, J/kg.
const FUSION: f64 = 3.337e5;

impl<R: Real> Column<R> {
    /// Works out the elimination for time steps of `step_s`.
    #[must_use]
    pub fn new(cells: [Cell<R>; CELLS], step_s: f64) -> Self {
        let zero = R::of(0.0);
        let half = |c: &Cell<R>| R::of(0.5 * c.thickness_m) / c.conductivity;
        let mut above = [zero; CELLS];
        above[0] = R::of(1.0) / half(&cells[0]);
        for i in 1..CELLS {
            above[i] = R::of(1.0) / (half(&cells[i - 1]) + half(&cells[i]));
        }
        let store = std::array::from_fn(|i| cells[i].capacity * (cells[i].thickness_m / step_s));
        let mut inverse = [zero; CELLS];
        for i in (0..CELLS).rev() {
            let mut pivot = store[i] + above[i];
            if i + 1 < CELLS {
                pivot += above[i + 1] * (R::of(1.0) - above[i + 1] * inverse[i + 1]);
            }
            inverse[i] = R::of(1.0) / pivot;
        }
        Self { cells, above, store, inverse }
    }

    /// The linear answer of the ground in this step.
    #[must_use]
    pub fn respond(&self, state: &ColumnState<R>) -> Response<R> {
        let mut partial = [R::of(0.0); CELLS];
        let mut from_below = R::of(0.0);
        for i in (0..CELLS).rev() {
            partial[i] = (self.store[i] * state.temperature_c[i] + from_below) * self.inverse[i];
            from_below = self.above[i] * partial[i];
        }
        let g = self.above[0];
        Response {
            conductance: g,
            slope: g * (R::of(1.0) - g * self.inverse[0]),
            at_zero: -(g * partial[0]),
            partial,
        }
    }

    /// Moves the column to the end of the step under the surface temperature that was found.
    pub fn advance(&self, state: &mut ColumnState<R>, response: &Response<R>, surface_c: R) {
        let mut above_c = surface_c;
        for i in 0..CELLS {
            let t = response.partial[i] + self.above[i] * self.inverse[i] * above_c;
            state.temperature_c[i] = t;
            above_c = t;
        }
        for i in 0..CELLS {
            self.freeze_or_thaw(i, state);
        }
    }

    /// Water freezes while the cell is below 0 °C and ice melts while it is above, at constant heat content.
    fn freeze_or_thaw(&self, i: usize, state: &mut ColumnState<R>) {
        let zero = R::of(0.0);
        let capacity = self.cells[i].capacity * self.cells[i].thickness_m;
        let t = state.temperature_c[i];
        let liquid = (self.cells[i].water_kg_m2 - state.ice_kg_m2[i]).max(zero);
        let wanted = -(capacity * t) / FUSION;
        let change = wanted.min(liquid).max(-state.ice_kg_m2[i]);
        state.ice_kg_m2[i] += change;
        state.temperature_c[i] = t + change * FUSION / capacity;
    }

    /// Heat held by the column relative to water at 0 °C, J/m².
    #[must_use]
    pub fn heat_j_m2(&self, state: &ColumnState<R>) -> R {
        let mut sum = R::of(0.0);
        for (i, cell) in self.cells.iter().enumerate() {
            sum += cell.capacity * cell.thickness_m * state.temperature_c[i];
            sum -= state.ice_kg_m2[i] * FUSION;
        }
        sum
    }
}

/// Cell thicknesses that grow from `first_m` at the top to a total of `total_m`, geometric.
#[must_use]
pub fn thicknesses(first_m: f64, total_m: f64, count: usize) -> Vec<f64> {
    let sum = |q: f64| (0..count).map(|i| first_m * q.powi(i as i32)).sum::<f64>();
    let (mut low, mut high) = (1.0, 3.0);
    for _ in 0..60 {
        let q = 0.5 * (low + high);
        if sum(q) < total_m {
            low = q;
        } else {
            high = q;
        }
    }
    (0..count).map(|i| first_m * low.powi(i as i32)).collect()
}
