//! The plan of the nights ahead, as plain data in SI.

use garden::fit::{Cover, Item};
use quantities::{Moment, UnitSystem};

use crate::horizon::Part;
use crate::lies::Lies;
use crate::report::Spread;

/// The nights ahead as one plan.
#[derive(Clone, Debug, PartialEq)]
pub struct WeekReport {
    /// Garden's own name.
    pub garden: String,
    /// Units to show.
    pub units: UnitSystem,
    /// IANA zone.
    pub zone: String,
    /// The moment of asking.
    pub asked_at: Moment,
    /// The nights, the coming one first.
    pub nights: Vec<NightAhead>,
    /// The beds, in garden order.
    pub beds: Vec<BedWeek>,
    /// Person-minutes for each evening and for each morning.
    pub minutes_available: f64,
    /// What is short, dearest first, each checked by planning again with more of it.
    pub short: Vec<Short>,
    /// How good the plan is.
    pub proof: WeekProof,
    /// What makes the chances wider than usual, or could not be taken into account, in whole sentences.
    pub doubts: Vec<String>,
}

/// One night of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NightAhead {
    /// Sunset before it.
    pub sunset: Moment,
    /// Sunrise after it.
    pub sunrise: Moment,
    /// Lowest air as the forecast has it, °C.
    pub forecast_low_c: f64,
    /// Lowest air at the garden over the possible nights, °C.
    pub garden_low_c: Spread,
}

/// One bed through the nights.
#[derive(Clone, Debug, PartialEq)]
pub struct BedWeek {
    /// Bed's name.
    pub bed: String,
    /// Covers that were tried through the nights.
    pub options: Vec<Cover>,
    /// What lies when the question is asked.
    pub now: Lies,
    /// Whether cold can harm what grows here.
    pub at_risk: bool,
    /// Each night, as planned should the forecast come true.
    pub nights: Vec<BedNight>,
}

/// One bed in one night.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BedNight {
    /// What lies through the night.
    pub night: Lies,
    /// What lies through the day after; after the last night what lay in it.
    pub day: Lies,
    /// Person-minutes in the evening, the walk counted.
    pub evening_minutes: f64,
    /// Person-minutes in the morning, the walk counted.
    pub morning_minutes: f64,
    /// Chance to lose a tenth or more with what lies.
    pub chance: f64,
    /// The same were nothing laid.
    pub chance_open: f64,
    /// Expected loss of this night with what lies, money, were nothing lost before.
    pub loss: f64,
    /// The same were nothing laid.
    pub loss_open: f64,
}

/// A thing that there could be more of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShortThing {
    /// A line of the stock.
    Stock(Item),
    /// One more person, every evening or every morning.
    Person(Part),
}

/// What more of a thing would save.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Short {
    /// The thing.
    pub thing: ShortThing,
    /// How much more.
    pub amount: u32,
    /// Saved over all nights, money, found by planning again.
    pub saves: f64,
    /// Standard error of that, money.
    pub standard_error: f64,
}

/// How good the plan is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeekProof {
    /// Expected loss and labour of the plan as it is followed, money.
    pub cost: f64,
    /// Standard error of it, money.
    pub standard_error: f64,
    /// No plan can cost less, money.
    pub bound: f64,
    /// How much dearer than the best it can be, as a share of its cost.
    pub gap: f64,
    /// Expected loss when all is left as it lies, money.
    pub left_alone: f64,
    /// Courses of the forecast that were followed.
    pub courses: usize,
}
