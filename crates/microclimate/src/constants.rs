//! Physical constants and properties of matter: meaning, unit, source. What may be tuned stands in `parameters.rs`.
//!
//! The coefficients of a published formula with many of them (sky, soil conductivity) stand in its function, beside the
//! formula and its source; so do the properties of each kind of cloth, in `cover.rs`.

/// σ, Stefan–Boltzmann constant, W m⁻² K⁻⁴ (CODATA 2018).
pub const STEFAN_BOLTZMANN_W_M2_K4: f64 = 5.670_374e-8;
/// g, acceleration of gravity, m s⁻².
pub const GRAVITY_M_S2: f64 = 9.81;
/// κ, von Kármán's constant.
pub const VON_KARMAN: f64 = 0.4;
/// c_p, specific heat of air at constant pressure, J kg⁻¹ K⁻¹.
pub const AIR_SPECIFIC_HEAT_J_KG_K: f64 = 1005.0;
/// R_d, gas constant of dry air, J kg⁻¹ K⁻¹.
pub const DRY_AIR_GAS_CONSTANT_J_KG_K: f64 = 287.05;
/// Density of air near 5 °C, kg m⁻³; of the flow through cloth and gaps.
pub const AIR_DENSITY_KG_M3: f64 = 1.27;
/// Air temperature of buoyancy, K: near freezing, where it matters.
pub const BUOYANCY_TEMPERATURE_K: f64 = 275.0;
/// Density of liquid water, kg m⁻³.
pub const WATER_DENSITY_KG_M3: f64 = 1000.0;
/// Specific heat of liquid water, J kg⁻¹ K⁻¹.
pub const WATER_SPECIFIC_HEAT_J_KG_K: f64 = 4180.0;
/// Latent heat of vaporisation near 0 °C, J kg⁻¹ (FAO-56: 2.45 MJ at 20 °C; 2.501 at 0 °C).
pub const VAPORISATION_J_KG: f64 = 2.501e6;
/// Latent heat of sublimation over that of vaporisation.
pub const SUBLIMATION_RATIO: f64 = 2.834 / 2.501;
/// Latent heat of fusion, J kg⁻¹.
pub const FUSION_J_KG: f64 = 3.337e5;
/// Specific heat of polypropylene and polyethylene, J kg⁻¹ K⁻¹ (from memory: 1700–1900 and 1900–2300).
pub const POLYMER_SPECIFIC_HEAT_J_KG_K: f64 = 1900.0;
/// Density of loose straw, kg m⁻³ (from memory).
pub const STRAW_DENSITY_KG_M3: f64 = 15.0;
/// Specific heat of straw, J kg⁻¹ K⁻¹ (from memory).
pub const STRAW_SPECIFIC_HEAT_J_KG_K: f64 = 1500.0;
/// Molar conductance to conductance, ρ̂ c_p of air, J mol⁻¹ K⁻¹ (Campbell & Norman 1998).
pub const MOLAR_HEAT_J_MOL_K: f64 = 29.3;
/// Leaves outdoors lose more than plates in a wind tunnel by this factor (Campbell & Norman 1998).
pub const TURBULENCE_FACTOR: f64 = 1.4;
/// Forced laminar exchange of one face of a plate, mol m⁻² s⁻¹ at (u/d)^½ = 1 s^(−½) (Campbell & Norman 1998).
pub const FORCED_PLATE: f64 = 0.135;
/// Free exchange of one face of a plate, mol m⁻² s⁻¹ at (ΔT/d)^¼ = 1 (K/m)^¼ (Campbell & Norman 1998).
pub const FREE_PLATE: f64 = 0.05;
/// Free convection above a warm level face, W m⁻² K^(−4/3): a heated plate facing up, turbulent, in any textbook of heat
/// transfer, from memory.
pub const FREE_ABOVE_PLATE: f64 = 1.52;
/// Convection outside an arched cover h = a + b u^n: a, W m⁻² K⁻¹ (Papadakis 1992, from memory).
pub const PAPADAKIS_STILL_W_M2_K: f64 = 0.95;
/// b of the same, W m⁻² K⁻¹ at 1 m/s.
pub const PAPADAKIS_WIND_W_M2_K: f64 = 6.76;
/// n of the same.
pub const PAPADAKIS_EXPONENT: f64 = 0.49;
/// Pressure at which the permeability of cloth is stated, Pa (textile tests of air permeability, from memory).
pub const PERMEABILITY_TEST_PA: f64 = 200.0;
/// s of the stable stability factor 1/(1 + s Ri (1 + s Ri)): a closed form of Beljaars & Holtslag 1991.
pub const STABLE_SLOPE: f64 = 10.0;
/// r = exp(a − b S) s/m, resistance of a soil surface to vapour at a saturation S of its pores: a (Sellers and others 1992,
/// from memory).
pub const SOIL_RESISTANCE_LOG: f64 = 8.206;
/// b of the same.
pub const SOIL_RESISTANCE_SLOPE: f64 = 4.255;
/// Unstable part √(1 + c |Ri|): c (Louis 1979 in bulk form, from memory).
pub const LOUIS_UNSTABLE: f64 = 16.0;
