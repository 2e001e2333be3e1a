//! ONE step under one cover: radiation, coefficients, the coupled balance, water, soil, budget, in that order.

use crate::budget::{self, Fluxes};
use crate::energy_balance::EnergyBalance;
use crate::error::Error;
use crate::forcing::Forcing;
use crate::latent_heat::{self, Saturation};
use crate::radiation;
use crate::real::Real;
use crate::site::Site;
use crate::state::State;

/// [`crate::step()`] for any [`Real`], compiled where it is called, without asking what the processor can do.
///
/// # Errors
/// As [`crate::step()`].
#[inline(always)]
pub fn advance<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) -> Result<Fluxes<R>, Error> {
    let longwave = radiation::longwave(site, force, state);
    let sun = radiation::sunlight(site, force);
    let start = state.nodes();
    let mut now = start;
    let mut saturation = Saturation::at(&now, site.cover_nodes());
    let mut answer = site.column.respond(&state.soil, &state.soil.ice_kg_m2);
    let early = EnergyBalance::at(
        site,
        force,
        state,
        &start,
        (&now, &saturation),
        &longwave,
        &sun,
        &answer,
    );
    early.estimate(&mut now, &mut saturation);
    site.column.look_ahead(&state.soil, &mut answer, now.ground_c);
    let settled = EnergyBalance::at(
        site,
        force,
        state,
        &start,
        (&now, &saturation),
        &longwave,
        &sun,
        &answer,
    );
    settled.solve(&mut now, &mut saturation);
    latent_heat::update_films(site, &settled.latent, force, (&now, &saturation), state);
    let soil_gained = site.column.advance(&mut state.soil, &answer, now.ground_c);
    state.set_nodes(&now);
    let fluxes = budget::close(&settled, (&now, &saturation), soil_gained)?;
    Ok(fluxes)
}
