//! A row spelled once: the members of its struct are the columns of its table and of its file.

use jiff::civil::Date;
use quantities::Moment;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, Value, ValueRef};
use rusqlite::{Connection, Row, params_from_iter};

use crate::entry::Placement;
use crate::error::DatabaseError;
use crate::id::Id;
use crate::keyword::Keyword as _;

/// What can stand in a column.
pub(crate) trait Column: Sized {
    /// As SQLite keeps it.
    fn to_value(&self) -> Value;

    /// From what SQLite kept.
    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self>;
}

macro_rules! native_column {
    ($($type:ty),*) => {$(
        impl Column for $type {
            fn to_value(&self) -> Value {
                self.clone().into()
            }

            fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
                <$type>::column_result(value)
            }
        }
    )*};
}
native_column!(String, u32, f64, bool);

impl Column for Moment {
    fn to_value(&self) -> Value {
        self.0.into()
    }

    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value.as_i64().map(Self)
    }
}

impl Column for Id {
    fn to_value(&self) -> Value {
        self.as_str().to_owned().into()
    }

    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let wrong = |e: String| FromSqlError::other(std::io::Error::other(e));
        Self::try_from(value.as_str()?.to_owned()).map_err(wrong)
    }
}

impl Column for Date {
    fn to_value(&self) -> Value {
        self.to_string().into()
    }

    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value.as_str()?.parse().map_err(FromSqlError::other)
    }
}

impl Column for Placement {
    fn to_value(&self) -> Value {
        self.keyword().to_owned().into()
    }

    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
        Self::from_keyword(value.as_str()?).ok_or(FromSqlError::InvalidType)
    }
}

impl<T: Column> Column for Option<T> {
    fn to_value(&self) -> Value {
        self.as_ref().map_or(Value::Null, Column::to_value)
    }

    fn from_value(value: ValueRef<'_>) -> FromSqlResult<Self> {
        match value {
            ValueRef::Null => Ok(None),
            value => T::from_value(value).map(Some),
        }
    }
}

/// A row of one table.
pub(crate) trait TableRow: Sized {
    /// Its table.
    const TABLE: &'static str;
    /// Its columns in order.
    const COLUMNS: &'static [&'static str];

    /// What stands in them.
    fn to_values(&self) -> Vec<Value>;

    /// The row of what [`select`] gives.
    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self>;
}

/// `SELECT` of the whole row, with `rest` behind it.
pub(crate) fn select<R: TableRow>(rest: &str) -> String {
    let table = R::TABLE;
    let columns: Vec<String> = R::COLUMNS.iter().map(|c| format!("{table}.{c}")).collect();
    format!("SELECT {} FROM {table} {rest}", columns.join(", "))
}

/// Adds a row.
pub(crate) fn insert<R: TableRow>(db: &Connection, row: &R) -> Result<(), DatabaseError> {
    let places = vec!["?"; R::COLUMNS.len()].join(", ");
    let columns = R::COLUMNS.join(", ");
    let sql = format!("INSERT INTO {} ({columns}) VALUES ({places})", R::TABLE);
    db.prepare_cached(&sql)?.execute(params_from_iter(row.to_values()))?;
    Ok(())
}

/// Spells a row: struct, columns in the database, members in JSON and CSV.
macro_rules! table_row {
    (
        $(#[$about:meta])*
        pub struct $name:ident in $table:literal {
            $( $(#[$meta:meta])* pub $field:ident: $type:ty, )*
        }
    ) => {
        $(#[$about])*
        #[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            $( $(#[$meta])* pub $field: $type, )*
        }

        impl $crate::table_row::TableRow for $name {
            const TABLE: &'static str = $table;
            const COLUMNS: &'static [&'static str] = &[$(stringify!($field)),*];

            fn to_values(&self) -> Vec<rusqlite::types::Value> {
                vec![$($crate::table_row::Column::to_value(&self.$field)),*]
            }

            fn from_row(row: &rusqlite::Row<'_>) -> rusqlite::Result<Self> {
                Ok(Self { $(
                    $field: {
                        let value = row.get_ref(stringify!($field))?;
                        $crate::table_row::Column::from_value(value).map_err(|e| {
                            let (kind, e) = (value.data_type(), Box::new(e));
                            rusqlite::Error::FromSqlConversionFailure(usize::MAX, kind, e)
                        })?
                    },
                )* })
            }
        }
    };
}
pub(crate) use table_row;
