//! Counts the arithmetic of a step: what a machine has to do at the least, for `bench/run`. The night of the benches, one member, by
//! a number that counts what is asked of it; prints JSON, operations a step of one bed.

use std::ops::{Add, AddAssign, Div, Mul, MulAssign, Neg, Sub, SubAssign};
use std::sync::atomic::{AtomicU64, Ordering};

#[path = "../benches/spring/mod.rs"]
#[expect(dead_code, reason = "the benches run the whole night")]
mod spring;

use microclimate::real::Real;
use microclimate::soil::CELLS;
use microclimate::{Draws, Forcing, Site, State, advance, column};

/// Additions, multiplications, comparisons and choices; divisions; square roots.
static COUNTS: [AtomicU64; 3] = [const { AtomicU64::new(0) }; 3];
/// What a function of `lanes.rs` is made of: simple operations, divisions.
const EXP: (u64, u64) = (24, 0);
const LN: (u64, u64) = (16, 1);
const CBRT: (u64, u64) = (20, 2);

/// A number that counts.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Counted(f64);

fn count(simple: u64, divisions: u64, roots: u64) {
    for (place, n) in COUNTS.iter().zip([simple, divisions, roots]) {
        place.fetch_add(n, Ordering::Relaxed);
    }
}

macro_rules! operator {
    ($trait:ident, $method:ident, $op:tt, $divisions:literal) => {
        impl $trait for Counted {
            type Output = Self;
            fn $method(self, other: Self) -> Self {
                count(1 - $divisions, $divisions, 0);
                Self(self.0 $op other.0)
            }
        }
        // A number that all members share is divided by once.
        impl $trait<f64> for Counted {
            type Output = Self;
            fn $method(self, other: f64) -> Self {
                count(1, 0, 0);
                Self(self.0 $op other)
            }
        }
    };
}

operator!(Add, add, +, 0);
operator!(Sub, sub, -, 0);
operator!(Mul, mul, *, 0);
operator!(Div, div, /, 1);

macro_rules! assignment {
    ($trait:ident, $method:ident, $op:tt) => {
        impl $trait for Counted {
            fn $method(&mut self, other: Self) {
                *self = *self $op other;
            }
        }
    };
}

assignment!(AddAssign, add_assign, +);
assignment!(SubAssign, sub_assign, -);
assignment!(MulAssign, mul_assign, *);

impl Neg for Counted {
    type Output = Self;
    fn neg(self) -> Self {
        count(1, 0, 0);
        Self(-self.0)
    }
}

impl Real for Counted {
    const MEMBERS: usize = 1;
    fn splat(x: f64) -> Self {
        Self(x)
    }
    fn lane(self, _: usize) -> f64 {
        self.0
    }
    fn from_lanes(mut f: impl FnMut(usize) -> f64) -> Self {
        Self(f(0))
    }
    fn select_lt(a: Self, b: Self, yes: Self, no: Self) -> Self {
        count(2, 0, 0);
        if a.0 < b.0 { yes } else { no }
    }
    fn exp(self) -> Self {
        count(EXP.0, EXP.1, 0);
        Self(self.0.exp())
    }
    fn ln(self) -> Self {
        count(LN.0, LN.1, 0);
        Self(self.0.ln())
    }
    fn sqrt(self) -> Self {
        count(0, 0, 1);
        Self(self.0.sqrt())
    }
    fn cbrt(self) -> Self {
        count(CBRT.0, CBRT.1, 0);
        Self(self.0.cbrt())
    }
    fn abs(self) -> Self {
        count(1, 0, 0);
        Self(self.0.abs())
    }
    fn max(self, other: Self) -> Self {
        count(1, 0, 0);
        Self(self.0.max(other.0))
    }
    fn min(self, other: Self) -> Self {
        count(1, 0, 0);
        Self(self.0.min(other.0))
    }
    fn clamp(self, low: f64, high: f64) -> Self {
        count(2, 0, 0);
        Self(self.0.clamp(low, high))
    }
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let bed = spring::bed();
    let night: Vec<Forcing<Counted>> = spring::night()
        .iter()
        .map(|f| Forcing {
            air_c: Counted(f.air_c.lane(7)),
            vapour_kpa: Counted(f.vapour_kpa.lane(7)),
            wind_m_s: Counted(f.wind_m_s.lane(7)),
            sky_w_m2: Counted(f.sky_w_m2.lane(7)),
            sun_w_m2: Counted(f.sun_w_m2.lane(7)),
        })
        .collect();
    let draws = Draws::<Counted>::central(0.6);
    let column = column::build(&bed, &draws);
    let mut told = serde_json::Map::new();
    for (name, cover) in &spring::covers() {
        let site = Site::new(&bed, cover.as_ref(), &column, &draws);
        let mut state = State::resting(Counted(9.0), Counted(0.6), [Counted(9.0); CELLS]);
        COUNTS.iter().for_each(|c| c.store(0, Ordering::Relaxed));
        for force in &night {
            advance(&site, force, &mut state)?;
        }
        let [simple, divisions, roots] =
            [0, 1, 2].map(|i| COUNTS[i].load(Ordering::Relaxed) / night.len() as u64);
        told.insert(
            (*name).to_owned(),
            serde_json::json!({ "simple": simple, "divisions": divisions, "roots": roots }),
        );
    }
    println!("{}", serde_json::Value::Object(told));
    Ok(())
}
