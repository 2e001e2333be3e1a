//! Every tunable number of the model: meaning, unit, reason. Physical constants stand in `constants.rs`; numbers without a
//! source named here are choices of this model.

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
pub const SURROUNDINGS_ALBEDO: f64 = 0.2;
/// Roughness length of a garden, m (from memory: short grass and soil .01–.03).
pub const ROUGHNESS_M: f64 = 0.02;
/// Free convection h = C |ΔT|^(1/3) inside, W m⁻² K^(−4/3): the middle of 1.38 to 4.6 in
/// Takakura's list (*Climate under Cover*, Fig. 4.3); sampled over that span.
pub const INSIDE_CONVECTION: f64 = 2.2;
/// Pressure coefficient of wind on a low tunnel, inside to outside (from memory .3–.6).
pub const PRESSURE_COEFFICIENT: f64 = 0.4;
/// Share of the cover through which air enters; as much lets it out.
pub const INFLOW_SHARE: f64 = 0.5;
/// Share of the pressure at each of the two walls that air passes, in and out, both alike.
pub const PRESSURE_A_WALL: f64 = 0.5;
/// Discharge coefficient of a sharp gap.
pub const DISCHARGE: f64 = 0.6;
/// Water that makes a continuous film on cover or leaf, kg per m² of face (from memory, drops of .05 mm).
pub const FULL_FILM_KG_M2: f64 = 0.05;
/// Stomata and skin of a leaf by night, mol of vapour per m² of leaf and second (from memory: .005–.03 of crops in the dark).
pub const NIGHT_STOMATA_MOL_M2_S: f64 = 0.01;
/// What full sun adds to it (from memory: .2–.5 of well-watered crops).
pub const SUNLIT_STOMATA_MOL_M2_S: f64 = 0.35;
/// Leaf water per m² of leaf, kg (from memory: .2–.3 mm leaves).
pub const LEAF_WATER_KG_M2: f64 = 0.25;
/// Heat through touching cloth, W m⁻² K⁻¹ of touched leaf (from memory 5–15).
pub const CONTACT_W_M2_K: f64 = 10.0;
/// Conductance of the gap between two sheets laid together, W m⁻² K⁻¹: still air of ~5 mm.
pub const SHEET_GAP_W_M2_K: f64 = 5.0;
/// Least air speed over leaves, m/s.
pub const LEAST_AIR_M_S: f64 = 0.05;
/// Exchange of the ground with the air at 2 m on a windless night, W m⁻² K⁻¹: middle of its prior. Chosen, to a quarter, on the
/// alfalfa of 2014 and De Bilt from January to March (`docs/limits.md`): bursts of turbulence and drifting air.
pub const STILL_AIR_W_M2_K: f64 = 2.25;
/// Radiation between leaves close to each other, 4σT³ near 5 °C, W m⁻² K⁻¹.
pub const LEAF_RADIATION_W_M2_K: f64 = 5.0;
/// Heat that a layer of leaves lets through per kelvin, W m⁻² K⁻¹: [`LEAF_RADIATION_W_M2_K`] and [`LOWER_AIR_W_M2_K`]. Two
/// centimetres of thatch of .1 W m⁻¹ K⁻¹ are as much as 1.4 layers.
pub const LOWER_LAYER_W_M2_K: f64 = LEAF_RADIATION_W_M2_K + LOWER_AIR_W_M2_K;
/// Of it through the still air between the layers: 25 mW m⁻¹ K⁻¹ over a centimetre or two.
pub const LOWER_AIR_W_M2_K: f64 = 2.0;
/// K, what a leaf takes of diffuse radiation over its area: leaves that lean every way (Campbell & Norman 1998, ch. 15, from
/// memory: .95 in a thin stand to .7 in a dense one).
pub const LEAF_PROJECTION: f64 = 0.8;
/// Ground cover above which plants count no denser.
pub const GREATEST_GROUND_COVER: f64 = 0.98;
/// Least leaf area of the wind's attenuation, m² per m² of ground.
pub const LEAST_LEAF_AREA: f64 = 0.01;
/// Conductivity of settled snow, W m⁻¹ K⁻¹ (from memory: .1 fresh to .35 old; .15–.2 at 220–250 kg/m³).
pub const SNOW_W_M_K: f64 = 0.2;
/// Depth from which snow hides the ground, m (from memory).
pub const FULL_SNOW_M: f64 = 0.03;
/// Emissivity of snow in the long-wave (.97–.99, from memory).
pub const SNOW_EMISSIVITY: f64 = 0.98;
/// Share of the air change through cloth and skirt that is left under full snow (from memory, rough: ends breathe).
pub const SNOW_LEAK_SHARE: f64 = 0.1;
/// Depth that even a trace of snow on one sheet counts with, m: it only keeps two faces apart that are one without snow.
pub const LEAST_SNOW_M: f64 = 1e-4;
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

/// Greatest temperature, above or below 0 °C, at which a step is believed, °C.
pub const GREATEST_TEMPERATURE_C: f64 = 95.0;
/// Height of the weather that drives a bed, m: screen height.
pub const SCREEN_HEIGHT_M: f64 = 2.0;
/// Least height at which the wind over plants or cover is taken, m.
pub const LEAST_LEVEL_M: f64 = 0.1;
/// Greatest such height, m: below the screen.
pub const GREATEST_LEVEL_M: f64 = 1.5;
/// Least logarithm of screen height over the height of plants or cover: keeps the exchange aloft finite.
pub const LEAST_LOG: f64 = 0.25;
/// Size of a clod of soil along the wind, m.
pub const CLOD_M: f64 = 0.1;
/// Air speed inside a cover over the velocity of the air that leaks through it.
pub const INSIDE_SPEED_PER_LEAK: f64 = 2.0;
/// Share of the gaps through which air enters; as much lets it out.
pub const GAP_INFLOW_SHARE: f64 = 0.5;
/// Least wind of the Richardson number, m/s.
pub const LEAST_RICHARDSON_WIND_M_S: f64 = 0.3;
/// Greatest stability factor (from memory).
pub const GREATEST_STABILITY: f64 = 4.0;
/// Greatest long-wave transmissivity of a layer, whatever is drawn.
pub const GREATEST_TRANSMISSIVITY: f64 = 0.95;
/// Least clear-sky emissivity, whatever is drawn.
pub const LEAST_SKY_EMISSIVITY: f64 = 0.4;
/// Least cosine of the zenith angle at which the sun gives light.
pub const LEAST_COS_ZENITH: f64 = 0.01;
/// Least height of the air that stores heat among the plants of an open bed, or under cloth, m.
pub const LEAST_AIR_HEIGHT_M: f64 = 0.02;
/// Height of the air between plants and loose straw, m.
pub const AIR_UNDER_STRAW_M: f64 = 0.03;
/// Least heat capacity of a cover, J m⁻² K⁻¹: keeps the balance solvable.
pub const LEAST_COVER_CAPACITY_J_M2_K: f64 = 1.0;
/// Share of a loose layer's heat capacity that belongs to each of its faces.
pub const FACE_SHARE: f64 = 0.5;
/// Evaporation of soil under mulch over that of bare soil (from memory).
pub const MULCH_SUPPLY: f64 = 0.2;
/// Sunlight at which stomata are wide open, W/m² (from memory).
pub const FULL_STOMATA_W_M2: f64 = 400.0;
/// Faces of a leaf, and of a cover.
pub const FACES: f64 = 2.0;
/// Share of a cover's water that lies on each of its faces.
pub const FILM_SHARE: f64 = 0.5;
/// Least lack of saturation by which a film's supply is divided, kPa.
pub const LEAST_LACK_KPA: f64 = 1e-6;
/// Most water on leaves before it drips, in full films per m² of ground covered: both faces, twice over.
pub const MOST_LEAF_FILMS: f64 = 4.0;
/// Most water on a cover before it drips, in full films per m² of cover: both faces.
pub const MOST_COVER_FILMS: f64 = 2.0;
/// Thickness of the top soil cell, m.
pub const FIRST_CELL_M: f64 = 0.008;
/// Depth of the soil column, m.
pub const COLUMN_DEPTH_M: f64 = 1.0;
/// Cells that a layer of mulch takes at the top.
pub const MULCH_CELLS: usize = 3;
/// Mulch thinner than this is left out, m.
pub const LEAST_MULCH_M: f64 = 0.002;
/// Organic share of the volume above which a soil conducts as peat.
pub const PEAT_ORGANIC_SHARE: f64 = 0.1;
