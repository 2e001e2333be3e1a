//! A garden's beds and covers as the microclimate sees them.

use garden::bed::{Bed as GardenBed, MulchKind};
use garden::crops::{self, Stage};
use garden::fit::{Cloth, Cover as Fit, Placement};
use garden::garden::{Garden, Texture};
use garden::lying::Opening;
use garden::stock::SheetKind;
use microclimate::bed::{Bed, Canopy, Ground, Litter};
use microclimate::cover::{Cover, Fabric, Shape};
use quantities::moist_air::pressure_kpa;

use crate::constants::{LOOSE_STRAW_W_M_K, SKIRT_GAP_M};

/// The bed as physics.
#[must_use]
pub fn bed(garden: &Garden, bed: &GardenBed, wind_height_m: f64) -> Bed {
    let cover = bed.plantings.iter().map(|p| p.ground_cover).fold(0.0, f64::max);
    let height = bed.plantings.iter().map(|p| p.height_m).fold(0.02, f64::max);
    Bed {
        ground: ground(garden.site.soil, bed),
        canopy: Canopy {
            height_m: height,
            ground_cover: cover.clamp(0.02, 0.95),
            leaf_m: (0.3 * height).clamp(0.02, 0.08),
            alive: true,
        },
        wind_height_m,
        pressure_kpa: pressure_kpa(garden.place.elevation_m),
    }
}

/// Porosity, quartz, bulk density, organic share and coarseness by texture (from memory).
fn ground(texture: Texture, bed: &GardenBed) -> Ground {
    let (porosity, quartz, bulk_density_kg_m3, organic, coarse) = match texture {
        Texture::Sand => (0.40, 0.9, 1600.0, 0.01, true),
        Texture::SandyLoam => (0.43, 0.6, 1500.0, 0.02, true),
        Texture::Loam => (0.46, 0.4, 1400.0, 0.02, false),
        Texture::SiltLoam => (0.48, 0.25, 1350.0, 0.03, false),
        Texture::ClayLoam => (0.49, 0.35, 1350.0, 0.03, false),
        Texture::Clay => (0.51, 0.25, 1300.0, 0.03, false),
        Texture::Peat => (0.80, 0.0, 250.0, 0.18, false),
    };
    let film =
        matches!(bed.mulch.map(|m| m.kind), Some(MulchKind::BlackFilm | MulchKind::ClearFilm));
    // Conductivity and heat capacity of loose layers (from memory).
    let litter = bed.mulch.filter(|_| !film).map(|m| {
        let (conductivity, capacity_j_m3_k) = match m.kind {
            MulchKind::Compost => (0.25, 1.0e6),
            MulchKind::Chips => (0.10, 3.0e5),
            _ => (0.07, 1.0e5),
        };
        Litter { depth_m: m.depth_m, conductivity, capacity_j_m3_k }
    });
    let albedo = match bed.mulch.map(|m| m.kind) {
        Some(MulchKind::Straw) => 0.30,
        Some(MulchKind::BlackFilm) => 0.06,
        Some(MulchKind::ClearFilm) => 0.20,
        Some(_) => 0.15,
        None => 0.17,
    };
    Ground {
        porosity,
        quartz,
        bulk_density_kg_m3,
        organic,
        coarse,
        litter,
        emissivity: 0.95,
        albedo,
        evaporates: !film,
    }
}

/// A fitted cover as physics.
#[must_use]
pub fn cover(fit: &Fit, bed: &GardenBed) -> Cover {
    let tall = bed.plantings.iter().map(|p| p.height_m).fold(0.05, f64::max);
    let bloom = bed.plantings.iter().any(|p| matches!(p.stage, Stage::Bloom(_)));
    let shape = match fit.lie {
        Placement::LooseMulch { depth_m } => {
            return Cover::Loose { depth_m, conductivity: LOOSE_STRAW_W_M_K };
        }
        Placement::LowTunnel { span_m, arch_m, rise_m }
        | Placement::PopUp { span_m, arch_m, rise_m } => {
            // Both ends add a half-ellipse each.
            let ends = std::f64::consts::FRAC_PI_2 * rise_m * span_m / (span_m * bed.length_m);
            // The area under the arch over its span; a ready-made tunnel is taken for half an ellipse.
            let hoops = bed.hoops.filter(|_| matches!(fit.lie, Placement::LowTunnel { .. }));
            let mean_height_m = hoops
                .map_or(std::f64::consts::FRAC_PI_4 * rise_m, |h| h.arch.area_m2() / h.span_m());
            Shape {
                area_ratio: (arch_m / span_m + ends).max(1.0),
                mean_height_m,
                crown_m: rise_m,
                gap_ratio: 2.0 * SKIRT_GAP_M / span_m,
                contact: if tall > rise_m - 0.05 { 0.3 } else { 0.0 },
            }
        }
        // Cloth on the plants: flowers, held up to the cloth, touch it most (common practice, no source).
        Placement::Floating => Shape {
            area_ratio: 1.0,
            mean_height_m: (0.8 * tall).max(0.03),
            crown_m: tall,
            gap_ratio: 2.0 * SKIRT_GAP_M / bed.width_m,
            contact: if bloom { 0.6 } else { 0.4 },
        },
        Placement::Drape => Shape {
            area_ratio: 1.0 + tall / bed.width_m.max(0.3),
            mean_height_m: 0.6 * tall,
            crown_m: tall,
            gap_ratio: 2.0 * SKIRT_GAP_M / bed.width_m,
            contact: 0.5,
        },
    };
    let fabric = fit.cloth.map_or_else(Fabric::insect_net, fabric);
    Cover::Cloth { fabric, layers: fit.layers.clamp(1, 2), shape }
}

/// A cover as it lies: pulled to one side it keeps nothing; with its ends open air goes through both.
///
/// Each end is taken for half an ellipse, ¼π h b; gap per ground + 2 · ¼π h b/(b L); the cover less the same. A cover that lies
/// on the plants has no ends: lifted at its foot it counts as torn (from memory).
#[must_use]
pub fn as_it_lies(fit: &Fit, opening: Opening, bed: &GardenBed) -> Option<Cover> {
    let cover = self::cover(fit, bed);
    match (opening, cover) {
        (Opening::HalfOff, _) => None,
        (Opening::EndsOpen, Cover::Cloth { fabric, layers, mut shape }) => {
            let (Placement::LowTunnel { rise_m, .. } | Placement::PopUp { rise_m, .. }) = fit.lie
            else {
                return Some(Cover::Cloth { fabric: fabric.with_holes(0.05), layers, shape });
            };
            let ends = std::f64::consts::FRAC_PI_2 * rise_m / bed.length_m;
            shape.area_ratio = (shape.area_ratio - ends).max(1.0);
            shape.gap_ratio += ends;
            Some(Cover::Cloth { fabric, layers, shape })
        }
        (_, cover) => Some(cover),
    }
}

fn fabric(cloth: Cloth) -> Fabric {
    let whole = match cloth.kind {
        SheetKind::RowCover { weight_g_m2 } => Fabric::row_cover(weight_g_m2),
        SheetKind::Film { thickness_um } => Fabric::film(thickness_um),
        SheetKind::InsectNet => Fabric::insect_net(),
        SheetKind::ShadeCloth { shade } => Fabric::shade_cloth(shade),
    };
    // Good cloth is taken as it is, bit for bit.
    if cloth.open_share > 0.0 { whole.with_holes(cloth.open_share) } else { whole }
}

/// Whether a planting's tissue is in the soil.
#[must_use]
pub fn in_soil(stage: Stage) -> bool {
    stage == Stage::SeedBed
}

/// Words for a planting: crop and stage.
#[must_use]
pub fn planting_words(planting: &garden::planting::Planting) -> String {
    let (crop, stage) =
        (crops::name(planting.crop), crops::stage_word(planting.crop, planting.stage));
    format!("{crop}, {stage}")
}
