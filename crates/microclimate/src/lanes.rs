//! Members abreast in single precision: what the ensemble runs on.
//!
//! Temperatures of tens of degrees keep six digits, far finer than anything known about a bed; twice as many members fit
//! a vector, and divisions and roots cost half. How far it lies from double precision: `laws::single_precision_is_close`.

use std::ops::{Add, AddAssign, Div, DivAssign, Mul, MulAssign, Neg, Sub, SubAssign};

use crate::real::Real;

/// Number of members that the ensemble computes side by side.
pub const WIDTH: usize = 16;

/// `N` members side by side, `N` a power of two.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(align(32))]
pub struct Abreast<const N: usize>(pub [f32; N]);

/// [`WIDTH`] members side by side.
pub type Lanes = Abreast<WIDTH>;

/// 1.5 · 2²³: adding and subtracting it rounds to a whole number.
const ROUND: f32 = 12_582_912.0;

/// e^x = 2^k e^r, |r| ≤ ln 2 / 2, e^r by its Taylor polynomial of degree 6 (remainder below 2e-7).
#[inline(always)]
fn exp(x: f32) -> f32 {
    let x = if x < -87.0 { -87.0 } else { x };
    let x = if x > 87.0 { 87.0 } else { x };
    let shifted = x * std::f32::consts::LOG2_E + ROUND;
    let k = shifted - ROUND;
    // ln 2 in two parts, so that r keeps its digits.
    let r = (x - k * 0.693_359_4) - k * -2.121_944_4e-4;
    let mut s = 1.0 / 720.0;
    s = s * r + 1.0 / 120.0;
    s = s * r + 1.0 / 24.0;
    s = s * r + 1.0 / 6.0;
    s = s * r + 0.5;
    s = s * r + 1.0;
    s = s * r + 1.0;
    // The low bits of `shifted` hold k.
    let scale = f32::from_bits((shifted.to_bits() << 23).wrapping_add(127 << 23));
    s * scale
}

/// ln x = e ln 2 + 2 atanh((m − 1)/(m + 1)), √½ < m ≤ √2, by four terms of its series (remainder below 4e-8).
#[inline(always)]
fn ln(x: f32) -> f32 {
    let x = if x > f32::MIN_POSITIVE { x } else { f32::MIN_POSITIVE };
    let bits = x.to_bits().wrapping_sub(0x3f35_04f3);
    let e = (bits.cast_signed() >> 23) as f32;
    let m = f32::from_bits((bits & 0x007f_ffff).wrapping_add(0x3f35_04f3));
    let t = (m - 1.0) / (m + 1.0);
    let q = t * t;
    let mut s = 1.0 / 7.0;
    s = s * q + 1.0 / 5.0;
    s = s * q + 1.0 / 3.0;
    s = s * q + 1.0;
    e * std::f32::consts::LN_2 + 2.0 * t * s
}

/// Cube root: a third of the exponent, then two steps of Halley's iteration y (y³ + 2x)/(2y³ + x).
#[inline(always)]
fn cbrt(x: f32) -> f32 {
    let x = if x > 1e-30 { x } else { 1e-30 };
    // A third of the upper half of the bits, taken as a whole number, is within 7 % of the root.
    let third = (x.to_bits() >> 16).cast_signed() as f32 * (1.0 / 3.0) + 10_832.5;
    let mut y = f32::from_bits((third + TWO_23).to_bits() << 16);
    for _ in 0..2 {
        let y3 = y * y * y;
        y = y * (y3 + 2.0 * x) / (2.0 * y3 + x);
    }
    y
}

/// 2²³: adding it leaves a whole number below 2¹⁶ in the low bits.
const TWO_23: f32 = 8_388_608.0;

impl<const N: usize> Abreast<N> {
    /// `f` of every member.
    #[inline(always)]
    fn map(self, f: impl Fn(f32) -> f32) -> Self {
        let mut out = self;
        for i in 0..N {
            out.0[i] = f(out.0[i]);
        }
        out
    }

    /// `f` of every pair of members.
    #[inline(always)]
    fn zip(self, other: Self, f: impl Fn(f32, f32) -> f32) -> Self {
        let mut out = self;
        for i in 0..N {
            out.0[i] = f(out.0[i], other.0[i]);
        }
        out
    }
}

impl<const N: usize> Real for Abreast<N> {
    const MEMBERS: usize = N;
    #[inline(always)]
    fn splat(x: f64) -> Self {
        Self([x as f32; N])
    }
    #[inline(always)]
    fn lane(self, i: usize) -> f64 {
        f64::from(self.0[i])
    }
    #[inline(always)]
    fn from_lanes(mut f: impl FnMut(usize) -> f64) -> Self {
        Self(std::array::from_fn(|i| f(i) as f32))
    }
    #[inline(always)]
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self {
        let mut out = no;
        for i in 0..N {
            out.0[i] = if a.0[i] < b.0[i] { yes.0[i] } else { no.0[i] };
        }
        out
    }
    #[inline(always)]
    fn exp(self) -> Self {
        self.map(exp)
    }
    #[inline(always)]
    fn ln(self) -> Self {
        self.map(ln)
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        self.map(f32::sqrt)
    }
    #[inline(always)]
    fn cbrt(self) -> Self {
        self.map(cbrt)
    }
    #[inline(always)]
    fn abs(self) -> Self {
        self.map(f32::abs)
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        self.zip(other, |a, b| if a > b { a } else { b })
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        self.zip(other, |a, b| if a < b { a } else { b })
    }
    #[inline(always)]
    fn clamp(self, low: f64, high: f64) -> Self {
        let (low, high) = (low as f32, high as f32);
        self.map(|x| {
            let x = if x < low { low } else { x };
            if x > high { high } else { x }
        })
    }
    #[inline(always)]
    fn max_lane(self) -> f64 {
        // By halves, so that vectors do the work; a NaN on either side wins.
        let (mut x, mut half) = (self.0, N / 2);
        while half > 0 {
            for i in 0..half {
                let (a, b) = (x[i], x[i + half]);
                x[i] = if a > b || a.is_nan() { a } else { b };
            }
            half /= 2;
        }
        f64::from(x[0])
    }
}

macro_rules! lanes_operator {
    ($trait:ident, $method:ident, $assign_trait:ident, $assign:ident, $op:tt) => {
        impl<const N: usize> $trait for Abreast<N> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: Self) -> Self {
                self.zip(other, |a, b| a $op b)
            }
        }
        impl<const N: usize> $assign_trait for Abreast<N> {
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

macro_rules! number_operator {
    ($trait:ident, $method:ident, $op:tt) => {
        impl<const N: usize> $trait<f64> for Abreast<N> {
            type Output = Self;
            #[inline(always)]
            fn $method(self, other: f64) -> Self {
                let other = other as f32;
                self.map(|a| a $op other)
            }
        }
    };
}

number_operator!(Add, add, +);
number_operator!(Sub, sub, -);
number_operator!(Mul, mul, *);

impl<const N: usize> Div<f64> for Abreast<N> {
    type Output = Self;
    /// By the inverse of the number, taken in double precision: within one unit of the last place of the quotient.
    #[inline(always)]
    fn div(self, other: f64) -> Self {
        self * (1.0 / other)
    }
}

impl<const N: usize> Neg for Abreast<N> {
    type Output = Self;
    #[inline(always)]
    fn neg(self) -> Self {
        self.map(|a| -a)
    }
}
