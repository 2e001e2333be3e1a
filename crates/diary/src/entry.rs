//! What a diary says happened.

use quantities::Moment;
use quantities::bounds::READING_C;

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::id::Id;
use crate::keyword::Keyword;
use crate::utc;

/// Longest name, characters.
const LONGEST_NAME: usize = 200;
/// Longest free note, characters.
const LONGEST_NOTE: usize = 4000;
/// Most layers of one sheet that anybody lays.
const MOST_LAYERS: u32 = 10;

/// One thing that happened.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its name for ever.
    pub id: Id,
    /// When it happened; for a reading, when the thermometer was read.
    pub at: Moment,
    /// When it was written down.
    pub written: Moment,
    /// What.
    pub what: What,
    /// In the grower's own words.
    pub note: Option<String>,
}

/// What happened.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A thermometer was read.
    Reading {
        /// Lowest or highest since it was last reset, or the air as it is.
        extreme: Extreme,
        /// °C.
        celsius: f64,
        /// Where it hangs.
        place: Place,
    },
    /// A cover was moved.
    Cover {
        /// How.
        act: Act,
        /// What was moved, and where.
        cover: Cover,
    },
    /// Something was seen or done at a bed.
    Seen {
        /// What.
        sighting: Sighting,
        /// Bed.
        bed: String,
    },
    /// A sheet changed.
    Sheet {
        /// How.
        state: SheetState,
        /// Sheet or pop-up tunnel.
        sheet: String,
    },
    /// A task of a plan was done.
    Done {
        /// The plan.
        plan: Id,
        /// Its place in the order of work, from 1.
        task: u32,
        /// What lies where from then on; `None` where the plan kept does not say.
        cover: Option<Cover>,
    },
    /// An earlier entry does not hold.
    Undo {
        /// Which.
        strikes: Id,
    },
}

/// A cover on a bed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    /// Bed.
    pub bed: String,
    /// Sheet or pop-up tunnel, where it was named.
    pub sheet: Option<String>,
    /// Layers of it, where that was said.
    pub layers: Option<u32>,
    /// How it lies, where that was said.
    pub placement: Option<Placement>,
}

impl Cover {
    /// A cover of which only the name may be known.
    #[must_use]
    pub fn named(bed: String, sheet: Option<String>) -> Self {
        Self { bed, sheet, layers: None, placement: None }
    }
}

/// How a cover lies on a bed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Placement {
    /// Over hoops.
    LowTunnel,
    /// Flat on the plants.
    Floating,
    /// Draped over a small tree or bush.
    Drape,
    /// A ready-made tunnel.
    PopUp,
    /// Loose straw or leaves.
    LooseMulch,
}

/// Which end of the thermometer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extreme {
    /// Lowest.
    Minimum,
    /// Highest.
    Maximum,
    /// The air as it is.
    Now,
}

/// Where a thermometer hangs.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Place {
    /// In the open: over a bed, or somewhere in the garden.
    Open {
        /// Bed.
        bed: Option<String>,
    },
    /// Under a cover.
    Under {
        /// Bed.
        bed: String,
        /// Sheet or pop-up tunnel, where it was named.
        sheet: Option<String>,
    },
}

/// What was done with a cover.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Act {
    /// Put on.
    Covered,
    /// Taken off.
    Opened,
    /// One side up.
    HalfOpen,
    /// Ends or slits opened.
    Vented,
}

/// What was seen or done at a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Sighting {
    /// Plants were lost: their share of the bed, 0 to 1.
    Loss(f64),
    /// Snow was brushed off.
    SnowBrushed,
    /// Voles or their runs were seen.
    Voles,
}

/// What became of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetState {
    /// Torn or worn.
    Damaged,
    /// Out of use.
    Retired,
}

impl Keyword for Extreme {
    const KEYWORDS: &'static [(Self, &'static str)] =
        &[(Self::Minimum, "minimum"), (Self::Maximum, "maximum"), (Self::Now, "now")];
}

impl Keyword for Placement {
    const KEYWORDS: &'static [(Self, &'static str)] = &[
        (Self::LowTunnel, "low tunnel"),
        (Self::Floating, "floating cover"),
        (Self::Drape, "drape"),
        (Self::PopUp, "pop-up tunnel"),
        (Self::LooseMulch, "loose mulch"),
    ];
}

impl Serialize for Placement {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(self.keyword())
    }
}

impl<'de> Deserialize<'de> for Placement {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let word = String::deserialize(from)?;
        let wrong = || D::Error::custom(format!("found `{word}`, expected {PLACEMENTS}"));
        Self::from_keyword(&word).ok_or_else(wrong)
    }
}

impl Keyword for Act {
    const KEYWORDS: &'static [(Self, &'static str)] = &[
        (Self::Covered, "covered"),
        (Self::Opened, "opened"),
        (Self::HalfOpen, "half-open"),
        (Self::Vented, "vented"),
    ];
}

impl Keyword for SheetState {
    const KEYWORDS: &'static [(Self, &'static str)] =
        &[(Self::Damaged, "damaged"), (Self::Retired, "retired")];
}

/// What a placement should be.
pub const PLACEMENTS: &str = "low tunnel, floating cover, drape, pop-up tunnel or loose mulch";

impl Sighting {
    /// Its word and its share.
    #[must_use]
    pub fn parts(self) -> (&'static str, Option<f64>) {
        match self {
            Self::Loss(share) => ("loss", Some(share)),
            Self::SnowBrushed => ("snow-brushed", None),
            Self::Voles => ("voles", None),
        }
    }

    /// From its parts.
    #[must_use]
    pub fn from_parts(word: &str, share: Option<f64>) -> Option<Self> {
        match (word, share) {
            ("loss", Some(share)) => Some(Self::Loss(share)),
            ("snow-brushed", None) => Some(Self::SnowBrushed),
            ("voles", None) => Some(Self::Voles),
            _ => None,
        }
    }
}

/// A value that a diary does not take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InvalidValue {
    /// Its column.
    pub column: &'static str,
    /// What it is.
    pub found: String,
    /// What it should be.
    pub expected: String,
}

impl InvalidValue {
    /// A value that a diary does not take.
    pub fn new(column: &'static str, found: impl ToString, expected: impl Into<String>) -> Self {
        Self { column, found: found.to_string(), expected: expected.into() }
    }
}

impl std::fmt::Display for InvalidValue {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { column, found, expected } = self;
        write!(f, "column {column}: found `{found}`, expected {expected}")
    }
}

impl Entry {
    /// An entry without words of the grower.
    #[must_use]
    pub fn new(id: Id, at: Moment, written: Moment, what: What) -> Self {
        Self { id, at, written, what, note: None }
    }

    /// The same with words of the grower.
    #[must_use]
    pub fn with_note(mut self, note: Option<String>) -> Self {
        self.note = note.filter(|n| !n.trim().is_empty());
        self
    }

    /// The cover it says was laid or moved.
    #[must_use]
    pub fn cover(&self) -> Option<&Cover> {
        match &self.what {
            What::Cover { cover, .. } => Some(cover),
            What::Done { cover, .. } => cover.as_ref(),
            _ => None,
        }
    }

    /// Bed it is about.
    #[must_use]
    pub fn bed(&self) -> Option<&str> {
        match &self.what {
            What::Reading { place: Place::Open { bed }, .. } => bed.as_deref(),
            What::Reading { place: Place::Under { bed, .. }, .. } | What::Seen { bed, .. } => {
                Some(bed)
            }
            _ => self.cover().map(|c| c.bed.as_str()),
        }
    }

    /// Sheet it is about.
    #[must_use]
    pub fn sheet(&self) -> Option<&str> {
        match &self.what {
            What::Reading { place: Place::Under { sheet, .. }, .. } => sheet.as_deref(),
            What::Sheet { sheet, .. } => Some(sheet),
            _ => self.cover()?.sheet.as_deref(),
        }
    }

    /// Whether a diary takes it.
    ///
    /// # Errors
    /// The first value that it does not take.
    pub fn check(&self) -> Result<(), InvalidValue> {
        for (column, at) in [("at", self.at), ("written", self.written)] {
            if !utc::in_range(at) {
                return Err(InvalidValue::new(column, at.0, "a moment from 1900 to 2200"));
            }
        }
        for (column, name) in [("bed", self.bed()), ("sheet", self.sheet())] {
            if name.is_some_and(|n| n.trim().is_empty() || n.chars().count() > LONGEST_NAME) {
                let name = name.unwrap_or_default();
                return Err(InvalidValue::new(column, name, "a name of 1 to 200 characters"));
            }
        }
        if let Some(note) = &self.note
            && (note.is_empty() || note.chars().count() > LONGEST_NOTE)
        {
            return Err(InvalidValue::new("note", note, "1 to 4000 characters, or nothing"));
        }
        if let Some(layers) = self.cover().and_then(|c| c.layers)
            && layers > MOST_LAYERS
        {
            return Err(InvalidValue::new("layers", layers, format!("0 to {MOST_LAYERS}")));
        }
        match self.what {
            What::Reading { celsius, .. } if !READING_C.holds(celsius) => {
                Err(InvalidValue::new("temperature_c", celsius, "-60 to 60 °C"))
            }
            What::Seen { sighting: Sighting::Loss(share), .. } if !(0.0..=1.0).contains(&share) => {
                Err(InvalidValue::new("share", share, "0 to 1"))
            }
            What::Done { task: 0, .. } => Err(InvalidValue::new("task", 0, "1 or more")),
            _ => Ok(()),
        }
    }
}
