//! What a bed is to carry over its hoops in the course of a year, as the grower plans it.

use crate::stock::SheetKind;

/// Share of a wanted weight that counts as it, for cloth sold by rounded weights (own choice).
const NEAR_WEIGHT: f64 = 0.97;
/// Shade short of the wanted share that counts as it (own choice).
const NEAR_SHADE: f64 = 0.01;

/// One cover that a bed must be able to carry between two dates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Need {
    /// What kind.
    pub wanted: Wanted,
    /// First day of the year on which it may be wanted, 1 to 366.
    pub from_day: u16,
    /// Last such day; before `from_day` where the span runs over the new year.
    pub to_day: u16,
}

/// Kinds of cover that can be wanted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wanted {
    /// Row cover of at least this weight, g/m².
    RowCover {
        /// Least weight, g/m².
        least_g_m2: f64,
    },
    /// Clear film.
    Film,
    /// Insect net.
    InsectNet,
    /// Shade cloth that holds back at least this share of the light.
    ShadeCloth {
        /// Least shade, 0 to 1.
        least_shade: f64,
    },
}

impl Wanted {
    /// Whether a cloth serves.
    #[must_use]
    pub fn served_by(self, kind: SheetKind) -> bool {
        match (self, kind) {
            (Self::RowCover { least_g_m2 }, SheetKind::RowCover { weight_g_m2 }) => {
                weight_g_m2 >= NEAR_WEIGHT * least_g_m2
            }
            (Self::Film, SheetKind::Film { .. }) | (Self::InsectNet, SheetKind::InsectNet) => true,
            (Self::ShadeCloth { least_shade }, SheetKind::ShadeCloth { shade }) => {
                shade >= least_shade - NEAR_SHADE
            }
            _ => false,
        }
    }
}

impl Need {
    /// Whether it is wanted on a day of the year.
    #[must_use]
    pub fn on(&self, day: u16) -> bool {
        if self.from_day <= self.to_day {
            (self.from_day..=self.to_day).contains(&day)
        } else {
            day >= self.from_day || day <= self.to_day
        }
    }
}
