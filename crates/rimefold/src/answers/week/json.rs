//! The nights ahead as JSON. Documented in `docs/json.md` and `docs/schema/week.json`.

use evening::horizon::Part;
use evening::lies;
use evening::week::report::{self, BedNight, BedWeek, ShortThing, WeekReport};
use garden::Garden;
use jiff::Timestamp;
use quantities::Moment;
use serde::Serialize;

use crate::answers::json_parts::{Spread, Use, item_name, spread, uses};

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold week --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Week {
    /// Version of the layout.
    layout: u32,
    garden: String,
    asked_at: String,
    /// The coming one first.
    nights: Vec<Night>,
    /// In the order of the garden file.
    beds: Vec<Bed>,
    /// Person-minutes for each evening and for each morning.
    minutes_available: f64,
    /// What is short, the most saved first; each checked by planning again.
    short: Vec<Short>,
    proof: Proof,
    /// What makes the chances wider than usual.
    doubts: Vec<String>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Night {
    sunset: String,
    sunrise: String,
    forecast_low_c: f64,
    garden_low_c: Spread,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Bed {
    bed: String,
    /// Whether cold can harm what grows here.
    at_risk: bool,
    /// Covers that were tried.
    options: Vec<Cover>,
    /// What lies when the question is asked.
    now: Lies,
    /// As planned should the forecast come true.
    nights: Vec<Spent>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Cover {
    layers: u32,
    pieces: u32,
    /// Person-minutes to lay it.
    minutes: f64,
    uses: Vec<Use>,
}

/// What lies on a bed; `option` is an index into the bed's options.
#[derive(Serialize)]
#[serde(rename_all = "snake_case", tag = "kind")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Lies {
    Open,
    Shut { option: usize },
    EndsOpen { option: usize },
    HalfOff { option: usize },
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Spent {
    /// Through the night.
    night: Lies,
    /// Through the day after; after the last night what lay in it.
    day: Lies,
    /// Person-minutes, the walk counted.
    evening_minutes: f64,
    morning_minutes: f64,
    /// Chance to lose a tenth or more with what lies, 0 to 1.
    chance_of_harm: f64,
    chance_of_harm_open: f64,
    /// Money, were nothing lost before.
    expected_loss: f64,
    expected_loss_open: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Short {
    /// A name of the stock, or `a person each evening`, `a person each morning`.
    thing: String,
    amount: u32,
    /// Money over all nights.
    saves: f64,
    standard_error: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Proof {
    /// Expected loss and labour of the plan as it is followed, money.
    plan_cost: f64,
    standard_error: f64,
    /// No plan can cost less.
    bound: f64,
    /// How much dearer than the best the plan can be, as a share of its cost.
    gap: f64,
    /// Expected loss at least, when all is left as it lies.
    left_alone_cost: f64,
    /// Courses of the forecast that were followed.
    courses: usize,
}

/// The plan in the public layout.
pub fn layout(r: &WeekReport, garden: &Garden) -> Week {
    let p = &r.proof;
    Week {
        layout: LAYOUT,
        garden: r.garden.clone(),
        asked_at: time(r.asked_at),
        nights: r.nights.iter().map(night).collect(),
        beds: r.beds.iter().map(|b| bed(b, garden)).collect(),
        minutes_available: r.minutes_available,
        short: r.short.iter().map(|s| short(s, garden)).collect(),
        proof: Proof {
            plan_cost: p.cost,
            standard_error: p.standard_error,
            bound: p.bound,
            gap: p.gap,
            left_alone_cost: p.left_alone,
            courses: p.courses,
        },
        doubts: r.doubts.clone(),
    }
}

fn night(n: &report::NightAhead) -> Night {
    Night {
        sunset: time(n.sunset),
        sunrise: time(n.sunrise),
        forecast_low_c: n.forecast_low_c,
        garden_low_c: spread(&n.garden_low_c),
    }
}

fn bed(b: &BedWeek, garden: &Garden) -> Bed {
    let cover = |c: &garden::fit::Cover| Cover {
        layers: c.layers,
        pieces: c.pieces,
        minutes: c.minutes,
        uses: uses(c, garden),
    };
    Bed {
        bed: b.bed.clone(),
        at_risk: b.at_risk,
        options: b.options.iter().map(cover).collect(),
        now: lies(b.now),
        nights: b.nights.iter().map(spent).collect(),
    }
}

fn spent(n: &BedNight) -> Spent {
    Spent {
        night: lies(n.night),
        day: lies(n.day),
        evening_minutes: n.evening_minutes,
        morning_minutes: n.morning_minutes,
        chance_of_harm: n.chance,
        chance_of_harm_open: n.chance_open,
        expected_loss: n.loss,
        expected_loss_open: n.loss_open,
    }
}

fn lies(l: lies::Lies) -> Lies {
    match l {
        lies::Lies::Open => Lies::Open,
        lies::Lies::Shut(option) => Lies::Shut { option },
        lies::Lies::EndsOpen(option) => Lies::EndsOpen { option },
        lies::Lies::HalfOff(option) => Lies::HalfOff { option },
    }
}

fn short(s: &report::Short, garden: &Garden) -> Short {
    let thing = match s.thing {
        ShortThing::Stock(item) => item_name(&item, garden),
        ShortThing::Person(Part::Evening) => "a person each evening".into(),
        ShortThing::Person(Part::Morning) => "a person each morning".into(),
    };
    Short { thing, amount: s.amount, saves: s.saves, standard_error: s.standard_error }
}

fn time(m: Moment) -> String {
    Timestamp::from_second(m.0).unwrap_or_default().to_string()
}
