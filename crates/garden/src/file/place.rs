//! Where the garden is, its ground, its people.

use quantities::Place;

use crate::file::table::{Reader, Table};
use crate::garden::{Labour, Site};

pub fn place(r: &mut Reader, t: &Table<'_>) -> Option<(Place, String)> {
    let latitude = t.number(r, "latitude");
    let longitude = t.number(r, "longitude");
    let elevation = t.number(r, "elevation");
    let zone = t.text(r, "zone");
    let place =
        Place { latitude_deg: latitude?, longitude_deg: longitude?, elevation_m: elevation? };
    Some((place, zone?))
}

pub fn site(r: &mut Reader, t: &Table<'_>) -> Option<Site> {
    let soil = t.word(r, "soil");
    let exposure = t.word(r, "exposure");
    let cold_spot_offset_k = t.number(r, "cold_spot_offset");
    Some(Site { soil: soil?, exposure: exposure?, cold_spot_offset_k })
}

pub fn labour(r: &mut Reader, t: &Table<'_>) -> Option<Labour> {
    let people = t.count(r, "people");
    let minutes_each = t.number(r, "minutes_each");
    let worth_of_hour = t.number(r, "worth_of_hour");
    Some(Labour { people: people?, minutes_each: minutes_each?, worth_of_hour: worth_of_hour? })
}
