//! The frame analysis against closed forms.

use std::f64::consts::PI;

use structure::bending::Rod;
use structure::chain::{Base, Supports, Unstressed};
use structure::frame::{Collapse, Failure};
use structure::load::Load;
use structure::outline::Outline;
use structure::{Arch, Frame, Section, Shape};

const PINNED: Supports =
    Supports { base: Base::Pinned, unstressed: Unstressed::AsDrawn, prop: false };
const FIXED: Supports = Supports { base: Base::Fixed, ..PINNED };

/// Thin steel that never yields.
fn elastic() -> Rod {
    let section = Section::round(0.002).expect("a section");
    Rod { section, modulus_pa: 200e9, yield_pa: f64::INFINITY, ductile: true }
}

fn circle(half_angle_deg: f64, radius: f64, pieces: usize) -> Outline {
    let a = half_angle_deg.to_radians();
    let (span, rise) = (2.0 * radius * a.sin(), radius * (1.0 - a.cos()));
    Arch::from_span_and_rise(Shape::Arc, span, rise).expect("an arch").outline(pieces)
}

fn near(got: f64, wanted: f64, part: f64, what: &str) {
    assert!((got / wanted - 1.0).abs() <= part, "{what}: {got} for {wanted}");
}

fn alone(frame: &Frame, outline: &Outline, load: &Load) -> Collapse {
    frame.collapse(&Load::none(outline), load).expect("a collapse")
}

/// q R³/EI of two-hinged and fixed circular arches by half-angle (°): Timoshenko & Gere, *Theory of Elastic Stability*, from
/// memory, π²/α² − 1 and k² − 1 with k tan α cot kα = 1. Both are for pressure that stays normal to the arch (hydrostatic),
/// which is the pressure of this program.
#[test]
fn arches_under_pressure_buckle_as_published() {
    let radius = 1.0;
    let bending = elastic().stiffness_n_m2() / radius;
    for (angle, hinged, fixed) in [
        (30.0, 35.0, 73.3),
        (45.0, 15.0, 32.4),
        (60.0, 8.0, 18.1),
        (75.0, 4.76, 11.5),
        (90.0, 3.0, 8.0),
    ] {
        let outline = circle(angle, radius, 96);
        let pressure = Load::pressure(&outline, |_| bending);
        for (held, wanted) in [(PINNED, hinged), (FIXED, fixed)] {
            let got = alone(&Frame::new(&outline, &elastic(), held), &outline, &pressure);
            assert_eq!(got.failure, Failure::Buckled);
            near(got.collapse_factor, wanted, 0.01, "buckling");
        }
    }
}

/// Two-hinged half circle under w per horizontal metre: H = 4wR/3π, crown +0.0756 wR², least −0.0901 wR² at 25.1° above the
/// springing; crown load P: H = P/π, +0.1817 PR and −0.0927 PR at 32.5° (elastic arch theory, computed apart from this program).
#[test]
fn moments_of_a_half_circle() {
    let outline = circle(90.0, 1.0, 180);
    let frame = Frame::new(&outline, &elastic(), PINNED);
    // So small that the arch does not notice its own bending.
    let small = 1e-4;
    for (load, thrust, crown, least, at_deg) in [
        (Load::down_per_span(&outline, |_, _| small), 4.0 / (3.0 * PI), 0.0756, -0.0901, 25.1),
        (Load::on_crown(&outline, small), 1.0 / PI, 0.1817, -0.0927, 32.5),
    ] {
        let stands = frame.equilibrium_under(&load).expect("a load").expect("a standing arch");
        let m: Vec<f64> = stands.moments_n_m.iter().map(|m| m / small).collect();
        // The piece beside the crown leans by half a degree and carries half of what weighs on the crown.
        let on_crown = 0.5 * load.down_n()[90] / small * (PI / 360.0).sin();
        near(stands.thrusts_n[90] / small - on_crown, thrust, 0.002, "thrust at the crown");
        near(m[90], crown, 0.01, "crown");
        let lowest = (0..=90).min_by(|a, b| m[*a].total_cmp(&m[*b])).expect("a point");
        near(m[lowest], least, 0.01, "least");
        assert!((lowest as f64 - at_deg).abs() <= 1.5, "at {lowest}°");
    }
}

/// A straight rod whose ends are pushed together is the elastica: sprung into any curve of that length and span, the chain
/// settles to the elastica's crown and thrust P = 4K² EI/L².
#[test]
fn a_sprung_rod_is_the_elastica() {
    let held = Supports { unstressed: Unstressed::Straight, ..PINNED };
    for ratio in [0.4, 0.6, 0.8, 0.95] {
        let wanted = Arch::from_length_and_span(Shape::Elastica, 1.0, ratio).expect("an arch");
        let slope = wanted.outline(2).points()[0].tangent_rad;
        let thrust =
            structure::elastica::thrust_over_euler(slope) * PI * PI * elastic().stiffness_n_m2();
        for shape in [Shape::Elastica, Shape::Arc, Shape::HalfEllipse] {
            let drawn =
                Arch::from_length_and_span(shape, 1.0, ratio).expect("an arch").outline(100);
            let frame = Frame::new(&drawn, &elastic(), held);
            let stands =
                frame.equilibrium_under(&Load::none(&drawn)).expect("a load").expect("stands");
            near(stands.points_m[50][1], wanted.rise_m(), 0.003, "crown");
            near(stands.thrusts_n[50], thrust, 0.005, "thrust");
        }
    }
}

/// A fixed-ended straight beam under w per metre: elastic moment wL²/12 at the ends, first yield at 12 My/L², collapse at
/// 16 Mp/L² (any handbook of plastic design). Supports feet let it hang on as a rope, so that the collapse shows in the pull
/// times sag: nothing before 16, all that is beyond 16 after.
#[test]
fn a_fixed_beam_collapses() {
    let outline = Outline::straight(1.0, 100);
    let section = Section::round(0.05).expect("a section");
    let rod = Rod { section, yield_pa: 50e6, ..elastic() };
    let frame = Frame::new(&outline, &rod, FIXED);
    let plastic = rod.plastic_moment_n_m();
    let at = |w: f64| {
        let load = Load::down_per_length(&outline, w * plastic);
        frame.equilibrium_under(&load).expect("a load").expect("stands")
    };
    near(at(5.0).moments_n_m[0].abs(), 5.0 / 12.0 * plastic, 0.01, "end");
    let got = alone(&frame, &outline, &Load::down_per_length(&outline, plastic));
    near(got.yield_factor.expect("yields"), 12.0 * 3.0 * PI / 16.0, 0.01, "yield");
    for (w, hangs) in [(15.0, 0.0), (17.0, 0.125), (18.0, 0.25)] {
        let stands = at(w);
        let rope = stands.thrusts_n[50] * stands.points_m[50][1] / plastic;
        assert!((rope - hangs).abs() < 0.02, "{w}: {rope}");
    }
}

/// A two-hinged half circle under w per horizontal metre folds with hinges at the crown and where s = sin φ = √2 − 1 above
/// each springing: w/2 − H = m and w s²/2 − H s = −m (m = Mp/R) give w R²/Mp = 2(1 + s)/(s(1 − s)), least 6 + 4√2 = 11.66
/// (upper bound theorem of plastic design, worked here).
#[test]
fn a_half_circle_folds_at_its_plastic_load() {
    let outline = circle(90.0, 1.0, 128);
    // So soft that it yields long before it could buckle.
    let rod = Rod { section: Section::round(0.02).expect("a section"), yield_pa: 2e6, ..elastic() };
    let load = Load::down_per_span(&outline, |_, _| rod.plastic_moment_n_m());
    let got = alone(&Frame::new(&outline, &rod, PINNED), &outline, &load);
    near(got.collapse_factor, 6.0 + 4.0 * 2f64.sqrt(), 0.02, "plastic load");
    assert_eq!(got.failure, Failure::Folded);
}

/// Loads of another outline and loads of nothing are refused.
#[test]
fn wrong_loads_are_refused() {
    let outline = circle(60.0, 1.0, 20);
    let frame = Frame::new(&outline, &elastic(), PINNED);
    let other = Load::none(&circle(60.0, 1.0, 30));
    assert!(frame.collapse(&other, &other).is_err());
    assert!(frame.equilibrium_under(&other).is_err());
    assert!(frame.collapse(&Load::none(&outline), &Load::none(&outline)).is_err());
}
