//! The cut list: hoops from rolls of wire, sheets from rolls of cloth, for all beds at once and with a proven gap.
//!
//! Both are one cutting stock problem in two guillotine stages (Gilmore and Gomory 1965): a roll is cut across into
//! strips, a strip is slit into widths; wire is cloth of width one that is never slit. The parts:
//!
//! | module | holds |
//! |---|---|
//! | [`lengths`], [`sheets`] | the two questions and their answers, in metres; the check of every answer |
//! | `error`, `checks` | what the grower can mend |
//! | `rules` | what both checks of an answer share |
//! | `problem` | the same in whole tenths of a millimetre: pieces, rolls, strips, cutting patterns |
//! | `purchase` | what can be bought, and the capacity cuts that rule it out |
//! | `knapsack` | the most valuable filling of one length, and every filling worth enough |
//! | `first_fit` | first fit decreasing, the cut a careful person makes: the start and the fallback |
//! | `dual`, `lower_bound` | column generation: dual value of each piece, and the lower bound |
//! | `columns`, `program` | patterns that a better cut could use, and the integer program over them |
//! | `solve` | all of it, in order |
//! | `units`, `proof` | whole units to metres; costs, lower bound and gap of the answer |

mod checks;
mod columns;
mod dual;
mod error;
mod first_fit;
mod knapsack;
pub mod lengths;
mod lower_bound;
mod problem;
mod program;
mod proof;
mod purchase;
mod rules;
pub mod sheets;
mod solve;
mod units;

pub use error::CutError;
pub use proof::Proof;
