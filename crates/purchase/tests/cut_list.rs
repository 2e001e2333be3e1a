//! The cut list of a garden: every hoop and sheet once, in the cloth that serves.

use garden::bed::Bed;
use garden::file;
use garden::garden::Garden;
use garden::stock::SheetKind;
use milp::Microlp;
use purchase::cut::{lengths, sheets};
use purchase::cut_list::{self, CutList, Lack};

const SUPPLY: &str = "
[supply]
[[supply.rod]]
name = \"coil\"
material = \"fibreglass\"
diameter_mm = 8
length_m = 50
price = 60
[[supply.cloth]]
name = \"light\"
kind = \"row cover\"
weight_g_m2 = 17
width_cm = 210
length_m = 100
price = 50
[[supply.cloth]]
name = \"heavy\"
kind = \"row cover\"
weight_g_m2 = 50
width_cm = 240
length_m = 50
price = 60
";

fn garden(supply: &str) -> Garden {
    let text = format!("{}{supply}", include_str!("../../../demo/jura/garden.toml"));
    let reading = file::read(&text);
    assert!(reading.faults.is_empty(), "{:?}", reading.faults);
    reading.garden.expect("a garden")
}

fn list(garden: &Garden) -> CutList {
    let beds: Vec<&Bed> = garden.beds.iter().collect();
    cut_list::for_beds(garden, &beds, &Microlp).expect("a cut")
}

#[test]
fn every_hoop_and_sheet_is_cut_once() {
    let g = garden(SUPPLY);
    let list = list(&g);
    assert!(list.without.is_empty(), "{:?}", list.without);
    let hoops: u32 = g.beds.iter().filter_map(|b| Some(b.hoops?.count(b.length_m))).sum();
    let cut: usize = list.rods.iter().flat_map(|r| &r.layout.rolls).map(|r| r.pieces.len()).sum();
    assert_eq!(cut, hoops as usize);
    for rod in &list.rods {
        lengths::verify(&rod.demands, &rod.rolls, 0.0, &rod.layout).expect("sound");
    }
    let sheets: usize = list
        .cloths
        .iter()
        .flat_map(|c| &c.layout.rolls)
        .flat_map(|r| &r.strips)
        .map(|s| s.places.len())
        .sum();
    assert_eq!(sheets, g.beds.len(), "one sheet a bed");
    for cloth in &list.cloths {
        let layouts: Vec<_> = list.cloths.iter().map(|c| c.layout.clone()).collect();
        sheets::verify(&cloth.demands, &cloth.rolls, &layouts).expect("sound");
    }
}

/// Tender crops get the heavy cloth though the light one is cheaper (common practice, no source).
#[test]
fn cloth_that_is_too_light_is_not_chosen() {
    let g = garden(SUPPLY);
    let list = list(&g);
    let named = |wanted: f64, bed: &str| {
        list.cloths.iter().any(|c| {
            matches!(c.kind, SheetKind::RowCover { weight_g_m2 } if (weight_g_m2 - wanted).abs() < 0.1)
                && c.demands.iter().any(|d| d.material == c.layout.material && d.name.contains(bed))
        })
    };
    assert!(named(50.0, "courgettes") && !named(17.0, "courgettes"));
    assert!(named(17.0, "leeks"));
}

#[test]
fn what_nothing_on_offer_serves_is_said() {
    let g = garden(
        "\n[supply]\n[[supply.cloth]]\nname = \"net\"\nkind = \"insect net\"\nwidth_cm = 210\nlength_m = 50\n",
    );
    let list = list(&g);
    assert!(list.rods.is_empty() && list.cloths.is_empty());
    let rods = list.without.iter().filter(|w| matches!(w.wanted, Lack::Rod(..))).count();
    let cloths = list.without.iter().filter(|w| matches!(w.wanted, Lack::Cloth(_))).count();
    assert_eq!((rods, cloths), (1, g.beds.len()));
}

/// A roll of 1.2 m is too narrow for a bed of 1 m with skirts; a needed net between two dates is cut as well.
#[test]
fn narrow_rolls_and_other_needs() {
    let narrow = SUPPLY.replace("width_cm = 240", "width_cm = 110");
    let listed = list(&garden(&narrow));
    assert!(
        listed.without.iter().any(|w| matches!(w.wanted, Lack::Size(..))),
        "{:?}",
        listed.without
    );
    let mut g = garden(&format!(
        "{SUPPLY}[[supply.cloth]]\nname = \"net\"\nkind = \"insect net\"\nwidth_cm = 210\nlength_m = 50\n"
    ));
    let net =
        garden::need::Need { wanted: garden::need::Wanted::InsectNet, from_day: 120, to_day: 270 };
    g.beds[2].needs = vec![net];
    let listed = list(&g);
    let nets = listed.cloths.iter().filter(|c| c.kind == SheetKind::InsectNet).count();
    assert_eq!(nets, 1);
}
