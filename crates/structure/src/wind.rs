//! Wind: dynamic pressure, and how it presses and sucks at an arch that springs from the ground.

use crate::constants::{
    CENTRE_COEFFICIENT, GREATEST_RISE_RATIO, LEEWARD_COEFFICIENT, QUARTER, WINDWARD_PER_RISE,
};
use crate::load::Load;
use crate::outline::Outline;

/// Dynamic pressure q = ½ ρ V², Pa, of wind at the height of the hoops. Checked by `loads::wind_pressures`.
/// Equation 28 of docs/science.md.
#[must_use]
pub fn dynamic_pressure_pa(air_kg_m3: f64, wind_m_s: f64) -> f64 {
    0.5 * air_kg_m3 * wind_m_s * wind_m_s
}

/// Wind with the dynamic pressure `q_pa`, m/s.
#[must_use]
pub fn wind_m_s(air_kg_m3: f64, q_pa: f64) -> f64 {
    (2.0 * q_pa / air_kg_m3).sqrt()
}

/// Pressure coefficients of the windward quarter, the centre half and the leeward quarter of the span, inwards positive.
///
/// Arch springing from the ground, r = rise/span up to 0.6: 1.4 r, −0.7 − r, −0.5 (ASCE 7, curved roofs, from memory;
/// EN 1991-1-4 figure 7.11 has +0.8, −1.2, −0.4 at r = 0.5, from memory). Beyond 0.6 the values of 0.6 are held, which
/// no source supports. They are for tight cladding and nothing is taken off for nets or open cloth: full-scale trials
/// (Robertson et al. 2002, abstract read) found lower net pressures, but no numbers were seen.
/// Checked by `loads::wind_coefficients_of_a_half_circle`.
/// Equation 29 of docs/science.md.
#[must_use]
pub fn pressure_coefficients(rise_over_span: f64) -> [f64; 3] {
    let r = rise_over_span.clamp(0.0, GREATEST_RISE_RATIO);
    [WINDWARD_PER_RISE * r, CENTRE_COEFFICIENT - r, LEEWARD_COEFFICIENT]
}

/// Wind of dynamic pressure `q_pa` from the left on hoops `spacing_m` apart; no pressure from within.
#[must_use]
pub fn crosswind(outline: &Outline, rise_m: f64, q_pa: f64, spacing_m: f64) -> Load {
    let [windward, centre, leeward] = pressure_coefficients(rise_m / outline.span_m());
    Load::pressure(outline, |x| {
        let coefficient = match x {
            x if x < QUARTER => windward,
            x if x < 1.0 - QUARTER => centre,
            _ => leeward,
        };
        coefficient * q_pa * spacing_m
    })
}

/// Upward pull on the windward and the leeward edge of one metre of tunnel at dynamic pressure `q_pa`, N/m.
///
/// The tunnel is taken as one rigid piece held at both edges; moments about each edge give the pull on the other.
/// Its own weight is left out. Checked by `anchors::uplift_of_a_half_circle_by_hand`.
/// Equation 30 of docs/science.md.
#[must_use]
pub fn uplift_n_m(outline: &Outline, rise_m: f64, q_pa: f64) -> [f64; 2] {
    let half = 0.5 * outline.span_m();
    let load = crosswind(outline, rise_m, q_pa, 1.0);
    let (mut about_right, mut about_left) = (0.0, 0.0);
    for ((a, b), push) in outline.pieces().zip(load.inward_n_m()) {
        let (fx, fz) = (push * (b.z_m - a.z_m), push * (a.x_m - b.x_m));
        let (x, z) = (0.5 * (a.x_m + b.x_m), 0.5 * (a.z_m + b.z_m));
        about_right += fz * (half - x) + fx * z;
        about_left += fz * (half + x) - fx * z;
    }
    [about_right / (2.0 * half), about_left / (2.0 * half)]
}
