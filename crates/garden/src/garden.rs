//! The garden as a whole: where it is, who works it, its beds and its stock.

use quantities::{Place, UnitSystem};

use crate::bed::Bed;
use crate::stock::Stock;
use crate::supply::Supply;

/// Everything the garden file says, in SI.
#[derive(Clone, Debug, PartialEq)]
pub struct Garden {
    /// What the grower calls it.
    pub name: String,
    /// Units the file is written in and the answers are shown in.
    pub units: UnitSystem,
    /// Latitude, longitude, elevation.
    pub place: Place,
    /// IANA time-zone name, such as `America/Chicago`; resolved by the program.
    pub zone: String,
    /// The ground and what surrounds it.
    pub site: Site,
    /// Hands, minutes and what an hour of them is worth.
    pub labour: Labour,
    /// The beds, in file order.
    pub beds: Vec<Bed>,
    /// What is in the shed.
    pub stock: Stock,
    /// What can be bought.
    pub supply: Supply,
}

/// The ground and what surrounds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Site {
    /// Soil texture of the beds.
    pub soil: Texture,
    /// Where cold air goes and wind comes from.
    pub exposure: Exposure,
    /// Garden minus forecast point on a clear calm night, K; `None` when the grower has not measured it.
    pub cold_spot_offset_k: Option<f64>,
}

/// Soil texture, by the hand test every grower knows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Texture {
    /// Gritty, falls apart.
    Sand,
    /// Makes a weak ball.
    SandyLoam,
    /// Makes a ball that crumbles.
    Loam,
    /// Smooth and floury.
    SiltLoam,
    /// Makes a ribbon.
    ClayLoam,
    /// Makes a long shiny ribbon.
    Clay,
    /// Dark, light, mostly organic.
    Peat,
}

/// How the garden lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exposure {
    /// Cold air pools here.
    ValleyFloor,
    /// Cold air drains away downhill.
    Slope,
    /// Open to wind, out of the cold pool.
    Hilltop,
    /// Level open ground.
    Open,
    /// Walled, fenced or in a yard: sheltered, sky partly hidden.
    Walled,
}

/// Hands and time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Labour {
    /// People who can cover tonight.
    pub people: u32,
    /// Minutes each has before dark.
    pub minutes_each: f64,
    /// What an hour of work is worth, in the garden's own money.
    pub worth_of_hour: f64,
}
