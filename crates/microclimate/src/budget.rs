//! In − out − stored, every step: worked out from the new state, apart from the solver's own residual.

use crate::black_body::emission;
use crate::energy_balance::EnergyBalance;
use crate::error::Error;
use crate::latent_heat::Saturation;
use crate::parameters as p;
use crate::radiation;
use crate::real::Real;
use crate::state::Nodes;

/// Heat fluxes of a step, W per m² of ground, toward the bed, and how well the books close.
#[derive(Clone, Copy, Debug)]
pub struct Fluxes<R> {
    /// Sunlight taken up by all faces.
    pub sun: R,
    /// Net long-wave of all faces.
    pub longwave: R,
    /// Sensible heat from the outside air.
    pub sensible: R,
    /// Latent heat: vapour from outside, less what the air inside now holds, and the fusion heat of frost.
    pub latent: R,
    /// Heat that went into soil, leaves, air and cover.
    pub stored: R,
    /// Long-wave from the sky on the level.
    pub sky: R,
    /// Greatest |in − out − stored| of any member, W/m².
    pub residual_w_m2: f64,
}

/// Closes the books of a step or says that they are open.
///
/// Σ sun + Σ long-wave + sensible + latent − (ΔQ_soil + ΔQ_leaf + ΔQ_air + ΔQ_cover)/Δt = 0; the soil's
/// heat content is summed over its cells, ice included, independently of the flux used in the solve.
///
/// # Errors
/// [`Error::Budget`], [`Error::OutOfRange`].
/// Equation 19 of docs/science.md.
#[inline(always)]
pub fn close<R: Real>(
    b: &EnergyBalance<'_, R>,
    (now, saturation): (&Nodes<R>, &Saturation<R>),
    soil_gained_j_m2: R,
) -> Result<Fluxes<R>, Error> {
    let sum = |net: [R; 4]| net[0] + net[1] + net[2] + net[3];
    let (start, force, g, v) = (b.start, b.force, &b.conductances, &b.latent);
    let cover_nodes = b.site.cover_nodes();
    let temperatures = [now.ground_c, now.leaf_c, now.inner_c, now.outer_c];
    let sun = sum(*b.sun);
    let [ground, leaf, inner, outer] = temperatures;
    let emitted = [emission(ground).0, emission(leaf).0, emission(inner).0, emission(outer).0];
    let longwave = sum(radiation::direct(b.longwave, emitted));
    let mut sensible = g.vent * (force.air_c - now.air_c);
    let stores = &b.stores;
    let es = &saturation.kpa;
    let mut latent = v.vent * (force.vapour_kpa - now.vapour_kpa)
        - stores.vapour * (now.vapour_kpa - start.vapour_kpa)
        + frost(v.ratio[0], v.inside[0], es[0], now.vapour_kpa)
        + frost(v.ratio[1], v.inside[1], es[1], now.vapour_kpa);
    let mut stored = soil_gained_j_m2 / b.site.column.step_s()
        + stores.leaf * (now.leaf_c - start.leaf_c)
        + stores.air * (now.air_c - start.air_c);
    if cover_nodes > 0 {
        sensible += g.outer * (force.air_c - now.outer_c);
        latent += frost(v.ratio[2], v.inside[2], es[2], now.vapour_kpa)
            + v.ratio[3] * v.outer * (force.vapour_kpa - es[3]);
        stored += stores.cover * (now.inner_c - start.inner_c);
    }
    if cover_nodes > 1 {
        stored += stores.cover * (now.outer_c - start.outer_c);
    }
    let residual_w_m2 = (sun + longwave + sensible + latent - stored).abs().max_lane();
    if residual_w_m2.is_nan() || residual_w_m2 >= p::BUDGET_LIMIT_W_M2 {
        return Err(Error::Budget { residual_w_m2, limit_w_m2: p::BUDGET_LIMIT_W_M2 });
    }
    // A temperature that is no number has already opened the books.
    let hottest = temperatures.iter().fold(R::splat(0.0), |most, t| most.max(t.abs()));
    if hottest.max_lane() > p::GREATEST_TEMPERATURE_C {
        return Err(Error::OutOfRange);
    }
    Ok(Fluxes { sun, longwave, sensible, latent, stored, sky: b.longwave.sky, residual_w_m2 })
}

/// Heat of fusion that vapour gives a face as frost, above what it gives as dew.
#[inline(always)]
fn frost<R: Real>(ratio: R, conductance: R, saturation_kpa: R, vapour_kpa: R) -> R {
    (ratio - R::splat(1.0)) * conductance * (vapour_kpa - saturation_kpa)
}
