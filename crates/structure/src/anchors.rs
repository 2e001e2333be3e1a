//! What holds a cover down: the pull-out of pins, and the gust at which they let go.

use std::f64::consts::PI;

use crate::constants::ADHESION;
use crate::error::{Error, within};
use crate::outline::Outline;
use crate::range::Range;
use crate::wind;

/// How wet the ground is in which pins stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ground {
    /// Wet through: after long rain or thaw.
    Soaked,
    /// As beds are kept.
    Moist,
    /// Dry and firm, or trodden.
    Firm,
}

impl Ground {
    /// Undrained shear strength c_u, Pa: 20 kPa in moist beds, half of it soaked, twice it firm; ranges of a factor two.
    ///
    /// The classes very soft (below 20 kPa), soft (20–40) and firm (40–75) of foundation practice, from memory; a
    /// dug bed is soft at best, so the lower end is taken. That soaked ground holds half is what an industry study
    /// of stakes in lawn found (read). Sand has no such strength: test it.
    #[must_use]
    pub const fn shear_strength_pa(self) -> Range {
        match self {
            Self::Soaked => Range::new(5e3, 10e3, 20e3),
            Self::Moist => Range::new(10e3, 20e3, 40e3),
            Self::Firm => Range::new(20e3, 40e3, 75e3),
        }
    }
}

/// A pin of bent wire.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pin {
    /// Diameter of the wire, m, 0.5 mm to 30 mm.
    pub diameter_m: f64,
    /// Length of each leg in the ground, m, up to 2 m.
    pub depth_m: f64,
    /// Legs: 1 or 2 as a rule, up to 4.
    pub legs: u32,
}

impl Pin {
    /// Pull that draws the pin out of the ground, N: Q = n α c_u π d L for n legs, at the three values of c_u.
    ///
    /// Two legs of 3 mm and 150 mm in moist ground hold 28 N. Tests of stakes in lawn scaled down by size would say ten
    /// times as much: thin legs do not hold so, and a test of the pin itself ([`pull_test_n`]) is worth more than this.
    /// Checked by `anchors::a_thin_pin_holds_little`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for another size.
    /// Equation 31 of docs/science.md.
    pub fn pull_out_n(&self, ground: Ground) -> Result<Range, Error> {
        let d = within("the diameter of the pin", self.diameter_m, "m", (0.0005, 0.03))?;
        let depth = within("the depth of the pin", self.depth_m, "m", (0.0, 2.0))?;
        let legs = within("the number of legs", f64::from(self.legs), "legs", (1.0, 4.0))?;
        let c = ground.shear_strength_pa();
        let each = legs * ADHESION * PI * d * depth;
        Ok(Range::new(each * c.low, each * c.central, each * c.high))
    }
}

/// The grower's own pulls with a spring balance, N: the weakest is what counts; none without pulls.
///
/// # Errors
/// [`Error::OutOfRange`] for a pull that is not from 0 to 10 000 N.
pub fn pull_test_n(pulls_n: &[f64]) -> Result<Option<f64>, Error> {
    let mut weakest = None;
    for pull in pulls_n {
        let pull = within("the pull", *pull, "N", (0.0, 10_000.0))?;
        weakest = Some(weakest.map_or(pull, |w: f64| w.min(pull)));
    }
    Ok(weakest)
}

/// Gust across the tunnel at which the pins of the worse side let go, m/s, for pins that hold `pin_n` each, `pins_per_m`
/// of them along each side; infinite if the wind lifts neither side.
///
/// The feet of the hoops and the weight of the cloth are not counted on. Pull is shared evenly; a flapping edge takes pins
/// one by one, so the real gust is lower. Checked by `anchors::uplift_of_a_half_circle_by_hand`.
///
/// # Errors
/// [`Error::OutOfRange`] for negative numbers.
pub fn gust_held_m_s(
    outline: &Outline,
    rise_m: f64,
    pin_n: f64,
    pins_per_m: f64,
    air_kg_m3: f64,
) -> Result<f64, Error> {
    let pin_n = within("the pull a pin holds", pin_n, "N", (0.0, 10_000.0))?;
    let pins_per_m = within("the number of pins a metre", pins_per_m, "1/m", (0.0, 100.0))?;
    let air_kg_m3 = within("the density of air", air_kg_m3, "kg/m³", (0.5, 2.0))?;
    let [windward, leeward] = wind::uplift_n_m(outline, rise_m, 1.0);
    let worse = windward.max(leeward);
    if worse <= 0.0 {
        return Ok(f64::INFINITY);
    }
    Ok(wind::wind_m_s(air_kg_m3, pin_n * pins_per_m / worse))
}
