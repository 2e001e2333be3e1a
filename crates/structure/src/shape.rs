//! The shape a hoop stands in: any two of its length, span and rise give the third.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::constants::{AREA_PIECES, MOST_PIECES, SIZES_M};
use crate::error::{Error, within};
use crate::outline::{Outline, arc_point};
use crate::{bent, elastica, ellipse, roots};

/// Kind of curve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Shape {
    /// Circular arc, less than a full circle.
    Arc,
    /// Upper half of an ellipse with the feet on its axis.
    HalfEllipse,
    /// A straight springy rod whose ends are pushed together and free to turn.
    Elastica,
    /// Bent round a former: an arc of this radius in the middle, straight legs tangent to it, upright or leaning out.
    Bent {
        /// Radius of the arc as it stands, sprung back, m.
        radius_m: f64,
    },
}

/// A hoop above ground: its curve and size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arch {
    shape: Shape,
    length_m: f64,
    span_m: f64,
    rise_m: f64,
    /// What picks the curve within its family: half the angle of the arc, end slope of the elastica,
    /// arctan of rise over half the span of the ellipse, rad.
    parameter: f64,
}

impl Shape {
    /// Span over length and rise over length of a curve of the family.
    fn ratios(self, parameter: f64) -> (f64, f64) {
        match self {
            Self::HalfEllipse => ellipse::ratios(parameter),
            Self::Elastica => elastica::ratios(parameter),
            Self::Arc | Self::Bent { .. } => {
                (parameter.sin() / parameter, (1.0 - parameter.cos()) / (2.0 * parameter))
            }
        }
    }

    /// The flattest curve, the one that stands highest over its length, and the one with both feet together.
    const fn family(self) -> (f64, f64, f64) {
        match self {
            // tan(α/2) = α.
            Self::Arc => (1e-6, 2.331_122_370_414_423, PI),
            Self::HalfEllipse => (1e-6, FRAC_PI_2, FRAC_PI_2),
            Self::Elastica => (1e-6, elastica::HIGHEST, elastica::CLOSED),
            Self::Bent { .. } => (0.0, FRAC_PI_2, FRAC_PI_2),
        }
    }
}

impl Arch {
    /// From the length above ground and the distance between the feet, m.
    ///
    /// Checked by `shapes::any_two_give_the_third`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for sizes that the curve cannot have: a span as wide as the wire is long, or, bent round
    /// a former, so narrow that the legs would lean in.
    /// Equation 22 of docs/science.md.
    pub fn from_length_and_span(shape: Shape, length_m: f64, span_m: f64) -> Result<Self, Error> {
        within("the length above ground", length_m, "m", SIZES_M)?;
        if let Shape::Bent { radius_m } = shape {
            return bent::from_length_and_span(radius_m, length_m, span_m)
                .map(|b| Self::new(shape, b.length_m, b.span_m, b.rise_m, b.angle_rad));
        }
        let (flat, _, closed) = shape.family();
        let widest = shape.ratios(flat).0.min(1.0 - 1e-9) * length_m;
        within("the span", span_m, "m", (1e-6 * length_m, widest))?;
        let ratio = span_m / length_m;
        let p = roots::root_of_rising(|p| ratio - shape.ratios(p).0, flat, closed);
        Ok(Self::new(shape, length_m, span_m, shape.ratios(p).1 * length_m, p))
    }

    /// From the length above ground and the height of the crown, m; of two spans the wider.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a crown higher than the curve can stand.
    pub fn from_length_and_rise(shape: Shape, length_m: f64, rise_m: f64) -> Result<Self, Error> {
        within("the length above ground", length_m, "m", SIZES_M)?;
        if let Shape::Bent { radius_m } = shape {
            return bent::from_length_and_rise(radius_m, length_m, rise_m)
                .map(|b| Self::new(shape, b.length_m, b.span_m, b.rise_m, b.angle_rad));
        }
        let (flat, highest, _) = shape.family();
        let range = (shape.ratios(flat).1 * length_m, shape.ratios(highest).1 * length_m);
        within("the rise", rise_m, "m", range)?;
        let p = roots::root_of_rising(|p| shape.ratios(p).1 - rise_m / length_m, flat, highest);
        Ok(Self::new(shape, length_m, shape.ratios(p).0 * length_m, rise_m, p))
    }

    /// From the distance between the feet and the height of the crown, m.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for sizes that the curve cannot have.
    pub fn from_span_and_rise(shape: Shape, span_m: f64, rise_m: f64) -> Result<Self, Error> {
        within("the span", span_m, "m", SIZES_M)?;
        if let Shape::Bent { radius_m } = shape {
            return bent::from_span_and_rise(radius_m, span_m, rise_m)
                .map(|b| Self::new(shape, b.length_m, b.span_m, b.rise_m, b.angle_rad));
        }
        within("the rise", rise_m, "m", (1e-5 * span_m, 100.0 * span_m))?;
        let (flat, _, closed) = shape.family();
        let short = |p| {
            let (span, rise) = shape.ratios(p);
            rise * span_m - rise_m * span
        };
        let p = roots::root_of_rising(short, flat, closed);
        Ok(Self::new(shape, rise_m / shape.ratios(p).1, span_m, rise_m, p))
    }

    fn new(shape: Shape, length_m: f64, span_m: f64, rise_m: f64, parameter: f64) -> Self {
        Self { shape, length_m, span_m, rise_m, parameter }
    }

    /// Kind of curve.
    #[must_use]
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// Length above ground, m.
    #[must_use]
    pub fn length_m(&self) -> f64 {
        self.length_m
    }

    /// Distance between the feet, m.
    #[must_use]
    pub fn span_m(&self) -> f64 {
        self.span_m
    }

    /// Height of the crown, m.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        self.rise_m
    }

    /// The curve cut into `pieces` of equal length (2 to 4096; an odd number has no point at the crown).
    #[must_use]
    pub fn outline(&self, pieces: usize) -> Outline {
        let pieces = pieces.clamp(2, MOST_PIECES);
        match self.shape {
            Shape::HalfEllipse => ellipse::outline(self.span_m, self.rise_m, pieces),
            Shape::Elastica => elastica::outline(self.length_m, self.parameter, pieces),
            Shape::Arc => {
                let radius_m = self.length_m / (2.0 * self.parameter);
                Outline::new(self.length_m, pieces, |s| arc_point(radius_m, self.rise_m, s))
            }
            Shape::Bent { radius_m } => Outline::new(self.length_m, pieces, |s| {
                bent::point(radius_m, self.parameter, self.rise_m, s)
            }),
        }
    }

    /// Greatest curvature anywhere, 1/m. Checked by `shapes::the_outline_has_the_size_asked_for`.
    #[must_use]
    pub fn greatest_curvature_per_m(&self) -> f64 {
        match self.shape {
            Shape::HalfEllipse => {
                let (a, b) = (0.5 * self.span_m, self.rise_m);
                (a / (b * b)).max(b / (a * a))
            }
            Shape::Elastica => elastica::greatest_curvature(self.parameter) / self.length_m,
            Shape::Arc => 2.0 * self.parameter / self.length_m,
            Shape::Bent { radius_m } => 1.0 / radius_m,
        }
    }

    /// Area between the hoop and the ground, m². Checked by `shapes::areas_of_known_curves`.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        // Simpson's rule for ∫ z dx = ∫ z cos θ ds.
        let outline = self.outline(AREA_PIECES);
        let sum: f64 = outline
            .points()
            .iter()
            .enumerate()
            .map(|(i, p)| {
                let weight = match i {
                    0 => 1.0,
                    _ if i == AREA_PIECES => 1.0,
                    _ if i % 2 == 1 => 4.0,
                    _ => 2.0,
                };
                weight * p.z_m * p.tangent_rad.cos()
            })
            .sum();
        sum * self.length_m / (3.0 * AREA_PIECES as f64)
    }
}
