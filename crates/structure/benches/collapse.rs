//! Time of one analysis to collapse, and of all the answers for one hoop.

use std::hint::black_box;

use criterion::{Criterion, criterion_group, criterion_main};
use structure::constants::AIR_KG_M3;
use structure::constants::PIECES;
use structure::hoop::Hoop;
use structure::snow::{SnowLoad, snow};
use structure::wind::crosswind;
use structure::wire_gauge::wire;
use structure::{Arch, Base, Frame, Material, Shape, Supports, Unstressed, load::Load};

fn collapse(c: &mut Criterion) {
    let Ok(arch) = Arch::from_length_and_span(Shape::Arc, 1.6, 0.9) else { return };
    let Ok(section) = wire(10.0) else { return };
    let hoop = Hoop {
        material: Material::SoftWire,
        section,
        arch,
        spacing_m: 1.2,
        cloth_kg_m2: 0.02,
        prop: false,
    };
    let outline = arch.outline(PIECES);
    let held = Supports { base: Base::Pinned, unstressed: Unstressed::AsDrawn, prop: false };
    let frame = Frame::new(&outline, &hoop.rod(350e6), held);
    let none = Load::none(&outline);
    let mut group = c.benchmark_group("one hoop");
    for (name, load) in [
        ("even snow", snow(&outline, 1.0, 1.2, SnowLoad::Even)),
        ("drift", snow(&outline, 1.0, 1.2, SnowLoad::HalfOnOneSide)),
        ("wind", crosswind(&outline, arch.rise_m(), 1.0, 1.2)),
    ] {
        group.bench_function(name, |b| b.iter(|| frame.collapse(&none, black_box(&load))));
    }
    group.bench_function("snow and gust, low to high", |b| {
        b.iter(|| (black_box(hoop).snow_pa(), black_box(hoop).gust_m_s(AIR_KG_M3)));
    });
    group.finish();
}

criterion_group!(benches, collapse);
criterion_main!(benches);
