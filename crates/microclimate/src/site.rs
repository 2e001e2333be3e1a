//! One bed with what lies over it, as a step sees it.

use crate::bed::Bed;
use crate::cover::Cover;
use crate::draws::Draws;
use crate::soil::Column;

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
