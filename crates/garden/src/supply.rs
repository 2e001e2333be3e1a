//! What can be bought, at the grower's own prices, and what may be spent.

use structure::{Material, Section};

use crate::stock::SheetKind;

/// Everything on offer; empty where the garden file says nothing.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Supply {
    /// Wire and rods to cut hoops from.
    pub rods: Vec<RodRoll>,
    /// Cloth, net and film to cut sheets from.
    pub cloths: Vec<ClothRoll>,
    /// Price of a pin.
    pub pin_price: Option<f64>,
    /// Price of a clip.
    pub clip_price: Option<f64>,
    /// What may be spent in a year.
    pub budget: Option<f64>,
    /// Over how many years the kit may be bought, 1 to 10.
    pub years: u32,
}

/// A coil of wire, or a length of rod or pipe.
#[derive(Clone, Debug, PartialEq)]
pub struct RodRoll {
    /// What the grower calls it.
    pub name: String,
    /// What it is made of.
    pub material: Material,
    /// Its cross-section.
    pub section: Section,
    /// Length of one coil or piece, m.
    pub length_m: f64,
    /// Price of one.
    pub price: Option<f64>,
    /// At most so many to be had; `None` where there is no limit.
    pub at_most: Option<u32>,
}

/// A roll of cloth, net or film, or a ready-cut sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothRoll {
    /// What the grower calls it.
    pub name: String,
    /// What it is.
    pub kind: SheetKind,
    /// Across the roll, m.
    pub width_m: f64,
    /// Along the roll, m.
    pub length_m: f64,
    /// Price of one roll.
    pub price: Option<f64>,
    /// At most so many to be had; `None` where there is no limit.
    pub at_most: Option<u32>,
    /// Seasons it lasts here, where the grower knows; else [`seasons`].
    pub lasts_seasons: Option<f64>,
}

/// Seasons a cover lasts when it is stored dry and safe from mice.
///
/// Row cover to 25 g/m² one, to 35 g/m² two, heavier three; insect net five; shade cloth seven; film two (common practice,
/// no source: growers and makers differ by half).
#[must_use]
pub fn seasons(kind: SheetKind) -> f64 {
    match kind {
        SheetKind::RowCover { weight_g_m2 } if weight_g_m2 <= 25.0 => 1.0,
        SheetKind::RowCover { weight_g_m2 } if weight_g_m2 <= 35.0 => 2.0,
        SheetKind::RowCover { .. } => 3.0,
        SheetKind::InsectNet => 5.0,
        SheetKind::ShadeCloth { .. } => 7.0,
        SheetKind::Film { .. } => 2.0,
    }
}

/// Seasons that wire, rods, pins and clips last (steel and glass ten, pipe five; common practice, no source).
#[must_use]
pub fn rod_seasons(material: Material) -> f64 {
    match material {
        Material::PvcPipe | Material::PePipe => 5.0,
        _ => 10.0,
    }
}
