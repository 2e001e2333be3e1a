//! The password of the pages and the visits begun with it: kept as hashes, never exported.

use quantities::Moment;
use rusqlite::{OptionalExtension as _, params};

use crate::database::Diary;
use crate::error::Error;

impl Diary {
    /// The hash of the password; `None` where none is set.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn password(&self) -> Result<Option<String>, Error> {
        self.read(|db| {
            Ok(db.query_row("SELECT hash FROM password", [], |r| r.get(0)).optional()?)
        })
    }

    /// Sets the password by its hash; every visit ends.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn set_password(&mut self, hash: &str) -> Result<(), Error> {
        self.write(|db| {
            db.execute("INSERT OR REPLACE INTO password (one, hash) VALUES (1, ?)", [hash])?;
            db.execute("DELETE FROM visit", [])?;
            Ok(())
        })
    }

    /// Every visit that lasts, with its end.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn visits(&self, now: Moment) -> Result<Vec<(String, Moment)>, Error> {
        self.read(|db| {
            let mut query =
                db.prepare_cached("SELECT token_sha256, until FROM visit WHERE until > ?")?;
            let rows = query.query_map([now.0], |r| Ok((r.get(0)?, Moment(r.get(1)?))))?;
            Ok(rows.collect::<Result<_, _>>()?)
        })
    }

    /// Begins a visit; those that are over go.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn begin_visit(
        &mut self,
        token_sha256: &str,
        now: Moment,
        until: Moment,
    ) -> Result<(), Error> {
        self.write(|db| {
            db.execute("DELETE FROM visit WHERE until <= ?", [now.0])?;
            db.execute(
                "INSERT INTO visit (token_sha256, begun, until) VALUES (?, ?, ?)",
                params![token_sha256, now.0, until.0],
            )?;
            Ok(())
        })
    }

    /// Ends every visit.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn end_visits(&mut self) -> Result<(), Error> {
        self.write(|db| {
            db.execute("DELETE FROM visit", [])?;
            Ok(())
        })
    }

    /// Ends a visit.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn end_visit(&mut self, token_sha256: &str) -> Result<(), Error> {
        self.write(|db| {
            db.execute("DELETE FROM visit WHERE token_sha256 = ?", [token_sha256])?;
            Ok(())
        })
    }
}
