//! Plans as they were made, with what they said of each bed under each cover.

use evening::report::Spread;
use jiff::civil::Date;
use quantities::Moment;
use rusqlite::types::Type;
use rusqlite::{Connection, OptionalExtension as _, Row, params};

use crate::diary::Diary;
use crate::diary::id::Id;
use crate::diary::trouble::Trouble;
use crate::exit::Failure;

/// A plan as it was made.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// Its name for ever.
    pub id: Id,
    /// When the question was asked.
    pub asked_at: Moment,
    /// When it was kept.
    pub written: Moment,
    /// Local date of the evening.
    pub night: Date,
    /// Too dark to work from here.
    pub dark: Moment,
    /// Sunrise after the night.
    pub sunrise: Moment,
    /// Version of the program that made it.
    pub program: String,
    /// Number of the model, [`evening::MODEL`].
    pub model: u32,
    /// SHA-256 of the forecast it rests on, where that is kept.
    pub forecast: Option<String>,
    /// Air minimum of the night in the forecast, °C.
    pub forecast_low_c: f64,
    /// Air minimum said for the garden, °C.
    pub garden_low_c: Spread,
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

/// What a plan said of one way to spend the night on one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The plan.
    pub plan: Id,
    /// Bed.
    pub bed: String,
    /// 0: left as it lies; 1 and on: a cover put on.
    pub way: u32,
    /// Sheet, pop-up tunnel or `loose mulch`; `None` is open.
    pub cover: Option<String>,
    /// Layers of it; 0 where open.
    pub layers: u32,
    /// Pieces end to end; 0 where open.
    pub pieces: u32,
    /// Whether the plan chose it.
    pub chosen: bool,
    /// Tissue temperature at which a tenth of the planting is lost, °C; `None` for a bare bed.
    pub limit_c: Option<f64>,
    /// Chance that a tenth or more is lost, 0 to 1.
    pub chance_of_harm: f64,
    /// Coldest half-hour of the air among the plants, °C.
    pub air_low_c: Spread,
    /// Coldest half-hour of the most exposed tissue, °C.
    pub leaf_low_c: Spread,
}

const COLUMNS: &str = "id, asked_at, written, night, dark, sunrise, program, model, forecast, \
                       forecast_low_c, garden_low_p10_c, garden_low_p50_c, garden_low_p90_c, \
                       wind_m_s, cloud, clear_calm, tasks, report";

/// Keeps a plan.
pub fn insert(db: &Connection, p: &Plan) -> Result<(), Trouble> {
    let places = vec!["?"; COLUMNS.split(',').count()].join(", ");
    db.prepare_cached(&format!("INSERT INTO plan ({COLUMNS}) VALUES ({places})"))?.execute(
        params![
            p.id.as_str(),
            p.asked_at.0,
            p.written.0,
            p.night.to_string(),
            p.dark.0,
            p.sunrise.0,
            p.program,
            p.model,
            p.forecast,
            p.forecast_low_c,
            p.garden_low_c.p10,
            p.garden_low_c.p50,
            p.garden_low_c.p90,
            p.wind_m_s,
            p.cloud,
            p.clear_calm,
            p.tasks,
            p.report
        ],
    )?;
    Ok(())
}

fn unreadable(column: usize, e: impl std::error::Error + Send + Sync + 'static) -> rusqlite::Error {
    rusqlite::Error::FromSqlConversionFailure(column, Type::Text, Box::new(e))
}

fn id(row: &Row<'_>, column: usize) -> rusqlite::Result<Id> {
    let text: String = row.get(column)?;
    Id::try_from(text).map_err(|e| unreadable(column, std::io::Error::other(e)))
}

fn spread(row: &Row<'_>, from: usize) -> rusqlite::Result<Spread> {
    Ok(Spread { p10: row.get(from)?, p50: row.get(from + 1)?, p90: row.get(from + 2)? })
}

fn plan(row: &Row<'_>) -> rusqlite::Result<Plan> {
    let night: String = row.get(3)?;
    Ok(Plan {
        id: id(row, 0)?,
        asked_at: Moment(row.get(1)?),
        written: Moment(row.get(2)?),
        night: night.parse().map_err(|e: jiff::Error| unreadable(3, e))?,
        dark: Moment(row.get(4)?),
        sunrise: Moment(row.get(5)?),
        program: row.get(6)?,
        model: row.get(7)?,
        forecast: row.get(8)?,
        forecast_low_c: row.get(9)?,
        garden_low_c: spread(row, 10)?,
        wind_m_s: row.get(13)?,
        cloud: row.get(14)?,
        clear_calm: row.get(15)?,
        tasks: row.get(16)?,
        report: row.get(17)?,
    })
}

/// Every plan in the order kept.
pub fn all(db: &Connection) -> Result<Vec<Plan>, Trouble> {
    let mut query = db.prepare_cached(&format!("SELECT {COLUMNS} FROM plan ORDER BY number"))?;
    Ok(query.query_map([], plan)?.collect::<Result<_, _>>()?)
}

/// The plan of that id.
pub fn one(db: &Connection, id: &Id) -> Result<Option<Plan>, Trouble> {
    let mut query = db.prepare_cached(&format!("SELECT {COLUMNS} FROM plan WHERE id = ?"))?;
    Ok(query.query_row([id.as_str()], plan).optional()?)
}

const SAID: &str = "plan, bed, way, cover, layers, pieces, chosen, limit_c, chance_of_harm, \
                    air_p10_c, air_p50_c, air_p90_c, leaf_p10_c, leaf_p50_c, leaf_p90_c";

/// Keeps what a plan said of one bed and way.
pub fn insert_said(db: &Connection, s: &Said) -> Result<(), Trouble> {
    let places = vec!["?"; SAID.split(',').count()].join(", ");
    db.prepare_cached(&format!("INSERT INTO said ({SAID}) VALUES ({places})"))?.execute(
        params![
            s.plan.as_str(),
            s.bed,
            s.way,
            s.cover,
            s.layers,
            s.pieces,
            s.chosen,
            s.limit_c,
            s.chance_of_harm,
            s.air_low_c.p10,
            s.air_low_c.p50,
            s.air_low_c.p90,
            s.leaf_low_c.p10,
            s.leaf_low_c.p50,
            s.leaf_low_c.p90
        ],
    )?;
    Ok(())
}

fn said(row: &Row<'_>) -> rusqlite::Result<Said> {
    Ok(Said {
        plan: id(row, 0)?,
        bed: row.get(1)?,
        way: row.get(2)?,
        cover: row.get(3)?,
        layers: row.get(4)?,
        pieces: row.get(5)?,
        chosen: row.get(6)?,
        limit_c: row.get(7)?,
        chance_of_harm: row.get(8)?,
        air_low_c: spread(row, 9)?,
        leaf_low_c: spread(row, 12)?,
    })
}

/// What every plan said, in the order of plans, then by bed name and way.
pub fn all_said(db: &Connection) -> Result<Vec<Said>, Trouble> {
    let columns = SAID.replace("plan,", "said.plan,");
    let mut query = db.prepare_cached(&format!(
        "SELECT {columns} FROM said JOIN plan ON plan.id = said.plan ORDER BY plan.number, bed, way"
    ))?;
    Ok(query.query_map([], said)?.collect::<Result<_, _>>()?)
}

impl Diary {
    /// Every plan kept, in the order kept.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn plans(&self) -> Result<Vec<Plan>, Failure> {
        self.read(all)
    }

    /// The plan asked for last.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn latest_plan(&self) -> Result<Option<Plan>, Failure> {
        self.read(|db| {
            let mut query = db.prepare_cached(&format!(
                "SELECT {COLUMNS} FROM plan ORDER BY asked_at DESC, number DESC LIMIT 1"
            ))?;
            Ok(query.query_row([], plan).optional()?)
        })
    }

    /// What every plan said of every bed.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn said(&self) -> Result<Vec<Said>, Failure> {
        self.read(all_said)
    }
}
