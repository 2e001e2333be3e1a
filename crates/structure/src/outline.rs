//! The line a hoop follows above ground, as points at even distances along it.

use crate::constants::MOST_PIECES;

/// One point of a hoop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// Across the bed from the middle, m.
    pub x_m: f64,
    /// Above ground, m.
    pub z_m: f64,
    /// Angle of the tangent over the horizontal, going from left to right, rad.
    pub tangent_rad: f64,
    /// Curvature, 1/m, positive where the hoop bends over the bed.
    pub curvature_per_m: f64,
}

/// Points at even distances along a hoop from the left foot to the right, both included; at least three.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline(Vec<Point>);

impl Outline {
    /// Points where `at` puts them, from arc length −½ to +½ of `length_m` from the crown.
    pub(crate) fn new(length_m: f64, pieces: usize, at: impl Fn(f64) -> Point) -> Self {
        let step = length_m / pieces as f64;
        Self((0..=pieces).map(|i| at((i as f64 - 0.5 * pieces as f64) * step)).collect())
    }

    /// A straight line on the ground, for beams.
    #[must_use]
    pub fn straight(length_m: f64, pieces: usize) -> Self {
        let level = |s| Point { x_m: s, z_m: 0.0, tangent_rad: 0.0, curvature_per_m: 0.0 };
        Self::new(length_m, pieces.clamp(2, MOST_PIECES), level)
    }

    /// The points.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.0
    }

    /// The pieces between the points: both ends of each.
    pub(crate) fn pieces(&self) -> impl Iterator<Item = (&Point, &Point)> {
        self.0.iter().zip(self.0.iter().skip(1))
    }

    /// Distance between the feet, m.
    pub(crate) fn span_m(&self) -> f64 {
        match (self.0.first(), self.0.last()) {
            (Some(left), Some(right)) => right.x_m - left.x_m,
            _ => 0.0,
        }
    }
}

/// Point of a circle at arc length `s` right of the crown.
pub(crate) fn arc_point(radius_m: f64, crown_m: f64, s: f64) -> Point {
    let angle = s / radius_m;
    Point {
        x_m: radius_m * angle.sin(),
        z_m: crown_m - radius_m * (1.0 - angle.cos()),
        tangent_rad: -angle,
        curvature_per_m: 1.0 / radius_m,
    }
}
