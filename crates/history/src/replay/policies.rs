//! Ways to decide on an evening, as data: never, always, the trade's rules of thumb, the evening plan, perfect foresight.

use garden::garden::Garden;
use garden::planting::Start;

use crate::constants::{FREEZING_C, HARD_FROST_C, HARDY_T10_C};
use evening::night::PlantingAtRisk;

/// One way to decide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Policy {
    /// Every bed open every night.
    Never,
    /// Every bed that stands is covered at dusk and opened in the morning, on every night that matters.
    Always,
    /// The same covers, left on by day as well while the cold nights follow each other.
    LeftOn,
    /// Covered when a night below freezing is forecast, and left on by day while the next one is too.
    ColdSpells,
    /// A rule of thumb on the forecast minimum.
    Rule(Rule),
    /// The evening plan: least expected loss and labour within stock and minutes.
    Plan,
    /// The plan of several nights: covers may lie on by day.
    SeveralNights,
    /// The evening plan, knowing each night and the season to come.
    Perfect,
}

/// A rule of thumb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Cover when the forecast minimum is below this, °C.
    pub below_c: f64,
    /// Beds of hardy direct-sown crops alone only below this, °C.
    pub sown_hardy_below_c: Option<f64>,
    /// New transplants are covered each night until a forecast shows five nights above freezing.
    pub five_nights: bool,
}

/// Every policy that is compared; the rules are common practice, no source.
pub const POLICIES: [Policy; 10] = [
    Policy::Never,
    Policy::Always,
    Policy::LeftOn,
    Policy::ColdSpells,
    Policy::Rule(Rule { below_c: FREEZING_C, sown_hardy_below_c: None, five_nights: false }),
    Policy::Rule(Rule {
        below_c: FREEZING_C,
        sown_hardy_below_c: Some(HARD_FROST_C),
        five_nights: false,
    }),
    Policy::Rule(Rule {
        below_c: FREEZING_C,
        sown_hardy_below_c: Some(HARD_FROST_C),
        five_nights: true,
    }),
    Policy::Plan,
    Policy::SeveralNights,
    Policy::Perfect,
];

impl Policy {
    /// A short name without spaces that never changes, for programs.
    #[must_use]
    pub fn key(&self) -> &'static str {
        match self {
            Self::Never => "never",
            Self::Always => "always",
            Self::LeftOn => "left_on",
            Self::ColdSpells => "left_on_through_cold_spells",
            Self::Rule(r) => match (r.sown_hardy_below_c, r.five_nights) {
                (None, false) => "below_freezing",
                (Some(_), false) => "below_freezing_hardy_below_25_f",
                (_, true) => "five_nights_then_below_freezing",
            },
            Self::Plan => "evening_plan",
            Self::SeveralNights => "several_nights_plan",
            Self::Perfect => "perfect_foresight",
        }
    }

    /// Whether it is a rule of thumb that goes by the forecast.
    #[must_use]
    pub fn is_rule(&self) -> bool {
        matches!(self, Self::ColdSpells | Self::Rule(_))
    }

    /// Whether it asks for no forecast.
    #[must_use]
    pub fn is_fixed(&self) -> bool {
        matches!(self, Self::Never | Self::Always | Self::LeftOn)
    }
}

impl Rule {
    /// Whether the rule wants a bed covered of which `at_risk` stand, `waiting` telling whether the five nights have not come.
    #[must_use]
    pub fn wants(
        &self,
        garden: &Garden,
        bed: usize,
        at_risk: &[PlantingAtRisk],
        forecast_c: f64,
        waiting: bool,
    ) -> bool {
        let planting = |s: &PlantingAtRisk| garden.beds.get(bed)?.plantings.get(s.planting);
        let sown_hardy = |s: &PlantingAtRisk| {
            planting(s).is_some_and(|p| p.start == Start::DirectSown)
                && s.limits.t10_c <= HARDY_T10_C
        };
        let new = |s: &PlantingAtRisk| planting(s).is_some_and(is_new);
        if self.five_nights && waiting && at_risk.iter().any(new) {
            return true;
        }
        let limit = match self.sown_hardy_below_c {
            Some(limit) if at_risk.iter().all(sown_hardy) => limit,
            _ => self.below_c,
        };
        forecast_c < limit
    }
}

/// Whether a planting was set out within weeks.
#[must_use]
pub fn is_new(planting: &garden::planting::Planting) -> bool {
    planting.start == Start::Transplant && planting.stage == garden::crops::Stage::Transplant
}

/// Whether a forecast shows every night it knows above freezing.
#[must_use]
pub fn all_above_freezing(forecast_c: &[f64]) -> bool {
    forecast_c.iter().all(|t| t.is_nan() || *t > FREEZING_C)
}
