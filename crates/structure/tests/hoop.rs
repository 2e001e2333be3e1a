//! The answers for hoops of the trade.

use structure::anchors::{Ground, Pin, gust_held_m_s};
use structure::constants::AIR_KG_M3;
use structure::constants::PIECES;
use structure::frame::Frame;
use structure::hoop::Hoop;
use structure::range::Range;
use structure::snow::{Snow, SnowLoad, snow};
use structure::wire_gauge::wire;
use structure::{Arch, Base, Material, Shape, Supports, Unstressed};

const INCH_M: f64 = 0.0254;

/// Wire of 76 in with 6 in of each end in the ground, over 36 in, hoops 4 ft apart, cloth of 19 g/m².
fn trade(gauge: f64, spacing_ft: f64) -> Hoop {
    let arch =
        Arch::from_length_and_span(Shape::Arc, 64.0 * INCH_M, 36.0 * INCH_M).expect("an arch");
    let section = wire(gauge).expect("a gauge");
    let spacing_m = spacing_ft * 12.0 * INCH_M;
    Hoop { material: Material::SoftWire, section, arch, spacing_m, cloth_kg_m2: 0.019, prop: false }
}

fn rises(r: Range) -> bool {
    r.low < r.central && r.central < r.high
}

/// Growers set hoops 4 ft apart where makers say 5 to 8 ft, and use wire of 10 gauge (common practice, no source): closer
/// and thicker hoops carry more, a prop more still, and wet snow is carried to a lesser depth.
#[test]
fn the_trade_is_right_about_what_is_stronger() {
    let carried = |hoop: Hoop| hoop.snow_pa().expect("an answer");
    let ten = carried(trade(10.0, 4.0));
    println!("10 gauge at 4 ft: {ten:?}");
    assert!(rises(ten.collapses) && rises(ten.yields));
    for weaker in [trade(11.0, 4.0), trade(10.0, 5.0), trade(10.0, 8.0)] {
        assert!(carried(weaker).collapses.central < ten.collapses.central);
        let gust = |h: Hoop| h.gust_m_s(AIR_KG_M3).expect("an answer").collapses.central;
        assert!(gust(weaker) < gust(trade(10.0, 4.0)));
    }
    let propped = carried(Hoop { prop: true, ..trade(10.0, 4.0) });
    println!("with a prop: {propped:?}");
    assert!(propped.collapses.central > 1.2 * ten.collapses.central);
    let depth = |kind| Hoop::snow_depth_m(ten, kind).collapses;
    for kind in Snow::ALL {
        println!("{kind:?}: {:?}", depth(kind));
    }
    assert!(depth(Snow::Fresh).central > 3.0 * depth(Snow::Wet).central);
}

/// Span 0.9 m, 1.2 m apart, 10 gauge: 10 cm of wet snow at 4 kN/m³ brings it down and 2 cm of fresh at 1 kN/m³ does not
/// (0.0901 w R² against Mp, computed apart from this program).
#[test]
fn the_worked_snow_example() {
    let arch = Arch::from_span_and_rise(Shape::Arc, 0.9, 0.45).expect("an arch");
    let hoop = Hoop { arch, spacing_m: 1.2, cloth_kg_m2: 0.0, ..trade(10.0, 4.0) };
    let carried = hoop.snow_pa().expect("an answer");
    assert!(carried.collapses.high < 400.0, "{carried:?}");
    assert!(carried.yields.low > 20.0, "{carried:?}");
}

#[test]
fn the_spacing_that_is_asked_for_carries() {
    let hoop = trade(10.0, 4.0);
    let spacing = hoop.spacing_for_snow_m(0.1, Snow::Settled).expect("an answer");
    let back = Hoop { spacing_m: spacing.collapses.central, ..hoop }.snow_pa().expect("an answer");
    let depth = Hoop::snow_depth_m(back, Snow::Settled).collapses.central;
    assert!((depth / 0.1 - 1.0).abs() < 0.01, "{depth}");
    let spacing = hoop.spacing_for_gust_m(15.0, AIR_KG_M3).expect("an answer");
    let back = Hoop { spacing_m: spacing.collapses.low, ..hoop };
    let gust = back.gust_m_s(AIR_KG_M3).expect("an answer").collapses.low;
    assert!((gust / 15.0 - 1.0).abs() < 0.01, "{gust}");
}

#[test]
fn twice_the_pieces_change_little() {
    for hoop in [
        trade(10.0, 4.0),
        Hoop { material: Material::SpringWire, ..trade(10.0, 4.0) },
        Hoop { prop: true, ..trade(10.0, 4.0) },
    ] {
        for base in [Base::Pinned, Base::Fixed] {
            let at = |pieces| {
                let outline = hoop.arch.outline(pieces);
                let p = hoop.material.properties();
                let unstressed =
                    if p.keeps_shape { Unstressed::AsDrawn } else { Unstressed::Straight };
                let rod = hoop.rod(p.yield_pa.central);
                let held = Supports { base, unstressed, prop: hoop.prop };
                let none = structure::load::Load::none(&outline);
                let load = snow(&outline, 1.0, hoop.spacing_m, SnowLoad::HalfOnOneSide);
                Frame::new(&outline, &rod, held).collapse(&none, &load).expect("an answer")
            };
            let (coarse, fine) = (at(PIECES), at(2 * PIECES));
            let change = coarse.collapse_factor / fine.collapse_factor - 1.0;
            println!("{:?} {base:?}: {change:.5}", hoop.material);
            assert!(change.abs() < 0.005, "{base:?} {coarse:?} {fine:?}");
        }
    }
}

/// Pins of 11 gauge, two legs of 6 in, one at each hoop on either side (common practice, no source), let go long before the
/// hoops of 10 gauge collapse in soaked ground: the cloth flies first.
#[test]
fn pins_and_hoops_in_a_gust() {
    let hoop = trade(10.0, 4.0);
    let pin =
        Pin { diameter_m: wire(11.0).expect("a gauge").outer_m(), depth_m: 6.0 * INCH_M, legs: 2 };
    let outline = hoop.arch.outline(PIECES);
    let lets_go = |ground| {
        let holds = pin.pull_out_n(ground).expect("a pin").central;
        gust_held_m_s(&outline, hoop.arch.rise_m(), holds, 1.0 / hoop.spacing_m, AIR_KG_M3)
            .expect("a gust")
    };
    let gust = hoop.gust_m_s(AIR_KG_M3).expect("an answer");
    println!(
        "hoops {gust:?}; pins soaked {:.1}, moist {:.1}, firm {:.1} m/s",
        lets_go(Ground::Soaked),
        lets_go(Ground::Moist),
        lets_go(Ground::Firm)
    );
    assert!(lets_go(Ground::Soaked) < gust.collapses.low);
    assert!(lets_go(Ground::Soaked) < lets_go(Ground::Moist));
    assert!(lets_go(Ground::Moist) < lets_go(Ground::Firm));
}

#[test]
fn wrong_hoops_are_refused() {
    for wrong in [f64::NAN, 0.0, -1.0, 11.0] {
        assert!(Hoop { spacing_m: wrong, ..trade(10.0, 4.0) }.snow_pa().is_err());
    }
    assert!(trade(10.0, 4.0).spacing_for_snow_m(-0.1, Snow::Wet).is_err());
    assert!(trade(10.0, 4.0).spacing_for_gust_m(f64::NAN, AIR_KG_M3).is_err());
}
