//! Physical constants: symbol, value, unit, source.

/// σ, Stefan–Boltzmann constant, W m⁻² K⁻⁴ (CODATA 2018).
pub const STEFAN_BOLTZMANN_W_M2_K4: f64 = 5.670_374e-8;
