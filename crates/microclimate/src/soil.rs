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
/// the surface temperature: G = g₀ (Ts − T'₀), T'₀ = m₀ + w₀ Ts. A cell that holds both ice and water is held at
/// 0 °C in the elimination; then the fluxes move the heat content C Δz T − L ice, from which temperature and ice follow.
/// Checked by `laws::a_soil_wave_is_damped_as_the_analytic_one`, `laws::freezing_conserves_heat` and, against the
/// analytic freezing front, by `checks/references/soil.py`.
#[derive(Clone, Debug)]
pub struct Column<R> {
    cells: [Cell<R>; CELLS],
    /// Conductance above each cell, W m⁻² K⁻¹; the first one to the surface.
    above: [R; CELLS],
    /// C Δz / Δt of each cell.
    store: [R; CELLS],
    /// 1 / pivot of each cell in the bottom-up elimination, none held.
    inverse: [R; CELLS],
    step_s: f64,
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
    inverse: [R; CELLS],
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
        let inverse = eliminate(&store, &above, &[zero; CELLS]);
        Self { cells, above, store, inverse, step_s }
    }

    /// Time step, s.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// The linear answer of the ground in this step; `ahead` is the state of the column as far as it can be foreseen.
    ///
    /// A cell that will hold both ice and water is held at 0 °C; one that will have frozen or thawed to the end gets the
    /// heat of that with its old temperature, T + L (ice' − ice)/(C Δz).
    #[must_use]
    pub fn respond(&self, state: &ColumnState<R>, ahead: &ColumnState<R>) -> Response<R> {
        let held: [R; CELLS] = std::array::from_fn(|i| self.mixed(i, ahead));
        let inverse = if held.iter().any(|h| h.max_lane() > 0.0) {
            eliminate(&self.store, &self.above, &held)
        } else {
            self.inverse
        };
        let mut partial = [R::of(0.0); CELLS];
        let mut from_below = R::of(0.0);
        for i in (0..CELLS).rev() {
            let fused = (ahead.ice_kg_m2[i] - state.ice_kg_m2[i]) * (FUSION / self.step_s);
            let kept = self.store[i] * state.temperature_c[i] + fused;
            partial[i] = (kept + from_below) * inverse[i];
            from_below = self.above[i] * partial[i];
        }
        let g = self.above[0];
        Response {
            conductance: g,
            slope: g * (R::of(1.0) - g * inverse[0]),
            at_zero: -(g * partial[0]),
            partial,
            inverse,
        }
    }

    /// 1 where the cell holds both ice and water, else 0.
    fn mixed(&self, i: usize, state: &ColumnState<R>) -> R {
        let (zero, one) = (R::of(0.0), R::of(1.0));
        let (ice, water) = (state.ice_kg_m2[i], self.cells[i].water_kg_m2);
        R::select_lt(zero, ice, R::select_lt(ice, water, one, zero), zero)
    }

    /// Moves the column on under a surface that `surface_c` finds from the column's answer, looking ahead once for cells
    /// that freeze or thaw; returns the heat that went in, W/m².
    pub fn drive(
        &self,
        state: &mut ColumnState<R>,
        mut surface_c: impl FnMut(&Response<R>) -> R,
    ) -> R {
        let first = self.respond(state, state);
        let ahead = self.advanced(state, &first, surface_c(&first));
        let response = self.respond(state, &ahead);
        let surface = surface_c(&response);
        *state = self.advanced(state, &response, surface);
        response.at_zero + response.slope * surface
    }

    /// Where the column gets to under a surface temperature.
    #[must_use]
    pub fn advanced(
        &self,
        state: &ColumnState<R>,
        response: &Response<R>,
        surface_c: R,
    ) -> ColumnState<R> {
        let mut above_c = surface_c;
        let new: [R; CELLS] = std::array::from_fn(|i| {
            above_c = response.partial[i] + self.above[i] * response.inverse[i] * above_c;
            above_c
        });
        let mut out = *state;
        let mut down = self.above[0] * (surface_c - new[0]);
        for i in 0..CELLS {
            let lost =
                if i + 1 < CELLS { self.above[i + 1] * (new[i] - new[i + 1]) } else { R::of(0.0) };
            out.temperature_c[i] += (down - lost) / self.store[i];
            self.freeze_or_thaw(i, &mut out);
            down = lost;
        }
        out
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

/// 1 / pivot of each cell from the bottom up; 0 for a cell that is held at 0 °C.
fn eliminate<R: Real>(store: &[R; CELLS], above: &[R; CELLS], held: &[R; CELLS]) -> [R; CELLS] {
    let one = R::of(1.0);
    let mut inverse = [R::of(0.0); CELLS];
    for i in (0..CELLS).rev() {
        let mut pivot = store[i] + above[i];
        if i + 1 < CELLS {
            pivot += above[i + 1] * (one - above[i + 1] * inverse[i + 1]);
        }
        inverse[i] = (one - held[i]) / pivot;
    }
    inverse
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
