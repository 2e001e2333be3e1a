//! Hatches of covers, the same in every drawing: what lies is told by its lines, never by colour alone.

use std::fmt::Write as _;

use garden::fit::{Cover, Placement};
use garden::stock::SheetKind;

/// What is hatched.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hatch {
    /// Row cover.
    Cloth,
    /// Row cover for the winter.
    WinterCloth,
    /// Clear film.
    Film,
    /// Insect net.
    Net,
    /// Shade cloth.
    Shade,
    /// Loose straw.
    Straw,
}

/// Every hatch.
pub const HATCHES: [Hatch; 6] =
    [Hatch::Cloth, Hatch::WinterCloth, Hatch::Film, Hatch::Net, Hatch::Shade, Hatch::Straw];

impl Hatch {
    /// That of a sheet.
    pub fn of_sheet(kind: SheetKind) -> Self {
        match kind {
            SheetKind::RowCover { .. } => Self::Cloth,
            SheetKind::Film { .. } => Self::Film,
            SheetKind::InsectNet => Self::Net,
            SheetKind::ShadeCloth { .. } => Self::Shade,
        }
    }

    /// That of a cover on a bed.
    pub fn of_cover(cover: &Cover) -> Self {
        match (cover.lie, cover.cloth) {
            (Placement::LooseMulch { .. }, _) => Self::Straw,
            (_, Some(cloth)) => Self::of_sheet(cloth.kind),
            (_, None) => Self::Cloth,
        }
    }

    /// Its lines on a square of eight.
    fn lines(self) -> &'static str {
        match self {
            Self::Cloth => "M0 8L8 0",
            Self::WinterCloth => "M0 2H8M0 6H8",
            Self::Film => "M0 2H4M4 6H8",
            Self::Net => "M0 4H8M4 0V8",
            Self::Shade => "M2 0V8M6 0V8",
            Self::Straw => "M0 1L3 3M5 2L8 0M1 7L4 5M5 6L8 8",
        }
    }

    fn id(self) -> &'static str {
        match self {
            Self::Cloth => "cloth",
            Self::WinterCloth => "winter",
            Self::Film => "film",
            Self::Net => "net",
            Self::Shade => "shade",
            Self::Straw => "straw",
        }
    }

    /// The fill of a shape in a drawing of this name.
    pub fn fill(self, drawing: &str) -> String {
        format!("url(#{drawing}-{})", self.id())
    }
}

/// The hatches that a drawing of this name uses, defined once in it.
pub fn define(out: &mut String, drawing: &str, used: &[Hatch]) {
    out.push_str("<defs>");
    for hatch in HATCHES.iter().filter(|h| used.contains(h)) {
        let _ = write!(
            out,
            "<pattern id=\"{drawing}-{}\" width=\"8\" height=\"8\" patternUnits=\"userSpaceOnUse\"><path d=\"{}\" fill=\"none\" \
             stroke=\"currentColor\" stroke-width=\"1\" stroke-opacity=\".7\"/></pattern>",
            hatch.id(),
            hatch.lines()
        );
    }
    out.push_str("</defs>");
}
