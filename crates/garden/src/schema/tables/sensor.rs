//! Automatic thermometers, and what passes their messages on.

use super::{key, whole, words};
use crate::schema::{Table, Takes};
use crate::sensor::{DateOrder, Degrees};

/// An automatic thermometer.
pub static SENSOR: Table = Table {
    path: "sensor",
    what: "sensor",
    help: "An automatic thermometer: a logger whose files are put into a folder, or a machine that sends its readings.",
    keys: &[
        key("name", "", Takes::Text, "What you call it; a machine that sends readings names it so.")
            .example("\"pole\""),
        key("bed", "", Takes::Text, "The bed it hangs over, under whatever lies there at night.")
            .may("it hangs in the open air of the garden")
            .example("\"bed 1\""),
        key("unit", "", words::<Degrees>(), "Unit of its numbers, where its files or messages do not say it.")
            .may("as its files say; messages in °C")
            .example("\"C\""),
        key("dates", "", words::<DateOrder>(), "Order of dates such as 03/04/2027 in its files.")
            .may("as its files tell")
            .example("\"day first\""),
        key("column", "", Takes::Text, "Heading of its column, where a file has several temperatures.")
            .may("the only temperature of the file")
            .example("\"Outside (°C)\""),
        key("folder", "", Takes::Text, "Folder for the files of a logger, seen from the garden file; new ones are read as they come.")
            .may("no files are looked for")
            .example("\"logger\""),
        key("topic", "", Takes::Text, "Topic of its messages over MQTT.")
            .may("no messages are asked for")
            .example("\"garden/pole/air\""),
        key("field", "", Takes::Text, "Where its number stands in a JSON message, names parted by dots.")
            .may("the message is the number")
            .example("\"air.temperature\""),
    ],
};

/// What passes messages on.
pub static BROKER: Table = Table {
    path: "mqtt",
    what: "mqtt",
    help: "The machine on your network that passes MQTT messages on. A password goes into the variable RIMEFOLD_MQTT_PASSWORD, never into this file.",
    keys: &[
        key("host", "", Takes::Text, "Its name or address.").example("\"192.168.1.20\""),
        key("port", "", whole(1.0, 65_535.0), "Its port.").or(1883.0).example("1883"),
        key("user", "", Takes::Text, "Name to log in with.")
            .may("nobody logs in")
            .example("\"garden\""),
    ],
};
