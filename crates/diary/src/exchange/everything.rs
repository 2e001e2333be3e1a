//! Everything in a diary, and getting it out.

use crate::database::Diary;
use crate::entries;
use crate::entry::Entry;
use crate::error::Error;
use crate::exchange::file_row::Placed;
use crate::forecasts::{self, SavedForecast};
use crate::predictions::{self, Prediction};
use crate::saved_plans::{self, SavedPlan};

/// Everything in a diary.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Everything {
    /// What happened.
    pub notes: Vec<Placed<Entry>>,
    /// Forecasts as they were read.
    pub forecasts: Vec<Placed<SavedForecast>>,
    /// Plans as they were made.
    pub plans: Vec<Placed<SavedPlan>>,
    /// What they said.
    pub predictions: Vec<Placed<Prediction>>,
}

fn unplaced<T>(items: Vec<T>) -> Vec<Placed<T>> {
    items.into_iter().map(|item| Placed { place: String::new(), item }).collect()
}

impl Diary {
    /// Everything in it, of one moment.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn everything(&self) -> Result<Everything, Error> {
        self.read(|db| {
            Ok(Everything {
                notes: unplaced(entries::all(db)?),
                forecasts: unplaced(forecasts::all(db)?),
                plans: unplaced(saved_plans::all(db)?),
                predictions: unplaced(predictions::all(db)?),
            })
        })
    }
}
