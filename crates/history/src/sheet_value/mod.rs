//! What sheets are worth: what each would have saved over past years, and the best set to buy for the money.
//!
//! Two stages. Bought once: whole rolls, cut to the sizes that beds need. Used every evening of the record: each bed is
//! covered when the evening's forecast calls for it, never because the night is known.
//!
//! | module | holds |
//! |---|---|
//! | `offers` | every cover that is looked at: from the shed, and cut from cloth on offer |
//! | `past` | **start here**, at [`Past`]: the record's nights, then everything below |
//! | [`one_bed`] | one bed with one cover through one year |
//! | [`shared_evenings`] | which beds want covers on the same evenings |
//! | [`set`] | the best set, by the kit's program |
//! | `evening_plan` | the evening plan with that set, night by night |
//! | [`report`] | the answer as plain data |
//!
//! [`one_bed`], [`shared_evenings`] and [`set`] are public for the oracle tests.

mod error;
mod evening_plan;
mod offers;
pub mod one_bed;
mod past;
pub mod report;
pub mod set;
pub mod shared_evenings;

pub use error::Error;
pub use past::Past;
pub use report::SheetValue;
