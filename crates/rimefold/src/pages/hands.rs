//! Other hands than the garden file says, for tonight: how many people and minutes, planned again at once.

use axum::extract::{Form, State};
use axum::response::Response;
use garden::garden::Labour;
use garden::schema::Takes;
use garden::schema::tables::LABOUR;
use quantities::{Moment, UnitSystem};
use serde::Deserialize;

use crate::exit::{Exit, Failure};
use crate::format::number;
use crate::pages::App;
use crate::pages::page::{on_to, trouble};

/// So long tonight's hands hold, s: the next evening is the garden file's again.
const HOLD_S: i64 = 12 * 3600;

/// Who works tonight, where that is not what the garden file says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hands {
    people: u32,
    minutes_each: f64,
    said: Moment,
}

impl Hands {
    /// The labour of a garden with these hands, while they hold.
    pub fn labour(self, usual: Labour, now: Moment) -> Labour {
        if (now.0 - self.said.0).abs() > HOLD_S {
            return usual;
        }
        Labour { people: self.people, minutes_each: self.minutes_each, ..usual }
    }
}

/// What the form says.
#[derive(Deserialize)]
pub struct Said {
    #[serde(default)]
    people: String,
    #[serde(default)]
    minutes: String,
    #[serde(default)]
    usual: String,
}

/// `POST /hands`.
pub async fn say(State(app): State<App>, Form(said): Form<Said>) -> Response {
    if !said.usual.is_empty() {
        app.planner.take_hands(None);
        return on_to("/");
    }
    let now = app.planner.clock.now();
    match hands(&said, now) {
        Ok(hands) => {
            app.planner.take_hands(Some(hands));
            on_to(if hands.people > 1 { "/?by=person" } else { "/" })
        }
        Err(wrong) => trouble(&app, &Failure::new(Exit::Usage, wrong)),
    }
}

fn hands(said: &Said, now: Moment) -> Result<Hands, String> {
    let people = within("people", &said.people)?;
    let minutes_each = within("minutes_each", &said.minutes)?;
    if people.fract() != 0.0 {
        return Err(format!("“{}” people: give a whole number", said.people));
    }
    Ok(Hands { people: people as u32, minutes_each, said: now })
}

/// A number in the range that the garden file takes under a key of its labour.
fn within(name: &str, text: &str) -> Result<f64, String> {
    let key = LABOUR.keys.iter().find(|k| k.name == name);
    let (least, most) = match key.map(|k| k.takes) {
        Some(Takes::Number(span)) => span.range(UnitSystem::Metric),
        _ => (0.0, f64::MAX),
    };
    let given = number(text).filter(|x| (least..=most).contains(x));
    given.ok_or_else(|| format!("“{text}”: give a number from {least} to {most}"))
}
