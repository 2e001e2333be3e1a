//! Units in both systems: what a key ends in, what a person reads, what one of them is in SI.

use quantities::UnitSystem;
use quantities::units::{FOOT_M, INCH_M, OZ_PER_YD2_G_M2};

/// A unit in both systems.
#[derive(Clone, Copy, Debug)]
pub struct Unit {
    /// US.
    pub us: Scale,
    /// Metric.
    pub metric: Scale,
}

/// A unit in one system.
#[derive(Clone, Copy, Debug)]
pub struct Scale {
    /// What a key ends in.
    pub ending: &'static str,
    /// What a person reads.
    pub shown: &'static str,
    /// One of it in SI (film: in µm; cloth: in g/m²; temperatures: in °C).
    pub si: f64,
    /// What is read where it is 0 in SI.
    pub zero: f64,
}

impl Unit {
    /// The unit in one system.
    #[must_use]
    pub const fn pick(self, units: UnitSystem) -> Scale {
        match units {
            UnitSystem::Us => self.us,
            UnitSystem::Metric => self.metric,
        }
    }
}

impl Scale {
    /// A reading in SI.
    #[must_use]
    pub const fn to_si(self, reading: f64) -> f64 {
        (reading - self.zero) * self.si
    }

    /// What is read of something in SI.
    #[must_use]
    pub const fn reading(self, si: f64) -> f64 {
        si / self.si + self.zero
    }
}

const fn scale(ending: &'static str, shown: &'static str, si: f64) -> Scale {
    Scale { ending, shown, si, zero: 0.0 }
}

/// One thousandth of an inch, µm (exact).
const MIL_UM: f64 = 25.4;
/// Weight of one pound, N (exact to ten figures).
const POUND_N: f64 = 4.448_221_615;
/// Weight of one kilogram at standard gravity, N (exact).
const KILOGRAM_N: f64 = 9.806_65;
/// One degree Fahrenheit, K (exact).
const FAHRENHEIT_K: f64 = 1.0 / 1.8;

/// No unit.
pub const NONE: Unit = Unit { us: scale("", "", 1.0), metric: scale("", "", 1.0) };
/// Long lengths.
pub const LONG: Unit = Unit { us: scale("_ft", "ft", FOOT_M), metric: scale("_m", "m", 1.0) };
/// Short lengths.
pub const SHORT: Unit = Unit { us: scale("_in", "in", INCH_M), metric: scale("_cm", "cm", 0.01) };
/// Thin rods.
pub const THIN: Unit = Unit { us: scale("_in", "in", INCH_M), metric: scale("_mm", "mm", 0.001) };
/// Weight of cloth.
pub const WEIGHT: Unit =
    Unit { us: scale("_oz_yd2", "oz/yd²", OZ_PER_YD2_G_M2), metric: scale("_g_m2", "g/m²", 1.0) };
/// Thickness of film.
pub const FILM: Unit = Unit { us: scale("_mil", "mil", MIL_UM), metric: scale("_um", "µm", 1.0) };
/// Pulls read off a spring balance.
pub const PULL: Unit =
    Unit { us: scale("_lb", "lb", POUND_N), metric: scale("_kg", "kg", KILOGRAM_N) };
/// Differences of temperature.
pub const KELVIN: Unit =
    Unit { us: scale("_f", "°F", FAHRENHEIT_K), metric: scale("_c", "°C", 1.0) };
/// Temperatures.
pub const TEMPERATURE: Unit = Unit {
    us: Scale { zero: 32.0, ..scale("_f", "°F", FAHRENHEIT_K) },
    metric: scale("_c", "°C", 1.0),
};
/// Volumes.
pub const VOLUME: Unit = Unit {
    us: scale("_ft3", "cubic feet", FOOT_M * FOOT_M * FOOT_M),
    metric: scale("_m3", "m³", 1.0),
};
