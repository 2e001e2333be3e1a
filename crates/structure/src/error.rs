//! Why a number that was given cannot be used.

/// A quantity outside what the formulas hold for.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// A number outside its range.
    #[error("{quantity} is {value} {unit}; it must lie between {low} and {high} {unit}")]
    OutOfRange {
        /// What the number is.
        quantity: &'static str,
        /// The number given.
        value: f64,
        /// Its unit.
        unit: &'static str,
        /// Lower end of the valid range.
        low: f64,
        /// Upper end of the valid range.
        high: f64,
    },
    /// A wire gauge that the table does not hold.
    #[error(
        "wire gauge {gauge} is not in the table (6 to 14); the nearest are {thicker} and {thinner}"
    )]
    UnknownGauge {
        /// The gauge asked for.
        gauge: f64,
        /// The nearest gauge of thicker wire, or the thickest.
        thicker: f64,
        /// The nearest gauge of thinner wire, or the thinnest.
        thinner: f64,
    },
    /// A material that breaks and keeps no bend.
    #[error("this material breaks before it takes a bend: a former gives it no radius")]
    TakesNoBend,
    /// A load that pushes nowhere.
    #[error("the load is zero everywhere: no factor of it brings the hoop down")]
    NoLoad,
    /// A load made for another outline.
    #[error("the load has {got} points, the hoop {wanted}: make it from the same outline")]
    OtherOutline {
        /// Points of the load.
        got: usize,
        /// Points of the hoop.
        wanted: usize,
    },
}

/// The value, if it is a number from `low` to `high`.
pub(crate) fn within(
    quantity: &'static str,
    value: f64,
    unit: &'static str,
    (low, high): (f64, f64),
) -> Result<f64, Error> {
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(Error::OutOfRange { quantity, value, unit, low, high })
    }
}
