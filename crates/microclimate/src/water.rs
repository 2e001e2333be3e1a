//! Water on leaves and cover: what can evaporate, what condenses, with its latent heat.

use crate::cover::Cover;
use crate::exchange::Conductances;
use crate::forcing::Forcing;
use crate::moist_air::saturation_over_water_or_ice_kpa;
use crate::parameters as p;
use crate::real::Real;
use crate::state::State;
use crate::step::Site;

/// Latent heat of vaporisation near 0 °C, J/kg (FAO-56: 2.45 MJ at 20 °C; 2.501 at 0 °C).
pub const VAPORISATION_J_KG: f64 = 2.501e6;
/// Latent heat of sublimation over that of vaporisation.
pub const FROST_RATIO: f64 = 2.834 / 2.501;

/// Latent-heat conductances per m² of ground, W kPa⁻¹, and latent-heat ratio of each face.
#[derive(Clone, Copy, Debug)]
pub struct Supply<R> {
    /// Ground, leaf, inner face: to the air among the plants.
    pub inside: [R; 3],
    /// Outer face: to the outside air.
    pub outer: R,
    /// 1 over water, [`FROST_RATIO`] over ice: ground, leaf, inner, outer.
    pub ratio: [R; 4],
    /// Air among the plants to the outside air.
    pub vent: R,
    /// The part of the leaf's conductance that gives to and takes from its film; the rest passes the stomata.
    pub leaf_film: R,
}

/// What each face can give or take at the temperatures `now`.
///
/// λE = β h/γ (e_s(T) − e), γ = 0.665·10⁻³ P (FAO-56 eq. 8); β = 1 while condensing; else for soil its supply, for
/// leaf and cover w + d (1 − w), w the wet share, cut so that no more leaves the film than lies there, d the stomata.
/// Checked by `checks/second` and `laws::the_budget_closes_for_every_cover`.
pub fn supply<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    start: &State<R>,
    now: &State<R>,
    g: &Conductances<R>,
) -> Supply<R> {
    let one = R::of(1.0);
    let per_gamma = 1.0 / (0.665e-3 * site.bed.pressure_kpa);
    let cover_area = match site.cover {
        Some(Cover::Cloth { shape, .. }) => shape.area_ratio,
        _ => 1.0,
    };
    let litter = if site.bed.ground.litter.is_some() { 0.2 } else { 1.0 };
    let breathes = if site.bed.ground.breathes { litter } else { 0.0 };
    let sunlit = (force.sun_w_m2 / 400.0).clamp(0.0, 1.0) * p::SUNLIT_LEAF_SUPPLY;
    let wet_share = |water: R, area: f64| (water / (p::FULL_FILM_KG_M2 * area)).clamp(0.0, 1.0);
    let step_s = site.column.step_s();
    let full = |h: R, celsius: R, vapour: R| {
        (h * per_gamma, saturation_over_water_or_ice_kpa(celsius) - vapour)
    };
    // From a film: all while condensing, else its wet share and in one step at most the water that lies there.
    let film = |h: R, celsius: R, vapour: R, water: R, wet: R| {
        let (full, lack) = full(h, celsius, vapour);
        let most = water * (VAPORISATION_J_KG / step_s) / lack.max(R::of(1e-6));
        R::select_lt(lack, R::of(0.0), full, (full * wet).min(most))
    };
    // Through pores: all while condensing, else the share `supply`.
    let pores = |h: R, celsius: R, vapour: R, supply: R| {
        let (full, lack) = full(h, celsius, vapour);
        R::select_lt(lack, R::of(0.0), full, full * supply)
    };
    let ratio = |c: R| R::select_lt(c, R::of(0.0), R::of(FROST_RATIO), one);
    let leaf_dry = (sunlit + p::DRY_LEAF_SUPPLY) * f64::from(site.bed.canopy.alive);
    let leaf_area = 2.0 * site.bed.canopy.ground_cover;
    let e = now.vapour_kpa;
    let wet_leaf = wet_share(start.leaf_water, leaf_area);
    let leaf_film = film(g.leaf, now.leaf_c, e, start.leaf_water, wet_leaf);
    // Where dew forms, `leaf_film` is already all of the exchange.
    let (leaf_full, leaf_lack) = full(g.leaf, now.leaf_c, e);
    let stomata = leaf_full * (leaf_dry * (one - wet_leaf));
    let leaf = leaf_film + R::select_lt(leaf_lack, R::of(0.0), R::of(0.0), stomata);
    let wet_cover = wet_share(start.cover_water, cover_area);
    let half = start.cover_water * 0.5;
    let nothing = R::of(0.0);
    let (inner, outer) = if matches!(site.cover, Some(Cover::Cloth { .. })) {
        (
            film(g.inner, now.inner_c, e, half, wet_cover),
            film(g.outer, now.outer_c, force.vapour_kpa, half, wet_cover),
        )
    } else {
        (nothing, nothing)
    };
    Supply {
        leaf_film,
        inside: [pores(g.ground, now.ground_c, e, site.draws.soil_supply * breathes), leaf, inner],
        outer,
        ratio: [ratio(now.ground_c), ratio(now.leaf_c), ratio(now.inner_c), ratio(now.outer_c)],
        vent: g.vent * per_gamma,
    }
}

/// Books the water of a step: condensation adds, evaporation takes what lay there; the rest drips off.
pub fn book<R: Real>(
    site: &Site<'_, R>,
    supply: &Supply<R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) {
    let step = site.column.step_s() / VAPORISATION_J_KG;
    let es = saturation_over_water_or_ice_kpa;
    let leaf = supply.leaf_film * (es(state.leaf_c) - state.vapour_kpa) * step;
    let most_leaf = 4.0 * p::FULL_FILM_KG_M2 * site.bed.canopy.ground_cover;
    state.leaf_water = (state.leaf_water - leaf).clamp(0.0, most_leaf);
    if let Some(Cover::Cloth { shape, .. }) = site.cover {
        let inner = supply.inside[2] * (es(state.inner_c) - state.vapour_kpa);
        let outer = supply.outer * (es(state.outer_c) - force.vapour_kpa);
        let most = 2.0 * p::FULL_FILM_KG_M2 * shape.area_ratio;
        state.cover_water = (state.cover_water - (inner + outer) * step).clamp(0.0, most);
    }
}
