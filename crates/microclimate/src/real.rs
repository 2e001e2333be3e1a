//! One number or many members at once: the physics is written once and runs on both.
//!
//! `f64` is for tests and single nights, `Lanes` for the ensemble: single precision, members abreast.
//! All arithmetic is branch-free, so that every operation gives a member the same bits alone or among others; the
//! number of Newton steps is that of the slowest member.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};

/// A real number, or several of them treated alike.
pub trait Real:
    Copy
    + Debug
    + PartialEq
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + AddAssign
    + SubAssign
    + MulAssign
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
    + Div<f64, Output = Self>
    + Send
    + Sync
    + 'static
{
    /// Members held.
    const MEMBERS: usize;
    /// The same number in every member.
    fn splat(x: f64) -> Self;
    /// The number of member `i`.
    fn lane(self, i: usize) -> f64;
    /// A number for each member.
    fn from_lanes(f: impl FnMut(usize) -> f64) -> Self;
    /// Member by member, `yes` where a < b, else `no`.
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self;

    /// e^x; the argument is kept between −700 and 700 (single precision: −87 and 87).
    fn exp(self) -> Self;
    /// Natural logarithm of a positive number; of 0 or less, that of the least positive number.
    fn ln(self) -> Self;
    /// Square root.
    fn sqrt(self) -> Self;
    /// Cube root of a number that is not negative.
    fn cbrt(self) -> Self;
    /// Absolute value.
    fn abs(self) -> Self;
    /// The greater; `self` where the other is NaN is not promised.
    fn max(self, other: Self) -> Self;
    /// The lesser.
    fn min(self, other: Self) -> Self;
    /// Kept between two numbers; NaN stays NaN.
    fn clamp(self, low: f64, high: f64) -> Self;
    /// self^power for numbers that are not negative.
    #[inline(always)]
    fn powf(self, power: f64) -> Self {
        (self.ln() * power).exp()
    }
    /// The greatest member; NaN when one is NaN.
    #[inline]
    fn max_lane(self) -> f64 {
        let mut worst = self.lane(0);
        for i in 1..Self::MEMBERS {
            let x = self.lane(i);
            if x.is_nan() || x > worst {
                worst = x;
            }
        }
        worst
    }
    /// Whether no member is NaN or infinite.
    #[inline]
    fn all_finite(self) -> bool {
        (0..Self::MEMBERS).all(|i| self.lane(i).is_finite())
    }
}
