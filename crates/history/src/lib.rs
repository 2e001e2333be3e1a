//! Past years of a station's record on the grower's own beds.
//!
//! | module | holds |
//! |---|---|
//! | [`years`] | the record's years abreast through the physics: the one loop that the rest stands on |
//! | [`replay`] | evenings of past years again, ways to decide compared |
//! | [`mod@year`] | when to set out, last picking, winter, what the hoops carry |
//! | [`sheet_value`] | what each sheet would have saved, and the best set for the money |
//! | [`constants`] | every chosen number, with its source |

pub mod constants;
pub mod replay;
pub mod sheet_value;
pub mod year;
pub mod years;
