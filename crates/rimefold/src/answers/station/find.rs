//! The nearest stations with a long record, height counted.

use crate::columns::columns;
use garden::Garden;
use quantities::UnitSystem;
use serde::Serialize;
use weather::station::list::Near;

/// Names of NOAA's list and inventory of GHCN-Daily.
pub const LIST: &str = "ghcnd-stations.txt";
pub const INVENTORY: &str = "ghcnd-inventory.txt";

/// Version of the layout; raised when a member changes its meaning or goes away.
const LAYOUT: u32 = 1;

/// The answer of `rimefold station find --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Found {
    /// Version of the layout.
    layout: u32,
    /// Nearest first.
    stations: Vec<Station>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Station {
    id: Option<String>,
    name: Option<String>,
    latitude_deg: Option<f64>,
    longitude_deg: Option<f64>,
    elevation_m: Option<f64>,
    /// First and last year of minima, where an inventory tells.
    years: Option<[i16; 2]>,
    distance_km: f64,
    /// How much higher it stands than the garden.
    higher_m: f64,
    /// Distance with height counted.
    weighed_km: f64,
}

/// The list as JSON.
pub fn layout(near: &[Near<'_>]) -> Found {
    Found { layout: LAYOUT, stations: near.iter().map(station).collect() }
}

fn station(n: &Near<'_>) -> Station {
    Station {
        id: n.station.id.clone(),
        name: n.station.name.clone(),
        latitude_deg: n.station.latitude_deg,
        longitude_deg: n.station.longitude_deg,
        elevation_m: n.station.elevation_m,
        years: n.station.years.map(|(a, b)| [a, b]),
        distance_km: n.distance_km,
        higher_m: n.higher_m,
        weighed_km: n.weighed_km,
    }
}

/// The list as text.
pub fn text(near: &[Near<'_>], garden: &Garden, years_known: bool, width: usize) -> String {
    let us = garden.units == UnitSystem::Us;
    let mut out = format!(
        "Nearest to {}, {} of height counted as {}:\n",
        garden.name,
        if us { "100 ft" } else { "100 m" },
        if us { "4 mi" } else { "20 km" }
    );
    let mut rows = Vec::new();
    for n in near {
        let far = if us {
            format!("{:.0} mi", n.distance_km / 1.609_344)
        } else {
            format!("{:.0} km", n.distance_km)
        };
        let height = if us { n.higher_m / 0.3048 } else { n.higher_m };
        let side = if height < 0.0 { "lower" } else { "higher" };
        let height = format!("{:.0} {} {side}", height.abs(), if us { "ft" } else { "m" });
        let years = n.station.years.map_or(String::new(), |(a, b)| format!("{a} to {b}"));
        let id = n.station.id.as_deref().unwrap_or_default();
        let name: String = n.station.name.iter().flat_map(|s| s.chars()).take(24).collect();
        rows.push(vec![format!("{id}  {name}"), far, height, years]);
    }
    out += &columns(width, 2, rows);
    if !years_known {
        out += &format!("How long they have measured is not known without NOAA's {INVENTORY}.\n");
    }
    out + "Fetch one with: rimefold station fetch GARDEN ID\n"
}
