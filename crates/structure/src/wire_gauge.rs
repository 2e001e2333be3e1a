//! The US steel wire gauge (Washburn & Moen); other gauge systems differ.

use crate::constants::INCH_M;
use crate::error::Error;
use crate::section::Section;

/// Gauge and diameter in inches (steel wire gauge, from memory; 12½ is a gauge of the fence trade).
/// Checked by `sections::the_wire_gauge_table`.
pub const STEEL_WIRE_IN: [(f64, f64); 10] = [
    (6.0, 0.1920),
    (7.0, 0.1770),
    (8.0, 0.1620),
    (9.0, 0.1483),
    (10.0, 0.1350),
    (11.0, 0.1205),
    (12.0, 0.1055),
    (12.5, 0.0990),
    (13.0, 0.0915),
    (14.0, 0.0800),
];

/// Section of wire of a gauge of [`STEEL_WIRE_IN`].
///
/// # Errors
/// [`Error::UnknownGauge`] with the nearest gauges on either side.
pub fn wire(gauge: f64) -> Result<Section, Error> {
    let [(thickest, _), .., (thinnest, _)] = STEEL_WIRE_IN;
    let (mut thicker, mut thinner) = (thickest, thinnest);
    for (known, diameter_in) in STEEL_WIRE_IN {
        if known == gauge {
            return Section::round(diameter_in * INCH_M);
        }
        if known < gauge {
            thicker = known;
        } else if known > gauge {
            thinner = thinner.min(known);
        }
    }
    Err(Error::UnknownGauge { gauge, thicker: thicker.min(thinner), thinner })
}
