//! The cut list of a market garden: hoops from two rolls of wire, sheets from three widths of cloth.

use criterion::{Criterion, criterion_group, criterion_main};
use milp::Microlp;
use purchase::cut::{lengths, sheets};

/// Twelve beds: 120 hoops of three lengths, two lengths of roll.
fn hoops() -> (Vec<lengths::Demand>, Vec<lengths::Roll>) {
    let demands = [(1.93, 52), (2.44, 44), (3.05, 24)].map(|(length_m, count)| lengths::Demand {
        name: format!("hoop of {length_m} m"),
        length_m,
        count,
    });
    let rolls = [(15.24, 21.5), (30.48, 39.9)].map(|(length_m, price)| lengths::Roll {
        name: format!("wire of {length_m} m"),
        length_m,
        price: Some(price),
        at_most: None,
    });
    (demands.into(), rolls.into())
}

/// Thirty sheets of eight sizes, three widths of roll.
fn covers() -> (Vec<sheets::Demand>, Vec<sheets::Roll>) {
    let sizes = [
        (2.0, 8.5, 5),
        (2.0, 15.5, 4),
        (1.7, 8.5, 4),
        (1.7, 12.0, 4),
        (2.4, 15.5, 3),
        (2.4, 12.0, 4),
        (3.0, 6.5, 3),
        (3.0, 18.5, 3),
    ];
    let demands = sizes.map(|(width_m, length_m, count)| sheets::Demand {
        name: format!("sheet of {width_m} by {length_m} m"),
        width_m,
        length_m,
        count,
        material: 0,
    });
    let rolls = [(2.1, 50.0, 36.0), (3.05, 76.0, 72.0), (4.25, 76.0, 105.0)].map(
        |(width_m, length_m, price)| sheets::Roll {
            name: format!("cloth of {width_m} by {length_m} m"),
            width_m,
            length_m,
            price: Some(price),
            at_most: None,
            material: 0,
        },
    );
    (demands.into(), rolls.into())
}

fn cut(c: &mut Criterion) {
    let mut group = c.benchmark_group("cut");
    group.sample_size(10);
    let (demands, rolls) = hoops();
    group.bench_function("120 hoops of 3 lengths, 2 rolls", |b| {
        b.iter(|| lengths::cut(&demands, &rolls, 0.0, &Microlp));
    });
    let (demands, rolls) = covers();
    group.bench_function("30 sheets of 8 sizes, 3 rolls", |b| {
        b.iter(|| sheets::cut(&demands, &rolls, &Microlp));
    });
    group.finish();
}

criterion_group!(benches, cut);
criterion_main!(benches);
