//! Long-wave and sunlight of one bed in one step: optics for the wetness of the moment, then the exchange.

use crate::cover::{Cover, Fabric, Optics};
use crate::forcing::Forcing;
use crate::parameters as p;
use crate::real::Real;
use crate::site::Site;
use crate::stack::{LayerShares, Net, Roof, Sources, Stack, exchange};
use crate::state::State;

/// Stefan–Boltzmann constant, W m⁻² K⁻⁴ (CODATA 2018).
const SIGMA: f64 = crate::constants::STEFAN_BOLTZMANN_W_M2_K4;

/// Net long-wave as a linear function of the emissions s_j = σT_j⁴: Rn_i = outside_i + Σ_j matrix_ij s_j.
#[derive(Clone, Copy, Debug)]
pub struct Longwave<R> {
    /// What sky and surroundings bring, W per m² of ground.
    pub outside: Net<R>,
    /// Column j: net radiation of every face for unit emission of face j.
    pub columns: [Net<R>; 4],
    /// From the sky on the level, W/m².
    pub sky: R,
}

/// σ (T + 273.15)⁴ and its slope.
#[inline(always)]
pub fn emission<R: Real>(celsius: R) -> (R, R) {
    let k = celsius + 273.15;
    let k3 = k * k * k;
    (k3 * k * SIGMA, k3 * (4.0 * SIGMA))
}

/// The long-wave exchange of a bed under the sky of this step.
#[inline(always)]
pub fn longwave<R: Real>(site: &Site<'_, R>, force: &Forcing<R>, state: &State<R>) -> Longwave<R> {
    let (black, _) = emission(force.air_c);
    let sky = force.sky_w_m2;
    let stack = stack(
        site,
        R::of(site.bed.ground.emissivity),
        R::of(p::LEAF_EMISSIVITY),
        p::STRAW_EMISSIVITY,
        |f, wet| blend(f.longwave_dry, f.longwave_wet, wet, site.draws.transmissivity),
        state.cover_water,
    );
    let zero = R::of(0.0);
    let outside = exchange(&stack, &Sources { face: [zero; 4], sky, beside: black });
    let faces = 2 + site.cover.map_or(0, Cover::nodes);
    let mut columns = [[zero; 4]; 4];
    for (j, column) in columns.iter_mut().enumerate().take(faces) {
        let mut face = [zero; 4];
        face[j] = R::of(1.0);
        *column = exchange(&stack, &Sources { face, sky: zero, beside: zero });
    }
    Longwave { outside, columns, sky }
}

/// Net long-wave of every face at the given temperatures, worked out in one go: the check on the columns.
#[inline(always)]
pub fn direct<R: Real>(longwave: &Longwave<R>, emissions: [R; 4]) -> Net<R> {
    let mut net = longwave.outside;
    for (column, s) in longwave.columns.iter().zip(emissions) {
        for (n, k) in net.iter_mut().zip(column) {
            *n += *k * s;
        }
    }
    net
}

/// Sunlight taken up by every face, W per m² of ground.
#[inline(always)]
pub fn sunlight<R: Real>(site: &Site<'_, R>, force: &Forcing<R>) -> Net<R> {
    let zero = R::of(0.0);
    if force.sun_w_m2.max_lane() <= 0.0 {
        return [zero; 4];
    }
    let bare = 1.0 - site.bed.ground.albedo;
    let ground = site.column.snow_cover() * (p::SNOW_SUN_ABSORPTIVITY - bare) + bare;
    let stack = stack(
        site,
        ground,
        R::of(p::LEAF_SUN_ABSORPTIVITY),
        p::STRAW_SUN_ABSORPTIVITY,
        |f, _| LayerShares {
            transmissivity: R::of(f.shortwave.transmissivity),
            absorptivity: R::of(f.shortwave.absorptivity),
        },
        zero,
    );
    let beside = force.sun_w_m2 * p::BESIDE_ALBEDO;
    exchange(&stack, &Sources { face: [zero; 4], sky: force.sun_w_m2, beside })
}

#[inline(always)]
fn stack<R: Real>(
    site: &Site<'_, R>,
    ground: R,
    leaf: R,
    straw: f64,
    layer: impl Fn(&Fabric, R) -> LayerShares<R>,
    cover_water: R,
) -> Stack<R> {
    let (roof, area_ratio) = match site.cover {
        None => (Roof::Open, 1.0),
        Some(Cover::Loose { .. }) => (Roof::Opaque(R::of(straw), R::of(straw)), 1.0),
        Some(Cover::Cloth { fabric, layers, shape }) => {
            let r = shape.area_ratio.max(1.0);
            let wet = (cover_water / (p::FULL_FILM_KG_M2 * r)).clamp(0.0, 1.0);
            let shares = layer(fabric, wet);
            // What condenses inside two sheets lies on the inner one.
            let roof = if *layers > 1 {
                Roof::Two(shares, layer(fabric, R::of(0.0)))
            } else {
                Roof::One(shares)
            };
            (roof, r)
        }
    };
    Stack { ground, leaf_cover: R::of(site.bed.canopy.ground_cover), leaf, roof, area_ratio }
}

#[inline(always)]
fn blend<R: Real>(dry: Optics, wet: Optics, share: R, shift: R) -> LayerShares<R> {
    let dry_share = R::of(1.0) - share;
    let transmissivity =
        (dry_share * dry.transmissivity + share * wet.transmissivity + shift).clamp(0.0, 0.95);
    let lost = dry_share * dry.reflectivity() + share * wet.reflectivity();
    LayerShares {
        transmissivity,
        absorptivity: (R::of(1.0) - transmissivity - lost).clamp(0.0, 1.0),
    }
}
