//! Plans and what they said, as files hold them: the rows of the database themselves.

use crate::entry::InvalidValue;
use crate::exchange::file_row::{FileRow, share};
use crate::predictions::Prediction;
use crate::saved_plans::SavedPlan;
use crate::table_row::TableRow;

impl FileRow for SavedPlan {
    type Item = Self;
    const FILE: &'static str = "plans.csv";
    const COLUMNS: &'static [&'static str] = <Self as TableRow>::COLUMNS;

    fn from_item(item: &Self) -> Self {
        item.clone()
    }

    fn into_item(self) -> Result<Self, InvalidValue> {
        if serde_json::from_str::<serde::de::IgnoredAny>(&self.report).is_err() {
            return Err(InvalidValue::new("report", "a text", "JSON"));
        }
        share("cloud", self.cloud)?;
        if self.model == 0 {
            return Err(InvalidValue::new("model", 0, "1 or more"));
        }
        Ok(self)
    }
}

impl FileRow for Prediction {
    type Item = Self;
    const FILE: &'static str = "said.csv";
    const COLUMNS: &'static [&'static str] = <Self as TableRow>::COLUMNS;

    fn from_item(item: &Self) -> Self {
        item.clone()
    }

    fn into_item(self) -> Result<Self, InvalidValue> {
        share("chance_of_harm", Some(self.chance_of_harm))?;
        if self.bed.is_empty() {
            return Err(InvalidValue::new("bed", "", "the name of a bed"));
        }
        if self.task == Some(0) {
            return Err(InvalidValue::new("task", 0, "1 or more"));
        }
        Ok(self)
    }
}
