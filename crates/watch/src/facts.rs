//! What is known at a moment.

use quantities::{Moment, Place};
use serde::{Deserialize, Serialize};

use crate::brief::Brief;

/// What is known at a moment.
#[derive(Clone, Debug)]
pub struct Facts {
    /// Now.
    pub now: Moment,
    /// Where the garden is.
    pub place: Place,
    /// The plan of the coming or the present night; `Err`: why there is none.
    pub plan: Result<Brief, String>,
    /// The last reading of the open air: when, °C.
    pub air: Option<(Moment, f64)>,
    /// Beds on which the diary says that something lies shut.
    pub shut: Vec<String>,
    /// Whether anybody notes what lies: else nothing is known of covers.
    pub noted: bool,
    /// When a person last wrote something into the diary.
    pub last_note: Option<Moment>,
    /// What cannot be seen or done now.
    pub blind: Vec<Blind>,
    /// What is to be looked at today, the most pressing first.
    pub upkeep: Vec<Upkeep>,
}

/// What messages rest on, or go through.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Sense {
    /// The forecast is old or cannot be fetched.
    Forecast,
    /// An automatic thermometer.
    Sensor(String),
    /// The disk that holds the diary.
    Disk,
    /// Somebody whom no message reaches.
    Recipient(String),
}

/// Something that cannot be seen or done.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Blind {
    /// What.
    pub sense: Sense,
    /// Why, in words.
    pub why: String,
}

/// Something to be looked at.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Upkeep {
    /// The same look has the same name.
    pub name: String,
    /// What to do, in words.
    pub words: String,
    /// Whether plants or hoops are in danger.
    pub danger: bool,
    /// What snow or wind threatens, as a plan has it ([`crate::brief::threat`]): told with the plan where that knew of it.
    pub threats: Vec<String>,
}
