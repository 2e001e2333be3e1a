//! Every tunable number of the model: meaning, unit, reason. Nothing numeric hides in a formula.

/// Time step, s.
pub const STEP_S: f64 = 600.0;
/// Greatest energy-budget residual of a step, W/m²; above it the step is an error.
pub const BUDGET_LIMIT_W_M2: f64 = 0.1;
/// Residual at which the surface solver stops, W/m².
pub const SOLVED_W_M2: f64 = 0.01;
/// Newton iterations before the step is an error.
pub const MOST_ITERATIONS: usize = 12;
/// Leaf emissivity in the long-wave (Campbell & Norman 1998: .94–.99, from memory).
pub const LEAF_EMISSIVITY: f64 = 0.96;
/// Leaf absorptivity for sunlight (1 − albedo .25 of a green crop; FAO-56 takes .23).
pub const LEAF_SUN_ABSORPTIVITY: f64 = 0.77;
/// Albedo of what lies beside the bed.
pub const BESIDE_ALBEDO: f64 = 0.2;
/// Roughness length of a garden, m (from memory: short grass and soil .01–.03).
pub const ROUGHNESS_M: f64 = 0.02;
/// Free convection h = C |ΔT|^(1/3) inside, W m⁻² K^(−4/3): the middle of 1.38 to 4.6 in
/// Takakura's list (*Climate under Cover*, Fig. 4.3); sampled over that span.
pub const INSIDE_CONVECTION: f64 = 2.2;
/// Pressure coefficient of wind on a low tunnel, inside to outside (from memory .3–.6).
pub const PRESSURE_COEFFICIENT: f64 = 0.4;
/// Share of the cover through which air enters; as much lets it out.
pub const INFLOW_SHARE: f64 = 0.5;
/// Discharge coefficient of a sharp gap.
pub const DISCHARGE: f64 = 0.6;
/// Water that makes a continuous film on cover or leaf, kg per m² of face (from memory, drops of .05 mm).
pub const FULL_FILM_KG_M2: f64 = 0.05;
/// Night transpiration: share of free evaporation a dry leaf gives (stomata nearly closed, from memory).
pub const DRY_LEAF_SUPPLY: f64 = 0.04;
/// Day transpiration share of a dry leaf in full sun.
pub const SUNLIT_LEAF_SUPPLY: f64 = 0.35;
/// Leaf water per m² of leaf, kg (from memory: .2–.3 mm leaves).
pub const LEAF_WATER_KG_M2: f64 = 0.25;
/// Heat through touching cloth, W m⁻² K⁻¹ of touched leaf (from memory 5–15).
pub const CONTACT_W_M2_K: f64 = 10.0;
/// Conductance of the gap between two sheets laid together, W m⁻² K⁻¹: still air of ~5 mm.
pub const SHEET_GAP_W_M2_K: f64 = 5.0;
/// Least air speed over leaves, m/s.
pub const LEAST_AIR_M_S: f64 = 0.05;
/// Exchange with the air above on a windless night, W m⁻² K⁻¹: middle of its prior. Chosen so that leaves over an
/// insulating mulch run 3 to 5 K below the air at 2 m on a clear calm night (grass minima, from memory).
pub const STILL_AIR_W_M2_K: f64 = 5.0;
/// Conductivity of settled snow, W m⁻¹ K⁻¹ (from memory: .1 fresh to .35 old; .15–.2 at 220–250 kg/m³).
pub const SNOW_W_M_K: f64 = 0.2;
/// Depth from which snow hides the ground, m (from memory).
pub const FULL_SNOW_M: f64 = 0.03;
/// Absorptivity of snow for sunlight (1 − albedo .75 of snow some days old, from memory: fresh .85, old .5).
pub const SNOW_SUN_ABSORPTIVITY: f64 = 0.25;
/// Emissivity of loose straw in the long-wave (dry plant matter .90–.97, from memory).
pub const STRAW_EMISSIVITY: f64 = 0.95;
/// Absorptivity of dry straw for sunlight (1 − albedo .30, from memory: fresh straw .3–.4, weathered less).
pub const STRAW_SUN_ABSORPTIVITY: f64 = 0.70;
/// Air that finds its way through loose straw 1 m deep, W m⁻¹ K⁻¹; through another depth inversely, as Darcy's law has it
/// (from memory: 2 W m⁻² K⁻¹ through 10 cm).
pub const LOOSE_LEAK_W_M_K: f64 = 0.2;
/// Least exchange inside a cover when all is equally warm, W m⁻² K⁻¹ (conduction over a few centimetres of air).
pub const STILL_INSIDE_W_M2_K: f64 = 0.3;
