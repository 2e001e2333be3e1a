//! Readings in: each judged, none taken twice, ten minutes a row.

use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _, params};
use sensors::Reading;
use sensors::constants::{AHEAD_S, KEPT_DAYS};
use sensors::guard::{Guard, Verdict};
use sensors::slot::Slot;

use crate::digest::sha256;
use crate::error::{DatabaseError, Error};
use crate::series::{SLOT, Series, seen_of, slot};

/// What became of some readings.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    /// Kept.
    pub believed: u32,
    /// There already.
    pub known: u32,
    /// Temperatures that no garden has.
    pub impossible: u32,
    /// Too far from the one before.
    pub jumped: u32,
    /// Times ahead of ours.
    pub ahead: u32,
    /// Older than anything that is kept.
    pub old: u32,
}

impl Series {
    /// Takes readings of a sensor, in any order; those at or before the last of their ten minutes are there already.
    ///
    /// # Errors
    /// The file cannot be written. Checked by `series::nothing_is_taken_twice`.
    pub fn take(
        &mut self,
        sensor: &str,
        readings: &[Reading],
        now: Moment,
    ) -> Result<Taken, Error> {
        let mut sorted = readings.to_vec();
        sorted.sort_by_key(|r| r.at);
        self.write(|db| take(db, sensor, &sorted, now))
    }

    /// Remembers a file of a logger by its bytes, with why it could not be read where that is so.
    ///
    /// # Errors
    /// The file cannot be written.
    pub fn remember_file(
        &mut self,
        name: &str,
        bytes: &[u8],
        fault: Option<&str>,
        now: Moment,
    ) -> Result<(), Error> {
        let digest = sha256(bytes);
        self.write(|db| {
            db.prepare_cached(
                "INSERT OR REPLACE INTO file (sha256, name, taken_at, fault) VALUES (?, ?, ?, ?)",
            )?
            .execute(params![digest, name, now.0, fault])?;
            Ok(())
        })
    }
}

fn take(
    db: &Connection,
    sensor: &str,
    sorted: &[Reading],
    now: Moment,
) -> Result<Taken, DatabaseError> {
    db.prepare_cached("INSERT OR IGNORE INTO sensor (name) VALUES (?)")?.execute([sensor])?;
    let before = seen_of(db, sensor)?.map(|s| s.guard).unwrap_or_default();
    // What comes late is judged by itself.
    let first = sorted.first().map(|r| r.at);
    let late = before.last.is_some_and(|l| first.is_some_and(|f| f < l.at));
    let mut guard = if late { Guard::default() } else { before };
    let mut taken = Taken::default();
    let mut open: Option<(Slot, bool)> = None;
    let mut refused: Option<(Reading, u32)> = None;
    for reading in sorted {
        if reading.at.0 > now.0 + AHEAD_S {
            taken.ahead += 1;
            continue;
        }
        if reading.at.0 < now.0 - KEPT_DAYS * 86_400 {
            taken.old += 1;
            continue;
        }
        let inside = |s: &Slot| s.begins <= reading.at && reading.at < s.end();
        if !open.as_ref().is_some_and(|(s, _)| inside(s)) {
            close(db, sensor, open.take())?;
            open = at(db, sensor, reading.at)?.filter(|s| inside(s)).map(|s| (s, false));
        }
        if open.as_ref().is_some_and(|(s, _)| reading.at <= s.last) {
            taken.known += 1;
            continue;
        }
        match guard.judge(*reading) {
            Verdict::Believed => {
                taken.believed += 1;
                let one = Slot::of(*reading);
                match &mut open {
                    Some((same, changed)) => {
                        same.merge(&one);
                        *changed = true;
                    }
                    None => open = Some((one, true)),
                }
                continue;
            }
            Verdict::Impossible => taken.impossible += 1,
            Verdict::Jumped => taken.jumped += 1,
        }
        refused = Some((*reading, refused.map_or(1, |r| r.1 + 1)));
    }
    close(db, sensor, open)?;
    let at = |g: &Guard| g.last.map(|r| r.at);
    let newer = !late || at(&guard) > at(&before);
    remember(db, sensor, newer.then_some(guard), refused)?;
    Ok(taken)
}

/// The row that begins last at or before a moment.
fn at(db: &Connection, sensor: &str, at: Moment) -> Result<Option<Slot>, DatabaseError> {
    let mut query = db.prepare_cached(&format!(
        "{SLOT} WHERE sensor = ? AND begins <= ? ORDER BY begins DESC LIMIT 1"
    ))?;
    Ok(query.query_row(params![sensor, at.0], slot).optional()?)
}

fn close(db: &Connection, sensor: &str, open: Option<(Slot, bool)>) -> Result<(), DatabaseError> {
    match open {
        Some((slot, true)) => put(db, sensor, &slot),
        _ => Ok(()),
    }
}

/// Writes a row in place of the one that begins there.
pub(super) fn put(db: &Connection, sensor: &str, s: &Slot) -> Result<(), DatabaseError> {
    db.prepare_cached(
        "INSERT OR REPLACE INTO slot (sensor, begins, seconds, last_at, count, mean_c, least_c, greatest_c) \
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        sensor, s.begins.0, s.seconds, s.last.0, s.count, s.mean_c, s.least_c, s.greatest_c
    ])?;
    Ok(())
}

fn remember(
    db: &Connection,
    sensor: &str,
    guard: Option<Guard>,
    refused: Option<(Reading, u32)>,
) -> Result<(), DatabaseError> {
    if let Some(guard) = guard {
        let odd = guard.odd;
        db.prepare_cached(
            "UPDATE sensor SET last_at = ?, last_c = ?, odd_at = ?, odd_c = ?, odd_count = ? WHERE name = ?",
        )?
        .execute(params![
            guard.last.map(|r| r.at.0),
            guard.last.map(|r| r.celsius),
            odd.map(|o| o.0.at.0),
            odd.map(|o| o.0.celsius),
            odd.map_or(0, |o| o.1),
            sensor
        ])?;
    }
    if let Some((reading, count)) = refused {
        db.prepare_cached(
            "UPDATE sensor SET refused_at = ?, refused_c = ?, refused = refused + ? WHERE name = ?",
        )?
        .execute(params![reading.at.0, reading.celsius, count, sensor])?;
    }
    Ok(())
}
