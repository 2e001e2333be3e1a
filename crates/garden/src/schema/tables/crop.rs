//! A grower's own crop.

use super::{key, span};
use crate::schema::unit::TEMPERATURE;
use crate::schema::{Table, Takes};

/// A crop of the grower's own.
pub static CROP: Table = Table {
    path: "crop",
    what: "crop",
    help: "A crop or variety of your own, like one of docs/crops.md but for what you know better; plantings call it by its name.",
    keys: &[
        key("name", "", Takes::Text, "What you call it; no crop of docs/crops.md is called so.")
            .example("\"hardy kale\""),
        key("like", "", Takes::Crop, "The crop of docs/crops.md that it is like in all else.")
            .example("\"kale\""),
        key(
            "tenth_lost",
            "",
            span(TEMPERATURE, -30.0, 5.0),
            "Temperature of the leaf at which half an hour takes a tenth of grown plants that are not hardened; other ages move with it.",
        )
        .may("as for the crop it is like")
        .examples("20", "-6.5"),
        key(
            "most_lost",
            "",
            span(TEMPERATURE, -40.0, 4.0),
            "The same for nine tenths; colder than that for a tenth.",
        )
        .may("as for the crop it is like")
        .examples("10", "-12"),
        key("heat_limit", "", span(TEMPERATURE, 15.0, 50.0), "Temperature of the air above which it suffers.")
            .may("as for the crop it is like")
            .examples("86", "30"),
    ],
};
