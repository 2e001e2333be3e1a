//! Where the garden's forecast is fetched from, if it is.

use crate::schema::words::worded;

/// Where the forecast is fetched from.
#[derive(Clone, Debug, PartialEq)]
pub struct ForecastFrom {
    /// Whose it is.
    pub from: Service,
    /// Its address, where it is none of the services that are known.
    pub address: Option<String>,
    /// Who asks: a mail address or a site, which some services want to know.
    pub contact: Option<String>,
    /// So often, h.
    pub every_h: f64,
}

worded!(
    /// Who gives a forecast to anybody.
    pub enum Service {
        UsWeatherService = "us weather service", "US National Weather Service, the United States alone";
        MetNorway = "met norway", "MET Norway, the whole world";
        OpenMeteo = "open-meteo", "Open-Meteo, the whole world";
        Address = "address", "any address that gives a format of docs/formats.md";
    }
);
