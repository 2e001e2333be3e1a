//! The check of a cut of cloth against its question.

use crate::cut::error::CutError;
use crate::cut::rules::{SAME_M, books, must};
use crate::cut::sheets::layout::{CutRoll, Demand, Layout, Place, Roll};

/// Each demand met exactly, no two sheets over one another, each inside its strip and roll and cloth, strips apart, no
/// roll used that is not there, offcuts and costs that add up. Checked by `cut_known::a_wrong_answer_is_seen`.
///
/// # Errors
/// [`CutError::Bug`] says which rule is broken.
pub fn verify(demands: &[Demand], rolls: &[Roll], layouts: &[Layout]) -> Result<(), CutError> {
    let mut given = vec![0_u32; demands.len()];
    for layout in layouts {
        for cut in &layout.rolls {
            let roll = &rolls[cut.roll];
            must(roll.material == layout.material, || format!("{} is another cloth", roll.name))?;
            one_roll(demands, roll, cut)?;
            for place in cut.strips.iter().flat_map(|s| &s.places) {
                given[place.demand] += 1;
            }
        }
        let used: Vec<usize> = layout.rolls.iter().map(|r| r.roll).collect();
        let kind = |r: &Roll| (r.width_m * r.length_m, r.price, r.at_most);
        books(&used, &rolls.iter().map(kind).collect::<Vec<_>>(), &layout.proof)?;
    }
    for (demand, given) in demands.iter().zip(given) {
        let wanted = demand.count;
        must(given == wanted, || format!("{given} of {}, not {wanted}", demand.name))?;
    }
    Ok(())
}

/// The sheets of one roll.
fn one_roll(demands: &[Demand], roll: &Roll, cut: &CutRoll) -> Result<(), CutError> {
    let mut end = 0.0;
    for strip in &cut.strips {
        must(strip.from_m >= end - SAME_M, || "two strips overlap".into())?;
        must(!strip.places.is_empty(), || "a strip is cut for nothing".into())?;
        end = strip.from_m + strip.length_m;
        let mut wide = 0.0_f64;
        for place in &strip.places {
            let d = &demands[place.demand];
            let cloth = d.material == roll.material;
            must(cloth, || format!("{} is of another cloth", d.name))?;
            let size = (place.across_m, place.along_m);
            let turned =
                if place.turned { (d.length_m, d.width_m) } else { (d.width_m, d.length_m) };
            must(size == turned, || format!("a wrong {}", d.name))?;
            let (right, far) = (place.across_from_m + size.0, place.along_from_m + size.1);
            let inside = (place.along_from_m - strip.from_m).abs() <= SAME_M
                && far <= end + SAME_M
                && place.across_from_m >= 0.0
                && right <= roll.width_m + SAME_M;
            must(inside, || format!("{} is outside its strip", d.name))?;
            wide = wide.max(right);
        }
        let left = (roll.width_m - wide).max(0.0);
        must((strip.offcut_width_m - left).abs() <= 2e-4, || format!("not {left} m beside"))?;
    }
    must(!cut.strips.is_empty(), || format!("{} is cut for nothing", roll.name))?;
    must(end <= roll.length_m + SAME_M, || format!("{} is too short", roll.name))?;
    let left = (roll.length_m - end).max(0.0);
    must((cut.offcut_m - left).abs() <= 2e-4, || format!("not {left} m at the end"))?;
    let places: Vec<&Place> = cut.strips.iter().flat_map(|s| &s.places).collect();
    for (k, a) in places.iter().enumerate() {
        let clear = places[..k].iter().all(|b| apart(a, b));
        must(clear, || format!("{} lies on another", demands[a.demand].name))?;
    }
    Ok(())
}

/// Whether two rectangles share no area.
fn apart(a: &Place, b: &Place) -> bool {
    let beside = |a_from: f64, a_m: f64, b_from: f64, b_m: f64| {
        a_from + a_m <= b_from + SAME_M || b_from + b_m <= a_from + SAME_M
    };
    beside(a.across_from_m, a.across_m, b.across_from_m, b.across_m)
        || beside(a.along_from_m, a.along_m, b.along_from_m, b.along_m)
}
