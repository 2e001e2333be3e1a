//! What a plan said of each bed under each cover, and which cover it chose.

use rusqlite::{Connection, OptionalExtension as _, params};

use crate::database::Diary;
use crate::entry::{Cover, Placement};
use crate::error::{DatabaseError, Error};
use crate::forecasts::{self, SavedForecast};
use crate::id::Id;
use crate::saved_plans::{self, SavedPlan};
use crate::table_row::{TableRow as _, insert, select, table_row};

table_row! {
    /// What a plan said of one way to spend the night on one bed.
    pub struct Prediction in "said" {
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
        /// Coldest half-hour of the air among the plants, °C; one in ten is lower.
        pub air_p10_c: f64,
        /// Half are lower.
        pub air_p50_c: f64,
        /// One in ten is higher.
        pub air_p90_c: f64,
        /// Coldest half-hour of the most exposed tissue, °C; one in ten is lower.
        pub leaf_p10_c: f64,
        /// Half are lower.
        pub leaf_p50_c: f64,
        /// One in ten is higher.
        pub leaf_p90_c: f64,
        /// How the cover lies; `None` where open, or in a plan kept before this was written down.
        pub placement: Option<Placement>,
        /// The task that lays it, by its place in the order of work from 1; `None` where none does.
        pub task: Option<u32>,
        /// How far readings under such covers had moved the air said, K; `None` in a plan kept before this was written down.
        pub taught_k: Option<f64>,
    }
}

/// Keeps what a plan said of one bed and way.
pub(crate) fn keep(db: &Connection, prediction: &Prediction) -> Result<(), DatabaseError> {
    insert(db, prediction)
}

/// What every plan said, in the order of plans, then by bed name and way.
pub(crate) fn all(db: &Connection) -> Result<Vec<Prediction>, DatabaseError> {
    let by_plan = "JOIN plan ON plan.id = said.plan ORDER BY plan.number, said.bed, said.way";
    let mut query = db.prepare_cached(&select::<Prediction>(by_plan))?;
    Ok(query.query_map([], Prediction::from_row)?.collect::<Result<_, _>>()?)
}

/// What one plan said, by bed name and way.
pub(crate) fn of_plan(db: &Connection, plan: &Id) -> Result<Vec<Prediction>, DatabaseError> {
    let of_it = "WHERE plan = ? ORDER BY bed, way";
    let mut query = db.prepare_cached(&select::<Prediction>(of_it))?;
    Ok(query.query_map([plan.as_str()], Prediction::from_row)?.collect::<Result<_, _>>()?)
}

/// The cover that a task of a plan lays; `None` where the plan does not say.
pub(crate) fn planned_cover(
    db: &Connection,
    plan: &Id,
    task: u32,
) -> Result<Option<Cover>, DatabaseError> {
    let mut query = db.prepare_cached(&select::<Prediction>("WHERE plan = ? AND task = ?"))?;
    let row = query.query_row(params![plan.as_str(), task], Prediction::from_row).optional()?;
    Ok(row.map(|p| {
        let mulch = p.placement == Some(Placement::LooseMulch);
        let sheet = p.cover.filter(|_| !mulch);
        let layers = Some(p.layers).filter(|_| !mulch);
        Cover { bed: p.bed, sheet, layers, placement: p.placement }
    }))
}

impl Diary {
    /// Keeps a plan, what it said and the forecast behind it, all or nothing; a forecast that is kept already is not
    /// kept twice.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn keep_plan(
        &mut self,
        forecast: Option<&SavedForecast>,
        plan: &SavedPlan,
        predictions: &[Prediction],
    ) -> Result<(), Error> {
        self.write(|db| {
            if let Some(f) = forecast
                && !forecasts::there(db, &f.sha256)?
            {
                forecasts::keep(db, f)?;
            }
            saved_plans::keep(db, plan)?;
            predictions.iter().try_for_each(|p| keep(db, p))
        })
    }
}
