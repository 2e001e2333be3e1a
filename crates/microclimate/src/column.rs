//! The soil column of a bed, built from its texture, wetness and mulch.

use crate::bed::Bed;
use crate::canopy;
use crate::constants::WATER_DENSITY_KG_M3;
use crate::draws::Draws;
use crate::parameters as p;
use crate::real::Real;
use crate::soil::{CELLS, Cell, Column, thicknesses};
use crate::soil_properties::{capacity_j_m3_k, conductivity_w_m_k};

/// The column of a bed for the wetness of each member: 15 cells to 1 m, mulch in the top three where there is any.
#[must_use]
pub fn build<R: Real>(bed: &Bed, draws: &Draws<R>) -> Column<R> {
    build_for(bed, draws, p::STEP_S)
}

/// The same for another time step, s: how much the step matters (`checks/second`).
#[must_use]
pub fn build_for<R: Real>(bed: &Bed, draws: &Draws<R>, step_s: f64) -> Column<R> {
    let lower = canopy::lower_layers(&bed.canopy) / p::LOWER_LAYER_W_M2_K;
    Column::new(cells(bed, draws), step_s).under_plants(lower)
}

fn cells<R: Real>(bed: &Bed, draws: &Draws<R>) -> [Cell<R>; CELLS] {
    let ground = &bed.ground;
    let litter = ground.litter.filter(|l| l.depth_m > p::LEAST_MULCH_M);
    let above = if litter.is_some() { p::MULCH_CELLS } else { 0 };
    let soil = thicknesses(p::FIRST_CELL_M, p::COLUMN_DEPTH_M, CELLS - above);
    std::array::from_fn(|i| match litter {
        Some(l) if i < above => Cell {
            thickness_m: l.depth_m / above as f64,
            conductivity: R::splat(l.conductivity),
            capacity: R::splat(l.capacity_j_m3_k),
            water_kg_m2: R::splat(0.0),
        },
        _ => {
            let thickness_m = soil[i - above];
            let each = |f: &dyn Fn(f64) -> f64| R::from_lanes(|m| f(draws.saturation.lane(m)));
            Cell {
                thickness_m,
                conductivity: each(&|s| conductivity_w_m_k(ground, s)),
                capacity: each(&|s| capacity_j_m3_k(ground, s)),
                water_kg_m2: each(&|s| WATER_DENSITY_KG_M3 * ground.porosity * s * thickness_m),
            }
        }
    })
}

/// Depth of the middle of every cell below the soil surface, m; mulch cells count as 0.
#[must_use]
pub fn depths_m(bed: &Bed) -> [f64; CELLS] {
    let above = if bed.ground.litter.is_some_and(|l| l.depth_m > p::LEAST_MULCH_M) {
        p::MULCH_CELLS
    } else {
        0
    };
    let soil = thicknesses(p::FIRST_CELL_M, p::COLUMN_DEPTH_M, CELLS - above);
    let mut top = 0.0;
    std::array::from_fn(|i| {
        if i < above {
            return 0.0;
        }
        let middle = top + 0.5 * soil[i - above];
        top += soil[i - above];
        middle
    })
}
