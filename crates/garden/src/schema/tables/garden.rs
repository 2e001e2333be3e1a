//! The file itself, and where the garden is, its ground, its people.

use quantities::UnitSystem;

use super::{
    BED, BROKER, CROP, FORECAST, MAIL, SENSOR, STOCK, SUPPLY, TELL, WATCH, key, number, span,
    table, tables, whole, words,
};
use crate::garden::{Exposure, Texture};
use crate::schema::unit::{KELVIN, LONG};
use crate::schema::{Given, Key, Table, Takes};

const fn needed(key: Key) -> Key {
    Key { given: Given::Needed, ..key }
}

/// The file itself.
pub static GARDEN: Table = Table {
    path: "",
    what: "the file",
    help: "The keys at the top of the file, before any table.",
    keys: &[
        key("name", "Name", Takes::Text, "What you call the garden.").example("\"Kitchen garden\""),
        key("units", "", words::<UnitSystem>(), "Units of the file and of every answer.")
            .examples("\"us\"", "\"metric\""),
        needed(table("place", &PLACE, "")),
        needed(table("site", &SITE, "")),
        needed(table("labour", &LABOUR, "")),
        table("forecast", &FORECAST, "nothing is fetched"),
        table("watch", &WATCH, "every key of it is left out"),
        tables("tell", &TELL, "nobody is told"),
        table("mail", &MAIL, "no mail is sent"),
        tables("crop", &CROP, "every crop is one of docs/crops.md"),
        needed(tables("bed", &BED, "")),
        tables("sensor", &SENSOR, "there is none"),
        table("mqtt", &BROKER, "no messages are asked for"),
        needed(table("stock", &STOCK, "")),
        table("supply", &SUPPLY, "nothing is on offer"),
    ],
};

/// Where the garden is.
pub static PLACE: Table = Table {
    path: "place",
    what: "place",
    help: "Where the garden is.",
    keys: &[
        key(
            "latitude",
            "Latitude, degrees north",
            number(-66.0, 66.0),
            "Degrees north; south is negative.",
        )
        .example("46.75"),
        key(
            "longitude",
            "Longitude, degrees east",
            number(-180.0, 180.0),
            "Degrees east; west is negative.",
        )
        .example("5.9"),
        key(
            "elevation",
            "Height above the sea",
            span(LONG, -430.0, 5000.0),
            "Height above the sea.",
        )
        .examples("1700", "520"),
        key("zone", "Time zone", Takes::Text, "Time zone by its IANA name.")
            .example("\"Europe/Paris\""),
    ],
};

/// The ground.
pub static SITE: Table = Table {
    path: "site",
    what: "site",
    help: "The ground, and what surrounds it.",
    keys: &[
        key("soil", "Soil", words::<Texture>(), "Soil of the beds, by the hand test.")
            .example("\"loam\""),
        key("exposure", "It lies", words::<Exposure>(), "Where cold air goes and wind comes from.")
            .example("\"open\""),
        key(
            "cold_spot_offset",
            "Warmer than the forecast on clear calm nights; colder is negative",
            span(KELVIN, -10.0, 5.0),
            "How much warmer the garden is than the forecast on a clear calm night, once you know it; colder is negative.",
        )
        .may("it is guessed from how the garden lies")
        .example("-2"),
    ],
};

/// The people.
pub static LABOUR: Table = Table {
    path: "labour",
    what: "labour",
    help: "Who covers the beds, and how long they have.",
    keys: &[
        key("people", "People who can cover", whole(0.0, 50.0), "People who can cover in the evening.")
            .example("2"),
        key(
            "minutes_each",
            "Minutes each has before dark",
            number(0.0, 600.0),
            "Minutes each of them has before dark.",
        )
        .example("30"),
        key(
            "worth_of_hour",
            "What an hour of work is worth",
            number(0.0, 10_000.0),
            "What an hour of work is worth in your own money; covers must save more than their work costs.",
        )
        .example("15"),
    ],
};
