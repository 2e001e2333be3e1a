//! Loads on the points and pieces of an outline.

use crate::constants::LOAD_PARTS;
use crate::outline::{Outline, Point};

/// A load on a hoop: weights on its points, and pressure on its pieces that stays square to them as they turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Load {
    down_n: Vec<f64>,
    inward_n_m: Vec<f64>,
}

impl Load {
    /// Nothing at all.
    #[must_use]
    pub fn none(outline: &Outline) -> Self {
        let points = outline.points().len();
        Self { down_n: vec![0.0; points], inward_n_m: vec![0.0; points - 1] }
    }

    /// Nothing, on the points of another load.
    pub(crate) fn like(other: &Self) -> Self {
        Self {
            down_n: vec![0.0; other.down_n.len()],
            inward_n_m: vec![0.0; other.inward_n_m.len()],
        }
    }

    /// Weight per metre of ground plan (N/m), as a function of the place across the span (0 left foot, 1 right foot)
    /// and the slope there, rad.
    #[must_use]
    pub fn down_per_span(outline: &Outline, weight_n_m: impl Fn(f64, f64) -> f64) -> Self {
        let mut load = Self::none(outline);
        for (i, (a, b)) in outline.pieces().enumerate() {
            let mean = mean_over(outline, (a, b), &weight_n_m);
            load.share(i, mean * (b.x_m - a.x_m).abs());
        }
        load
    }

    /// The same weight on every metre of the hoop, N/m.
    #[must_use]
    pub fn down_per_length(outline: &Outline, weight_n_m: f64) -> Self {
        let mut load = Self::none(outline);
        for (i, (a, b)) in outline.pieces().enumerate() {
            load.share(i, weight_n_m * (b.x_m - a.x_m).hypot(b.z_m - a.z_m));
        }
        load
    }

    /// A weight of `weight_n` on the crown, shared by two points where none is there.
    #[must_use]
    pub fn on_crown(outline: &Outline, weight_n: f64) -> Self {
        let mut load = Self::none(outline);
        let last = load.down_n.len() - 1;
        load.down_n[last / 2] += 0.5 * weight_n;
        load.down_n[last.div_ceil(2)] += 0.5 * weight_n;
        load
    }

    /// Pressure towards the bed per metre of hoop (N/m), as a function of the place across the span (0 to 1).
    #[must_use]
    pub fn pressure(outline: &Outline, inward_n_m: impl Fn(f64) -> f64) -> Self {
        let mut load = Self::none(outline);
        for (push, ends) in load.inward_n_m.iter_mut().zip(outline.pieces()) {
            *push = mean_over(outline, ends, |x, _| inward_n_m(x));
        }
        load
    }

    /// This load and another of the same outline together; points that only one of them has are left out.
    #[must_use]
    pub fn and(&self, other: &Self) -> Self {
        let sum = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(a, b)| a + b).collect();
        Self {
            down_n: sum(&self.down_n, &other.down_n),
            inward_n_m: sum(&self.inward_n_m, &other.inward_n_m),
        }
    }

    /// Weight on each point, N.
    #[must_use]
    pub fn down_n(&self) -> &[f64] {
        &self.down_n
    }

    /// Pressure on each piece, N/m.
    #[must_use]
    pub fn inward_n_m(&self) -> &[f64] {
        &self.inward_n_m
    }

    fn share(&mut self, piece: usize, weight_n: f64) {
        self.down_n[piece] += 0.5 * weight_n;
        self.down_n[piece + 1] += 0.5 * weight_n;
    }
}

/// Mean of a function of place across the span and slope over one piece.
fn mean_over(outline: &Outline, (a, b): (&Point, &Point), f: impl Fn(f64, f64) -> f64) -> f64 {
    let left = outline.points().first().map_or(0.0, |p| p.x_m);
    let mix = |from: f64, to: f64, t: f64| from + t * (to - from);
    let part = |i: u32| {
        let t = (f64::from(i) + 0.5) / f64::from(LOAD_PARTS);
        let x = (mix(a.x_m, b.x_m, t) - left) / outline.span_m();
        f(x, mix(a.tangent_rad, b.tangent_rad, t))
    };
    (0..LOAD_PARTS).map(part).sum::<f64>() / f64::from(LOAD_PARTS)
}
