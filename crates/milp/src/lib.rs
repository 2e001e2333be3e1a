//! Linear programs, over whole numbers and over real ones: the model, what a solver does, and the solver that comes along.
//!
//! No other crate names the solver's library.

mod linear;
mod model;
mod solver;

pub use linear::{LinearProgram, LinearSolution};
pub use model::{Model, Row, Sense};
pub use solver::{Answer, Microlp, SolveError, Solver};
