//! One number or eight members at once: the physics is written once and runs on both.
//!
//! `f64` is for tests and single nights, [`Lanes`] for the outlook. Both use the same branch-free
//! arithmetic, so that every operation gives a member the same bits alone or among eight; the number of Newton
//! steps is that of the slowest member.

use std::fmt::Debug;
use std::ops::{Add, AddAssign, Div, DivAssign, Mul, MulAssign, Neg, Sub, SubAssign};

/// Number of members computed side by side.
pub const WIDTH: usize = 8;

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
    fn of(x: f64) -> Self;
    /// The number of member `i`.
    fn lane(self, i: usize) -> f64;
    /// A number for each member.
    fn from_lanes(f: impl FnMut(usize) -> f64) -> Self;
    /// `f` of every member.
    fn map(self, f: impl Fn(f64) -> f64) -> Self;
    /// `f` of every pair of members.
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self;
    /// Member by member, `yes` where a < b, else `no`.
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self;

    /// e^x, relative error below 1e-9 for −700 ≤ x ≤ 700; clamped outside.
    #[inline(always)]
    fn exp(self) -> Self {
        self.map(exp)
    }
    /// Natural logarithm of a positive number, absolute error below 1e-9; of 0 or less, that of 1e-300.
    #[inline(always)]
    fn ln(self) -> Self {
        self.map(ln)
    }
    /// Square root.
    #[inline(always)]
    fn sqrt(self) -> Self {
        self.map(f64::sqrt)
    }
    /// Cube root of a number that is not negative, relative error below 1e-9.
    #[inline(always)]
    fn cbrt(self) -> Self {
        self.map(cbrt)
    }
    /// Absolute value.
    #[inline(always)]
    fn abs(self) -> Self {
        self.map(f64::abs)
    }
    /// The greater; `self` where the other is NaN is not promised.
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if a > b { a } else { b })
    }
    /// The lesser.
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        self.zip(other, |a, b| if a < b { a } else { b })
    }
    /// Kept between two numbers; NaN stays NaN.
    #[inline(always)]
    fn clamp(self, low: f64, high: f64) -> Self {
        self.map(|x| {
            let x = if x < low { low } else { x };
            if x > high { high } else { x }
        })
    }
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

/// 1.5 · 2⁵²: adding and subtracting it rounds to a whole number.
const ROUND: f64 = 6_755_399_441_055_744.0;

/// e^x = 2^k e^r, |r| ≤ ln 2 / 2, e^r by its Taylor polynomial of degree 8 (remainder below 2.1e-10).
#[inline(always)]
fn exp(x: f64) -> f64 {
    let x = if x < -700.0 { -700.0 } else { x };
    let x = if x > 700.0 { 700.0 } else { x };
    let shifted = x * std::f64::consts::LOG2_E + ROUND;
    let k = shifted - ROUND;
    // ln 2 in two parts, so that r keeps its digits.
    let r = (x - k * 6.931_471_803_691_238e-1) - k * 1.908_214_929_270_587_7e-10;
    let mut s = 1.0 / 40_320.0;
    s = s * r + 1.0 / 5_040.0;
    s = s * r + 1.0 / 720.0;
    s = s * r + 1.0 / 120.0;
    s = s * r + 1.0 / 24.0;
    s = s * r + 1.0 / 6.0;
    s = s * r + 0.5;
    s = s * r + 1.0;
    s = s * r + 1.0;
    // The low bits of `shifted` hold k.
    let scale = f64::from_bits((shifted.to_bits() << 52).wrapping_add(1023 << 52));
    s * scale
}

/// ln x = e ln 2 + 2 atanh((m − 1)/(m + 1)), √½ < m ≤ √2, by five terms of its series (remainder below 3e-10).
#[inline(always)]
fn ln(x: f64) -> f64 {
    let x = if x > 1e-300 { x } else { 1e-300 };
    let bits = x.to_bits().wrapping_sub(0x3fe6_a09e_667f_3bcd);
    // The exponent as a number, by the same rounding trick.
    let biased = bits.wrapping_add(1024 << 52) >> 52;
    let e = f64::from_bits(biased.wrapping_add(ROUND.to_bits())) - ROUND - 1024.0;
    let m = f64::from_bits((bits & 0x000f_ffff_ffff_ffff).wrapping_add(0x3fe6_a09e_667f_3bcd));
    let t = (m - 1.0) / (m + 1.0);
    let q = t * t;
    let mut s = 1.0 / 9.0;
    s = s * q + 1.0 / 7.0;
    s = s * q + 1.0 / 5.0;
    s = s * q + 1.0 / 3.0;
    s = s * q + 1.0;
    e * std::f64::consts::LN_2 + 2.0 * t * s
}

/// Cube root: a third of the exponent, then two steps of Halley's iteration y (y³ + 2x)/(2y³ + x).
#[inline(always)]
fn cbrt(x: f64) -> f64 {
    let x = if x > 1e-300 { x } else { 1e-300 };
    // A third of the bits of the number, taken as a whole number, is within 6 % of the root; ROUND's trick makes the
    // division by three one multiplication.
    let third = ((x.to_bits() >> 32) as u32 as f64) * (1.0 / 3.0) + 715_094_163.0;
    let high = (third + TWO_52).to_bits() & 0xffff_ffff;
    let mut y = f64::from_bits(high << 32);
    for _ in 0..2 {
        let y3 = y * y * y;
        y = y * (y3 + 2.0 * x) / (2.0 * y3 + x);
    }
    y
}

/// 2⁵²: adding it leaves a whole number below 2³² in the low bits.
const TWO_52: f64 = 4_503_599_627_370_496.0;

impl Real for f64 {
    const MEMBERS: usize = 1;
    #[inline(always)]
    fn of(x: f64) -> Self {
        x
    }
    #[inline(always)]
    fn lane(self, _: usize) -> f64 {
        self
    }
    #[inline(always)]
    fn from_lanes(mut f: impl FnMut(usize) -> f64) -> Self {
        f(0)
    }
    #[inline(always)]
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        f(self)
    }
    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        f(self, other)
    }
    #[inline(always)]
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self {
        if a < b { yes } else { no }
    }
}

/// Eight members side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(align(64))]
pub struct Lanes(pub [f64; WIDTH]);

impl Real for Lanes {
    const MEMBERS: usize = WIDTH;
    #[inline(always)]
    fn of(x: f64) -> Self {
        Self([x; WIDTH])
    }
    #[inline(always)]
    fn lane(self, i: usize) -> f64 {
        self.0[i]
    }
    #[inline(always)]
    fn from_lanes(f: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(f))
    }
    #[inline(always)]
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        let mut out = self;
        for i in 0..WIDTH {
            out.0[i] = f(out.0[i]);
        }
        out
    }
    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f64, f64) -> f64) -> Self {
        let mut out = self;
        for i in 0..WIDTH {
            out.0[i] = f(out.0[i], other.0[i]);
        }
        out
    }
    #[inline(always)]
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self {
        let mut out = no;
        for i in 0..WIDTH {
            out.0[i] = if a.0[i] < b.0[i] { yes.0[i] } else { no.0[i] };
        }
        out
    }
}

macro_rules! lanes_operator {
    ($trait:ident, $method:ident, $assign_trait:ident, $assign:ident, $op:tt) => {
        impl $trait for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                self.zip(other, |a, b| a $op b)
            }
        }
        impl $trait<f64> for Lanes {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                self.map(|a| a $op other)
            }
        }
        impl $assign_trait for Lanes {
            #[inline(always)]
            fn $assign(&mut self, other: Self) {
                *self = *self $op other;
            }
        }
    };
}

lanes_operator!(Add, add, AddAssign, add_assign, +);
lanes_operator!(Sub, sub, SubAssign, sub_assign, -);
lanes_operator!(Mul, mul, MulAssign, mul_assign, *);
lanes_operator!(Div, div, DivAssign, div_assign, /);

impl Neg for Lanes {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|a| -a)
    }
}
