//! A crop walked over days: fit to set out, first picking, last picking, and days that may make it bolt.

use super::degree_days::{Method, degree_days};
use super::habit::{Growth, Spell, Start};
use super::light;

/// Share of the way to first picking after which cold counts towards bolting (from memory, rough).
const YOUTH: f64 = 0.3;

/// One day at the plants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Day {
    /// Minimum, °C; `None` where not known.
    pub tmin_c: Option<f64>,
    /// Maximum, °C; `None` where not known.
    pub tmax_c: Option<f64>,
    /// Sunrise to sunset, h.
    pub day_length_h: f64,
    /// Share of the light outside that reaches the plants, 0 to 1.
    pub light_share: f64,
}

/// What a cover that stays on does to the days under it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shelter {
    /// Added to the maximum, K.
    pub day_gain_k: f64,
    /// Added to the minimum, K.
    pub night_gain_k: f64,
    /// Share of light that it passes, 0 to 1.
    pub light_share: f64,
}

impl Day {
    /// The day under a cover. What is not known stays so.
    #[must_use]
    pub fn under(self, shelter: &Shelter) -> Self {
        Self {
            tmin_c: self.tmin_c.map(|t| t + shelter.night_gain_k),
            tmax_c: self.tmax_c.map(|t| t + shelter.day_gain_k),
            light_share: self.light_share * shelter.light_share,
            ..self
        }
    }

    /// Degree-days of the day slowed by short days and dim light, K·d; `None` without minimum or maximum.
    ///
    /// DD · s(N) · q^e. Checked by `growth::short_days_and_dim_light_slow_growth`.
    #[must_use]
    pub fn growth(&self, g: &Growth) -> Option<f64> {
        let dd = degree_days(self.tmin_c?, self.tmax_c?, g.base_c, g.upper_c, Method::Sine);
        let slowed = light::speed_by_day_length(self.day_length_h)
            * light::speed_by_share(self.light_share, g.light_exponent);
        Some(dd * slowed)
    }
}

/// When what happens, as places (from 0) in the days walked; `None` where the days end before it.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Progress {
    /// First day on which it is fit to set out; only for what is sown and usually transplanted.
    pub fit_to_set_out: Option<usize>,
    /// First picking.
    pub first_picking: Option<usize>,
    /// Last picking, frost and bolting not counted.
    pub last_picking: Option<usize>,
    /// Day on which enough heat has come to make it bolt.
    pub may_bolt_by_heat: Option<usize>,
    /// Day on which enough cold has come, after its youth, to make it bolt.
    pub may_bolt_by_cold: Option<usize>,
    /// Days without minimum or maximum: they add nothing, so dates come late.
    pub days_unknown: usize,
}

/// Walks over days that begin at `start`; `None` where the crop is not begun that way.
///
/// Each day adds [`Day::growth`]; an event falls on the day that reaches its degree-days. A check of the plants after
/// setting out is not counted. Checked by `growth::usual_days_come_back_at_usual_warmth` and the laws beside it.
#[must_use]
pub fn walk(g: &Growth, start: Start, days: &[Day]) -> Option<Progress> {
    let to_picking = g.to_picking(start)?;
    let to_end = to_picking + g.of_picking()?;
    let to_transplant = g.to_transplant.filter(|_| start == Start::Sown);
    let mut out = Progress::default();
    let (mut sum, mut hot, mut cold) = (0.0, 0, 0);
    for (i, day) in days.iter().enumerate() {
        let (Some(grown), Some(tmin), Some(tmax)) = (day.growth(g), day.tmin_c, day.tmax_c) else {
            out.days_unknown += 1;
            continue;
        };
        sum += grown;
        let reached = |date: &mut Option<usize>, at: Option<f64>| {
            if date.is_none() && at.is_some_and(|at| sum >= at * (1.0 - f64::EPSILON * 64.0)) {
                *date = Some(i);
            }
        };
        reached(&mut out.fit_to_set_out, to_transplant);
        reached(&mut out.first_picking, Some(to_picking));
        reached(&mut out.last_picking, Some(to_end));
        count(&mut out.may_bolt_by_heat, &mut hot, i, g.bolting.heat, |s| tmax > s.limit_c);
        let grown_up = sum >= YOUTH * to_picking;
        let mean = 0.5 * (tmin + tmax);
        count(&mut out.may_bolt_by_cold, &mut cold, i, g.bolting.cold, |s| {
            grown_up && mean < s.limit_c
        });
    }
    Some(out)
}

/// Counts a day of a spell, and marks the day on which there are enough.
fn count(
    date: &mut Option<usize>,
    counted: &mut u32,
    day: usize,
    spell: Option<Spell>,
    belongs: impl Fn(Spell) -> bool,
) {
    let Some(spell) = spell.filter(|s| belongs(*s)) else { return };
    *counted += 1;
    if date.is_none() && *counted >= spell.days {
        *date = Some(day);
    }
}
