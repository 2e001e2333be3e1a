//! Hoops over a bed: what they are made of, the arch they stand in, how many stand on a bed.

use structure::hoop::Hoop;
use structure::{Arch, Material, Section};

use crate::schema::words::worded;
use crate::stock::SheetKind;

/// A row of like hoops over one bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hoops {
    /// Length of one hoop before bending, m.
    pub length_m: f64,
    /// How much of each end is pushed into the ground, m.
    pub bury_m: f64,
    /// Distance between hoops along the row, m.
    pub spacing_m: f64,
    /// The curve above ground.
    pub arch: Arch,
    /// What it is made of.
    pub material: Material,
    /// Its cross-section.
    pub section: Section,
    /// Whether a purlin on posts runs under the crowns.
    pub purlin: bool,
}

impl Hoops {
    /// Length of the arch above ground, m: length − 2 × bury.
    ///
    /// A 76 in wire with 6 in of each end buried leaves 64 in (common practice, no source).
    #[must_use]
    pub fn arch_m(&self) -> f64 {
        self.arch.length_m()
    }

    /// Distance between the two feet, m.
    #[must_use]
    pub fn span_m(&self) -> f64 {
        self.arch.span_m()
    }

    /// Height of the crown over the feet, m.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        self.arch.rise_m()
    }

    /// Hoops on a bed of a length: one at each end, and none farther from the next than the spacing.
    /// Checked by `hoops::a_bed_of_forty_feet_takes_eleven_hoops_four_feet_apart`.
    #[must_use]
    pub fn count(&self, bed_length_m: f64) -> u32 {
        // A hair of tolerance, so that 40 ft at 4 ft are ten bays.
        (bed_length_m / self.spacing_m - 1e-6).ceil().max(1.0) as u32 + 1
    }

    /// One hoop and its share of a cover of `cloth_kg_m2`, for the questions of [`structure::hoop`].
    #[must_use]
    pub fn under(&self, cloth_kg_m2: f64) -> Hoop {
        Hoop {
            material: self.material,
            section: self.section,
            arch: self.arch,
            spacing_m: self.spacing_m,
            cloth_kg_m2,
            prop: self.purlin,
        }
    }
}

worded!(
    /// Curve of hoops that stay as they are bent.
    pub enum Curve {
        Arc = "arc", "part of a circle";
        HalfEllipse = "half ellipse", "half an ellipse";
        Former = "former", "straight legs, the crown bent round a former; give its radius too";
    }
);

/// Density of polyethylene film, kg/m³ (from memory).
const FILM_KG_M3: f64 = 920.0;
/// Weight of insect net, kg/m² (from memory).
const INSECT_NET_KG_M2: f64 = 0.06;
/// Weight of shade cloth, kg/m² (from memory).
const SHADE_CLOTH_KG_M2: f64 = 0.1;

/// Weight of a cover of so many layers, dry, kg/m².
#[must_use]
pub fn cloth_kg_m2(kind: SheetKind, layers: u32) -> f64 {
    let one = match kind {
        SheetKind::RowCover { weight_g_m2 } => weight_g_m2 / 1000.0,
        SheetKind::Film { thickness_um } => FILM_KG_M3 * thickness_um * 1e-6,
        SheetKind::InsectNet => INSECT_NET_KG_M2,
        SheetKind::ShadeCloth { .. } => SHADE_CLOTH_KG_M2,
    };
    one * f64::from(layers)
}
