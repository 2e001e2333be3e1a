//! Every cover that is looked at: all that the shed allows, and one layer of each cloth on offer cut to size.

use garden::bed::Bed;
use garden::fit::{Cover as Fit, Item, covers};
use garden::garden::Garden;
use garden::stock::{Condition, Sheet};

use crate::constants::PLENTY;
use purchase::kit::{Built, StockItem};
use purchase::kit::{Origin, Size, Way};

/// The garden with a sheet of every size that could be cut beside its own, and where each size lies among its sheets.
#[derive(Clone, Debug)]
pub struct Offers {
    /// The garden, with pins and clips enough for every bed.
    pub garden: Garden,
    /// For each size of the question, the index of its sheet.
    pub sheet_of: Vec<usize>,
    /// Sheets that lie in the shed.
    pub in_shed: usize,
}

impl Offers {
    /// The offers of a question.
    #[must_use]
    pub fn for_question(garden: &Garden, built: &Built) -> Self {
        let mut with = garden.clone();
        let in_shed = with.stock.sheets.len();
        let mut sheet_of = Vec::new();
        for (thing, size) in built.sizes.iter().zip(&built.problem.sizes) {
            sheet_of.push(match thing {
                StockItem::Stock(i) => *i,
                StockItem::Cloth(kind) => {
                    with.stock.sheets.push(new_sheet(*kind, size));
                    with.stock.sheets.len() - 1
                }
                StockItem::Rod(..) => usize::MAX,
            });
        }
        (with.stock.pins, with.stock.clips) = (PLENTY, PLENTY);
        Self { garden: with, sheet_of, in_shed }
    }

    /// Covers of a bed: those of the shed, and new sheets in one layer.
    #[must_use]
    pub fn fitting(&self, garden: &Garden, bed: &Bed) -> Vec<Fit> {
        let new = |f: &Fit| sheet(f).is_some_and(|i| i >= self.in_shed);
        covers(garden, bed).into_iter().filter(|f| !new(f) || f.layers == 1).collect()
    }

    /// Place of a way among the covers of its bed.
    #[must_use]
    pub fn place(&self, fits: &[Fit], way: &Way) -> Option<usize> {
        let its = self.sheet_of.get(way.size).copied();
        fits.iter().position(|f| f.layers == 1 && sheet(f) == its)
    }

    /// What there is of each line of stock with so many pieces of each size, pins and clips; lines as `stock::lines` has them.
    #[must_use]
    pub fn available(
        &self,
        lines: &[(Item, u32)],
        sizes: &[Size],
        (pieces, pins, clips): (&[u32], u32, u32),
    ) -> Vec<u32> {
        let of_new = |i: usize| {
            let s = self.sheet_of.iter().position(|at| *at == i);
            s.filter(|s| matches!(sizes[*s].from, Origin::Goods(_))).map_or(0, |s| pieces[s])
        };
        let there = |(item, count): &(Item, u32)| match item {
            Item::Sheet(i) if *i >= self.in_shed => of_new(*i),
            Item::Pins => pins,
            Item::Clips => clips,
            _ => *count,
        };
        lines.iter().map(there).collect()
    }
}

fn new_sheet(kind: garden::stock::SheetKind, size: &Size) -> Sheet {
    let (width_m, length_m) = (size.width_m, size.length_m);
    let (name, condition) = (String::from("new"), Condition::Good);
    Sheet {
        name,
        kind,
        width_m,
        length_m,
        count: PLENTY,
        condition,
        torn_share: None,
        lasts_seasons: None,
        claim_k: None,
    }
}

/// The sheet that a cover is of.
fn sheet(fit: &Fit) -> Option<usize> {
    fit.uses.iter().find_map(|(item, _)| match item {
        Item::Sheet(i) => Some(*i),
        _ => None,
    })
}
