//! The grower's units and SI. One conversion each way; everything inside is SI or °C/K.

/// Which units a garden is kept in, chosen once in its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnitSystem {
    /// °F, inch, foot, oz/yd².
    Us,
    /// °C, cm, m, g/m².
    Metric,
}

/// 0 °C in kelvin (exact).
pub const ZERO_CELSIUS_K: f64 = 273.15;
/// One inch in metres (exact).
pub const INCH_M: f64 = 0.0254;
/// One foot in metres (exact).
pub const FOOT_M: f64 = 0.3048;
/// Metres in a mile: 5280 ft.
pub const MILE_M: f64 = 5280.0 * FOOT_M;
/// One mile per hour in m/s (exact).
pub const MPH_M_S: f64 = 0.447_04;
/// One international knot in m/s (exact: 1852 m per hour).
pub const KNOT_M_S: f64 = 1852.0 / 3600.0;
/// One oz/yd² in g/m²: 28.349 523 125 g over 0.836 127 36 m².
pub const OZ_PER_YD2_G_M2: f64 = 28.349_523_125 / 0.836_127_36;

/// °C from °F.
#[must_use]
pub fn celsius_from_fahrenheit(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

/// °F from °C.
#[must_use]
pub fn fahrenheit_from_celsius(celsius: f64) -> f64 {
    celsius * 1.8 + 32.0
}
