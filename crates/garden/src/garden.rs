//! The garden as a whole: where it is, who works it, its beds and its stock.

use quantities::{Place, UnitSystem};

use crate::bed::Bed;
use crate::crops::CropId;
use crate::forecast::ForecastFrom;
use crate::schema::words::worded;
use crate::sensor::{Broker, Sensor};
use crate::stock::Stock;
use crate::supply::Supply;
use crate::watch::{MailServer, Recipient, Watch};

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
    /// Where the forecast is fetched from; `None`: nowhere.
    pub forecast: Option<ForecastFrom>,
    /// When people are told, where the file says so.
    pub watch: Option<Watch>,
    /// Who is told, in file order.
    pub recipients: Vec<Recipient>,
    /// The mail server, where there is one.
    pub mail: Option<MailServer>,
    /// The grower's own crops, in file order.
    pub crops: Vec<CropId>,
    /// The beds, in file order.
    pub beds: Vec<Bed>,
    /// Automatic thermometers, in file order.
    pub sensors: Vec<Sensor>,
    /// What passes their messages on.
    pub broker: Option<Broker>,
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

worded!(
    /// Soil texture, by the hand test every grower knows.
    pub enum Texture {
        Sand = "sand", "gritty, falls apart";
        SandyLoam = "sandy loam", "makes a weak ball";
        Loam = "loam", "makes a ball that crumbles";
        SiltLoam = "silt loam", "smooth and floury";
        ClayLoam = "clay loam", "makes a ribbon";
        Clay = "clay", "makes a long shiny ribbon";
        Peat = "peat", "dark, light, mostly organic";
    }
);

worded!(
    /// How the garden lies.
    pub enum Exposure {
        ValleyFloor = "valley floor", "where cold air pools";
        Slope = "slope", "where cold air drains away downhill";
        Hilltop = "hilltop", "in the wind, above the pool of cold air";
        Open = "open", "level open ground";
        Walled = "walled", "walled, fenced or in a yard: sheltered, sky partly hidden";
    }
);

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
