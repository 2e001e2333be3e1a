//! Cloth and lines of a bill as JSON, for the kit and for what sheets would have saved.

use garden::Garden;
use garden::stock::SheetKind;
use purchase::kit::{Line, StockItem};
use serde::Serialize;

use super::names::item;

/// A kind of cloth.
#[derive(Serialize)]
#[serde(tag = "kind")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub enum Cloth {
    #[serde(rename = "row cover")]
    RowCover { weight_g_m2: f64 },
    #[serde(rename = "film")]
    Film { thickness_um: f64 },
    #[serde(rename = "insect net")]
    InsectNet,
    #[serde(rename = "shade cloth")]
    Shade { shade: f64 },
}

/// One line of a bill.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct BillLine {
    item: String,
    count: u32,
    /// Of one.
    price: Option<f64>,
}

impl BillLine {
    /// The line with its item's name.
    pub fn new(l: &Line, garden: &Garden) -> Self {
        Self { item: item(l.item, garden).to_owned(), count: l.count, price: l.price }
    }
}

/// Name of a sheet in the shed, and its cloth.
pub fn cloth(thing: StockItem, garden: &Garden) -> (Option<String>, Option<Cloth>) {
    let (name, kind) = match thing {
        StockItem::Stock(i) => {
            let sheet = &garden.stock.sheets[i];
            (Some(sheet.name.clone()), Some(sheet.kind))
        }
        StockItem::Cloth(kind) => (None, Some(kind)),
        StockItem::Rod(..) => (None, None),
    };
    let cloth = kind.map(|kind| match kind {
        SheetKind::RowCover { weight_g_m2 } => Cloth::RowCover { weight_g_m2 },
        SheetKind::Film { thickness_um } => Cloth::Film { thickness_um },
        SheetKind::InsectNet => Cloth::InsectNet,
        SheetKind::ShadeCloth { shade } => Cloth::Shade { shade },
    });
    (name, cloth)
}
