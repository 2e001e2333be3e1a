//! The low tunnel of a bed: measures by hand, what changes make it stand, against the structure room asked directly.

use garden::file;
use garden::fit::{Placement, covers};
use garden::garden::Garden;
use garden::stands;
use garden::tunnel::{self, Change, Limits, Tunnel, Wish};
use structure::hoop::Hoop;
use structure::snow::Snow;

const INCH_M: f64 = 0.0254;
const WISH: Wish = Wish { snow_m: 0.1, gust_m_s: 18.0 };

fn garden() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn tunnel(garden: &Garden, name: &str) -> Option<Tunnel> {
    let bed = garden.beds.iter().find(|b| b.name == name).expect("the bed");
    tunnel::low_tunnel(garden, bed, &WISH).expect("sizes are sound")
}

/// Common practice, no source: 76 in of wire with 6 in of each end buried leave 64 in; 4 ft apart on 40 ft are 11 hoops;
/// a sheet of 64 in and two skirts of 6 in.
#[test]
fn the_demo_bed_by_hand() {
    let t = tunnel(&garden(), "broccoli").expect("hoops");
    assert_eq!((t.count, t.pins_a_side), (11, 11));
    assert!((t.sheet_m.0 / INCH_M - 76.0).abs() < 1e-9);
    assert!((t.sheet_m.1 - (40.0 * 0.3048 + 2.0 * t.hoops.rise_m())).abs() < 1e-9);
    assert!((t.cover_to_ground - 64.0 / 34.0).abs() < 1e-9);
    // A circle of arc 64 over chord 34: sin a / a = 34/64 gives a = 1.8229, radius 17.55, height 21.93 in; area by
    // r² (a − sin a cos a).
    let (a, r) = (1.82287_f64, 17.5548 * INCH_M);
    assert!((t.hoops.rise_m() / INCH_M - 21.933).abs() < 0.02, "{}", t.hoops.rise_m() / INCH_M);
    let area = r * r * (a - a.sin() * a.cos());
    assert!((t.volume_m3 - area * 40.0 * 0.3048).abs() < 0.01 * t.volume_m3);
    assert!(t.bend.former_radius_m.expect("bent") < t.bend.least_radius_m);
    assert!(
        t.fits.iter().all(|c| matches!(c.lie, Placement::LowTunnel { .. })) && !t.fits.is_empty()
    );
}

#[test]
fn a_bed_without_hoops_has_no_tunnel() {
    assert!(tunnel(&garden(), "kale").is_none());
}

/// Makers set hoops 5 to 8 ft apart, growers 4 ft (common practice, no source): closer stands more; so do thicker wire and,
/// in snow, a purlin.
#[test]
fn closer_thicker_and_propped_hoops_stand_more() {
    let t = tunnel(&garden(), "broccoli").expect("hoops");
    let snow = |l: &Limits| l.snow_collapses_m[0].central;
    let gust = |l: &Limits| l.gust_collapses_m_s.central;
    let mut seen = [false; 3];
    for (change, l) in &t.instead {
        match *change {
            Change::Spacing(m) if m < t.hoops.spacing_m => {
                seen[0] = true;
                assert!(snow(l) > 1.8 * snow(&t.limits) && gust(l) > 1.2 * gust(&t.limits));
            }
            Change::Spacing(_) => assert!(snow(l) < snow(&t.limits) && gust(l) < gust(&t.limits)),
            Change::Gauge(_) => {
                seen[1] = true;
                assert!(snow(l) > snow(&t.limits) && gust(l) > gust(&t.limits));
            }
            Change::Purlin => {
                seen[2] = true;
                assert!(snow(l) > 2.0 * snow(&t.limits));
            }
        }
    }
    assert_eq!(seen, [true; 3]);
    for l in t.instead.iter().map(|i| &i.1).chain([&t.limits]) {
        let [fresh, settled, wet] = l.snow_collapses_m;
        assert!(fresh.central > settled.central && settled.central > wet.central);
        for r in [fresh, settled, wet, l.gust_collapses_m_s, l.pins_m_s.expect("pins")] {
            assert!(r.low <= r.central && r.central <= r.high && r.low > 0.0);
        }
    }
}

/// The spacing that is said to stand the wished snow does stand it when asked the other way round.
#[test]
fn the_spacing_for_a_wish_stands_it() {
    let t = tunnel(&garden(), "broccoli").expect("hoops");
    let spacing_m = t.spacing_for[0].central;
    let wet_kg_m2 = structure::constants::CLOTH_WATER_KG_M2.0.central;
    let hoop = Hoop { spacing_m, ..t.hoops.under(t.cloth_kg_m2 + wet_kg_m2) };
    let held = Hoop::snow_depth_m(hoop.snow_pa().expect("sound"), Snow::Fresh).collapses.central;
    assert!((held / WISH.snow_m - 1.0).abs() < 0.03, "{held}");
}

/// 0.613 V² times the area that pulls on one pin is its pull: the gust for floating cloth by hand.
#[test]
fn pins_of_a_floating_cover_by_hand() {
    let g = garden();
    let bed = g.beds.iter().find(|b| b.name == "strawberries").expect("the bed");
    let cover = covers(&g, bed).into_iter().find(|c| c.lie == Placement::Floating).expect("floats");
    let held = stands::covered(&g, bed, &cover, stands::Threatened { wind: true, snow: true })
        .expect("sound");
    assert!(held.snow_pa.is_none() && held.gust_m_s.is_none());
    let pins = cover.uses.iter().find(|u| u.0 == garden::fit::Item::Pins).expect("pins").1;
    // Two legs of 3.06 mm and 6 in at 20 kPa, half of it sticking: n α c π d L.
    let pull = 2.0 * 0.5 * 20e3 * std::f64::consts::PI * 0.003_060_7 * 0.1524;
    let lift_m2 = 0.7 * bed.width_m * bed.length_m / f64::from(pins);
    let by_hand = (pull / (0.5 * 1.225 * lift_m2)).sqrt();
    let central = held.pins_m_s.expect("pins").central;
    assert!((central / by_hand - 1.0).abs() < 1e-6, "{central} {by_hand}");
}
