//! The cut list: hoops from rolls of wire, sheets from rolls of cloth, for all beds at once and with a proven gap.
//!
//! Both are one problem in two stages (Gilmore and Gomory 1965): a roll is cut across into strips, a strip is slit
//! into widths; wire is cloth of width one that is never slit. The parts:
//!
//! | module | holds |
//! |---|---|
//! | [`lengths`], [`sheets`] | the two questions and their answers, in metres |
//! | [`verify`] | the check of every answer, which knows nothing of how it was found |
//! | [`error`] | what the grower can mend |
//! | `problem` | the same in whole tenths of a millimetre: pieces, rolls, strips |
//! | `purchase` | what can be bought, and what rules it out |
//! | `knapsack` | the most valuable filling of one length, and every filling worth enough |
//! | `first_fit` | the cut a careful person makes: the start and the fallback |
//! | `bound` | the linear program: worth of each piece, and the bound |
//! | `columns`, `program` | fillings a better cut could use, and the integer program over them |
//! | `best` | all of it, in order |

mod best;
mod bound;
mod columns;
pub mod error;
mod first_fit;
mod knapsack;
pub mod lengths;
mod problem;
mod program;
mod purchase;
pub mod sheets;
mod units;
pub mod verify;

pub use error::CutError;
pub use units::Proof;
