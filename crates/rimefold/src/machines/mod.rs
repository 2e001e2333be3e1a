//! Readings of machines: from files and messages into the series, from the series into the diary and the evening.
//!
//! | module | holds |
//! |---|---|
//! | [`files`] | folders of loggers, looked through for new files |
//! | [`lows`] | the low of each night, noted in the diary |
//! | [`air`] | the air of this evening |
//! | [`state`] | each sensor: what it last gave, what is wrong |
//! | [`token`] | what a machine must show |

pub mod air;
pub mod files;
pub mod lows;
pub mod state;
pub mod token;

use ::diary::Diary;
use ::diary::series::{self, Series};

/// The series beside a diary for reading; `None` where there is none or it cannot be read.
pub fn series_of(diary: &Diary) -> Option<Series> {
    Series::open_read_only(&series::beside(diary.path())).ok().flatten()
}
