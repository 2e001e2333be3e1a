//! ONE step under one cover: radiation, coefficients, the coupled balance, water, soil, budget, in that order.

use crate::bed::Bed;
use crate::budget::{self, Fluxes};
use crate::cover::Cover;
use crate::dispatch;
use crate::draws::Draws;
use crate::error::Error;
use crate::forcing::Forcing;
use crate::radiation;
use crate::real::Real;
use crate::soil::Column;
use crate::state::State;
use crate::surface::Balance;
use crate::water;

/// Everything about a bed that a step reads and does not change.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a, R> {
    /// The bed.
    pub bed: &'a Bed,
    /// What lies over it.
    pub cover: Option<&'a Cover>,
    /// The soil column, worked out for the time step (by default [`crate::parameters::STEP_S`]).
    pub column: &'a Column<R>,
    /// The uncertain parameters.
    pub draws: &'a Draws<R>,
}

/// Moves a bed on by the column's time step under `force`, the weather at its end.
///
/// Backward Euler on ground surface, leaf, air, vapour and cover with the soil column eliminated;
/// conductances and water supply are taken at the start and once more at the first estimate.
///
/// # Errors
/// [`Error::Budget`] when a residual stays above [`crate::parameters::BUDGET_LIMIT_W_M2`]; [`Error::OutOfRange`].
/// Checked by `laws::the_budget_closes_for_every_cover`.
pub fn step<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) -> Result<Fluxes<R>, Error> {
    dispatch::step(site, force, state)
}

/// The step itself, compiled into every variant of [`dispatch`].
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
