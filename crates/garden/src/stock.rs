//! What is in the shed: sheets by kind and size, pins, clips, loose mulch, pop-up tunnels.

use crate::schema::words::worded;
use structure::anchors::Pin;

/// Everything a grower can put over a bed tonight.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Sheets, one entry per kind and size.
    pub sheets: Vec<Sheet>,
    /// Ready-made tunnels, one entry per kind and size.
    pub pop_ups: Vec<PopUp>,
    /// Ground pins or staples.
    pub pins: u32,
    /// Stones, boards or bags of sand; each holds an edge as a pin does.
    pub weights: u32,
    /// What one of them is like.
    pub pin: Pin,
    /// The grower's own pulls on pins in a bed until they came out, N; empty where none were made.
    pub pulls_n: Vec<f64>,
    /// Clips that hold cloth to hoops.
    pub clips: u32,
    /// Loose straw or leaves to spread over plants, m³.
    pub loose_mulch_m3: f64,
}

/// A staple of 11-gauge wire with two legs of 6 in (common practice, no source).
pub const USUAL_PIN: Pin = Pin { diameter_m: 0.003_060_7, depth_m: 0.1524, legs: 2 };

impl Default for Stock {
    fn default() -> Self {
        Self {
            sheets: Vec::new(),
            pop_ups: Vec::new(),
            pins: 0,
            weights: 0,
            pin: USUAL_PIN,
            pulls_n: Vec::new(),
            clips: 0,
            loose_mulch_m3: 0.0,
        }
    }
}

impl Stock {
    /// Pins and weights together: all that holds an edge down.
    #[must_use]
    pub fn hold_downs(&self) -> u32 {
        self.pins.saturating_add(self.weights)
    }
}

/// Some equal pieces of cover.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Unique name in the stock.
    pub name: String,
    /// What it is.
    pub kind: SheetKind,
    /// Across the bed, m.
    pub width_m: f64,
    /// Along the bed, m.
    pub length_m: f64,
    /// How many such pieces there are in all, those lying on beds now included.
    pub count: u32,
    /// How whole it is.
    pub condition: Condition,
    /// Share of it that is open by holes and rents, where that was said; else [`Condition::open_share`].
    pub torn_share: Option<f64>,
    /// Seasons it is sold for, or lasts here, where the grower knows; else [`crate::supply::seasons`].
    pub lasts_seasons: Option<f64>,
    /// Protection its label claims, K; shown beside the computed one, never used in it.
    pub claim_k: Option<f64>,
}

impl Sheet {
    /// Share of it that is open by holes and rents.
    #[must_use]
    pub fn open_share(&self) -> f64 {
        self.torn_share.unwrap_or_else(|| self.condition.open_share())
    }
}

/// Kinds of sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SheetKind {
    /// Nonwoven row cover of the given weight, g/m².
    RowCover {
        /// Weight, g/m².
        weight_g_m2: f64,
    },
    /// Clear polyethylene film of the given thickness, µm.
    Film {
        /// Thickness, µm.
        thickness_um: f64,
    },
    /// Insect net.
    InsectNet,
    /// Shade cloth.
    ShadeCloth {
        /// Share of light held back, 0 to 1.
        shade: f64,
    },
}

worded!(
    /// How whole a sheet is.
    pub enum Condition {
        Good = "good", "no holes";
        Worn = "worn", "thin, small holes";
        Torn = "torn", "rents a hand goes through";
    }
);

impl Condition {
    /// Share of a sheet that is open by how whole it is (from memory).
    #[must_use]
    pub fn open_share(self) -> f64 {
        match self {
            Self::Good => 0.0,
            Self::Worn => 0.01,
            Self::Torn => 0.05,
        }
    }
}

worded!(
    /// Kinds of cover, whatever their weight, thickness or shade.
    pub enum ClothKind {
        RowCover = "row cover", "nonwoven; give its weight too";
        Film = "film", "clear polyethylene; give its thickness too";
        InsectNet = "insect net", "net against insects";
        ShadeCloth = "shade cloth", "give the share of light that it holds back too";
    }
);

/// Some equal ready-made tunnels that set up in one move.
#[derive(Clone, Debug, PartialEq)]
pub struct PopUp {
    /// Unique name in the stock.
    pub name: String,
    /// Cloth it carries.
    pub kind: SheetKind,
    /// Width over the bed, m.
    pub span_m: f64,
    /// Height at the crown, m.
    pub height_m: f64,
    /// Length set up, m.
    pub length_m: f64,
    /// How many.
    pub count: u32,
    /// Protection its label claims, K.
    pub claim_k: Option<f64>,
}
