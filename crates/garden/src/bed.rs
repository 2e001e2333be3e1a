//! A bed: its size, its ground, its hoops, what grows in it, what lies over it now.

use crate::hoops::Hoops;
use crate::need::Need;
use crate::planting::Planting;
use crate::schema::words::worded;

/// One bed or row.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Unique name in the garden.
    pub name: String,
    /// Metres east and north of the garden's own corner, for walking order; `None` when not given.
    pub position_m: Option<(f64, f64)>,
    /// Along the row, m.
    pub length_m: f64,
    /// Across the row, m.
    pub width_m: f64,
    /// How far the soil stands above the path, m.
    pub raised_m: f64,
    /// How wet the top soil is.
    pub wetness: Wetness,
    /// Pots, tubs or trays that stand here and can be carried indoors for a night.
    pub pots: u32,
    /// What covers the soil between the plants.
    pub mulch: Option<Mulch>,
    /// Hoops standing over the bed, if any.
    pub hoops: Option<Hoops>,
    /// What grows here; never empty in a bed that can be harmed, may be empty in a bare bed.
    pub plantings: Vec<Planting>,
    /// What it is to carry through the year, as far as the grower wrote it down.
    pub needs: Vec<Need>,
    /// Index into [`crate::Stock::sheets`] of the sheet lying over the bed now, if any, and whether it stays by day.
    pub on_now: Option<OnNow>,
}

/// A sheet that already lies over a bed this afternoon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnNow {
    /// Index into [`crate::Stock::sheets`].
    pub sheet: usize,
    /// Layers on.
    pub layers: u32,
    /// Whether it has been on by day as well (left on), so the soil took in less sun.
    pub left_on: bool,
}

worded!(
    /// How wet the top 10 cm are, judged by hand.
    pub enum Wetness {
        Dry = "dry", "dusty or pale";
        Damp = "damp", "cool and dark, does not stick";
        Wet = "wet", "sticks or shines";
    }
);

/// What lies on the soil between the plants (not over them).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mulch {
    /// What it is.
    pub kind: MulchKind,
    /// How thick, m; zero for film.
    pub depth_m: f64,
}

worded!(
    /// Kinds of mulch.
    pub enum MulchKind {
        Straw = "straw", "straw or hay";
        Leaves = "leaves", "leaves";
        Chips = "chips", "wood chips";
        Compost = "compost", "compost";
        BlackFilm = "black film", "black film";
        ClearFilm = "clear film", "clear film on the soil";
    }
);
