//! What fails, how often and how long: chances a day and mean hours, chosen to be worse than any household.

use rand::{Rng, RngExt as _};

/// Something that fails at times.
#[derive(Clone, Debug)]
pub struct Fault {
    /// Chance that it begins within a day.
    a_day: f64,
    /// Mean length, h.
    mean_h: f64,
    /// Ends at this moment, s since 1970; in the past where it works.
    until: i64,
}

impl Fault {
    pub const fn new(a_day: f64, mean_h: f64) -> Self {
        Self { a_day, mean_h, until: 0 }
    }

    /// Whether it fails now, `step_s` after the last question.
    pub fn now(&mut self, now: i64, step_s: i64, random: &mut impl Rng) -> bool {
        if now < self.until {
            return true;
        }
        if random.random::<f64>() < self.a_day * step_s as f64 / 86_400.0 {
            let hours = -self.mean_h * (1.0 - random.random::<f64>()).ln();
            self.until = now + (hours * 3600.0) as i64;
        }
        now < self.until
    }
}

/// Everything that fails.
#[derive(Clone, Debug)]
pub struct Faults {
    /// No new forecast comes.
    pub forecast: Fault,
    /// The thermometer says nothing.
    pub sensor: Fault,
    /// The mail server refuses.
    pub mail: Fault,
    /// The web does not answer.
    pub web: Fault,
    /// The program does not run: no power, or the machine sleeps.
    pub power: Fault,
    /// The clock is wrong by some hours.
    pub clock: Fault,
    /// The disk is full.
    pub disk: Fault,
}

impl Faults {
    pub const fn usual() -> Self {
        Self {
            forecast: Fault::new(0.05, 18.0),
            sensor: Fault::new(0.02, 48.0),
            mail: Fault::new(0.05, 8.0),
            web: Fault::new(0.05, 4.0),
            power: Fault::new(0.05, 8.0),
            clock: Fault::new(0.02, 1.0),
            disk: Fault::new(0.01, 12.0),
        }
    }
}

/// A normal deviate (Box and Muller 1958).
pub fn normal(random: &mut impl Rng) -> f64 {
    let (u, v) = (1.0 - random.random::<f64>(), random.random::<f64>());
    (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()
}
