//! What a black body emits, and how warm one is that emits so much.

use quantities::units::ZERO_CELSIUS_K;

use crate::constants::STEFAN_BOLTZMANN_W_M2_K4;
use crate::real::Real;

/// Emission σ (T + 273.15)⁴, W/m², and its slope, W m⁻² K⁻¹.
#[inline(always)]
pub fn emission<R: Real>(celsius: R) -> (R, R) {
    let k = celsius + ZERO_CELSIUS_K;
    let k3 = k * k * k;
    (k3 * k * STEFAN_BOLTZMANN_W_M2_K4, k3 * (4.0 * STEFAN_BOLTZMANN_W_M2_K4))
}

/// Temperature of a black body that emits `flux` W/m², (flux/σ)^¼ − 273.15, °C: [`emission`] turned round. Range: flux ≥ 0.
/// Checked by `laws::a_black_body_temperature_comes_back`.
#[inline(always)]
pub fn black_body_temperature_c<R: Real>(flux: R) -> R {
    (flux / STEFAN_BOLTZMANN_W_M2_K4).sqrt().sqrt() - ZERO_CELSIUS_K
}
