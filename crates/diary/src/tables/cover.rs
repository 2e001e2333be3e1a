//! Rows of covers put on, taken off, half-off, vented.

use rusqlite::{Connection, Row, params};

use crate::entry::{Act, Cover, What};
use crate::error::DatabaseError;
use crate::keyword::{Keyword as _, stored};
use crate::table_row::Column;

/// Writes the particulars of entry `number`.
pub(crate) fn insert(
    db: &Connection,
    number: i64,
    act: Act,
    cover: &Cover,
) -> Result<(), DatabaseError> {
    db.prepare_cached(
        "INSERT INTO cover (entry, act, bed, sheet, layers, placement) VALUES (?, ?, ?, ?, ?, ?)",
    )?
    .execute(params![
        number,
        act.keyword(),
        cover.bed,
        cover.sheet,
        cover.layers,
        cover.placement.to_value()
    ])?;
    Ok(())
}

/// Reads them.
pub(crate) fn load(db: &Connection, number: i64) -> Result<What, DatabaseError> {
    let mut query =
        db.prepare_cached("SELECT act, bed, sheet, layers, placement FROM cover WHERE entry = ?")?;
    let (act, cover): (String, _) =
        query.query_row([number], |r| Ok((r.get(0)?, from_columns(r, r.get(1)?, 2)?)))?;
    Ok(What::Cover { act: stored(&act)?, cover })
}

/// The cover of a bed whose sheet, layers and placement stand in three columns from `first` on.
pub(crate) fn from_columns(row: &Row<'_>, bed: String, first: usize) -> rusqlite::Result<Cover> {
    let placement = Column::from_value(row.get_ref(first + 2)?)?;
    Ok(Cover { bed, sheet: row.get(first)?, layers: row.get(first + 1)?, placement })
}
