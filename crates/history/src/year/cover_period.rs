//! What hoops carry: kinds of cover and the days they lie.

use std::ops::Range;

use serde::{Deserialize, Serialize};

/// One thing carried over one stretch of days.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CoverPeriod {
    /// What.
    pub what: CoverKind,
    /// Days from the middle of winter, its end not included.
    pub days: Range<usize>,
    /// Whether the shed holds one that fits.
    pub have: bool,
}

/// What hoops carry.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum CoverKind {
    /// Row cover, film or mulch, on cold nights.
    Cloth,
    /// The same lying on through days under ten hours.
    WinterCloth,
    /// Insect net.
    Net,
    /// Shade cloth.
    Shade,
}

/// All of them, in drawing order.
pub const COVER_KINDS: [CoverKind; 4] =
    [CoverKind::Cloth, CoverKind::WinterCloth, CoverKind::Net, CoverKind::Shade];
