//! What can be bought.

use super::{
    CLOTH_WEIGHT, DIAMETER, FILM_THICKNESS, KIND, MATERIAL, SHADE, WALL, WIRE_GAUGE, key, number,
    span, tables, whole,
};
use crate::schema::unit::{LONG, SHORT};
use crate::schema::{Key, Table, Takes};

const PRICE: Key = key("price", "", number(0.0, 1e6), "Price of one.").may("not known");
const AT_MOST: Key = key("at_most", "", whole(0.0, 10_000.0), "At most so many are to be had.")
    .may("no limit")
    .example("3");
const NAME: Key = key("name", "", Takes::Text, "What you call it.");
const LENGTH: Key = key("length", "", span(LONG, 0.5, 10_000.0), "Length of one coil or piece.");

/// What is on offer.
pub static SUPPLY: Table = Table {
    path: "supply",
    what: "supply",
    help: "What you could buy, for `rimefold cut` and `rimefold kit`; prices in your own money.",
    keys: &[
        key("pin_price", "", number(0.0, 1e4), "Price of a pin.").may("not known").example("0.25"),
        key("clip_price", "", number(0.0, 1e4), "Price of a clip.").may("not known").example("0.6"),
        key("budget", "", number(0.0, 1e7), "What may be spent in a year.")
            .may("no limit")
            .example("200"),
        key("years", "", whole(1.0, 10.0), "Over how many years it may be bought.")
            .or(1.0)
            .example("2"),
        tables("cloth", &CLOTH, "none is on offer"),
        tables("rod", &ROD, "none is on offer"),
    ],
};

/// Rods to cut hoops from.
pub static ROD: Table = Table {
    path: "supply.rod",
    what: "rod",
    help: "A coil of wire, or a length of rod or pipe, to cut hoops from.",
    keys: &[
        NAME.example("\"coil of wire\""),
        MATERIAL,
        WIRE_GAUGE,
        DIAMETER,
        WALL,
        LENGTH.examples("500", "150"),
        PRICE.example("55"),
        AT_MOST,
    ],
};

/// Cloth to cut sheets from.
pub static CLOTH: Table = Table {
    path: "supply.cloth",
    what: "cloth",
    help: "A roll of cloth, net or film, or a ready-cut sheet.",
    keys: &[
        NAME.example("\"medium roll\""),
        KIND,
        CLOTH_WEIGHT,
        FILM_THICKNESS,
        SHADE,
        key("width", "", span(SHORT, 0.3, 20.0), "Across the roll.").examples("83", "210"),
        Key {
            takes: span(LONG, 0.5, 2000.0),
            help: "Along the roll.",
            ..LENGTH.examples("250", "75")
        },
        PRICE.example("70"),
        AT_MOST,
        key("lasts_seasons", "", number(0.5, 30.0), "Seasons it lasts, if you know better.")
            .may("as usual for the cloth")
            .example("3"),
    ],
};
