//! What is in the shed.

use super::{
    CLAIM, CLOTH_WEIGHT, DIAMETER, FILM_THICKNESS, KIND, SHADE, WIRE_GAUGE, key, number, span,
    table, tables, whole, words,
};
use crate::schema::unit::{LONG, PULL, SHORT, THIN, VOLUME};
use crate::schema::{Key, Span, Table, Takes};
use crate::stock::Condition;

const LENGTH: Key = key("length", "Length", span(LONG, 0.3, 1000.0), "Along the bed.");

/// What is in the shed.
pub static STOCK: Table = Table {
    path: "stock",
    what: "stock",
    help: "What you own.",
    keys: &[
        key("pins", "Pins", whole(0.0, 100_000.0), "Ground pins or staples.").example("60"),
        key(
            "weights",
            "Stones, boards, sandbags",
            whole(0.0, 100_000.0),
            "Stones, boards or bags of sand that hold an edge down; each is counted as a pin.",
        )
        .or(0.0)
        .example("20"),
        key("clips", "Clips", whole(0.0, 100_000.0), "Clips that hold cloth to hoops.")
            .example("20"),
        key(
            "loose_mulch",
            "Loose straw or leaves",
            span(VOLUME, 0.0, 1000.0),
            "Dry straw or leaves to strew over low plants.",
        )
        .or(0.0)
        .examples("10", "0.3"),
        key(
            "pull_test",
            "",
            Takes::Numbers(Span { unit: PULL, least: 0.0, most: 5000.0, whole: false }),
            "What it took to pull pins out of a bed with a luggage scale, if you tried.",
        )
        .may("it is calculated from the pin and the soil")
        .examples("[7, 9, 6]", "[3.2, 4.1, 2.8]"),
        table("pin", &PIN, "a staple of 11-gauge wire with two legs of 6 in (15 cm)"),
        tables("sheet", &SHEET, "there are none"),
        tables("pop_up", &POP_UP, "there are none"),
    ],
};

/// A pin.
pub static PIN: Table = Table {
    path: "stock.pin",
    what: "pin",
    help: "What one of the pins is like.",
    keys: &[
        Key { example: ["11", "11"], ..WIRE_GAUGE },
        Key { takes: span(THIN, 0.001, 0.03), ..DIAMETER.examples("0.12", "3") },
        key("length", "", span(SHORT, 0.02, 1.5), "Length of a leg, in the ground.")
            .examples("6", "15"),
        key("legs", "", whole(1.0, 4.0), "Legs of one pin.").example("2"),
    ],
};

/// Some equal sheets.
pub static SHEET: Table = Table {
    path: "stock.sheet",
    what: "sheet",
    help: "Some equal pieces of cloth, net or film; one table for each kind and size.",
    keys: &[
        key("name", "Name", Takes::Text, "What you call them; each entry has a name of its own.")
            .example("\"medium\""),
        KIND,
        CLOTH_WEIGHT,
        FILM_THICKNESS,
        SHADE,
        key("width", "Width", span(SHORT, 0.3, 15.0), "Across the bed.").examples("83", "210"),
        LENGTH.examples("50", "15"),
        key(
            "count",
            "How many",
            whole(0.0, 1000.0),
            "How many such pieces there are, those lying on beds included.",
        )
        .example("2"),
        key("condition", "Condition", words::<Condition>(), "How whole they are.")
            .example("\"good\""),
        key(
            "torn_share",
            "Share that is open",
            number(0.0, 0.5),
            "Share of it that is open: holes and rents together, patched ones not counted; 0.02 is a hole of 5 in \
             (14 cm) each way in every square yard (metre).",
        )
        .may("none where it is good, 0.01 where it is worn, 0.05 where it is torn")
        .example("0.02"),
        key(
            "lasts_seasons",
            "Seasons it lasts",
            number(0.5, 30.0),
            "Seasons it is sold for, or lasts with you.",
        )
        .may("as usual for the cloth")
        .example("3"),
        CLAIM,
    ],
};

/// Some equal ready-made tunnels.
pub static POP_UP: Table = Table {
    path: "stock.pop_up",
    what: "pop_up",
    help: "Some equal ready-made tunnels that set up in one move.",
    keys: &[
        key("name", "Name", Takes::Text, "What you call them.").example("\"pop-up tunnel\""),
        KIND,
        CLOTH_WEIGHT,
        FILM_THICKNESS,
        SHADE,
        key("span", "Width over the bed", span(SHORT, 0.2, 5.0), "Width over the bed.")
            .examples("40", "100"),
        key("height", "Height", span(SHORT, 0.1, 2.0), "Height at the crown.").examples("20", "50"),
        Key { takes: span(LONG, 0.3, 30.0), help: "Length set up.", ..LENGTH.examples("8", "2.5") },
        key("count", "How many", whole(0.0, 1000.0), "How many there are.").example("2"),
        CLAIM,
    ],
};
