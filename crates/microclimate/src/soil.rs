//! Heat in the ground: conduction through mulch and soil, with freezing.

use crate::constants::FUSION_J_KG;
use crate::parameters as p;
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
/// Equation 18 of docs/science.md.
#[derive(Clone, Debug)]
pub struct Column<R> {
    cells: [Cell<R>; CELLS],
    /// Conductance above each cell, W m⁻² K⁻¹; the first one to the surface.
    above: [R; CELLS],
    /// C Δz / Δt of each cell.
    store: [R; CELLS],
    /// Its inverse.
    per_store: [R; CELLS],
    /// 1 / pivot of each cell in the bottom-up elimination, none held.
    inverse: [R; CELLS],
    step_s: f64,
    /// Share of the ground that snow whitens.
    snow_cover: R,
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
    /// 1 / pivot with the cells that are held.
    inverse: [R; CELLS],
}

impl<R: Real> Column<R> {
    /// Works out the elimination for time steps of `step_s`.
    #[must_use]
    pub fn new(cells: [Cell<R>; CELLS], step_s: f64) -> Self {
        let zero = R::splat(0.0);
        let half = |c: &Cell<R>| R::splat(0.5 * c.thickness_m) / c.conductivity;
        let mut above = [zero; CELLS];
        above[0] = R::splat(1.0) / half(&cells[0]);
        for i in 1..CELLS {
            above[i] = R::splat(1.0) / (half(&cells[i - 1]) + half(&cells[i]));
        }
        let store = std::array::from_fn(|i| cells[i].capacity * (cells[i].thickness_m / step_s));
        let mut inverse = [zero; CELLS];
        eliminate(&store, &above, &[zero; CELLS], &mut inverse);
        let per_store = store.map(|s| R::splat(1.0) / s);
        Self { cells, above, store, per_store, inverse, step_s, snow_cover: zero }
    }

    /// The same ground under plants whose lower layers resist the flow of heat, m² K/W: R = m/7, m = −ln(1 − f) − f, the layers
    /// of leaves that the sky does not see. The ground surface is then the upmost of them.
    /// Checked by `laws::more_plant_cover_never_gives_more_ground_heat`.
    /// Equation 96 of docs/science.md.
    #[must_use]
    pub fn under_plants(self, resistance_m2_k_w: f64) -> Self {
        self.resisting(R::splat(resistance_m2_k_w))
    }

    /// One more resistance above the first cell, m² K/W.
    fn resisting(mut self, resistance: R) -> Self {
        let one = R::splat(1.0);
        self.above[0] = one / (one / self.above[0] + resistance);
        eliminate(&self.store, &self.above, &[R::splat(0.0); CELLS], &mut self.inverse);
        self
    }

    /// The same ground under settled snow `depth_m` deep, m; 0 leaves it as it is.
    ///
    /// Snow is a resistance d/k above the first cell, k = 0.2 W m⁻¹ K⁻¹; its own heat and its melting are not counted. The
    /// ground surface is then the snow's, and white from [`p::FULL_SNOW_M`] up. Checked by
    /// `laws::snow_keeps_the_soil_warm_and_whitens_the_ground`.
    /// Equation 65 of docs/science.md.
    #[must_use]
    pub fn under_snow(&self, depth_m: R) -> Self {
        let depth_m = depth_m.max(R::splat(0.0));
        let mut out = self.clone().resisting(depth_m / p::SNOW_W_M_K);
        out.snow_cover = (depth_m / p::FULL_SNOW_M).min(R::splat(1.0));
        out
    }

    /// Share of the ground that snow whitens, 0 to 1.
    #[must_use]
    #[inline(always)]
    pub fn snow_cover(&self) -> R {
        self.snow_cover
    }

    /// Time step, s.
    #[must_use]
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// The linear answer of the ground in this step; `ahead` is its ice at the end as far as it can be foreseen, kg/m².
    ///
    /// A cell that will hold both ice and water is held at 0 °C; one that will have frozen or thawed to the end gets the
    /// heat of that with its old temperature, T + L (ice' − ice)/(C Δz).
    #[inline(always)]
    #[must_use]
    pub fn respond(&self, state: &ColumnState<R>, ahead: &[R; CELLS]) -> Response<R> {
        let zero = R::splat(0.0);
        let mut out = Response {
            conductance: self.above[0],
            slope: zero,
            at_zero: zero,
            partial: [zero; CELLS],
            inverse: self.inverse,
        };
        self.answer(state, ahead, &mut out);
        out
    }

    #[inline(always)]
    fn answer(&self, state: &ColumnState<R>, ahead: &[R; CELLS], out: &mut Response<R>) {
        let zero = R::splat(0.0);
        out.inverse = self.inverse;
        let mut any = zero;
        for (i, ice) in ahead.iter().enumerate() {
            any += self.mixed(i, *ice);
        }
        if any.max_lane() > 0.0 {
            let mut held = [zero; CELLS];
            for (i, ice) in ahead.iter().enumerate() {
                held[i] = self.mixed(i, *ice);
            }
            eliminate(&self.store, &self.above, &held, &mut out.inverse);
        }
        let mut from_below = zero;
        for i in (0..CELLS).rev() {
            let fused = (ahead[i] - state.ice_kg_m2[i]) * (FUSION_J_KG / self.step_s);
            let kept = self.store[i] * state.temperature_c[i] + fused;
            out.partial[i] = (kept + from_below) * out.inverse[i];
            from_below = self.above[i] * out.partial[i];
        }
        let g = self.above[0];
        out.slope = g * (R::splat(1.0) - g * out.inverse[0]);
        out.at_zero = -(g * out.partial[0]);
    }

    /// Answers once more, with the ice foreseen under the estimated surface temperature; `answer` is the one with the ice of
    /// the start, and holds where neither ground nor surface reaches 0 °C: heat flow alone makes no new extremes.
    #[inline(always)]
    pub fn look_ahead(&self, state: &ColumnState<R>, answer: &mut Response<R>, surface_c: R) {
        let (mut coldest, mut ice) = (surface_c, R::splat(0.0));
        for i in 0..CELLS {
            coldest = coldest.min(state.temperature_c[i]);
            ice += state.ice_kg_m2[i];
        }
        if (-coldest).max_lane() < 0.0 && ice.max_lane() <= 0.0 {
            return;
        }
        let ahead = self.foresee(state, answer, surface_c);
        self.answer(state, &ahead, answer);
    }

    /// 1 where cell `i` with this ice holds both ice and water, else 0.
    #[inline(always)]
    fn mixed(&self, i: usize, ice: R) -> R {
        let (zero, one) = (R::splat(0.0), R::splat(1.0));
        R::select_lt(zero, ice, R::select_lt(ice, self.cells[i].water_kg_m2, one, zero), zero)
    }

    /// Moves the column on under a surface that `surface_c` finds from the column's answer, looking ahead once for cells
    /// that freeze or thaw; returns the heat that went in, W/m².
    pub fn drive(
        &self,
        state: &mut ColumnState<R>,
        mut surface_c: impl FnMut(&Response<R>) -> R,
    ) -> R {
        let mut response = self.respond(state, &state.ice_kg_m2);
        let estimate = surface_c(&response);
        self.look_ahead(state, &mut response, estimate);
        let surface = surface_c(&response);
        self.advance(state, &response, surface);
        response.at_zero + response.slope * surface
    }

    /// Ice at the end of the step under a surface temperature, kg/m².
    #[inline(always)]
    #[must_use]
    pub fn foresee(
        &self,
        state: &ColumnState<R>,
        response: &Response<R>,
        surface_c: R,
    ) -> [R; CELLS] {
        let mut ice = state.ice_kg_m2;
        self.each_gain(
            response,
            surface_c,
            #[inline(always)]
            |i, flux| {
                ice[i] = self.settle(i, state.temperature_c[i], ice[i], flux).1;
            },
        );
        ice
    }

    /// Moves the column to the end of the step under a surface temperature; returns what its cells then hold more than before,
    /// C Δz (T' − T) − L (ice' − ice), J/m².
    #[inline(always)]
    pub fn advance(&self, state: &mut ColumnState<R>, response: &Response<R>, surface_c: R) -> R {
        let mut gained = R::splat(0.0);
        self.each_gain(
            response,
            surface_c,
            #[inline(always)]
            |i, flux| {
                let (before, frozen) = (state.temperature_c[i], state.ice_kg_m2[i]);
                let (after, ice) = self.settle(i, before, frozen, flux);
                gained += self.store[i] * (after - before) * self.step_s;
                gained += (frozen - ice) * FUSION_J_KG;
                (state.temperature_c[i], state.ice_kg_m2[i]) = (after, ice);
            },
        );
        gained
    }

    /// Heat that every cell gains, W/m², told to `cell` from the top down.
    #[inline(always)]
    fn each_gain(&self, response: &Response<R>, surface_c: R, mut cell: impl FnMut(usize, R)) {
        let (mut above_c, mut into) = (surface_c, R::splat(0.0));
        for i in 0..CELLS {
            let new = response.partial[i] + self.above[i] * response.inverse[i] * above_c;
            let flux = self.above[i] * (above_c - new);
            if i > 0 {
                cell(i - 1, into - flux);
            }
            (above_c, into) = (new, flux);
        }
        cell(CELLS - 1, into);
    }

    /// Temperature and ice of a cell after a heat flux for the length of the step: water freezes while the cell is
    /// below 0 °C and ice melts while it is above, at constant heat content.
    #[inline(always)]
    fn settle(&self, i: usize, celsius: R, ice: R, flux: R) -> (R, R) {
        let t = celsius + flux * self.per_store[i];
        let liquid = (self.cells[i].water_kg_m2 - ice).max(R::splat(0.0));
        let wanted = -(self.store[i] * (self.step_s / FUSION_J_KG) * t);
        let change = wanted.min(liquid).max(-ice);
        (t + change * self.per_store[i] * (FUSION_J_KG / self.step_s), ice + change)
    }

    /// Heat held by the column relative to water at 0 °C, J/m².
    #[must_use]
    #[inline(always)]
    pub fn heat_j_m2(&self, state: &ColumnState<R>) -> R {
        let mut sum = R::splat(0.0);
        for i in 0..CELLS {
            sum += self.store[i] * state.temperature_c[i] * self.step_s;
            sum -= state.ice_kg_m2[i] * FUSION_J_KG;
        }
        sum
    }
}

/// 1 / pivot of each cell from the bottom up, into `inverse`; 0 for a cell that is held at 0 °C.
#[inline(always)]
fn eliminate<R: Real>(
    store: &[R; CELLS],
    above: &[R; CELLS],
    held: &[R; CELLS],
    inverse: &mut [R; CELLS],
) {
    let one = R::splat(1.0);
    for i in (0..CELLS).rev() {
        let mut pivot = store[i] + above[i];
        if i + 1 < CELLS {
            pivot += above[i + 1] * (one - above[i + 1] * inverse[i + 1]);
        }
        inverse[i] = (one - held[i]) / pivot;
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
