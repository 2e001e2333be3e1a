//! Mixed-integer linear programs: the model, what a solver does, and the solver that comes along.

pub mod model;
pub mod solver;

pub use model::{Model, Row, Sense};
pub use solver::{Answer, Microlp, SolveError, Solver};
