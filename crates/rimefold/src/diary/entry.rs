//! What a diary says happened.

use quantities::Moment;
use quantities::bounds::AIR_TEMPERATURE_C;

use crate::diary::id::Id;
use crate::diary::stamp::believable;
use crate::diary::words::Worded;
use crate::exit::Failure;

/// Longest name, characters.
const LONGEST_NAME: usize = 200;
/// Longest free note, characters.
const LONGEST_NOTE: usize = 4000;

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
        /// Lowest or highest since it was last reset.
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
        /// Bed.
        bed: String,
        /// Sheet or pop-up tunnel, where it was named.
        sheet: Option<String>,
    },
    /// Something was seen or done at a bed.
    Seen {
        /// What.
        sight: Sight,
        /// Bed.
        bed: String,
    },
    /// A sheet changed.
    Sheet {
        /// How.
        state: State,
        /// Sheet or pop-up tunnel.
        sheet: String,
    },
    /// A task of a plan was done.
    Done {
        /// The plan.
        plan: Id,
        /// Its place in the order of work, from 1.
        task: u32,
    },
    /// An earlier entry does not hold.
    Undo {
        /// Which.
        strikes: Id,
    },
}

/// Which end of the thermometer.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extreme {
    /// Lowest.
    Minimum,
    /// Highest.
    Maximum,
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
pub enum Sight {
    /// Plants were lost: their share of the bed, 0 to 1.
    Loss(f64),
    /// Snow was brushed off.
    SnowBrushed,
    /// Voles or their runs were seen.
    Voles,
}

/// What became of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Torn or worn.
    Damaged,
    /// Out of use.
    Retired,
}

impl Worded for Extreme {
    const WORDS: &'static [(Self, &'static str)] =
        &[(Self::Minimum, "minimum"), (Self::Maximum, "maximum")];
}

impl Worded for Act {
    const WORDS: &'static [(Self, &'static str)] = &[
        (Self::Covered, "covered"),
        (Self::Opened, "opened"),
        (Self::HalfOpen, "half-open"),
        (Self::Vented, "vented"),
    ];
}

impl Worded for State {
    const WORDS: &'static [(Self, &'static str)] =
        &[(Self::Damaged, "damaged"), (Self::Retired, "retired")];
}

/// A value that a diary does not take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrong {
    /// Its column.
    pub column: &'static str,
    /// What it is.
    pub found: String,
    /// What it should be.
    pub expected: String,
}

impl Wrong {
    /// A wrong value.
    pub fn new(column: &'static str, found: impl ToString, expected: impl Into<String>) -> Self {
        Self { column, found: found.to_string(), expected: expected.into() }
    }
}

impl std::fmt::Display for Wrong {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { column, found, expected } = self;
        write!(f, "column {column}: found `{found}`, expected {expected}")
    }
}

impl Entry {
    /// A new entry with a name of its own.
    ///
    /// # Errors
    /// The system gives no random bytes for the name.
    pub fn new(at: Moment, written: Moment, what: What) -> Result<Self, Failure> {
        Ok(Self { id: Id::random()?, at, written, what, note: None })
    }

    /// The same with words of the grower.
    #[must_use]
    pub fn with_note(mut self, note: Option<String>) -> Self {
        self.note = note.filter(|n| !n.trim().is_empty());
        self
    }

    /// Bed it is about.
    pub fn bed(&self) -> Option<&str> {
        match &self.what {
            What::Reading { place: Place::Open { bed }, .. } => bed.as_deref(),
            What::Reading { place: Place::Under { bed, .. }, .. }
            | What::Cover { bed, .. }
            | What::Seen { bed, .. } => Some(bed),
            What::Sheet { .. } | What::Done { .. } | What::Undo { .. } => None,
        }
    }

    /// Sheet it is about.
    pub fn sheet(&self) -> Option<&str> {
        match &self.what {
            What::Reading { place: Place::Under { sheet, .. }, .. } | What::Cover { sheet, .. } => {
                sheet.as_deref()
            }
            What::Sheet { sheet, .. } => Some(sheet),
            _ => None,
        }
    }

    /// Whether a diary takes it.
    ///
    /// # Errors
    /// The first value that it does not take.
    pub fn check(&self) -> Result<(), Wrong> {
        for (column, at) in [("at", self.at), ("written", self.written)] {
            if !believable(at) {
                return Err(Wrong::new(column, at.0, "a moment from 1900 to 2200"));
            }
        }
        for (column, name) in [("bed", self.bed()), ("sheet", self.sheet())] {
            if name.is_some_and(|n| n.trim().is_empty() || n.chars().count() > LONGEST_NAME) {
                let name = name.unwrap_or_default();
                return Err(Wrong::new(column, name, "a name of 1 to 200 characters"));
            }
        }
        if let Some(note) = &self.note
            && (note.is_empty() || note.chars().count() > LONGEST_NOTE)
        {
            return Err(Wrong::new("note", note, "1 to 4000 characters, or nothing"));
        }
        match self.what {
            What::Reading { celsius, .. } if !AIR_TEMPERATURE_C.holds(celsius) => {
                Err(Wrong::new("temperature_c", celsius, "-90 to 60 °C"))
            }
            What::Seen { sight: Sight::Loss(share), .. } if !(0.0..=1.0).contains(&share) => {
                Err(Wrong::new("share", share, "0 to 1"))
            }
            What::Done { task: 0, .. } => Err(Wrong::new("task", 0, "1 or more")),
            _ => Ok(()),
        }
    }
}
