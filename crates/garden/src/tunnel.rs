//! The low tunnel of one bed: its measures, what fits, what it stands, and what would stand more.

use crate::bed::Bed;
use crate::fit::{Cover, Placement, ROLL_BEYOND_M, covers};
use crate::garden::Garden;
use crate::hoops::{Hoops, cloth_kg_m2};
use structure::constants::{AIR_KG_M3, CLOTH_WATER_KG_M2};
use structure::hoop::Hoop;
use structure::range::Range;
use structure::snow::Snow;
use structure::wire_gauge::wire;
use structure::{Error, Material};

use crate::stands::{depths_m, pins_hold_m_s};

/// What the grower wants the hoops to stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// Fresh snow, m.
    pub snow_m: f64,
    /// Gust, m/s.
    pub gust_m_s: f64,
}

/// Everything about the hoops of one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Tunnel {
    /// Name of the bed.
    pub bed: String,
    /// Its length and width, m.
    pub bed_m: (f64, f64),
    /// The hoops.
    pub hoops: Hoops,
    /// How many stand on the bed.
    pub count: u32,
    /// Air under the cover, m³.
    pub volume_m3: f64,
    /// Cover area over ground area, ends left out.
    pub cover_to_ground: f64,
    /// How the rod takes its shape.
    pub bend: Bend,
    /// Sheet that covers it with a good skirt and gathered ends: across and along, m.
    pub sheet_m: (f64, f64),
    /// Skirt on each side of that sheet, m.
    pub skirt_m: f64,
    /// Pins along each side, and one more at each end.
    pub pins_a_side: u32,
    /// Sheets of the stock that go over these hoops, by index, with how they lie.
    pub fits: Vec<Cover>,
    /// Weight of the cloth that the limits are computed with, dry, kg/m².
    pub cloth_kg_m2: f64,
    /// As it stands.
    pub limits: Limits,
    /// What could be done instead, each with its limits.
    pub instead: Vec<(Change, Limits)>,
    /// Spacing at which these hoops stand the wished snow and gust, m: low and central.
    pub spacing_for: [Range; 2],
}

/// How a rod takes its shape.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bend {
    /// Least radius of the curve as it stands, m.
    pub least_radius_m: f64,
    /// Least radius that the rod takes without a lasting bend, m.
    pub least_elastic_radius_m: f64,
    /// Radius of the former round which it has to be bent, m; `None` for what springs into its curve.
    pub former_radius_m: Option<f64>,
    /// Whether a rod that springs back would be bent beyond its strength.
    pub too_tight: bool,
}

/// What hoops and pins stand.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Fresh, settled and wet snow at which hoops begin to keep a set, m.
    pub snow_yields_m: [Range; 3],
    /// Fresh, settled and wet snow under which they give way, m.
    pub snow_collapses_m: [Range; 3],
    /// Gust at which hoops begin to keep a set, m/s.
    pub gust_yields_m_s: Range,
    /// Gust that pushes them flat, m/s.
    pub gust_collapses_m_s: Range,
    /// Gust at which pins let go, m/s.
    pub pins_m_s: Option<Range>,
}

/// Something to do instead.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Another spacing, m.
    Spacing(f64),
    /// Wire of another gauge.
    Gauge(f64),
    /// A purlin on posts under the crowns.
    Purlin,
}

/// Kinds of snow that limits are given for.
pub const SNOWS: [Snow; 3] = [Snow::Fresh, Snow::Settled, Snow::Wet];

/// Cloth taken where the stock holds none that fits, kg/m²: a common middle weight (30 g/m²).
const USUAL_CLOTH_KG_M2: f64 = 0.03;

/// The tunnel of a bed; `None` where it has no hoops. Checked by `tunnel::the_demo_bed_by_hand`.
///
/// # Errors
/// [`structure::Error`] where a size lies outside what the formulas hold for.
pub fn low_tunnel(garden: &Garden, bed: &Bed, wish: &Wish) -> Result<Option<Tunnel>, Error> {
    let Some(hoops) = bed.hoops else { return Ok(None) };
    let fits: Vec<Cover> = covers(garden, bed)
        .into_iter()
        .filter(|c| matches!(c.lie, Placement::LowTunnel { .. }))
        .collect();
    let cloth = fits
        .iter()
        .filter_map(|c| Some(cloth_kg_m2(c.cloth?.kind, c.layers)))
        .fold(f64::NEG_INFINITY, f64::max);
    let cloth = if cloth.is_finite() { cloth } else { USUAL_CLOTH_KG_M2 };
    let wet = hoops.under(cloth + CLOTH_WATER_KG_M2.0.central);
    let spacing_for = [
        wet.spacing_for_snow_m(wish.snow_m, Snow::Fresh)?.collapses,
        hoops.under(cloth).spacing_for_gust_m(wish.gust_m_s, AIR_KG_M3)?.collapses,
    ];
    let instead = changes(&hoops)
        .into_iter()
        .map(|(change, hoops)| Ok((change, limits(garden, bed, &hoops, cloth)?)))
        .collect::<Result<_, Error>>()?;
    let skirt_m = ROLL_BEYOND_M;
    Ok(Some(Tunnel {
        bed: bed.name.clone(),
        bed_m: (bed.length_m, bed.width_m),
        hoops,
        count: hoops.count(bed.length_m),
        volume_m3: hoops.arch.area_m2() * bed.length_m,
        cover_to_ground: hoops.arch_m() / hoops.span_m(),
        bend: bend(&hoops)?,
        sheet_m: (hoops.arch_m() + 2.0 * skirt_m, bed.length_m + 2.0 * hoops.rise_m()),
        skirt_m,
        pins_a_side: hoops.count(bed.length_m),
        fits,
        cloth_kg_m2: cloth,
        limits: limits(garden, bed, &hoops, cloth)?,
        instead,
        spacing_for,
    }))
}

/// What hoops under a cloth stand, and the pins that go with their number.
fn limits(garden: &Garden, bed: &Bed, hoops: &Hoops, cloth: f64) -> Result<Limits, Error> {
    let snow = hoops.under(cloth + CLOTH_WATER_KG_M2.0.central).snow_pa()?;
    let gust = hoops.under(cloth).gust_m_s(AIR_KG_M3)?;
    let pins = 2 * hoops.count(bed.length_m) + 2;
    let lie = Placement::LowTunnel {
        span_m: hoops.span_m(),
        arch_m: hoops.arch_m(),
        rise_m: hoops.rise_m(),
    };
    Ok(Limits {
        snow_yields_m: SNOWS.map(|kind| Hoop::snow_depth_m(snow, kind).yields),
        snow_collapses_m: SNOWS.map(|kind| depths_m(snow, kind)),
        gust_yields_m_s: gust.yields,
        gust_collapses_m_s: gust.collapses,
        pins_m_s: pins_hold_m_s(garden, bed, &lie, pins)?,
    })
}

/// Half and one and a half the spacing, the next two thicker wires, a purlin.
fn changes(hoops: &Hoops) -> Vec<(Change, Hoops)> {
    let mut out = Vec::new();
    for share in [0.5, 1.5, 2.0] {
        let spacing_m = share * hoops.spacing_m;
        if (0.1..=4.0).contains(&spacing_m) {
            out.push((Change::Spacing(spacing_m), Hoops { spacing_m, ..*hoops }));
        }
    }
    if matches!(hoops.material, Material::SoftWire | Material::SpringWire) {
        let thicker = [9.0, 8.0, 6.0].into_iter().filter_map(|g| Some((g, wire(g).ok()?)));
        for (gauge, section) in
            thicker.filter(|(_, s)| s.outer_m() > 1.01 * hoops.section.outer_m())
        {
            out.push((Change::Gauge(gauge), Hoops { section, ..*hoops }));
        }
    }
    if !hoops.purlin {
        out.push((Change::Purlin, Hoops { purlin: true, ..*hoops }));
    }
    out
}

fn bend(hoops: &Hoops) -> Result<Bend, Error> {
    let properties = hoops.material.properties();
    let rod = hoops.under(0.0).rod(properties.yield_pa.central);
    let least_radius_m = 1.0 / hoops.arch.greatest_curvature_per_m();
    let least_elastic_radius_m = rod.least_elastic_radius_m();
    let former_radius_m =
        if properties.keeps_shape { Some(rod.former_radius_m(least_radius_m)?) } else { None };
    Ok(Bend {
        least_radius_m,
        least_elastic_radius_m,
        former_radius_m,
        too_tight: !properties.keeps_shape && least_radius_m < least_elastic_radius_m,
    })
}
