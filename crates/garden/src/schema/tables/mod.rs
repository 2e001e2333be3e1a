//! The tables of `garden.toml`, key by key.

mod bed;
mod crop;
mod forecast;
mod garden;
mod sensor;
mod stock;
mod supply;
mod watch;

pub use bed::{BED, HOOPS, MULCH, NEED, ON_NOW, PLANTING};
pub use crop::CROP;
pub use forecast::FORECAST;
pub use garden::{GARDEN, LABOUR, PLACE, SITE};
pub use sensor::{BROKER, SENSOR};
pub use stock::{PIN, POP_UP, SHEET, STOCK};
pub use supply::{CLOTH, ROD, SUPPLY};
pub use watch::{MAIL, TELL, WATCH};

use super::unit::{self, FILM, THIN, Unit, WEIGHT};
use super::words::Worded;
use super::{Given, Key, Only, Span, Table, Takes};
use crate::stock::ClothKind;

/// Every table, in the order in which the file has them.
pub const ALL: [&Table; 24] = [
    &GARDEN, &PLACE, &SITE, &LABOUR, &FORECAST, &WATCH, &TELL, &MAIL, &CROP, &BED, &HOOPS, &MULCH,
    &PLANTING, &ON_NOW, &NEED, &SENSOR, &BROKER, &STOCK, &PIN, &SHEET, &POP_UP, &SUPPLY, &ROD,
    &CLOTH,
];

const fn key(name: &'static str, label: &'static str, takes: Takes, help: &'static str) -> Key {
    let (only, given) = (Only::Always, Given::Needed);
    Key { name, label, takes, only, given, help, example: ["", ""] }
}

const fn span(unit: Unit, least: f64, most: f64) -> Takes {
    Takes::Number(Span { unit, least, most, whole: false })
}

const fn number(least: f64, most: f64) -> Takes {
    span(unit::NONE, least, most)
}

const fn whole(least: f64, most: f64) -> Takes {
    Takes::Number(Span { unit: unit::NONE, least, most, whole: true })
}

impl Key {
    const fn example(self, value: &'static str) -> Self {
        self.examples(value, value)
    }

    const fn examples(self, us: &'static str, metric: &'static str) -> Self {
        Self { example: [us, metric], ..self }
    }

    const fn may(self, otherwise: &'static str) -> Self {
        Self { given: Given::May(otherwise), ..self }
    }

    const fn or(self, otherwise: f64) -> Self {
        Self { given: Given::Else(otherwise), ..self }
    }

    const fn with(self, key: &'static str, words: &'static [&'static str]) -> Self {
        Self { only: Only::With(key, words), ..self }
    }

    const fn without(self, key: &'static str) -> Self {
        Self { only: Only::Without(key), ..self }
    }
}

// Keys that several tables share.

const KIND: Key =
    key("kind", "Kind", Takes::Word(ClothKind::CHOICES), "What it is.").example("\"row cover\"");
const CLOTH_WEIGHT: Key =
    key("weight", "Weight, of row cover", span(WEIGHT, 8.0, 150.0), "Weight of row cover.")
        .with("kind", &["row cover"])
        .examples("0.9", "30");
const FILM_THICKNESS: Key =
    key("thickness", "Thickness, of film", span(FILM, 15.0, 300.0), "Thickness of film.")
        .with("kind", &["film"])
        .examples("6", "150");
const SHADE: Key = key(
    "shade",
    "Share of light held back, of shade cloth",
    number(0.05, 0.95),
    "Share of the light that shade cloth holds back.",
)
.with("kind", &["shade cloth"])
.example("0.3");
const CLAIM: Key = key(
    "claim",
    "What its label claims",
    span(unit::KELVIN, 0.0, 15.0),
    "Protection that its label claims; shown beside what is computed, never used in it.",
)
.may("nothing is shown")
.examples("4", "2");
const MATERIAL: Key =
    key("material", "Material", Takes::Word(structure::Material::CHOICES), "What it is made of.")
        .example("\"soft wire\"");
const WIRE_GAUGE: Key = key(
    "wire_gauge",
    "Wire gauge, or a diameter",
    number(6.0, 14.0),
    "US steel wire gauge, in place of a diameter.",
)
.may("the diameter tells")
.example("10");
const DIAMETER: Key = key("diameter", "Diameter", span(THIN, 0.002, 0.06), "Diameter outside.")
    .without("wire_gauge")
    .examples("0.135", "3.4");
const WALL: Key = key("wall", "Wall, of a pipe", span(THIN, 0.0005, 0.02), "Wall of a pipe.")
    .with("material", &["pvc pipe", "polyethylene pipe", "conduit"])
    .examples("0.11", "2.8");

const fn words<T: Worded>() -> Takes {
    Takes::Word(T::CHOICES)
}

const fn table(name: &'static str, of: &'static Table, otherwise: &'static str) -> Key {
    key(name, "", Takes::Table(of), of.help).may(otherwise)
}

const fn tables(name: &'static str, of: &'static Table, otherwise: &'static str) -> Key {
    key(name, "", Takes::Tables(of), of.help).may(otherwise)
}
