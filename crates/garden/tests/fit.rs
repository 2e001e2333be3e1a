//! What fits: trade facts, and an independent count of every cover of the demo gardens.

use garden::fit::{Item, LEAST_SKIRT_M, Placement, covers, needed};
use garden::{Garden, file};

fn wisconsin() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn jura() -> Garden {
    file::read(include_str!("../../../demo/jura/garden.toml")).garden.expect("reads")
}

/// Common practice, no source: a 76 in wire with 6 in of each end buried leaves 64 in of arch; a 72 in sheet then has
/// 4 in of skirt each side; an 84 in one must be rolled up.
#[test]
fn wire_arch_and_skirt_are_as_the_trade_counts_them() {
    let garden = wisconsin();
    let bed = garden.beds.iter().find(|b| b.name == "broccoli").expect("the bed");
    let inch = 0.0254;
    assert!((bed.hoops.expect("hoops").arch_m() / inch - 64.0).abs() < 1e-9);
    let all = covers(&garden, bed);
    let skirt = |width_in: f64| {
        all.iter()
            .find(|c| {
                c.uses.iter().any(|u| match u.0 {
                    Item::Sheet(i) => {
                        (garden.stock.sheets[i].width_m / inch - width_in).abs() < 1e-6
                    }
                    _ => false,
                })
            })
            .map(|c| (c.skirt_m / inch, c.roll_up))
            .expect("fits")
    };
    assert!((skirt(72.0).0 - 4.0).abs() < 1e-6 && !skirt(72.0).1);
    assert!((skirt(84.0).0 - 10.0).abs() < 1e-6 && skirt(84.0).1);
}

#[test]
fn doubling_takes_two_and_joining_overlaps() {
    let garden = wisconsin();
    let bed = garden.beds.iter().find(|b| b.name == "cabbage").expect("the bed");
    let all = covers(&garden, bed);
    let wide = |layers| {
        all.iter().find(|c| c.layers == layers && c.uses.iter().any(|u| u.0 == Item::Sheet(2)))
    };
    // 40 ft of bed and two crowns need two 30 ft sheets end to end; doubled that would be four of two.
    assert_eq!(wide(1).map(|c| c.pieces), Some(2));
    assert!(wide(2).is_none());
    assert!(
        all.iter()
            .any(|c| c.layers == 2 && c.uses.iter().any(|u| u.0 == Item::Sheet(0) && u.1 == 2))
    );
}

#[test]
fn every_cover_fits_by_an_independent_count() {
    for garden in [wisconsin(), jura()] {
        for bed in &garden.beds {
            let tall = bed.plantings.iter().map(|p| p.height_m).fold(0.0, f64::max);
            for cover in covers(&garden, bed) {
                for (item, n) in &cover.uses {
                    let there = match item {
                        Item::Sheet(i) => garden.stock.sheets[*i].count,
                        Item::PopUp(i) => garden.stock.pop_ups[*i].count,
                        Item::Pins => garden.stock.pins,
                        Item::Clips => garden.stock.clips,
                        Item::LooseMulchLitres => (garden.stock.loose_mulch_m3 * 1000.0) as u32,
                    };
                    assert!(*n <= there, "{}: {n} of {there} {item:?}", bed.name);
                    let Item::Sheet(i) = item else { continue };
                    let sheet = &garden.stock.sheets[*i];
                    assert_eq!(*n, cover.layers * cover.pieces);
                    let across = match cover.lie {
                        Placement::LowTunnel { arch_m, .. } => arch_m,
                        Placement::Floating | Placement::Drape => bed.width_m + 2.0 * tall,
                        other => panic!("a sheet does not lie as {other:?}"),
                    };
                    assert!(
                        sheet.width_m >= across + 2.0 * 0.1016 - 1e-6,
                        "{} {}",
                        bed.name,
                        sheet.name
                    );
                    let joined = f64::from(cover.pieces) * sheet.length_m
                        - f64::from(cover.pieces - 1) * 0.3048;
                    assert!(joined >= bed.length_m, "{} {}", bed.name, sheet.name);
                }
                assert!(cover.minutes > 0.0);
            }
        }
    }
}

#[test]
fn the_demo_gardens_read_without_fault_or_warning() {
    for text in [
        include_str!("../../../demo/wisconsin/garden.toml"),
        include_str!("../../../demo/jura/garden.toml"),
    ] {
        let reading = file::read(text);
        assert!(reading.faults.is_empty() && reading.warnings.is_empty(), "{reading:?}");
    }
}

/// Every cover that is offered lies as its bed needs it, and a sheet of exactly the least size would do.
#[test]
fn what_a_bed_needs_is_what_its_covers_take() {
    let mut seen = 0;
    for garden in [wisconsin(), jura()] {
        for bed in &garden.beds {
            for cover in covers(&garden, bed) {
                let Some(Item::Sheet(i)) = cover.uses.first().map(|u| u.0) else { continue };
                let sheet = &garden.stock.sheets[i];
                let needed = needed(bed, sheet.kind).expect("it lies");
                assert_eq!(needed.lie, cover.lie);
                assert_eq!(needed.skirt_m(sheet.width_m), Some(cover.skirt_m));
                assert_eq!(needed.pieces(sheet.length_m), Some(cover.pieces));
                for n in 1..=4 {
                    assert_eq!(needed.pieces(needed.length_m(n)), Some(n), "{}", bed.name);
                    assert!(needed.pieces(needed.length_m(n) - 0.01) > Some(n), "{}", bed.name);
                }
                let least_m = needed.across_m + 2.0 * LEAST_SKIRT_M;
                assert!(
                    needed.skirt_m(least_m).is_some() && needed.skirt_m(least_m - 0.01).is_none()
                );
                seen += 1;
            }
        }
    }
    assert!(seen > 40, "{seen}");
}
