//! The unit of a column of temperatures, from its header or from what the numbers can be.

use crate::constants::{DAYS_WITH_SUMMER, LEAST_SUMMER, MOST_C, MOST_F};

/// Unit of the temperatures in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    /// °C.
    Celsius,
    /// °F.
    Fahrenheit,
    /// Tenths of °C, as GHCN-Daily keeps them.
    TenthsCelsius,
}

impl std::fmt::Display for Unit {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
            Self::TenthsCelsius => "tenths of °C",
        })
    }
}

impl Unit {
    /// Tenths of °C from hundredths of this unit, rounded.
    ///
    /// Whole °F and whole tenths of °C come through without loss: whole °F lie 0.56 °C apart.
    /// Checked by `station::whole_degrees_come_through_without_loss`.
    #[must_use]
    pub fn tenths_c(self, hundredths: i32) -> i32 {
        let x = f64::from(hundredths);
        (match self {
            Self::Celsius => x / 10.0,
            Self::Fahrenheit => (x - 3200.0) / 18.0,
            Self::TenthsCelsius => x / 100.0,
        })
        .round() as i32
    }
}

/// What a column tells about its unit.
#[derive(Clone, Copy, Debug, Default)]
pub struct Evidence {
    /// Highest number, hundredths.
    pub highest: i32,
    /// Lowest number, hundredths.
    pub lowest: i32,
    /// Any number that is not whole.
    pub fractions: bool,
    /// How many numbers.
    pub count: usize,
}

/// The one unit that the numbers can be in, or `None` where two remain.
///
/// Whole numbers beyond ±140 are tenths of °C. Above 57 they are °F (or, where whole and fewer than 300, undecided:
/// they may be tenths of °C of a cold month). With 300 days or more there was a summer: a highest value of 15 to 57
/// is °C. Common practice, no source. Checked by `station::units_are_told_apart_or_asked_for`.
#[must_use]
pub fn infer(e: Evidence) -> Option<Unit> {
    let whole_year = e.count >= DAYS_WITH_SUMMER;
    if e.highest > MOST_F || e.lowest < -MOST_F {
        return (!e.fractions).then_some(Unit::TenthsCelsius);
    }
    if e.highest > MOST_C {
        return (whole_year || e.fractions).then_some(Unit::Fahrenheit);
    }
    (whole_year && e.highest >= LEAST_SUMMER).then_some(Unit::Celsius)
}
