//! Double precision, one member: exponential, logarithm and cube root without branches or tables.

use crate::real::Real;

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
    fn splat(x: f64) -> Self {
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
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self {
        if a < b { yes } else { no }
    }
    #[inline(always)]
    fn exp(self) -> Self {
        exp(self)
    }
    #[inline(always)]
    fn ln(self) -> Self {
        ln(self)
    }
    #[inline(always)]
    fn sqrt(self) -> Self {
        f64::sqrt(self)
    }
    #[inline(always)]
    fn cbrt(self) -> Self {
        cbrt(self)
    }
    #[inline(always)]
    fn abs(self) -> Self {
        f64::abs(self)
    }
    #[inline(always)]
    fn max(self, other: Self) -> Self {
        if self > other { self } else { other }
    }
    #[inline(always)]
    fn min(self, other: Self) -> Self {
        if self < other { self } else { other }
    }
    #[inline(always)]
    fn clamp(self, low: f64, high: f64) -> Self {
        let x = if self < low { low } else { self };
        if x > high { high } else { x }
    }
}
