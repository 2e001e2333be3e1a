//! Hoops as the garden file gives them: shapes, counts, weights of cloth.

use garden::file;
use garden::hoops::{Hoops, cloth_kg_m2};
use garden::stock::SheetKind;

const HEAD: &str = "name = \"x\"\nunits = \"us\"\n[place]\nlatitude = 43.6\nlongitude = -90.9\nelevation_ft = 1000\n\
    zone = \"America/Chicago\"\n[site]\nsoil = \"loam\"\nexposure = \"open\"\n[labour]\npeople = 1\nminutes_each = 60\n\
    worth_of_hour = 15\n[stock]\npins = 10\nclips = 0\n[[bed]]\nname = \"a\"\nlength_ft = 40\nwidth_in = 30\nwetness = \"damp\"\n";

fn read(hoops: &str) -> Result<Hoops, Vec<String>> {
    let reading = file::read(&format!("{HEAD}hoops = {{ {hoops} }}\n"));
    match reading.garden {
        Some(garden) => Ok(garden.beds[0].hoops.expect("hoops")),
        None => Err(reading
            .faults
            .into_iter()
            .map(|f| format!("{}; {}", f.message, f.expected))
            .collect()),
    }
}

const TRADE: &str = "material = \"soft wire\", wire_gauge = 10, length_in = 76, bury_in = 6, spacing_in = 48, span_in = 36";

/// Common practice, no source: 76 in of 10-gauge wire, 6 in of each end in the ground, leave an arch of 64 in.
#[test]
fn seventy_six_inches_of_wire_leave_an_arch_of_sixty_four() {
    let hoops = read(TRADE).expect("reads");
    assert!((hoops.arch_m() / 0.0254 - 64.0).abs() < 1e-9);
    assert!(
        (hoops.section.outer_m() / 0.0254 - 0.135).abs() < 1e-9,
        "US steel wire gauge 10, from memory"
    );
    // A circular arc of 64 in over 36 in stands between a half circle of that span and one of that arc.
    assert!(hoops.rise_m() / 0.0254 > 18.0 && hoops.rise_m() / 0.0254 < 26.0, "{}", hoops.rise_m());
}

#[test]
fn a_bed_of_forty_feet_takes_eleven_hoops_four_feet_apart() {
    let hoops = read(TRADE).expect("reads");
    assert_eq!(hoops.count(40.0 * 0.3048), 11);
    assert_eq!(hoops.count(41.0 * 0.3048), 12);
    assert_eq!(hoops.count(0.3), 2, "one at each end");
}

#[test]
fn height_and_span_give_each_other_in_every_shape() {
    for (material, shape) in [
        ("material = \"soft wire\", wire_gauge = 9", ""),
        ("material = \"soft wire\", wire_gauge = 9", ", shape = \"half ellipse\""),
        (
            "material = \"conduit\", diameter_in = 0.7, wall_in = 0.05",
            ", shape = \"former\", radius_in = 14",
        ),
        ("material = \"fibreglass\", diameter_in = 0.3", ""),
        ("material = \"pvc pipe\", diameter_in = 0.84, wall_in = 0.11", ""),
    ] {
        let rest = "length_in = 80, bury_in = 6, spacing_in = 48";
        let by_span = read(&format!("{material}, {rest}{shape}, span_in = 38")).expect("by span");
        let height_in = by_span.rise_m() / 0.0254;
        let by_height = read(&format!("{material}, {rest}{shape}, height_in = {height_in}"))
            .expect("by height");
        assert!((by_height.span_m() - by_span.span_m()).abs() < 1e-4, "{material}{shape}");
    }
}

/// Every wrong number is named with what would be right.
#[test]
fn hoops_that_cannot_stand_are_told_why() {
    let rest = "length_in = 76, bury_in = 6, spacing_in = 48, span_in = 36";
    for (hoops, says) in [
        (
            TRADE.replace("span_in = 36", "span_in = 70"),
            "no longer than the span; a span below 62.7 in",
        ),
        (
            TRADE.replace("span_in = 36", "span_in = 36, height_in = 20"),
            "either it or span, not both",
        ),
        (TRADE.replace(", span_in = 36", ""), "one of span and height"),
        (TRADE.replace("span_in = 36", "height_in = 60"), "the rise is 60.0 in"),
        (
            TRADE.replace("spacing_in = 48", "spacing_in = 0"),
            "spacing_in is 0; a number from 3.94 to 157.48",
        ),
        (
            TRADE.replace("length_in = 76", "length_in = -76"),
            "length_in is -76; a number from 19.69",
        ),
        (TRADE.replace("bury_in = 6", "bury_in = 38"), "nothing of these hoops is above ground"),
        (
            TRADE.replace("wire_gauge = 10", "wire_gauge = 10.5"),
            "no wire of gauge 10.5; US steel wire gauge 6, 7, 8, 9, 10",
        ),
        (
            TRADE.replace("wire_gauge = 10", "wire_gauge = 40"),
            "wire_gauge is 40; a number from 6 to 14",
        ),
        (format!("material = \"pvc pipe\", diameter_in = 0.84, {rest}"), "has no wall_in"),
        (
            format!("material = \"pvc pipe\", diameter_in = 0.84, wall_in = 0.5, {rest}"),
            "leaves no pipe",
        ),
        (
            format!("material = \"spring wire\", wire_gauge = 9, shape = \"arc\", {rest}"),
            "keeps no shape",
        ),
    ] {
        let faults = read(&hoops).expect_err(&hoops);
        assert_eq!(faults.len(), 1, "{hoops}: {faults:?}");
        assert!(faults[0].contains(says), "{hoops}: {faults:?}");
    }
}

/// 1.5 oz/yd² is 50.9 g/m²; polyethylene of 920 kg/m³ and 100 µm weighs 92 g/m² (from memory).
#[test]
fn cloth_weighs_what_it_says() {
    assert!((cloth_kg_m2(SheetKind::RowCover { weight_g_m2: 50.9 }, 2) - 0.1018).abs() < 1e-9);
    assert!((cloth_kg_m2(SheetKind::Film { thickness_um: 100.0 }, 1) - 0.092).abs() < 1e-9);
}
