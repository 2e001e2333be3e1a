//! What must hold for any hoop.

use proptest::prelude::*;
use structure::stand::Hoop;
use structure::wind::AIR_KG_M3;
use structure::{Arch, Material, Section, Shape};

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
        length in 0.3..6.0,
        ratio in 0.05..0.99,
        slender in 30.0..2000.0,
        wall in 0.05..0.5,
        spacing in 0.1..3.0,
        cloth in 0.0..1.0,
        prop in any::<bool>(),
    ) {
        let Ok(arch) = Arch::from_length_and_span(shape, length, ratio * length) else { return Ok(()) };
        let d = (length / slender).clamp(0.001, 0.15);
        let section = Section::tube(d, wall * d).expect("a tube");
        let hoop = Hoop { material, section, arch, spacing_m: spacing, cloth_kg_m2: cloth, prop };
        for carried in [hoop.snow_pa()?, hoop.gust_m_s(AIR_KG_M3)?] {
            for r in [carried.yields, carried.collapses] {
                prop_assert!(r.low.is_finite() && r.high.is_finite() && r.low >= 0.0, "{carried:?}");
            }
            prop_assert!(carried.yields.central <= carried.collapses.central, "{carried:?}");
        }
        let snow = hoop.snow_pa()?.collapses;
        prop_assert!(snow.low <= 1.02 * snow.central && snow.central <= 1.02 * snow.high, "{snow:?}");
    }
}
