//! The low tunnel of a bed: drawing, measures, what it stands in snow and wind.

mod diagram;
pub mod json;
pub mod svg;
pub mod text;

use garden::tunnel::{self, Tunnel, Wish};
use garden::{Bed, Garden};
use quantities::UnitSystem;
use quantities::units::{INCH_M, MPH_M_S};

use crate::exit::{Exit, Failure};

/// What hoops should stand where nothing is asked: 4 in of fresh snow and gusts of 40 mph, or 10 cm and 18 m/s.
pub fn usual_wish(units: UnitSystem) -> Wish {
    match units {
        UnitSystem::Us => Wish { snow_m: 4.0 * INCH_M, gust_m_s: 40.0 * MPH_M_S },
        UnitSystem::Metric => Wish { snow_m: 0.1, gust_m_s: 18.0 },
    }
}

/// The tunnels of those beds that have hoops.
///
/// # Errors
/// Hoops that cannot stand so.
pub fn tunnels(garden: &Garden, beds: &[&Bed], wish: &Wish) -> Result<Vec<Tunnel>, Failure> {
    let mut tunnels = Vec::new();
    for bed in beds {
        let tunnel = tunnel::low_tunnel(garden, bed, wish)
            .map_err(|e| Failure::new(Exit::Garden, format!("bed `{}`: {e}", bed.name)))?;
        tunnels.extend(tunnel);
    }
    Ok(tunnels)
}
