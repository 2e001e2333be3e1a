//! Automatic thermometers.

use crate::bed::Bed;
use crate::file::table::{Reader, Table, named};
use crate::sensor::{Broker, Sensor};

/// Every sensor; `None` when any has a fault.
pub fn sensors(r: &mut Reader, top: &Table<'_>, beds: Option<&[Bed]>) -> Option<Vec<Sensor>> {
    let tables = top.tables(r, "sensor");
    let taken = |name: &str| format!("there is a sensor called “{name}” already");
    named(r, tables, |r, t| sensor(r, t, beds), |s| &s.name, taken)
}

fn sensor(r: &mut Reader, t: &Table<'_>, beds: Option<&[Bed]>) -> Option<Sensor> {
    let name = t.text(r, "name");
    let mut bed = t.text(r, "bed");
    if let (Some(wanted), Some(beds)) = (&bed, beds) {
        let names: Vec<&str> = beds.iter().map(|b| b.name.as_str()).collect();
        match names.iter().find(|n| n.eq_ignore_ascii_case(wanted)) {
            Some(own) => bed = Some((*own).to_owned()),
            None => {
                r.unknown_word(t.span_of("bed"), "bed", wanted, &names);
                return None;
            }
        }
    }
    Some(Sensor {
        name: name?,
        bed,
        unit: t.word(r, "unit"),
        dates: t.word(r, "dates"),
        column: t.text(r, "column"),
        folder: t.text(r, "folder"),
        topic: t.text(r, "topic"),
        field: t.text(r, "field"),
    })
}

/// What passes messages on.
pub fn broker(r: &mut Reader, t: &Table<'_>) -> Option<Broker> {
    let host = t.text(r, "host");
    let port = t.count(r, "port");
    let user = t.text(r, "user");
    Some(Broker { host: host?, port: u16::try_from(port?).ok()?, user })
}
