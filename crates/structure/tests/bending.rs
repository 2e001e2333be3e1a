//! Bending past the yield against tables, limits and a sum over fibres.

use structure::bending::Rod;
use structure::wire_gauge::wire;
use structure::{Error, Material, Section};

fn steel(d: f64, yield_pa: f64) -> Rod {
    let section = Section::round(d).expect("a section");
    Rod { section, modulus_pa: 200e9, yield_pa, ductile: true }
}

/// Least elastic radius (m) of 3.06 and 3.43 mm wire by yield stress (MPa), computed apart from this program.
#[test]
fn steel_radii_follow_the_table() {
    for (mpa, thin, thick) in
        [(250.0, 1.22, 1.37), (350.0, 0.87, 0.98), (500.0, 0.61, 0.69), (1000.0, 0.31, 0.34)]
    {
        for (d, radius) in [(0.00306, thin), (0.00343, thick)] {
            let got = steel(d, mpa * 1e6).least_elastic_radius_m();
            assert!((got - radius).abs() < 0.0055, "{mpa} MPa, {d} m: {got}");
        }
    }
    // So soft wire of 10 gauge keeps a bend of 0.45 m and wire of spring temper does not.
    let section = wire(10.0).expect("a gauge");
    for (material, keeps) in [(Material::SoftWire, true), (Material::SpringWire, false)] {
        let p = material.properties();
        let rod =
            Rod { section, modulus_pa: p.modulus_pa, yield_pa: p.yield_pa.central, ductile: true };
        assert_eq!(
            rod.sprung_back_radius_m(0.45).expect("a radius").is_finite(),
            keeps,
            "{material:?}"
        );
    }
}

/// Moment of a round or hollow rod by adding up strips: stress E κ y, cut off at ±σy.
fn by_fibres(rod: &Rod, curvature: f64) -> f64 {
    let (outer, inner) = (0.5 * rod.section.outer_m(), 0.5 * rod.section.inner_m());
    let strips = 20_000;
    let width = |r: f64, y: f64| 2.0 * (r * r - y * y).max(0.0).sqrt();
    (0..strips)
        .map(|i| {
            let y = outer * (2.0 * (f64::from(i) + 0.5) / f64::from(strips) - 1.0);
            let stress = (rod.modulus_pa * curvature * y).clamp(-rod.yield_pa, rod.yield_pa);
            stress * y * (width(outer, y) - width(inner, y)) * 2.0 * outer / f64::from(strips)
        })
        .sum()
}

#[test]
fn moment_and_curvature_by_summing_fibres() {
    let solid = steel(0.00343, 350e6);
    let tube = Rod { section: Section::tube(0.018, 0.0012).expect("a tube"), ..solid };
    for rod in [solid, tube] {
        let first = 1.0 / rod.least_elastic_radius_m();
        for part in [0.2, 0.99, 1.01, 1.1, 1.3, 2.0, 5.0, 20.0] {
            let curvature = part * first;
            let (moment, slope) = rod.moment_n_m(curvature);
            let fibres = by_fibres(&rod, curvature);
            assert!((moment / fibres - 1.0).abs() < 1e-4, "{part}: {moment} {fibres}");
            let step = 1e-5 * curvature;
            let difference = (rod.moment_n_m(curvature + step).0
                - rod.moment_n_m(curvature - step).0)
                / (2.0 * step);
            assert!(
                (slope - difference).abs() < 1e-5 * rod.stiffness_n_m2(),
                "{part}: {slope} {difference}"
            );
            assert_eq!(rod.moment_n_m(-curvature), (-moment, slope));
        }
        assert!((rod.moment_n_m(first).0 / rod.yield_moment_n_m() - 1.0).abs() < 1e-9);
        assert!((rod.moment_n_m(1e4 * first).0 / rod.plastic_moment_n_m() - 1.0).abs() < 1e-6);
    }
    // Shape factor of the circle 16/3π (any handbook of plastic design).
    let factor = solid.plastic_moment_n_m() / solid.yield_moment_n_m();
    assert!((factor - 16.0 / (3.0 * std::f64::consts::PI)).abs() < 1e-12);
}

#[test]
fn spring_back_and_the_former_undo_each_other() {
    let rod = steel(0.00343, 350e6);
    for wanted in [0.05, 0.2, 0.45, 1.0, 5.0] {
        let former = rod.former_radius_m(wanted).expect("a former");
        assert!(former < wanted);
        let back = rod.sprung_back_radius_m(former).expect("a radius");
        assert!((back / wanted - 1.0).abs() < 1e-9, "{wanted}: {back}");
    }
    // Sharp bends spring back by Mp/EI, bends within the elastic radius come back straight.
    let sharp = rod.sprung_back_radius_m(0.01).expect("a radius");
    let left = 1.0 / sharp + rod.plastic_moment_n_m() / rod.stiffness_n_m2();
    assert!((left * 0.01 - 1.0).abs() < 1e-4, "{left}");
    assert_eq!(rod.sprung_back_radius_m(1.0), Ok(f64::INFINITY));
    let glass = Rod { ductile: false, ..rod };
    assert_eq!(glass.former_radius_m(0.4), Err(Error::TakesNoBend));
    assert!(rod.sprung_back_radius_m(f64::NAN).is_err());
}
