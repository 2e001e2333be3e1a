//! Readings of machines: bytes to readings, which of them to believe, what a night came to.
//!
//! | module | holds |
//! |---|---|
//! | [`logger`], [`dates`] | the file of a logger, its dates |
//! | [`single`] | one reading by its fields, as a machine sends it |
//! | [`guard`] | which readings are believed |
//! | [`slot`] | readings of ten minutes as one row |
//! | [`night`] | the low of a night |
//! | [`health`] | silent, stuck |

pub mod constants;
pub mod dates;
pub mod guard;
pub mod health;
pub mod logger;
pub mod night;
pub mod single;
pub mod slot;

/// One temperature at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// When.
    pub at: quantities::Moment,
    /// °C.
    pub celsius: f64,
}

/// Unit of a temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
}

impl Unit {
    /// A number of this unit in °C.
    #[must_use]
    pub fn celsius(self, number: f64) -> f64 {
        match self {
            Self::Celsius => number,
            Self::Fahrenheit => (number - 32.0) / 1.8,
        }
    }
}
