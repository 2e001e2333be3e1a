//! Automatic thermometers: where each hangs, and how its readings come.

use crate::schema::words::worded;

/// An automatic thermometer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sensor {
    /// What the grower calls it.
    pub name: String,
    /// The bed it hangs over, under whatever lies there; `None` in the open air of the garden.
    pub bed: Option<String>,
    /// Unit of its numbers, where they do not say it.
    pub unit: Option<Degrees>,
    /// Order of the dates of its files, where they do not tell it.
    pub dates: Option<DateOrder>,
    /// Heading of the column of its files, where several could be it.
    pub column: Option<String>,
    /// Folder that its files are put into, seen from the garden file.
    pub folder: Option<String>,
    /// Topic that it is told under, where it sends over MQTT.
    pub topic: Option<String>,
    /// Where in such a message its number stands.
    pub field: Option<String>,
}

/// The machine on the home network that passes messages on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Broker {
    /// Its name or address.
    pub host: String,
    /// Port.
    pub port: u16,
    /// Name to log in with.
    pub user: Option<String>,
}

worded!(
    /// Unit of a thermometer.
    pub enum Degrees {
        Celsius = "C", "degrees Celsius";
        Fahrenheit = "F", "degrees Fahrenheit";
    }
);

worded!(
    /// Order of the numbers of a date.
    pub enum DateOrder {
        DayFirst = "day first", "03/04 is 3 April";
        MonthFirst = "month first", "03/04 is 4 March";
    }
);
