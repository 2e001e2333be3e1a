//! The particulars of entries, each kind in its own table.

pub(crate) mod cover;
pub(crate) mod done;
pub(crate) mod reading;
pub(crate) mod sheet_state;
pub(crate) mod sighting;
pub(crate) mod undo;
