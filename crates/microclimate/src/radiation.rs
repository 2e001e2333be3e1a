//! Long-wave and sunlight of one bed in one step: optics for the wetness of the moment, then the exchange.

use crate::black_body::emission;
use crate::cover::{Cover, Fabric, Optics};
use crate::forcing::Forcing;
use crate::parameters as p;
use crate::radiosity::{
    CoverLayers, Enclosure, LayerOptics, NetRadiation, Sources, net_radiation,
    net_radiation_under_snow,
};
use crate::real::Real;
use crate::site::Site;
use crate::state::State;
use crate::written_out::written_out;

/// Net long-wave as a linear function of the emissions s_j = σT_j⁴: Rn_i = outside_i + Σ_j matrix_ij s_j.
#[derive(Clone, Copy, Debug)]
pub struct Longwave<R> {
    /// What sky and surroundings bring, W per m² of ground.
    pub outside: NetRadiation<R>,
    /// Column j: net radiation of every face for unit emission of face j.
    pub columns: [NetRadiation<R>; 4],
    /// From the sky on the level, W/m².
    pub sky: R,
}

/// The long-wave exchange of a bed under the sky of this step.
#[inline(always)]
pub fn longwave<R: Real>(site: &Site<'_, R>, force: &Forcing<R>, state: &State<R>) -> Longwave<R> {
    let (black, _) = emission(force.air_c);
    let sky = force.sky_w_m2;
    let enclosure = enclosure(
        site,
        R::splat(site.bed.ground.emissivity),
        R::splat(p::LEAF_EMISSIVITY),
        p::STRAW_EMISSIVITY,
        #[inline(always)]
        |f, wet| blend(f.longwave_dry, f.longwave_wet, wet, site.draws.transmissivity),
        state.cover_water,
    );
    let zero = R::splat(0.0);
    let outside = Sources { face: [zero; 4], sky, surroundings: black };
    let outside = exchange(site, &enclosure, p::SNOW_EMISSIVITY, &outside);
    let faces = 2 + site.cover_nodes();
    let mut columns = [[zero; 4]; 4];
    written_out!(j of 0 1 2 3 below faces, {
        let mut face = [zero; 4];
        face[j] = R::splat(1.0);
        let unit = Sources { face, sky: zero, surroundings: zero };
        columns[j] = exchange(site, &enclosure, p::SNOW_EMISSIVITY, &unit);
    });
    Longwave { outside, columns, sky }
}

/// Net long-wave of every face at the given temperatures, worked out in one go: the check on the columns.
#[inline(always)]
pub fn direct<R: Real>(longwave: &Longwave<R>, emissions: [R; 4]) -> NetRadiation<R> {
    let mut net = longwave.outside;
    written_out!(j of 0 1 2 3 below 4, {
        written_out!(face of 0 1 2 3 below 4, {
            net[face] += longwave.columns[j][face] * emissions[j];
        });
    });
    net
}

/// Sunlight taken up by every face, W per m² of ground.
#[inline(always)]
pub fn sunlight<R: Real>(site: &Site<'_, R>, force: &Forcing<R>) -> NetRadiation<R> {
    let zero = R::splat(0.0);
    if force.sun_w_m2.max_lane() <= 0.0 {
        return [zero; 4];
    }
    let bare = 1.0 - site.bed.ground.albedo;
    let ground = site.column.snow_cover() * (p::SNOW_SUN_ABSORPTIVITY - bare) + bare;
    let enclosure = enclosure(
        site,
        ground,
        R::splat(p::LEAF_SUN_ABSORPTIVITY),
        p::STRAW_SUN_ABSORPTIVITY,
        |f, _| LayerOptics {
            transmissivity: R::splat(f.shortwave.transmissivity),
            absorptivity: R::splat(f.shortwave.absorptivity),
        },
        zero,
    );
    let surroundings = force.sun_w_m2 * p::SURROUNDINGS_ALBEDO;
    let sun = Sources { face: [zero; 4], sky: force.sun_w_m2, surroundings };
    exchange(site, &enclosure, p::SNOW_SUN_ABSORPTIVITY, &sun)
}

/// Net radiation of every face, snow on the cover counted, which takes `snow` of what falls on it.
#[inline(always)]
fn exchange<R: Real>(
    site: &Site<'_, R>,
    enclosure: &Enclosure<R>,
    snow: f64,
    from: &Sources<R>,
) -> NetRadiation<R> {
    match site.snow {
        None => net_radiation(enclosure, from),
        Some(lying) => net_radiation_under_snow(enclosure, (lying.share, snow), from),
    }
}

#[inline(always)]
fn enclosure<R: Real>(
    site: &Site<'_, R>,
    ground: R,
    leaf: R,
    straw: f64,
    layer: impl Fn(&Fabric, R) -> LayerOptics<R>,
    cover_water: R,
) -> Enclosure<R> {
    let (roof, area_ratio) = match site.cover {
        None => (CoverLayers::Open, 1.0),
        Some(Cover::Loose { .. }) => (CoverLayers::Opaque(R::splat(straw), R::splat(straw)), 1.0),
        Some(Cover::Cloth { fabric, layers, shape }) => {
            let r = shape.area_ratio.max(1.0);
            let wet = (cover_water / (p::FULL_FILM_KG_M2 * r)).clamp(0.0, 1.0);
            let shares = layer(fabric, wet);
            // What condenses inside two sheets lies on the inner one.
            let roof = if *layers > 1 {
                CoverLayers::Two(shares, layer(fabric, R::splat(0.0)))
            } else {
                CoverLayers::One(shares)
            };
            (roof, r)
        }
    };
    Enclosure { ground, leaf_cover: R::splat(site.bed.canopy.ground_cover), leaf, roof, area_ratio }
}

#[inline(always)]
fn blend<R: Real>(dry: Optics, wet: Optics, share: R, shift: R) -> LayerOptics<R> {
    let dry_share = R::splat(1.0) - share;
    let transmissivity = (dry_share * dry.transmissivity + share * wet.transmissivity + shift)
        .clamp(0.0, p::GREATEST_TRANSMISSIVITY);
    let lost = dry_share * dry.reflectivity() + share * wet.reflectivity();
    LayerOptics {
        transmissivity,
        absorptivity: (R::splat(1.0) - transmissivity - lost).clamp(0.0, 1.0),
    }
}
