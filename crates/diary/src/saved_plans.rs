//! Plans as they were made.

use jiff::civil::Date;
use quantities::Moment;
use rusqlite::{Connection, OptionalExtension as _};
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serializer};

use crate::database::Diary;
use crate::error::{DatabaseError, Error};
use crate::id::Id;
use crate::table_row::{TableRow as _, insert, select, table_row};
use crate::utc;

table_row! {
    /// A plan as it was made.
    pub struct SavedPlan in "plan" {
        /// Its name for ever.
        pub id: Id,
        /// When the question was asked.
        #[serde(with = "utc")]
        pub asked_at: Moment,
        /// When it was kept.
        #[serde(with = "utc")]
        pub written: Moment,
        /// Local date of the evening.
        #[serde(serialize_with = "date_to_text", deserialize_with = "date_from_text")]
        pub night: Date,
        /// Too dark to work from here.
        #[serde(with = "utc")]
        pub dark: Moment,
        /// Sunrise after the night.
        #[serde(with = "utc")]
        pub sunrise: Moment,
        /// Version of the program that made it.
        pub program: String,
        /// Number of the model that made it.
        pub model: u32,
        /// SHA-256 of the forecast it rests on, where that is kept.
        pub forecast: Option<String>,
        /// Air minimum of the night in the forecast, °C.
        pub forecast_low_c: f64,
        /// Air minimum said for the garden, °C; one in ten is lower.
        pub garden_low_p10_c: f64,
        /// Half are lower.
        pub garden_low_p50_c: f64,
        /// One in ten is higher.
        pub garden_low_p90_c: f64,
        /// Mean wind of the night, m/s.
        pub wind_m_s: Option<f64>,
        /// Mean cloud of the night, 0 to 1.
        pub cloud: Option<f64>,
        /// Whether the night was expected clear and calm.
        pub clear_calm: bool,
        /// Number of tasks.
        pub tasks: u32,
        /// The whole plan as `rimefold tonight --json` writes it, on one line.
        pub report: String,
    }
}

fn date_to_text<S: Serializer>(date: &Date, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(date)
}

fn date_from_text<'de, D: Deserializer<'de>>(from: D) -> Result<Date, D::Error> {
    let text = String::deserialize(from)?;
    let wrong = |_| D::Error::custom(format!("found `{text}`, expected a date such as 2027-05-14"));
    text.parse().map_err(wrong)
}

/// Keeps a plan.
pub(crate) fn keep(db: &Connection, plan: &SavedPlan) -> Result<(), DatabaseError> {
    insert(db, plan)
}

/// Every plan in the order kept.
pub(crate) fn all(db: &Connection) -> Result<Vec<SavedPlan>, DatabaseError> {
    let mut query = db.prepare_cached(&select::<SavedPlan>("ORDER BY number"))?;
    Ok(query.query_map([], SavedPlan::from_row)?.collect::<Result<_, _>>()?)
}

/// Every plan in the order kept, without what it wrote as its report, which is most of its bytes.
pub(crate) fn without_reports(db: &Connection) -> Result<Vec<SavedPlan>, DatabaseError> {
    let sql = select::<SavedPlan>("ORDER BY number").replace("plan.report", "'' AS report");
    let mut query = db.prepare_cached(&sql)?;
    Ok(query.query_map([], SavedPlan::from_row)?.collect::<Result<_, _>>()?)
}

/// The plan in the row of that number.
pub(crate) fn numbered(db: &Connection, number: i64) -> Result<SavedPlan, DatabaseError> {
    let mut query = db.prepare_cached(&select::<SavedPlan>("WHERE number = ?"))?;
    Ok(query.query_row([number], SavedPlan::from_row)?)
}

/// The plan of that id.
pub(crate) fn one(db: &Connection, id: &Id) -> Result<Option<SavedPlan>, DatabaseError> {
    let mut query = db.prepare_cached(&select::<SavedPlan>("WHERE id = ?"))?;
    Ok(query.query_row([id.as_str()], SavedPlan::from_row).optional()?)
}

impl Diary {
    /// The plan asked for last.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn latest_plan(&self) -> Result<Option<SavedPlan>, Error> {
        self.read(|db| {
            let newest = select::<SavedPlan>("ORDER BY asked_at DESC, number DESC LIMIT 1");
            Ok(db.prepare_cached(&newest)?.query_row([], SavedPlan::from_row).optional()?)
        })
    }

    /// The plan asked for last, before its sunrise, of the nights whose sunrise lies between two moments.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn plan_with_sunrise(
        &self,
        after: Moment,
        before: Moment,
    ) -> Result<Option<SavedPlan>, Error> {
        self.read(|db| {
            let newest = select::<SavedPlan>(
                "WHERE sunrise > ? AND sunrise < ? AND asked_at < sunrise ORDER BY asked_at DESC, number DESC LIMIT 1",
            );
            let row = db
                .prepare_cached(&newest)?
                .query_row([after.0, before.0], SavedPlan::from_row)
                .optional()?;
            Ok(row)
        })
    }
}
