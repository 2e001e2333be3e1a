//! The coupled balance of ground, leaf, air, vapour and cover: residual, slope, Newton steps.

use crate::cover::Cover;
use crate::exchange::Conductances;
use crate::forcing::Forcing;
use crate::moist_air::saturation_and_slope_kpa;
use crate::parameters as p;
use crate::radiation::{Longwave, emission};
use crate::real::Real;
use crate::soil::Response;
use crate::stack::Net;
use crate::state::State;
use crate::step::Site;
use crate::water::Supply;

/// Unknowns in this order; an open bed has the first four, one layer five, two layers six.
const GROUND: usize = 0;
const LEAF: usize = 1;
const AIR: usize = 2;
const VAPOUR: usize = 3;
const INNER: usize = 4;

/// Everything of a step that stands still while the temperatures are sought.
pub struct Balance<'a, R> {
    /// Where.
    pub site: &'a Site<'a, R>,
    /// Weather.
    pub force: &'a Forcing<R>,
    /// State at the start of the step.
    pub start: &'a State<R>,
    /// Long-wave exchange.
    pub longwave: &'a Longwave<R>,
    /// Sunlight taken up.
    pub sun: &'a Net<R>,
    /// Answer of the soil.
    pub response: &'a Response<R>,
    /// Convection and air change.
    pub conductances: Conductances<R>,
    /// Latent-heat conductances.
    pub supply: Supply<R>,
}

/// Heat capacities over the time step, W m⁻² K⁻¹ (vapour: W kPa⁻¹).
#[derive(Clone, Copy, Debug)]
pub struct Stores<R> {
    /// Leaves.
    pub leaf: R,
    /// Air among the plants.
    pub air: R,
    /// Its vapour.
    pub vapour: R,
    /// Each cover node.
    pub cover: R,
}

impl<R: Real> Balance<'_, R> {
    /// Heat capacities of this bed and cover.
    #[must_use]
    pub fn stores(&self) -> Stores<R> {
        let bed = self.site.bed;
        let step_s = self.site.column.step_s();
        let per_gamma = 1.0 / (0.665e-3 * bed.pressure_kpa);
        let (height, mass) = match self.site.cover {
            None => (bed.canopy.height_m.max(0.02), 0.0),
            Some(Cover::Cloth { fabric, shape, .. }) => {
                (shape.mean_height_m.max(0.02), 1900.0 * fabric.mass_kg_m2 * shape.area_ratio)
            }
            // Half of the straw (15 kg/m³ from memory, 1500 J/kg K) belongs to each face.
            Some(Cover::Loose { depth_m, .. }) => (0.03, 0.5 * 15.0 * 1500.0 * depth_m),
        };
        let air = self.conductances.air_capacity * (height / step_s);
        Stores {
            leaf: R::of(4180.0 * p::LEAF_WATER_KG_M2 * bed.canopy.ground_cover / step_s),
            air,
            vapour: air * per_gamma,
            cover: R::of(mass.max(1.0) / step_s),
        }
    }

    /// Residual F and slope ∂F/∂x at `x`, W/m².
    #[inline]
    fn linearise<const N: usize>(&self, x: &[R; N]) -> ([R; N], [[R; N]; N]) {
        let zero = R::of(0.0);
        let (g, v, force) = (&self.conductances, &self.supply, self.force);
        let stores = self.stores();
        let outer = N - 1;
        let mut f = [zero; N];
        let mut j = [[zero; N]; N];

        // Radiation: faces are ground, leaf, inner, outer.
        const FACE: [usize; 4] = [GROUND, LEAF, INNER, INNER + 1];
        let faces = N - 2;
        for a in 0..faces {
            f[FACE[a]] = self.longwave.outside[a] + self.sun[a];
        }
        for b in 0..faces {
            let (s, slope) = emission(x[FACE[b]]);
            for a in 0..faces {
                f[FACE[a]] += self.longwave.columns[b][a] * s;
                j[FACE[a]][FACE[b]] += self.longwave.columns[b][a] * slope;
            }
        }

        // Sensible heat between two nodes, and to the outside.
        let mut link = |a: usize, b: usize, h: R| {
            let q = h * (x[b] - x[a]);
            f[a] += q;
            f[b] -= q;
            j[a][a] -= h;
            j[b][b] -= h;
            j[a][b] += h;
            j[b][a] += h;
        };
        link(GROUND, AIR, g.ground);
        link(LEAF, AIR, g.leaf);
        if N > INNER {
            link(INNER, AIR, g.inner);
            link(LEAF, INNER, g.contact);
            link(outer, AIR, g.recirculated);
        }
        if N > INNER + 1 {
            link(INNER, outer, g.between);
        }
        f[AIR] += g.vent * (force.air_c - x[AIR]);
        j[AIR][AIR] -= g.vent;
        if N > INNER {
            f[outer] += g.outer * (force.air_c - x[outer]);
            j[outer][outer] -= g.outer;
        }

        // Latent heat inside, then on the outer face.
        for (face, node) in [GROUND, LEAF, INNER].into_iter().enumerate().take(N.min(5) - 2) {
            let (es, slope) = saturation_and_slope_kpa(x[node]);
            let c = v.inside[face];
            let e = c * (es - x[VAPOUR]);
            let heat = v.ratio[face];
            f[node] -= heat * e;
            f[VAPOUR] += e;
            j[node][node] -= heat * c * slope;
            j[node][VAPOUR] += heat * c;
            j[VAPOUR][node] += c * slope;
            j[VAPOUR][VAPOUR] -= c;
        }
        f[VAPOUR] += v.vent * (force.vapour_kpa - x[VAPOUR]);
        j[VAPOUR][VAPOUR] -= v.vent;
        if N > INNER {
            let (es, slope) = saturation_and_slope_kpa(x[outer]);
            let c = v.ratio[3] * v.outer;
            f[outer] -= c * (es - force.vapour_kpa);
            j[outer][outer] -= c * slope;
        }

        // Stores.
        f[GROUND] -= self.response.at_zero + self.response.slope * x[GROUND];
        j[GROUND][GROUND] -= self.response.slope;
        let mut keep = |node: usize, c: R, before: R| {
            f[node] -= c * (x[node] - before);
            j[node][node] -= c;
        };
        keep(LEAF, stores.leaf, self.start.leaf_c);
        keep(AIR, stores.air, self.start.air_c);
        keep(VAPOUR, stores.vapour, self.start.vapour_kpa);
        if N > INNER {
            keep(INNER, stores.cover, self.start.inner_c);
        }
        if N > INNER + 1 {
            keep(outer, stores.cover, self.start.outer_c);
        }
        (f, j)
    }

    /// Newton steps from `now` until every residual is below [`p::SOLVED_W_M2`], at most `most`;
    /// returns the greatest residual, W/m².
    pub fn solve(&self, now: &mut State<R>, most: usize) -> f64 {
        match self.site.cover.map_or(0, Cover::nodes) {
            0 => {
                let mut x = [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa];
                let residual = self.newton(&mut x, most);
                [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa] = x;
                residual
            }
            1 => {
                let mut x = [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa, now.inner_c];
                let residual = self.newton(&mut x, most);
                [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa, now.inner_c] = x;
                now.outer_c = now.inner_c;
                residual
            }
            _ => {
                let mut x =
                    [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa, now.inner_c, now.outer_c];
                let residual = self.newton(&mut x, most);
                [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa, now.inner_c, now.outer_c] = x;
                residual
            }
        }
    }

    fn newton<const N: usize>(&self, x: &mut [R; N], most: usize) -> f64 {
        for _ in 0..most {
            let (f, j) = self.linearise(x);
            let worst = f.iter().fold(0.0_f64, |w, r| worse(w, r.abs().max_lane()));
            if worst < p::SOLVED_W_M2 {
                return worst;
            }
            let dx = eliminate(j, f);
            for (x, d) in x.iter_mut().zip(dx) {
                *x -= d;
            }
        }
        let (f, _) = self.linearise(x);
        f.iter().fold(0.0_f64, |w, r| worse(w, r.abs().max_lane()))
    }
}

/// The greater of two, NaN winning.
fn worse(a: f64, b: f64) -> f64 {
    if a.is_nan() || b.is_nan() { f64::NAN } else { a.max(b) }
}

/// Solves J d = F by Gaussian elimination without pivoting: J is diagonally dominant because every
/// exchange appears with its full conductance on the diagonal.
fn eliminate<R: Real, const N: usize>(mut j: [[R; N]; N], mut f: [R; N]) -> [R; N] {
    for k in 0..N {
        let inverse = R::of(1.0) / j[k][k];
        let (pivot, known) = (j[k], f[k]);
        for i in k + 1..N {
            let m = j[i][k] * inverse;
            for (x, above) in j[i].iter_mut().zip(pivot).skip(k + 1) {
                *x -= m * above;
            }
            f[i] -= m * known;
        }
        j[k][k] = inverse;
    }
    for k in (0..N).rev() {
        for c in k + 1..N {
            let known = f[c];
            f[k] -= j[k][c] * known;
        }
        f[k] *= j[k][k];
    }
    f
}
