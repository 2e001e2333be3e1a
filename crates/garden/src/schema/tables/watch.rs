//! Who is told of the evening, how and when.

use super::{key, span, whole, words};
use crate::schema::unit::NONE;
use crate::schema::{Table, Takes};
use crate::watch::{BLIND_AFTER_H, Channel, MOST_A_DAY, Security, WARN_MIN};

/// When messages are sent, and when they wait.
pub static WATCH: Table = Table {
    path: "watch",
    what: "watch",
    help: "When `rimefold watch` and `rimefold serve` tell the people of `[[tell]]`.",
    keys: &[
        key("evening", "", Takes::Text, "The plan of the evening is told at this time, from noon on, or earlier where the work asks for it.")
            .may("it is 15:00")
            .example("\"15:00\""),
        key("quiet_from", "", Takes::Text, "From this time on nothing is sent that can wait.")
            .may("no hour is quiet")
            .example("\"21:30\""),
        key("quiet_until", "", Takes::Text, "Until this time.")
            .may("no hour is quiet")
            .example("\"06:00\""),
        key("wake", "", Takes::Flag, "Whether what threatens plants may ring in the quiet hours and past the limit of a day.")
            .may("it waits like the rest")
            .example("true"),
        key("most_a_day", "", whole(1.0, 100.0), "Most messages a day; the plan of the evening always comes.")
            .or(MOST_A_DAY)
            .example("8"),
        key("blind_after_h", "", span(NONE, 1.0, 72.0), "Hours after which a forecast is told to be old.")
            .or(BLIND_AFTER_H)
            .example("12"),
        key("warn_min", "", span(NONE, 5.0, 360.0), "Minutes before a bed is likely to reach its limit at which it is told.")
            .or(WARN_MIN)
            .example("60"),
        key("link", "", Takes::Text, "Where a phone reaches the pages; the last line of every message.")
            .may("messages have no link")
            .example("\"http://192.168.1.20:8517/\""),
    ],
};

/// A mail server.
pub static MAIL: Table = Table {
    path: "mail",
    what: "mail",
    help: "The mail server that messages are given to. The password goes into the file `mail-password` beside this one, which nobody else may read, or into the variable RIMEFOLD_MAIL_PASSWORD, never into this file.",
    keys: &[
        key("server", "", Takes::Text, "Its name.").example("\"mail.example.org\""),
        key("port", "", whole(1.0, 65_535.0), "Its port.").or(465.0).example("465"),
        key("security", "", words::<Security>(), "How the line is encrypted.")
            .may("it is tls")
            .example("\"tls\""),
        key("user", "", Takes::Text, "Name to log in with.")
            .may("nobody logs in")
            .example("\"garden@example.org\""),
        key("from", "", Takes::Text, "Address that the mail comes from.")
            .example("\"garden@example.org\""),
        key(
            "certificate",
            "",
            Takes::Text,
            "File with the certificate of a server of your own, seen from the garden file.",
        )
        .may("only what public authorities signed is trusted")
        .example("\"mail.pem\""),
    ],
};

/// Somebody who is told.
pub static TELL: Table = Table {
    path: "tell",
    what: "tell",
    help: "Somebody who is told what to do.",
    keys: &[
        key("name", "", Takes::Text, "What you call them.").example("\"Ann\""),
        key("by", "", words::<Channel>(), "How they are told.").example("\"mail\""),
        key("to", "", Takes::Text, "Mail address, or address of the web.")
            .example("\"ann@example.org\""),
        key("second", "", Takes::Flag, "Told only what cannot wait, and only where nobody has answered for a quarter of an hour.")
            .may("told everything")
            .example("true"),
    ],
};
