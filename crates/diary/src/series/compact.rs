//! Bounded space: rows of ten minutes become rows of an hour, and go in the end.

use quantities::Moment;
use rusqlite::{Connection, params};
use sensors::constants::{COARSE_S, FINE_DAYS, KEPT_DAYS, SLOT_S};
use sensors::slot::Slot;

use crate::error::{DatabaseError, Error};
use crate::series::{SLOT, Series, slot, take};

impl Series {
    /// Makes rows older than [`FINE_DAYS`] rows of an hour and drops those older than [`KEPT_DAYS`].
    ///
    /// # Errors
    /// The file cannot be written. Checked by `series::years_of_minutes_stay_small`.
    pub fn compact(&mut self, now: Moment) -> Result<(), Error> {
        self.write(|db| {
            let hour = |days: i64| (now.0 - days * 86_400).div_euclid(COARSE_S) * COARSE_S;
            db.execute("DELETE FROM slot WHERE begins < ?", [hour(KEPT_DAYS)])?;
            for sensor in names(db)? {
                coarsen(db, &sensor, hour(FINE_DAYS))?;
            }
            Ok(())
        })
    }
}

fn names(db: &Connection) -> Result<Vec<String>, DatabaseError> {
    let mut query = db.prepare_cached("SELECT name FROM sensor")?;
    let names = query.query_map([], |r| r.get(0))?;
    Ok(names.collect::<Result<_, _>>()?)
}

fn coarsen(db: &Connection, sensor: &str, until: i64) -> Result<(), DatabaseError> {
    // The hour that begins with the first fine row is read whole, coarse rows of late readings included.
    let mut query = db.prepare_cached(&format!(
        "{SLOT} WHERE sensor = ?1 AND begins < ?2 AND begins >= \
         (SELECT min(begins) / ?3 * ?3 FROM slot WHERE sensor = ?1 AND seconds <= ?4 AND begins < ?2) ORDER BY begins"
    ))?;
    let rows = query.query_map(params![sensor, until, COARSE_S, SLOT_S], slot)?;
    let fine: Vec<Slot> = rows.collect::<Result<_, _>>()?;
    for row in fine.iter().filter(|s| s.seconds <= SLOT_S) {
        db.prepare_cached("DELETE FROM slot WHERE sensor = ? AND begins = ?")?
            .execute(params![sensor, row.begins.0])?;
    }
    for row in Slot::coarser(&fine, COARSE_S) {
        take::put(db, sensor, &row)?;
    }
    Ok(())
}
