//! The coupled balance of ground, leaf, air, vapour and cover: residual, slope, Newton steps.

use quantities::moist_air::psychrometric_constant_kpa_k;

use crate::black_body::emission;
use crate::conductances::{Conductances, conductances};
use crate::constants as c;
use crate::cover::Cover;
use crate::forcing::Forcing;
use crate::latent_heat::{LatentConductances, Saturation, latent_conductances};
use crate::parameters as p;
use crate::radiation::Longwave;
use crate::radiosity::NetRadiation;
use crate::real::Real;
use crate::site::Site;
use crate::soil::Response;
use crate::state::{NodeTemperatures, Nodes, State};
use crate::written_out::written_out;

/// Unknowns in this order; an open bed has the first four, one layer five, two layers six.
const GROUND: usize = 0;
const LEAF: usize = 1;
const AIR: usize = 2;
const VAPOUR: usize = 3;
const INNER: usize = 4;

/// Everything of a step that stands still while the temperatures are sought.
pub struct EnergyBalance<'a, R> {
    /// Where.
    pub site: &'a Site<'a, R>,
    /// Weather.
    pub force: &'a Forcing<R>,
    /// Temperatures and vapour at the start of the step.
    pub start: &'a Nodes<R>,
    /// Long-wave exchange.
    pub longwave: &'a Longwave<R>,
    /// Sunlight taken up.
    pub sun: &'a NetRadiation<R>,
    /// Answer of the soil.
    pub response: &'a Response<R>,
    /// Convection and air change.
    pub conductances: Conductances<R>,
    /// Latent-heat conductances.
    pub latent: LatentConductances<R>,
    /// Heat capacities over the time step.
    pub stores: HeatCapacities<R>,
}

/// Heat capacities over the time step, W m⁻² K⁻¹ (vapour: W kPa⁻¹).
#[derive(Clone, Copy, Debug)]
pub struct HeatCapacities<R> {
    /// Leaves.
    pub leaf: R,
    /// Air among the plants.
    pub air: R,
    /// Its vapour.
    pub vapour: R,
    /// Each cover node.
    pub cover: R,
}

impl<R: Real> HeatCapacities<R> {
    /// Heat capacities of this bed and cover, with air of `air_capacity` J m⁻³ K⁻¹.
    #[inline(always)]
    fn new(site: &Site<'_, R>, air_capacity: R) -> Self {
        let (bed, step_s) = (site.bed, site.column.step_s());
        let per_gamma = 1.0 / (psychrometric_constant_kpa_k(bed.pressure_kpa));
        let (height, mass) = match site.cover {
            None => (bed.canopy.height_m.max(p::LEAST_AIR_HEIGHT_M), 0.0),
            Some(Cover::Cloth { fabric, shape, .. }) => (
                shape.mean_height_m.max(p::LEAST_AIR_HEIGHT_M),
                c::POLYMER_SPECIFIC_HEAT_J_KG_K * fabric.mass_kg_m2 * shape.area_ratio,
            ),
            Some(Cover::Loose { depth_m, .. }) => (
                p::AIR_UNDER_STRAW_M,
                p::FACE_SHARE * c::STRAW_DENSITY_KG_M3 * c::STRAW_SPECIFIC_HEAT_J_KG_K * depth_m,
            ),
        };
        let air = air_capacity * (height / step_s);
        Self {
            leaf: R::splat(
                c::WATER_SPECIFIC_HEAT_J_KG_K * p::LEAF_WATER_KG_M2 * bed.canopy.ground_cover
                    / step_s,
            ),
            air,
            vapour: air * per_gamma,
            cover: R::splat(mass.max(p::LEAST_COVER_CAPACITY_J_M2_K) / step_s),
        }
    }
}

impl<'a, R: Real> EnergyBalance<'a, R> {
    /// The balance of a step with conductances and water supply as they are at the temperatures `now`.
    #[inline(always)]
    #[must_use]
    #[expect(clippy::too_many_arguments, reason = "all that stands still in a step, named once")]
    pub fn at(
        site: &'a Site<'a, R>,
        force: &'a Forcing<R>,
        state: &State<R>,
        start: &'a Nodes<R>,
        (now, saturation): (&Nodes<R>, &Saturation<R>),
        longwave: &'a Longwave<R>,
        sun: &'a NetRadiation<R>,
        response: &'a Response<R>,
    ) -> Self {
        let warmth = NodeTemperatures {
            ground: now.ground_c,
            leaf: now.leaf_c,
            air: now.air_c,
            inner: now.inner_c,
            outer: now.outer_c,
            outside: force.air_c,
        };
        let conductances = conductances(site, force, &warmth);
        let latent = latent_conductances(site, force, state, (now, saturation), &conductances);
        let stores = HeatCapacities::new(site, conductances.air_capacity);
        Self { site, force, start, longwave, sun, response, conductances, latent, stores }
    }

    /// Residual F and, where asked for, slope ∂F/∂x at `x`, W/m², into `f` and `j`, which hold zeros.
    #[inline(always)]
    fn linearise<const N: usize, const SLOPE: bool>(
        &self,
        x: &[R; N],
        saturation: &Saturation<R>,
        f: &mut [R; N],
        j: &mut [[R; N]; N],
    ) {
        let (g, v, force) = (&self.conductances, &self.latent, self.force);
        let stores = &self.stores;
        let outer = N - 1;

        // Radiation: faces are ground, leaf, inner, outer.
        const FACE: [usize; 4] = [GROUND, LEAF, INNER, INNER + 1];
        let faces = N - 2;
        written_out!(a of 0 1 2 3 below faces, {
            f[FACE[a]] = self.longwave.outside[a] + self.sun[a];
        });
        written_out!(b of 0 1 2 3 below faces, {
            let (s, slope) = emission(x[FACE[b]]);
            written_out!(a of 0 1 2 3 below faces, {
                f[FACE[a]] += self.longwave.columns[b][a] * s;
                if SLOPE {
                    j[FACE[a]][FACE[b]] += self.longwave.columns[b][a] * slope;
                }
            });
        });

        // Sensible heat between two nodes, and to the outside.
        link::<R, N, SLOPE>(f, j, x, (GROUND, AIR), g.ground);
        link::<R, N, SLOPE>(f, j, x, (LEAF, AIR), g.leaf);
        if N > INNER {
            link::<R, N, SLOPE>(f, j, x, (INNER, AIR), g.inner);
            link::<R, N, SLOPE>(f, j, x, (LEAF, INNER), g.contact);
            link::<R, N, SLOPE>(f, j, x, (outer, AIR), g.recirculated);
        }
        if N > INNER + 1 {
            link::<R, N, SLOPE>(f, j, x, (INNER, outer), g.between);
        }
        f[AIR] += g.vent * (force.air_c - x[AIR]);
        j[AIR][AIR] -= g.vent;
        if N > INNER {
            f[outer] += g.outer * (force.air_c - x[outer]);
            j[outer][outer] -= g.outer;
        }

        // Latent heat inside, then on the outer face.
        written_out!(face of 0 1 2 below N.min(5) - 2, {
            let node = [GROUND, LEAF, INNER][face];
            let (es, slope) = (saturation.kpa[face], saturation.slope[face]);
            let c = v.inside[face];
            let e = c * (es - x[VAPOUR]);
            let heat = v.ratio[face];
            f[node] -= heat * e;
            f[VAPOUR] += e;
            if SLOPE {
                j[node][node] -= heat * c * slope;
                j[node][VAPOUR] += heat * c;
                j[VAPOUR][node] += c * slope;
                j[VAPOUR][VAPOUR] -= c;
            }
        });
        f[VAPOUR] += v.vent * (force.vapour_kpa - x[VAPOUR]);
        j[VAPOUR][VAPOUR] -= v.vent;
        if N > INNER {
            let (es, slope) = (saturation.kpa[3], saturation.slope[3]);
            let c = v.ratio[3] * v.outer;
            f[outer] -= c * (es - force.vapour_kpa);
            j[outer][outer] -= c * slope;
        }

        // HeatCapacities.
        f[GROUND] -= self.response.at_zero + self.response.slope * x[GROUND];
        j[GROUND][GROUND] -= self.response.slope;
        keep(f, j, x, LEAF, stores.leaf, self.start.leaf_c);
        keep(f, j, x, AIR, stores.air, self.start.air_c);
        keep(f, j, x, VAPOUR, stores.vapour, self.start.vapour_kpa);
        if N > INNER {
            keep(f, j, x, INNER, stores.cover, self.start.inner_c);
        }
        if N > INNER + 1 {
            keep(f, j, x, outer, stores.cover, self.start.outer_c);
        }
    }

    /// One Newton step from `now`, for a first estimate; `saturation` goes with `now`, before and after.
    #[inline(always)]
    pub fn estimate(&self, now: &mut Nodes<R>, saturation: &mut Saturation<R>) {
        match self.site.cover_nodes() {
            0 => self.newton::<4>(now, saturation, 1, false),
            1 => self.newton::<5>(now, saturation, 1, false),
            _ => self.newton::<6>(now, saturation, 1, false),
        }
    }

    /// Newton steps from `now` until every residual is below [`p::SOLVED_W_M2`], at most [`p::MOST_ITERATIONS`].
    #[inline(always)]
    pub fn solve(&self, now: &mut Nodes<R>, saturation: &mut Saturation<R>) {
        match self.site.cover_nodes() {
            0 => self.newton::<4>(now, saturation, p::MOST_ITERATIONS, true),
            1 => self.newton::<5>(now, saturation, p::MOST_ITERATIONS, true),
            _ => self.newton::<6>(now, saturation, p::MOST_ITERATIONS, true),
        }
    }

    #[inline(always)]
    fn newton<const N: usize>(
        &self,
        now: &mut Nodes<R>,
        saturation: &mut Saturation<R>,
        most: usize,
        until_solved: bool,
    ) {
        let all = [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa, now.inner_c, now.outer_c];
        let mut x = [now.ground_c; N];
        written_out!(i of 0 1 2 3 4 5 below N, {
            x[i] = all[i];
        });
        for _ in 0..most {
            let (mut f, mut j) = ([R::splat(0.0); N], [[R::splat(0.0); N]; N]);
            self.linearise::<N, true>(&x, saturation, &mut f, &mut j);
            eliminate(&mut j, &mut f);
            written_out!(i of 0 1 2 3 4 5 below N, {
                x[i] -= f[i];
            });
            [now.ground_c, now.leaf_c, now.air_c, now.vapour_kpa] = [x[0], x[1], x[2], x[3]];
            if N > INNER {
                now.inner_c = x[INNER];
                now.outer_c = x[N - 1];
            }
            *saturation = Saturation::at(now, N - INNER);
            if until_solved && self.residual(&x, saturation) < p::SOLVED_W_M2 {
                break;
            }
        }
    }

    /// Greatest residual of any node and member, W/m²; NaN when one is NaN.
    #[inline(always)]
    fn residual<const N: usize>(&self, x: &[R; N], saturation: &Saturation<R>) -> f64 {
        let (mut f, mut j) = ([R::splat(0.0); N], [[R::splat(0.0); N]; N]);
        self.linearise::<N, false>(x, saturation, &mut f, &mut j);
        // NaN spreads through a sum and not through a maximum: the sum is looked at for it.
        let sum = f.iter().fold(R::splat(0.0), |s, r| s + r.abs());
        if sum.all_finite() {
            f.iter().fold(R::splat(0.0), |w, r| w.max(r.abs())).max_lane()
        } else {
            f64::NAN
        }
    }
}

/// Sensible heat h (x_b − x_a) from node b to node a.
#[inline(always)]
fn link<R: Real, const N: usize, const SLOPE: bool>(
    f: &mut [R; N],
    j: &mut [[R; N]; N],
    x: &[R; N],
    (a, b): (usize, usize),
    h: R,
) {
    let q = h * (x[b] - x[a]);
    f[a] += q;
    f[b] -= q;
    if SLOPE {
        j[a][a] -= h;
        j[b][b] -= h;
        j[a][b] += h;
        j[b][a] += h;
    }
}

/// What a node of capacity c keeps of its change since the start.
#[inline(always)]
fn keep<R: Real, const N: usize>(
    f: &mut [R; N],
    j: &mut [[R; N]; N],
    x: &[R; N],
    node: usize,
    c: R,
    before: R,
) {
    f[node] -= c * (x[node] - before);
    j[node][node] -= c;
}

/// Solves J d = F for d, left in `f`, by Gaussian elimination without pivoting: J is diagonally dominant because every
/// exchange appears with its full conductance on the diagonal.
#[inline(always)]
fn eliminate<R: Real, const N: usize>(j: &mut [[R; N]; N], f: &mut [R; N]) {
    written_out!(k of 0 1 2 3 4 5 below N, {
        let inverse = R::splat(1.0) / j[k][k];
        written_out!(i of 0 1 2 3 4 5 below N, {
            if i > k {
                let m = j[i][k] * inverse;
                written_out!(c of 0 1 2 3 4 5 below N, {
                    if c > k {
                        let above = j[k][c];
                        j[i][c] -= m * above;
                    }
                });
                let known = f[k];
                f[i] -= m * known;
            }
        });
        j[k][k] = inverse;
    });
    written_out!(back of 0 1 2 3 4 5 below N, {
        let k = N - 1 - back;
        written_out!(c of 0 1 2 3 4 5 below N, {
            if c > k {
                let known = f[c];
                f[k] -= j[k][c] * known;
            }
        });
        f[k] *= j[k][k];
    });
}
