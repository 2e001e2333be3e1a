//! A night under a cover, moved to what readings under that kind of cover have taught.

use learning::cover::CoverLesson;

use crate::ensemble::Ensemble;
use crate::night::Coldest;
use crate::priors::UNKNOWNS;

/// Moves the possible nights under a cover: the unknowns of the model (convection, leak, transmissivity, shelter, still air)
/// are drawn on, in the one direction in which they change the gain, and everything follows by how it hangs on them.
/// Returns how far the mean gain of the air moved, K.
///
/// g = a + hᵀz over the members; d = hᵀz is what the unknowns make of the gain, its variance h² = hᵀh. By the readings
/// d ← κ δ̄ + √(1 − κ) d, κ = h²/(h² + v): mean and variance are those of the normal posterior. Temperatures move by their
/// slope on d. The ensemble square-root filter (Whitaker & Hamill 2002, from memory), in one direction.
/// Checked by `learned::readings_under_a_cover_teach_it`.
/// Equation 87 of docs/science.md.
pub fn teach(
    covered: &mut Coldest,
    bare: &Coldest,
    lesson: &CoverLesson,
    ensemble: &Ensemble,
) -> f64 {
    let mut unknowns = ensemble.unknowns();
    // A trial takes the first few nights alone.
    unknowns.truncate(covered.air.len());
    let gain: Vec<f64> = covered.air.iter().zip(&bare.air).map(|(c, b)| c - b).collect();
    let h = slopes(&unknowns, &gain);
    let variance: f64 = h.iter().map(|h| h * h).sum();
    if variance < 1e-6 {
        return 0.0;
    }
    let kappa = variance / (variance + lesson.variance_k2);
    let of = |z: &[f64; UNKNOWNS]| -> f64 { z.iter().zip(&h).map(|(z, h)| z * h).sum() };
    let moves: Vec<f64> = unknowns
        .iter()
        .map(|z| kappa * lesson.off_k + ((1.0 - kappa).sqrt() - 1.0) * of(z))
        .collect();
    let d: Vec<f64> = unknowns.iter().map(of).collect();
    let by = |what: &mut Vec<f64>| {
        let slope = slope(&d, what);
        what.iter_mut().zip(&moves).for_each(|(t, m)| *t += slope * m);
        slope
    };
    covered.air.iter_mut().zip(&moves).for_each(|(t, m)| *t += m);
    let tissue = by(&mut covered.tissue);
    by(&mut covered.soil);
    let mean = moves.iter().sum::<f64>() / moves.len().max(1) as f64;
    covered.mean_tissue_c.iter_mut().for_each(|t| *t += tissue * mean);
    for half_hour in &mut covered.half_hours {
        let now: Vec<f64> = half_hour.iter().map(|t| f64::from(*t)).collect();
        let slope = slope(&d, &now);
        half_hour.iter_mut().zip(&moves).for_each(|(t, m)| *t += (slope * m) as f32);
    }
    mean
}

/// Slope of `y` on `x`, least squares.
fn slope(x: &[f64], y: &[f64]) -> f64 {
    let n = x.len().max(1) as f64;
    let (mx, my) = (x.iter().sum::<f64>() / n, y.iter().sum::<f64>() / n);
    let xy: f64 = x.iter().zip(y).map(|(x, y)| (x - mx) * (y - my)).sum();
    let xx: f64 = x.iter().map(|x| (x - mx).powi(2)).sum();
    if xx > 1e-12 { xy / xx } else { 0.0 }
}

/// Slopes of `y` on every unknown; they are drawn independently, so each stands for itself.
fn slopes(unknowns: &[[f64; UNKNOWNS]], y: &[f64]) -> [f64; UNKNOWNS] {
    std::array::from_fn(|k| {
        let z: Vec<f64> = unknowns.iter().map(|u| u[k]).collect();
        slope(&z, y)
    })
}
