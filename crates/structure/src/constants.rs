//! Every number of this room: meaning, unit, source. What each material, snow and ground is like stands in its own table:
//! `material.rs`, `snow.rs`, `anchors.rs`, `wire_gauge.rs`.

use crate::range::{Range, Trust};

/// Standard gravity g, m/s² (definition, General Conference on Weights and Measures 1901).
pub const GRAVITY_M_S2: f64 = 9.806_65;
/// One inch, m (exact).
pub const INCH_M: f64 = 0.0254;
/// Density ρ of air at 15 °C and sea level, kg/m³ (ICAO standard atmosphere; gives q = 0.613 V²).
pub const AIR_KG_M3: f64 = 1.225;
/// Slope beyond which snow slides off smooth cloth, degrees (EN 1991-1-3: no snow on roofs steeper than 60°,
/// from memory).
pub const SLIDES_DEG: f64 = 60.0;
/// Share of the even load that lies on the lighter side of a drift (EN 1991-1-3, from memory).
pub const DRIFT_SHARE: f64 = 0.5;
/// Water that hangs in spun cloth after rain, kg/m² (no source: soak a piece, let it drip, weigh it).
pub const CLOTH_WATER_KG_M2: (Range, Trust) = (Range::new(0.05, 0.1, 0.3), Trust::CommonPractice);
/// Share α of the shear strength that sticks to smooth wire (from memory of pile practice in clay).
pub const ADHESION: f64 = 0.5;

/// Windward pressure coefficient over rise/span (ASCE 7, curved roofs springing from the ground, from memory).
pub const WINDWARD_PER_RISE: f64 = 1.4;
/// Pressure coefficient of the centre half at no rise; the rise over the span is taken off (the same).
pub const CENTRE_COEFFICIENT: f64 = -0.7;
/// Pressure coefficient of the leeward quarter (the same).
pub const LEEWARD_COEFFICIENT: f64 = -0.5;
/// Greatest rise/span of those coefficients; beyond it they are held, which no source supports.
pub const GREATEST_RISE_RATIO: f64 = 0.6;
/// Share of the span of the windward and of the leeward part (the same).
pub const QUARTER: f64 = 0.25;

/// Pieces into which a hoop is cut: the error falls with their square and is below ½ % here.
/// Checked by `hoop::twice_the_pieces_change_little`.
pub const PIECES: usize = 64;
/// Most pieces of an outline.
pub const MOST_PIECES: usize = 4096;
/// Parts of a piece at which a distributed load is read.
pub const LOAD_PARTS: u32 = 16;
/// Pieces of Simpson's rule for the area under a hoop; even.
pub const AREA_PIECES: usize = 512;
/// Halvings of a bracket around a root: finer than double precision.
pub const HALVINGS: usize = 100;
/// Sizes of hoops that are taken, m.
pub const SIZES_M: (f64, f64) = (1e-3, 100.0);

/// Most iterations of Newton's method in one step of load.
pub const MOST_ITERATIONS: usize = 14;
/// Most steps of load tried in one analysis.
pub const MOST_STEPS: usize = 250;
/// Steps smaller than this part of the load end the analysis.
pub const SMALLEST_STEP: f64 = 2e-4;
/// Steps smaller than this part of the first one end the analysis.
pub const VANISHING_STEP: f64 = 1e-12;
/// Movement that the first step aims at, over the rise or a quarter of the span.
pub const FIRST_MOVE: f64 = 0.03;
/// Most movement in one step, in first movements: so that no point jumps to another shape.
pub const MOST_MOVES: f64 = 4.0;
/// Share of the span that stands for the rise of flat hoops and beams.
pub const FLAT_SHARE: f64 = 0.25;
/// Movement at which a hoop counts as flattened, over that size.
pub const FLATTENED_SHARE: f64 = 0.5;
/// A step that converged in at most so many iterations makes the next one longer.
pub const EASY_ITERATIONS: usize = 5;
/// By this factor.
pub const LONGER: f64 = 1.6;
/// A step that failed is tried again, shorter by this factor.
pub const SHORTER: f64 = 0.4;
/// Most trials to find the load of first yield.
pub const YIELD_TRIALS: usize = 12;
/// First yield is found when the utilisation is this close to 1.
pub const YIELD_TOLERANCE: f64 = 1e-4;
/// Least and greatest part of a bracket at which false position looks.
pub const BRACKET_PARTS: (f64, f64) = (0.02, 0.98);
/// Unbalanced force that counts as none, over E I/L².
pub const SMALL_BENDING: f64 = 1e-7;
/// And over E A L/shortest link, for rounding.
pub const SMALL_ROUNDING: f64 = 1e-14;
