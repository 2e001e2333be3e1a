//! Water on leaves and cover: what can evaporate, what condenses, with its latent heat.

use quantities::moist_air::psychrometric_constant_kpa_k;

use crate::canopy;
use crate::conductances::Conductances;
use crate::constants::{MOLAR_HEAT_J_MOL_K, SUBLIMATION_RATIO, VAPORISATION_J_KG};
use crate::cover::Cover;
use crate::forcing::Forcing;
use crate::parameters as p;
use crate::real::Real;
use crate::saturation::saturation_and_slope_kpa;
use crate::site::Site;
use crate::state::{Nodes, State};
use crate::written_out::written_out;

/// Saturation vapour pressure at ground, leaf, inner and outer cover face, over ice below 0 °C.
#[derive(Clone, Copy, Debug)]
pub struct Saturation<R> {
    /// kPa; 0 for a face that is not there.
    pub kpa: [R; 4],
    /// Its slope, kPa K⁻¹.
    pub slope: [R; 4],
}

impl<R: Real> Saturation<R> {
    /// At the temperatures `now` of a bed under a cover of so many nodes.
    #[inline(always)]
    #[must_use]
    pub fn at(now: &Nodes<R>, cover_nodes: usize) -> Self {
        let zero = R::splat(0.0);
        let mut out = Self { kpa: [zero; 4], slope: [zero; 4] };
        let faces = [now.ground_c, now.leaf_c, now.inner_c, now.outer_c];
        written_out!(i of 0 1 2 3 below 2 + cover_nodes, {
            (out.kpa[i], out.slope[i]) = saturation_and_slope_kpa(faces[i]);
        });
        if cover_nodes == 1 {
            (out.kpa[3], out.slope[3]) = (out.kpa[2], out.slope[2]);
        }
        out
    }
}

/// Latent-heat conductances per m² of ground, W kPa⁻¹, and latent-heat ratio of each face.
#[derive(Clone, Copy, Debug)]
pub struct LatentConductances<R> {
    /// Ground, leaf, inner face: to the air among the plants.
    pub inside: [R; 3],
    /// Outer face: to the outside air.
    pub outer: R,
    /// 1 over water, [`SUBLIMATION_RATIO`] over ice: ground, leaf, inner, outer.
    pub ratio: [R; 4],
    /// Air among the plants to the outside air.
    pub vent: R,
    /// The part of the leaf's conductance that gives to and takes from its film; the rest passes the stomata.
    pub leaf_film: R,
}

/// What each face can give or take at the temperatures `now`.
///
/// λE = h/γ (e_s(T) − e), γ = 0.665·10⁻³ P (FAO-56 eq. 8). While condensing h is that of heat; else from the wet share w of
/// leaf and cover, cut so that no more leaves the film than lies there, and from the dry share of leaves in series with
/// their stomata; from the soil in series with its surface and the still air between the lower leaves.
/// Checked by `checks/second` and `laws::the_budget_closes_for_every_cover`.
/// Equation 15 of docs/science.md.
#[inline(always)]
pub fn latent_conductances<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    start: &State<R>,
    (now, saturation): (&Nodes<R>, &Saturation<R>),
    g: &Conductances<R>,
) -> LatentConductances<R> {
    let one = R::splat(1.0);
    let per_gamma = 1.0 / (psychrometric_constant_kpa_k(site.bed.pressure_kpa));
    let cover_area = match site.cover {
        Some(Cover::Cloth { shape, .. }) => shape.area_ratio,
        _ => 1.0,
    };
    let litter = if site.bed.ground.litter.is_some() { p::MULCH_SUPPLY } else { 1.0 };
    let evaporates = if site.bed.ground.evaporates { litter } else { 0.0 };
    let sunlit = (force.sun_w_m2 / p::FULL_STOMATA_W_M2).clamp(0.0, 1.0);
    let open = sunlit * p::SUNLIT_STOMATA_MOL_M2_S + p::NIGHT_STOMATA_MOL_M2_S;
    let stomata = open * (MOLAR_HEAT_J_MOL_K * canopy::upper_leaf_area(&site.bed.canopy));
    let most_a_step = VAPORISATION_J_KG / site.column.step_s();
    let leaf_area = p::FACES * site.bed.canopy.ground_cover;
    let e = now.vapour_kpa;
    let wet_leaf = wet_share(start.leaf_water, leaf_area);
    let leaf = LatentExchange::new(g.leaf * per_gamma, saturation.kpa[1], e);
    let leaf_film = leaf.film(start.leaf_water * most_a_step, wet_leaf);
    // Where dew forms, `leaf_film` is already all of the exchange.
    let through_stomata =
        series(g.leaf, stomata) * (one - wet_leaf) * (per_gamma * f64::from(site.bed.canopy.alive));
    let ground = LatentExchange::new(g.ground * per_gamma, saturation.kpa[0], e);
    let below = R::splat(site.fixed.lower_layers / p::LOWER_AIR_W_M2_K);
    let from_soil =
        one / (one / g.ground + site.draws.soil_resistance_s_m / g.air_capacity + below);
    let wet_cover = wet_share(start.cover_water, cover_area);
    let half = start.cover_water * (p::FILM_SHARE * most_a_step);
    let (mut inner, mut outer) = (R::splat(0.0), R::splat(0.0));
    if matches!(site.cover, Some(Cover::Cloth { .. })) {
        inner =
            LatentExchange::new(g.inner * per_gamma, saturation.kpa[2], e).film(half, wet_cover);
        outer = LatentExchange::new(g.outer * per_gamma, saturation.kpa[3], force.vapour_kpa)
            .film(half, wet_cover);
        // Snow on the cover is taken as dry.
        if let Some(snow) = site.snow {
            outer *= one - snow.share;
        }
    }
    LatentConductances {
        leaf_film,
        inside: [
            ground.pores(from_soil * (per_gamma * evaporates)),
            leaf_film + R::select_lt(leaf.lack, R::splat(0.0), R::splat(0.0), through_stomata),
            inner,
        ],
        outer,
        ratio: [ratio(now.ground_c), ratio(now.leaf_c), ratio(now.inner_c), ratio(now.outer_c)],
        vent: g.vent * per_gamma,
    }
}

/// Latent exchange of a face with air: the full conductance h/γ and what the air lacks to saturation at the face, kPa.
struct LatentExchange<R> {
    full: R,
    lack: R,
}

impl<R: Real> LatentExchange<R> {
    #[inline(always)]
    fn new(full: R, saturation: R, vapour: R) -> Self {
        Self { full, lack: saturation - vapour }
    }

    /// From a film: all while condensing, else its wet share, and in one step at most the water that lies there.
    #[inline(always)]
    fn film(&self, water_w: R, wet: R) -> R {
        let most = water_w / self.lack.max(R::splat(p::LEAST_LACK_KPA));
        R::select_lt(self.lack, R::splat(0.0), self.full, (self.full * wet).min(most))
    }

    /// Through pores: all while condensing, else `through` them.
    #[inline(always)]
    fn pores(&self, through: R) -> R {
        R::select_lt(self.lack, R::splat(0.0), self.full, through)
    }
}

/// Two conductances one after the other.
#[inline(always)]
fn series<R: Real>(a: R, b: R) -> R {
    a * b / (a + b)
}

/// Share of a face of `area` that its water wets.
#[inline(always)]
fn wet_share<R: Real>(water: R, area: f64) -> R {
    (water / (p::FULL_FILM_KG_M2 * area)).clamp(0.0, 1.0)
}

/// Latent heat over that of vaporisation: 1 over water, [`SUBLIMATION_RATIO`] over ice.
#[inline(always)]
fn ratio<R: Real>(celsius: R) -> R {
    R::select_lt(celsius, R::splat(0.0), R::splat(SUBLIMATION_RATIO), R::splat(1.0))
}

/// Books the water of a step: condensation adds, evaporation takes what lay there; the rest drips off.
#[inline(always)]
pub fn update_films<R: Real>(
    site: &Site<'_, R>,
    supply: &LatentConductances<R>,
    force: &Forcing<R>,
    (now, saturation): (&Nodes<R>, &Saturation<R>),
    state: &mut State<R>,
) {
    let step = site.column.step_s() / VAPORISATION_J_KG;
    let leaf = supply.leaf_film * (saturation.kpa[1] - now.vapour_kpa) * step;
    let most_leaf = p::MOST_LEAF_FILMS * p::FULL_FILM_KG_M2 * site.bed.canopy.ground_cover;
    state.leaf_water = (state.leaf_water - leaf).clamp(0.0, most_leaf);
    if let Some(Cover::Cloth { shape, .. }) = site.cover {
        let inner = supply.inside[2] * (saturation.kpa[2] - now.vapour_kpa);
        let outer = supply.outer * (saturation.kpa[3] - force.vapour_kpa);
        let most = p::MOST_COVER_FILMS * p::FULL_FILM_KG_M2 * shape.area_ratio;
        state.cover_water = (state.cover_water - (inner + outer) * step).clamp(0.0, most);
    }
}
