//! Past years of a station's record on the grower's own beds.
//!
//! | module | holds |
//! |---|---|
//! | [`replay`] | evenings of past years again, ways to decide compared |
//! | [`mod@year`] | when to set out, last picking, winter, what the hoops carry |
//! | [`sheet_value`] | what each sheet would have saved, and the best set for the money |

pub mod replay;
pub mod sheet_value;
pub mod year;
