//! What no cut list is asked for: lengths, prices and numbers that are none.

use crate::cut::error::CutError;
use crate::cut::units::{LONGEST_M, MOST_PIECES};

/// A length must be one.
pub fn check_length(name: &str, what: &'static str, value_m: f64) -> Result<(), CutError> {
    if value_m > 0.0 && value_m <= LONGEST_M {
        return Ok(());
    }
    Err(CutError::BadLength { name: name.into(), what, value_m })
}

/// A price must be one, if there is one.
pub fn check_price(name: &str, price: Option<f64>) -> Result<(), CutError> {
    match price {
        Some(value) if !(0.0..=1e6).contains(&value) => {
            Err(CutError::BadPrice { name: name.into(), value })
        }
        _ => Ok(()),
    }
}

/// Too many pieces are refused.
pub fn check_count(counts: impl Iterator<Item = u32>) -> Result<(), CutError> {
    let pieces = counts.map(u64::from).sum();
    if pieces > MOST_PIECES { Err(CutError::TooMany { pieces }) } else { Ok(()) }
}
