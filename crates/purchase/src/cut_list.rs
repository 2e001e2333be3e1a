//! The cut list of a garden: every hoop from the rods on offer, every sheet from the cloth on offer.

use garden::bed::Bed;
use garden::bed_needs::needs_of_bed;
use garden::fit::{LEAST_SKIRT_M, MOST_PIECES, Needed, ROLL_BEYOND_M, needed};
use garden::garden::Garden;
use garden::need::Wanted;
use garden::stock::SheetKind;
use garden::supply::{ClothRoll, Supply};
use structure::{Material, Section};

use crate::cut::{CutError, lengths, sheets};
use milp::Solver;

/// What to buy and how to cut it.
#[derive(Clone, Debug, PartialEq)]
pub struct CutList {
    /// Hoops, rod by rod.
    pub rods: Vec<RodCut>,
    /// Sheets, cloth by cloth.
    pub cloths: Vec<ClothCut>,
    /// What nothing on offer serves.
    pub without: Vec<Without>,
}

/// The cut of one kind of rod.
#[derive(Clone, Debug, PartialEq)]
pub struct RodCut {
    /// What it is made of.
    pub material: Material,
    /// How thick.
    pub section: Section,
    /// Hoops wanted, by length; named for their beds.
    pub demands: Vec<lengths::Demand>,
    /// Coils on offer.
    pub rolls: Vec<lengths::Roll>,
    /// The cut.
    pub layout: lengths::Layout,
}

/// The cut of one cloth.
#[derive(Clone, Debug, PartialEq)]
pub struct ClothCut {
    /// Which cloth.
    pub kind: SheetKind,
    /// Sheets wanted; named for their beds.
    pub demands: Vec<sheets::Demand>,
    /// Rolls on offer.
    pub rolls: Vec<sheets::Roll>,
    /// The cut.
    pub layout: sheets::Layout,
}

/// Something a bed wants that nothing on offer serves.
#[derive(Clone, Debug, PartialEq)]
pub struct Without {
    /// The bed.
    pub bed: String,
    /// What it wants.
    pub wanted: Lack,
}

/// What is wanting.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lack {
    /// A rod of this kind.
    Rod(Material, Section),
    /// A cloth of this kind.
    Cloth(Wanted),
    /// A roll wide and long enough: across and along of the sheet, m.
    Size(f64, f64),
}

/// The cut list for some beds, as if nothing were at hand.
///
/// Each bed gets its hoops and one sheet of every cloth it is to carry: the cheapest a square metre among those that serve,
/// where all prices are known, else the lightest; with a skirt that need not be rolled up where a roll is wide enough, else with
/// the least that pins hold; joined end to end only where no roll is long enough.
/// Checked by `cut_list::every_hoop_and_sheet_is_cut_once`.
///
/// # Errors
/// [`CutError`].
pub fn for_beds(garden: &Garden, beds: &[&Bed], solver: &dyn Solver) -> Result<CutList, CutError> {
    let mut without = Vec::new();
    let rods = rods(&garden.supply, beds, &mut without, solver)?;
    let cloths = cloths(&garden.supply, beds, &mut without, solver)?;
    Ok(CutList { rods, cloths, without })
}

/// Rounding to a tenth of a millimetre, as cuts are.
fn same(a: f64, b: f64) -> bool {
    (a - b).abs() < 5e-5
}

fn rods(
    supply: &Supply,
    beds: &[&Bed],
    without: &mut Vec<Without>,
    solver: &dyn Solver,
) -> Result<Vec<RodCut>, CutError> {
    let mut wanted: Vec<(Material, Section, Vec<lengths::Demand>)> = Vec::new();
    for bed in beds {
        let Some(h) = bed.hoops else { continue };
        let offered =
            supply.rods.iter().any(|r| r.material == h.material && r.section == h.section);
        if !offered {
            let wanted = Lack::Rod(h.material, h.section);
            without.push(Without { bed: bed.name.clone(), wanted });
            continue;
        }
        let kind = wanted.iter().position(|w| w.0 == h.material && w.1 == h.section);
        let kind = kind.unwrap_or_else(|| {
            wanted.push((h.material, h.section, Vec::new()));
            wanted.len() - 1
        });
        let demands = &mut wanted[kind].2;
        let count = h.count(bed.length_m);
        match demands.iter_mut().find(|d| same(d.length_m, h.length_m)) {
            Some(d) => {
                d.count += count;
                d.name = format!("{}, {}", d.name, bed.name);
            }
            None => demands.push(lengths::Demand {
                name: bed.name.clone(),
                length_m: h.length_m,
                count,
            }),
        }
    }
    wanted
        .into_iter()
        .map(|(material, section, demands)| {
            let rolls: Vec<lengths::Roll> = supply
                .rods
                .iter()
                .filter(|r| r.material == material && r.section == section)
                .map(|r| lengths::Roll {
                    name: r.name.clone(),
                    length_m: r.length_m,
                    price: r.price,
                    at_most: r.at_most,
                })
                .collect();
            let layout = lengths::cut(&demands, &rolls, 0.0, solver)?;
            Ok(RodCut { material, section, demands, rolls, layout })
        })
        .collect()
}

fn cloths(
    supply: &Supply,
    beds: &[&Bed],
    without: &mut Vec<Without>,
    solver: &dyn Solver,
) -> Result<Vec<ClothCut>, CutError> {
    let mut kinds: Vec<SheetKind> = Vec::new();
    let mut demands: Vec<sheets::Demand> = Vec::new();
    for bed in beds {
        let mut has: Vec<SheetKind> = Vec::new();
        for need in needs_of_bed(bed) {
            match choose(supply, bed, need.wanted) {
                Ok((kind, [width_m, length_m], pieces)) => {
                    if has.contains(&kind) {
                        continue;
                    }
                    has.push(kind);
                    let material = kinds.iter().position(|k| *k == kind).unwrap_or_else(|| {
                        kinds.push(kind);
                        kinds.len() - 1
                    });
                    let like = demands.iter_mut().find(|d| {
                        d.material == material
                            && same(d.width_m, width_m)
                            && same(d.length_m, length_m)
                    });
                    match like {
                        Some(d) => {
                            d.count += pieces;
                            d.name = format!("{}, {}", d.name, bed.name);
                        }
                        None => demands.push(sheets::Demand {
                            name: bed.name.clone(),
                            width_m,
                            length_m,
                            count: pieces,
                            material,
                        }),
                    }
                }
                Err(Some(wanted)) => without.push(Without { bed: bed.name.clone(), wanted }),
                Err(None) => {}
            }
        }
    }
    let rolls: Vec<sheets::Roll> = supply
        .cloths
        .iter()
        .filter_map(|c| {
            Some(sheets::Roll {
                name: c.name.clone(),
                width_m: c.width_m,
                length_m: c.length_m,
                price: c.price,
                at_most: c.at_most,
                material: kinds.iter().position(|k| *k == c.kind)?,
            })
        })
        .collect();
    let layouts = sheets::cut(&demands, &rolls, solver)?;
    Ok(layouts
        .into_iter()
        .filter_map(|layout| {
            let kind = *kinds.get(layout.material)?;
            Some(ClothCut { kind, demands: demands.clone(), rolls: rolls.clone(), layout })
        })
        .collect())
}

/// The cloth, the size of a sheet and the number of sheets for a need; the lack where there is none, nothing where such a
/// cover cannot lie on this bed at all.
fn choose(
    supply: &Supply,
    bed: &Bed,
    wanted: Wanted,
) -> Result<(SheetKind, [f64; 2], u32), Option<Lack>> {
    let serving: Vec<&ClothRoll> =
        supply.cloths.iter().filter(|c| wanted.served_by(c.kind)).collect();
    if serving.is_empty() {
        return Err(Some(Lack::Cloth(wanted)));
    }
    let mut lack = None;
    let mut best: Option<(f64, SheetKind, [f64; 2], u32)> = None;
    let priced = serving.iter().all(|c| c.price.is_some());
    for cloth in &serving {
        let Some(needed) = needed(bed, cloth.kind) else { continue };
        let Some((size, pieces)) = size(&serving, cloth.kind, &needed) else {
            let across_m = needed.across_m + 2.0 * LEAST_SKIRT_M;
            lack = Some(Lack::Size(across_m, needed.along_m));
            continue;
        };
        let area_m2 = cloth.width_m * cloth.length_m;
        let dear = match cloth.price {
            Some(price) if priced => price / area_m2,
            _ => garden::hoops::cloth_kg_m2(cloth.kind, 1),
        };
        // A sheet in one piece before one that is joined, whatever it costs.
        if best.as_ref().is_none_or(|b| (pieces, dear) < (b.3, b.0)) {
            best = Some((dear, cloth.kind, size, pieces));
        }
    }
    best.map(|(_, kind, size, pieces)| (kind, size, pieces)).ok_or(lack)
}

/// Width and length of a sheet, and how many, from rolls of one kind; fewest pieces first, the good skirt before the least.
fn size(rolls: &[&ClothRoll], kind: SheetKind, needed: &Needed) -> Option<([f64; 2], u32)> {
    let fits = |w: f64, l: f64| {
        rolls.iter().filter(|r| r.kind == kind).any(|r| {
            let hair = 1e-6;
            (w <= r.width_m + hair && l <= r.length_m + hair)
                || (l <= r.width_m + hair && w <= r.length_m + hair)
        })
    };
    (1..=MOST_PIECES)
        .flat_map(|n| [ROLL_BEYOND_M, LEAST_SKIRT_M].map(|skirt| (n, skirt)))
        .map(|(n, skirt)| ([needed.across_m + 2.0 * skirt, needed.length_m(n)], n))
        .find(|([w, l], _)| fits(*w, *l))
}
