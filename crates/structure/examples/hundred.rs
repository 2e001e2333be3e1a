//! A hundred random hoops and what the crate says of them, one JSON object a line.
//!
//! Read by `checks/structure/compare.py`, which computes them by another method.

use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use serde_json::{Value, json};
use structure::bending::Rod;
use structure::constants::PIECES;
use structure::load::Load;
use structure::snow::{SnowLoad, snow};
use structure::wind::crosswind;
use structure::{Arch, Base, Error, Frame, Section, Shape, Supports, Unstressed};

const SEED: u64 = 76;
/// Load at which the standing hoop is compared, as a part of that at collapse.
const PART: f64 = 0.6;
/// The most of it for snow and for wind, which pulls hoops taut, and a load so small that the hoop does not notice how it
/// bends; over EI/L³, for hoops a metre apart.
const SNOW_WIND_SMALL: [f64; 3] = [300.0, 60.0, 0.01];

fn main() -> Result<(), Error> {
    let mut random = Xoshiro256PlusPlus::seed_from_u64(SEED);
    for _ in 0..100 {
        println!("{}", hoop(&mut random)?);
    }
    Ok(())
}

fn hoop(random: &mut Xoshiro256PlusPlus) -> Result<Value, Error> {
    let length_m = random.random_range(1.0..4.0);
    let span_m = length_m * random.random_range(0.4..0.85);
    let bend_m = span_m * random.random_range(0.15..0.45);
    let (name, shape) = [
        ("arc", Shape::Arc),
        ("half ellipse", Shape::HalfEllipse),
        ("elastica", Shape::Elastica),
        ("bent", Shape::Bent { radius_m: bend_m }),
    ][random.random_range(0..4)];
    let straight = name == "elastica" && random.random_bool(0.5);
    let base = [Base::Pinned, Base::Fixed][random.random_range(0..2)];
    let unstressed = if straight { Unstressed::Straight } else { Unstressed::AsDrawn };
    let outer_m = length_m * random.random_range(0.001..0.008);
    let wall_m = outer_m * random.random_range(0.1..0.5);
    let modulus_pa = [200e9, 40e9, 2.8e9][random.random_range(0..3)];
    let section = Section::tube(outer_m, wall_m)?;
    let rod = Rod { section, modulus_pa, yield_pa: f64::INFINITY, ductile: true };

    let arch = Arch::from_length_and_span(shape, length_m, span_m)?;
    let outline = arch.outline(PIECES);
    let (pushed, load): (_, fn(&_, _, _) -> Load) = [
        ("even snow", (|o, _, q| snow(o, q, 1.0, SnowLoad::Even)) as fn(&_, _, _) -> Load),
        ("drift", |o, _, q| snow(o, q, 1.0, SnowLoad::HalfOnOneSide)),
        ("wind", |o, rise, q| crosswind(o, rise, q, 1.0)),
    ][random.random_range(0..3)];
    let load = |q| load(&outline, arch.rise_m(), q);

    let frame = Frame::new(&outline, &rod, Supports { base, unstressed, prop: false });
    let collapse = frame.collapse(&Load::none(&outline), &load(1.0))?;
    let [snow_pa, wind_pa, small_pa] =
        SNOW_WIND_SMALL.map(|q| q * rod.stiffness_n_m2() / length_m.powi(3));
    let most_pa = if pushed == "wind" { wind_pa } else { snow_pa };
    let standing_pa = most_pa.min(PART * collapse.collapse_factor);
    let under = |pa: f64| -> Result<Value, Error> {
        Ok(frame.equilibrium_under(&load(pa))?.map_or(Value::Null, |s| {
            let at: Vec<f64> = s.points_m.iter().flatten().copied().collect();
            json!({"pa": pa, "moments_n_m": s.moments_n_m, "points_m": at})
        }))
    };
    Ok(json!({
        "shape": name,
        "bend_m": bend_m,
        "length_m": length_m,
        "span_m": span_m,
        "outer_m": outer_m,
        "inner_m": section.inner_m(),
        "modulus_pa": modulus_pa,
        "fixed": base == Base::Fixed,
        "straight": straight,
        "load": pushed,
        "rise_m": arch.rise_m(),
        "area_m2": arch.area_m2(),
        "greatest_curvature_per_m": arch.greatest_curvature_per_m(),
        "collapse_pa": collapse.collapse_factor,
        "failure": format!("{:?}", collapse.failure),
        "standing": under(standing_pa)?,
        "small_standing": under(small_pa)?,
    }))
}
