//! A kit with its real rolls and costs.

use crate::kit::buying::{Bought, buy};
use crate::kit::error::KitError;
use crate::kit::problem::{Choice, Owned, Problem};
use milp::Solver;

/// Relative difference that counts as none.
pub const SAME: f64 = 1e-9;

/// A kit, and how good it is.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// How each want is met.
    pub choice: Choice,
    /// What must be owned.
    pub owned: Owned,
    /// The rolls to buy.
    pub bought: Bought,
    /// Rolls, pins and clips, money in all.
    pub paid: f64,
    /// The same over the seasons that each thing lasts, money a season.
    pub a_season: f64,
    /// Cost a season with the worth of what is unmet, money.
    pub cost: f64,
    /// No kit can cost less a season.
    pub at_least: f64,
}

impl Found {
    /// How much dearer than the best it can be, as a share of its own cost, [0, 1]; 0 is proven best.
    #[must_use]
    pub fn gap(&self) -> f64 {
        let gap = if self.cost > 0.0 { (self.cost - self.at_least) / self.cost } else { 0.0 };
        if gap < SAME { 0.0 } else { gap.min(1.0) }
    }
}

/// A choice with its real rolls and costs; `None` where there are too few rolls or minutes.
///
/// # Errors
/// [`KitError::Cut`].
pub fn priced(
    problem: &Problem,
    choice: Choice,
    solver: &dyn Solver,
) -> Result<Option<Found>, KitError> {
    if !problem.in_time(&choice) {
        return Ok(None);
    }
    let owned = problem.owned(&choice);
    let Some(bought) = buy(problem, &owned, solver)? else { return Ok(None) };
    let mut paid = bought.paid(problem);
    let mut a_season = bought.a_season(problem);
    for (fixings, wanted) in [(problem.pins, owned.pins), (problem.clips, owned.clips)] {
        let price = f64::from(fixings.short(wanted)) * fixings.price;
        paid += price;
        a_season += price / fixings.seasons;
    }
    let cost = a_season + problem.unmet(&choice, &owned);
    Ok(Some(Found { choice, owned, bought, paid, a_season, cost, at_least: 0.0 }))
}
