//! ONE step under one cover: radiation, coefficients, the coupled balance, water, soil, budget, in that order.

use crate::budget::{self, Fluxes};
use crate::error::Error;
use crate::forcing::Forcing;
use crate::radiation;
use crate::real::Real;
use crate::site::Site;
use crate::state::State;
use crate::surface::Balance;
use crate::water;

/// The step itself; [`crate::step`] runs it in the widest vectors the processor has.
#[inline(always)]
pub(crate) fn advance<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) -> Result<Fluxes<R>, Error> {
    let longwave = radiation::longwave(site, force, state);
    let sun = radiation::sunlight(site, force);
    let start = state.nodes();
    let heat_before = site.column.heat_j_m2(&state.soil);
    let mut now = start;
    let first = site.column.respond(&state.soil, &state.soil.ice_kg_m2);
    Balance::at(site, force, state, &start, &now, &longwave, &sun, &first).estimate(&mut now);
    let ahead = site.column.foresee(&state.soil, &first, now.ground_c);
    let response = site.column.respond(&state.soil, &ahead);
    let settled = Balance::at(site, force, state, &start, &now, &longwave, &sun, &response);
    settled.solve(&mut now);
    water::book(site, &settled.supply, force, &now, state);
    site.column.advance(&mut state.soil, &response, now.ground_c);
    state.set_nodes(&now);
    let soil_gained = site.column.heat_j_m2(&state.soil) - heat_before;
    let fluxes = budget::close(&settled, &now, soil_gained)?;
    Ok(fluxes)
}
