//! Where the forecast is fetched from.

use super::{key, span, words};
use crate::forecast::Service;
use crate::schema::unit::NONE;
use crate::schema::{Table, Takes};

/// Where the forecast is fetched from.
pub static FORECAST: Table = Table {
    path: "forecast",
    what: "forecast",
    help: "Where the forecast is fetched from, by `rimefold fetch` and while `rimefold serve` runs. Without this nothing is fetched.",
    keys: &[
        key("from", "", words::<Service>(), "Whose forecast; it sees the garden's place.")
            .example("\"open-meteo\""),
        key("address", "", Takes::Text, "Address of the forecast.")
            .with("from", &["address"])
            .example("\"https://example.org/garden.json\""),
        key(
            "contact",
            "",
            Takes::Text,
            "A mail address or a site of yours: their terms ask who it is that asks.",
        )
        .with("from", &["us weather service", "met norway"])
        .example("\"me@example.org\""),
        key(
            "every_h",
            "",
            span(NONE, 0.5, 24.0),
            "Hours between two questions while `rimefold serve` runs.",
        )
        .or(1.0)
        .example("2"),
    ],
};
