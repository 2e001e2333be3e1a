//! Units as the services write them, to the unit of the field.

use quantities::units::{INCH_M, KNOT_M_S, MPH_M_S};

use crate::timeline::Quantity;

/// Factor and offset from `unit` to the unit of `quantity`: value × factor + offset.
pub fn conversion(quantity: Quantity, unit: &str) -> Option<(f64, f64)> {
    use Quantity as Q;
    let unit = unit.trim_start_matches("wmoUnit:").trim_start_matches("unit:");
    match quantity {
        Q::AirTemperature | Q::DewPoint => match unit {
            "degC" | "°C" | "C" | "celsius" => Some((1.0, 0.0)),
            "degF" | "°F" | "F" | "fahrenheit" => Some((1.0 / 1.8, -32.0 / 1.8)),
            _ => None,
        },
        Q::RelativeHumidity | Q::Cloud => match unit {
            "percent" | "%" => Some((0.01, 0.0)),
            _ => None,
        },
        Q::WindSpeed | Q::WindGust => match unit {
            "m_s-1" | "m/s" | "ms" => Some((1.0, 0.0)),
            "km_h-1" | "km/h" | "kmh" => Some((1.0 / 3.6, 0.0)),
            "mph" | "mp/h" => Some((MPH_M_S, 0.0)),
            "kn" | "kt" => Some((KNOT_M_S, 0.0)),
            _ => None,
        },
        Q::Shortwave => match unit {
            "W/m²" | "W/m2" => Some((1.0, 0.0)),
            _ => None,
        },
        Q::Precipitation => match unit {
            "mm" => Some((1.0, 0.0)),
            "inch" | "in" => Some((1000.0 * INCH_M, 0.0)),
            _ => None,
        },
        Q::Snowfall => match unit {
            "mm" => Some((0.001, 0.0)),
            "cm" => Some((0.01, 0.0)),
            "m" => Some((1.0, 0.0)),
            "inch" | "in" => Some((INCH_M, 0.0)),
            _ => None,
        },
    }
}
