//! Where the garden is, its ground, its people.

use quantities::Place;

use crate::file::table::{KELVIN, LONG, Reader, Table};
use crate::garden::{Exposure, Labour, Site, Texture};

/// Soil textures and their words.
pub const TEXTURES: [(&str, Texture); 7] = [
    ("sand", Texture::Sand),
    ("sandy loam", Texture::SandyLoam),
    ("loam", Texture::Loam),
    ("silt loam", Texture::SiltLoam),
    ("clay loam", Texture::ClayLoam),
    ("clay", Texture::Clay),
    ("peat", Texture::Peat),
];

/// Exposures and their words.
pub const EXPOSURES: [(&str, Exposure); 5] = [
    ("valley floor", Exposure::ValleyFloor),
    ("slope", Exposure::Slope),
    ("hilltop", Exposure::Hilltop),
    ("open", Exposure::Open),
    ("walled", Exposure::Walled),
];

pub fn place(r: &mut Reader, t: &Table<'_>) -> Option<(Place, String)> {
    let latitude = t.number(r, "latitude", -66.0..=66.0);
    let longitude = t.number(r, "longitude", -180.0..=180.0);
    let elevation = t.measure(r, "elevation", LONG, -430.0..=5000.0);
    let zone = t.text(r, "zone");
    t.no_more(r);
    let place =
        Place { latitude_deg: latitude?, longitude_deg: longitude?, elevation_m: elevation? };
    Some((place, zone?))
}

pub fn site(r: &mut Reader, t: &Table<'_>) -> Option<Site> {
    let soil = t.word(r, "soil", &TEXTURES);
    let exposure = t.word(r, "exposure", &EXPOSURES);
    let cold_spot_offset_k = t.maybe_measure(r, "cold_spot_offset", KELVIN, -10.0..=5.0);
    t.no_more(r);
    Some(Site { soil: soil?, exposure: exposure?, cold_spot_offset_k })
}

pub fn labour(r: &mut Reader, t: &Table<'_>) -> Option<Labour> {
    let people = t.count(r, "people", 50);
    let minutes_each = t.number(r, "minutes_each", 0.0..=600.0);
    let worth_of_hour = t.number(r, "worth_of_hour", 0.0..=10_000.0);
    t.no_more(r);
    Some(Labour { people: people?, minutes_each: minutes_each?, worth_of_hour: worth_of_hour? })
}
