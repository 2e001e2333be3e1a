//! ONE step under one cover: radiation, coefficients, the coupled balance, water, soil, budget, in that order.

use crate::bed::Bed;
use crate::budget::{self, Fluxes};
use crate::cover::Cover;
use crate::draws::Draws;
use crate::error::Error;
use crate::exchange::{Warmth, conductances};
use crate::forcing::Forcing;
use crate::parameters as p;
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
    /// The soil column, worked out for the time step (by default [`p::STEP_S`]).
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
/// [`Error::Budget`] when a residual stays above [`p::BUDGET_LIMIT_W_M2`]; [`Error::OutOfRange`].
/// Checked by `laws::the_budget_closes_for_every_cover`.
pub fn step<R: Real>(
    site: &Site<'_, R>,
    force: &Forcing<R>,
    state: &mut State<R>,
) -> Result<Fluxes<R>, Error> {
    let longwave = radiation::longwave(site, force, state);
    let sun = radiation::sunlight(site, force);
    let before = *state;
    let mut now = *state;
    let balance_at = |now: &State<R>| {
        let conductances =
            conductances(site.bed, site.cover, site.draws, force, &warmth(now, force));
        let supply = water::supply(site, force, &before, now, &conductances);
        (conductances, supply)
    };
    let balance = |(conductances, supply), response| Balance {
        site,
        force,
        start: &before,
        longwave: &longwave,
        sun: &sun,
        response,
        conductances,
        supply,
    };
    let first = site.column.respond(&before.soil, &before.soil);
    balance(balance_at(&now), &first).solve(&mut now, 1);
    let ahead = site.column.advanced(&before.soil, &first, now.ground_c);
    let response = site.column.respond(&before.soil, &ahead);
    let settled = balance(balance_at(&now), &response);
    settled.solve(&mut now, p::MOST_ITERATIONS);
    water::book(site, &settled.supply, force, &mut now);
    now.soil = site.column.advanced(&before.soil, &response, now.ground_c);
    let fluxes = budget::close(&settled, &now)?;
    *state = now;
    Ok(fluxes)
}

fn warmth<R: Real>(s: &State<R>, force: &Forcing<R>) -> Warmth<R> {
    Warmth {
        ground: s.ground_c,
        leaf: s.leaf_c,
        air: s.air_c,
        inner: s.inner_c,
        outer: s.outer_c,
        outside: force.air_c,
    }
}
