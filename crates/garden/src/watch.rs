//! Who is told of the evening, how and when.

use jiff::civil::Time;

use crate::schema::words::worded;

/// When messages are sent, and when they wait.
#[derive(Clone, Debug, PartialEq)]
pub struct Watch {
    /// The plan of the evening is told at this local time at the latest.
    pub evening: Time,
    /// From when to when nothing is sent that can wait, local time.
    pub quiet: Option<(Time, Time)>,
    /// Whether what threatens plants may ring even then, and past the limit of a day.
    pub wake: bool,
    /// Most messages a day.
    pub most_a_day: u32,
    /// A forecast older than this is told, h.
    pub blind_after_h: f64,
    /// A bed is told so long before it is likely to reach its limit, min.
    pub warn_min: f64,
    /// Where a phone reaches the pages.
    pub link: Option<String>,
}

/// A mail server.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MailServer {
    /// Its name.
    pub server: String,
    /// Port.
    pub port: u16,
    /// How the line is encrypted.
    pub security: Security,
    /// Name to log in with.
    pub user: Option<String>,
    /// Address that the mail comes from.
    pub from: String,
    /// File with a certificate to trust besides the public ones, seen from the garden file.
    pub certificate: Option<String>,
}

/// Somebody who is told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Recipient {
    /// What the grower calls them.
    pub name: String,
    /// How.
    pub by: Channel,
    /// Mail address, or address of the web.
    pub to: String,
    /// Only where nobody has answered what cannot wait.
    pub second: bool,
}

/// The plan of the evening is told at this hour (common practice, no source: an hour or two of light is left most of the year).
const EVENING: Time = Time::constant(15, 0, 0, 0);
/// Most messages a day (chosen: a changeable evening takes five).
pub const MOST_A_DAY: f64 = 8.0;
/// A forecast of this age is old, h (services make one every 6 h or oftener; two were missed).
pub const BLIND_AFTER_H: f64 = 12.0;
/// A bed is told so long before its limit, min (chosen: time to wake, dress and cover a bed).
pub const WARN_MIN: f64 = 60.0;

impl Default for Watch {
    /// What holds where the file says nothing.
    fn default() -> Self {
        Self {
            evening: EVENING,
            quiet: None,
            wake: false,
            most_a_day: MOST_A_DAY as u32,
            blind_after_h: BLIND_AFTER_H,
            warn_min: WARN_MIN,
            link: None,
        }
    }
}

worded!(
    /// How somebody is told.
    pub enum Channel {
        Mail = "mail", "by mail";
        Webhook = "webhook", "by a signed JSON message to an address of the web";
    }
);

worded!(
    /// How the line to a mail server is encrypted.
    pub enum Security {
        Tls = "tls", "encrypted from the first byte, mostly port 465";
        StartTls = "starttls", "encrypted once both have said so, mostly port 587";
        None = "none", "not encrypted: only for a server on this machine";
    }
);
