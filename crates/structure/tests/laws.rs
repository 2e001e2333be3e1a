//! What must hold for any hoop.

use proptest::prelude::*;
use structure::bending::Rod;
use structure::constants::AIR_KG_M3;
use structure::hoop::Hoop;
use structure::load::Load;
use structure::snow::{SnowLoad, snow};
use structure::{Arch, Base, Error, Frame, Material, Section, Shape, Supports, Unstressed};

fn any_shape() -> impl Strategy<Value = Shape> {
    prop_oneof![
        Just(Shape::Arc),
        Just(Shape::HalfEllipse),
        Just(Shape::Elastica),
        (0.02..2.0).prop_map(|radius_m| Shape::Bent { radius_m }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..ProptestConfig::default() })]

    /// Whatever is asked, an answer or an error comes back; low is never above central, nor that above high.
    #[test]
    fn every_hoop_has_an_answer(
        shape in any_shape(),
        material in prop::sample::select(Material::ALL.to_vec()),
        length in 0.3_f64..6.0,
        ratio in 0.05_f64..0.99,
        (slender, wall) in (30.0_f64..2000.0, 0.05_f64..0.5),
        (spacing_m, cloth_kg_m2) in (0.1_f64..3.0, 0.0_f64..1.0),
        prop in any::<bool>(),
    ) {
        let Ok(arch) = Arch::from_length_and_span(shape, length, ratio * length) else {
            return Ok(());
        };
        let d = (length / slender).clamp(0.001, 0.15);
        let section = Section::tube(d, wall * d)?;
        let hoop = Hoop { material, section, arch, spacing_m, cloth_kg_m2, prop };
        for carried in [hoop.snow_pa()?, hoop.gust_m_s(AIR_KG_M3)?] {
            for r in [carried.yields, carried.collapses] {
                prop_assert!(r.high.is_finite() && r.low >= 0.0, "{carried:?}");
                prop_assert!(r.low <= r.central * (1.0 + 1e-9), "{carried:?}");
                prop_assert!(r.central <= r.high * (1.0 + 1e-9), "{carried:?}");
            }
            prop_assert!(carried.yields.central <= carried.collapses.central * (1.0 + 1e-9), "{carried:?}");
        }
    }

    /// Of bent hoops of garden sizes, firmer feet, stronger wire, thicker wire never carry less.
    #[test]
    fn more_strength_carries_more(
        shape in prop_oneof![Just(Shape::Arc), Just(Shape::HalfEllipse), Just(Shape::Bent { radius_m: 0.2 })],
        length in 1.0_f64..3.0,
        ratio in 0.45_f64..0.8,
        d in 0.002_f64..0.006,
    ) {
        let arch = Arch::from_length_and_span(shape, length, ratio * length)?;
        let outline = arch.outline(48);
        let carried = |d: f64, yield_pa: f64, base, lie| -> Result<f64, Error> {
            let section = Section::round(d)?;
            let rod = Rod { section, modulus_pa: 200e9, yield_pa, ductile: true };
            let frame = Frame::new(&outline, &rod, Supports { base, unstressed: Unstressed::AsDrawn, prop: false });
            let load = snow(&outline, 1.0, 1.0, lie);
            Ok(frame.collapse(&Load::none(&outline), &load)?.collapse_factor)
        };
        let usual = carried(d, 350e6, Base::Pinned, SnowLoad::HalfOnOneSide)?;
        for more in [
            carried(1.1 * d, 350e6, Base::Pinned, SnowLoad::HalfOnOneSide)?,
            carried(d, 500e6, Base::Pinned, SnowLoad::HalfOnOneSide)?,
            carried(d, 350e6, Base::Fixed, SnowLoad::HalfOnOneSide)?,
        ] {
            prop_assert!(more >= usual * (1.0 - 1e-3), "{more} {usual}");
        }
    }
}
