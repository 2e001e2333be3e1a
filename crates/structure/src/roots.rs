//! The root of a rising function.

use crate::constants::HALVINGS;

/// Where `f`, rising from `low` to `high`, passes zero; the nearer end where it does not.
pub(crate) fn root_of_rising(f: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}
