//! What daily records do not hold, drawn: dew point, cloud and wind of a day. Never measured, never told as measured.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

use crate::constants as c;

/// What is drawn from, stated by the caller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Priors {
    /// The same seed gives the same draw for the same date, wherever a run of hours begins.
    pub seed: u64,
    /// How far the dew point lies below the day's minimum, K. FAO-56 (from memory): 0 where nights reach dew, 2 to 3 in
    /// dry places. Measured at night: −0.4 at Champaign 1998, but 8.0 and 10.5 at semi-arid Dinosaur 2019 and 2018.
    /// Checked by `hours::draws_beside_measured_days`.
    pub dew_below_min_k: f64,
    /// Standard deviation of that from day to day, K: 2.5 at Champaign, 7.4 to 8.2 at Dinosaur.
    pub dew_sigma_k: f64,
    /// Wind by month; without it wind stays unknown.
    pub wind: Option<WindPrior>,
}

/// Mean wind by month at the height that the caller uses, m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindPrior {
    /// From sunrise to sunset, January to December.
    pub day_m_s: [f64; 12],
    /// From sunset to sunrise.
    pub night_m_s: [f64; 12],
    /// Standard deviation of the logarithm of a day's factor.
    pub sigma_ln: f64,
}

/// One day's draw.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayDraw {
    /// Dew point, °C, before it is held at or below the air of each hour.
    pub dew_point_c: f64,
    /// Cloud, 0 to 1.
    pub cloud_fraction: f64,
    /// Wind by day and by night, m/s.
    pub wind_m_s: Option<(f64, f64)>,
}

/// What a draw knows of its day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DayFacts {
    /// Day number, which picks the draw.
    pub number: i32,
    /// 0 for January.
    pub month: usize,
    /// Metres above sea level.
    pub elevation_m: f64,
    /// Maximum, °C.
    pub max_c: f64,
    /// Minimum that follows, °C.
    pub next_min_c: f64,
}

/// Cloud from the fall between a maximum and the minimum that follows: Rs/Ra = 0.16 √(Tx − Tn) (Hargreaves, FAO-56 eq. 50),
/// Rso/Ra = 0.75 + 2·10⁻⁵ z (eq. 37), Rs/Rso = 1 − 0.75 c^3.4 (Kasten & Czeplak 1980, from memory); c from 0 to 1.
///
/// Checked by `hours::cloud_and_sun_of_the_handbook`.
/// Equation 44 of docs/science.md.
#[must_use]
pub fn cloud_fraction(fall_k: f64, elevation_m: f64) -> f64 {
    let clear = c::CLEAR_SKY_SHARE + c::CLEAR_SKY_SHARE_PER_M * elevation_m;
    let share = (clearness_index(fall_k) / clear).clamp(1.0 - c::OVERCAST_LOSS, 1.0);
    ((1.0 - share) / c::OVERCAST_LOSS).powf(1.0 / c::CLOUD_EXPONENT)
}

/// Clearness index Rs/Ra = 0.16 √(Tx − Tn) (Hargreaves inland, FAO-56 eq. 50). Checked by `hours::cloud_and_sun_of_the_handbook`.
/// Equation 43 of docs/science.md.
#[must_use]
pub fn clearness_index(range_k: f64) -> f64 {
    c::HARGREAVES * range_k.max(0.0).sqrt()
}

impl Priors {
    /// The draw of a day.
    ///
    /// Td = Tn′ − d + σ z; c = cloud from the fall + 0.15 z, held in 0 to 1; wind = month's mean · exp(σ z − σ²/2).
    #[must_use]
    pub fn draw(&self, day: &DayFacts) -> DayDraw {
        let mix = (day.number as u32 as u64).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(self.seed ^ mix);
        let (dew, cloud) = normal_pair(&mut rng);
        let (wind, _) = normal_pair(&mut rng);
        let likely = cloud_fraction(day.max_c - day.next_min_c, day.elevation_m);
        DayDraw {
            dew_point_c: day.next_min_c - self.dew_below_min_k + self.dew_sigma_k * dew,
            cloud_fraction: (likely + c::SIGMA_DRAWN_CLOUD * cloud).clamp(0.0, 1.0),
            wind_m_s: self.wind.and_then(|w| {
                let factor = (w.sigma_ln * wind - w.sigma_ln * w.sigma_ln / 2.0).exp();
                Some((w.day_m_s.get(day.month)? * factor, w.night_m_s.get(day.month)? * factor))
            }),
        }
    }
}

/// Two standard normal numbers (Box & Muller 1958).
fn normal_pair(rng: &mut Xoshiro256PlusPlus) -> (f64, f64) {
    let mut uniform = || ((rng.next_u64() >> 11) as f64 + 0.5) / (1_u64 << 53) as f64;
    let (radius, angle) = ((-2.0 * uniform().ln()).sqrt(), std::f64::consts::TAU * uniform());
    (radius * angle.cos(), radius * angle.sin())
}
