//! One night: what the air does, what a forecast says of it, what a plan makes of that.

use jiff::civil::Date;
use quantities::Moment;
use watch::brief::{BedBrief, Brief, Opens};
use watch::calendar::Evening;
use weather::error_model::sigma_air_k;

/// Tissue is harmed below, °C.
pub const LIMIT_C: f64 = -0.5;
/// A cover is worth so much, K.
const COVER_K: f64 = 3.0;
/// A bed is covered from this chance of harm on.
const COVER_FROM: f64 = 0.1;
/// The bed.
pub const BED: &str = "bed";

/// The air of one night.
#[derive(Clone, Copy, Debug)]
pub struct Air {
    pub sunset: i64,
    pub sunrise: i64,
    /// At sunset, °C.
    pub from_c: f64,
    /// At sunrise, °C.
    pub low_c: f64,
}

impl Air {
    /// Falls as the square root of the time since sunset (Brunt 1932: how clear nights cool).
    pub fn at(&self, now: i64) -> f64 {
        let share = (now - self.sunset) as f64 / (self.sunrise - self.sunset) as f64;
        self.from_c + (self.low_c - self.from_c) * share.clamp(0.0, 1.0).sqrt()
    }

    /// When it first passes a temperature.
    pub fn passes(&self, limit_c: f64) -> Option<i64> {
        if self.low_c >= limit_c {
            return None;
        }
        let share = ((limit_c - self.from_c) / (self.low_c - self.from_c)).clamp(0.0, 1.0);
        Some(self.sunset + (share * share * (self.sunrise - self.sunset) as f64) as i64)
    }
}

/// A forecast of the night's low.
#[derive(Clone, Copy, Debug)]
pub struct Said {
    pub issued: i64,
    pub low_c: f64,
}

/// What a plan is made of.
pub struct Known<'a> {
    pub evening: &'a Evening,
    pub now: Moment,
    pub said: Said,
    /// The air of the night as that forecast has it.
    pub course: Air,
    /// The last reading, where there is one.
    pub air: Option<(Moment, f64)>,
    pub covered: bool,
    /// Film lies, and the morning is sunny.
    pub sunny: bool,
}

/// The plan of an evening from what is known at a moment: a stand-in for the planner, with its words. What is read this evening
/// moves the low and makes it surer.
pub fn plan(known: &Known<'_>) -> Brief {
    let Known { evening, now, said, course, .. } = known;
    let lead_h = (evening.sunrise.0 - said.issued) as f64 / 3600.0;
    let mut sigma_k = sigma_air_k(lead_h);
    let mut low_c = said.low_c;
    if let Some((at, read_c)) = known.air.filter(|(at, _)| at.0 > course.sunset + 3600) {
        low_c += read_c - course.at(at.0);
        let left =
            (evening.sunrise.0 - at.0).max(0) as f64 / (evening.sunrise.0 - course.sunset) as f64;
        sigma_k = (sigma_k * left.sqrt()).max(0.5);
    }
    let below = |limit_c: f64| normal_share((limit_c - low_c) / sigma_k);
    let (open, under) = (below(LIMIT_C), below(LIMIT_C - COVER_K));
    let wanted = open >= COVER_FROM;
    let dark = evening.sunset.0 + 1800;
    let hundredths = |x: f64| (x * 100.0).round() / 100.0;
    let middle = Air { low_c, ..*course };
    let half_hours = (evening.sunrise.0 - evening.sunset.0) / 1800 + 1;
    let cold = Air { low_c: said.low_c - 1.28 * sigma_air_k(lead_h), ..*course };
    Brief {
        night: evening.night,
        sunset: evening.sunset.0,
        dark,
        sunrise: evening.sunrise.0,
        start_by: (wanted && !known.covered).then_some((dark - 1800).max(now.0)),
        beds: vec![BedBrief {
            bed: BED.into(),
            ends: if wanted || known.covered { "cloth".into() } else { String::new() },
            to_do: wanted && !known.covered,
            left: hundredths(if known.covered { under } else { open }),
            chance: hundredths(if wanted || known.covered { under } else { open }),
            reaches: middle.passes(LIMIT_C),
        }],
        opens: if known.sunny {
            vec![Opens { bed: BED.into(), by: evening.sunrise.0 + 7200, heat: true }]
        } else {
            Vec::new()
        },
        threats: Vec::new(),
        air_from: evening.sunset.0,
        air_p10_c: (0..half_hours).map(|n| cold.at(evening.sunset.0 + 1800 * n + 900)).collect(),
    }
}

/// Share of a normal distribution below (Abramowitz and Stegun 7.1.26, to 1.5e-7).
fn normal_share(x: f64) -> f64 {
    let z = x.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * z);
    let poly = t
        * (0.254_829_592
            + t * (-0.284_496_736
                + t * (1.421_413_741 + t * (-1.453_152_027 + t * 1.061_405_429))));
    let tail = 0.5 * poly * (-z * z).exp();
    if x < 0.0 { tail } else { 1.0 - tail }
}

/// Whether plants are in the ground on a date: spring from mid-March, autumn until the end of November.
pub fn in_season(date: Date) -> bool {
    matches!(
        (date.month(), date.day()),
        (3, 15..) | (4 | 5, _) | (6, ..=15) | (8, 15..) | (9..=11, _)
    )
}
