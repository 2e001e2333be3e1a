//! From when to when the garden's nights teach: what the grower said about it. Not part of what is exported.

use quantities::Moment;
use rusqlite::params;

use crate::database::Diary;
use crate::error::Error;
use crate::keyword::{Keyword, stored};

/// What the grower said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LearningAct {
    /// Later nights teach nothing.
    Freeze,
    /// Nights teach again, those since the freeze among them.
    GoOn,
    /// Earlier nights teach nothing.
    Forget,
}

impl Keyword for LearningAct {
    const KEYWORDS: &'static [(Self, &'static str)] =
        &[(Self::Freeze, "freeze"), (Self::GoOn, "go on"), (Self::Forget, "forget")];
}

/// Which nights teach.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Teaching {
    /// Only nights after this.
    pub after: Option<Moment>,
    /// Only nights before this.
    pub until: Option<Moment>,
}

impl Teaching {
    /// Whether the night that is dark from `dark` on teaches.
    #[must_use]
    pub fn holds(&self, dark: Moment) -> bool {
        self.after.is_none_or(|m| dark > m) && self.until.is_none_or(|m| dark < m)
    }

    fn follow(self, (act, at): (LearningAct, Moment)) -> Self {
        match act {
            LearningAct::Freeze => Self { until: self.until.or(Some(at)), ..self },
            LearningAct::GoOn => Self { until: None, ..self },
            LearningAct::Forget => Self { after: Some(at), until: None },
        }
    }
}

impl Diary {
    /// Which nights teach.
    ///
    /// # Errors
    /// The diary cannot be read.
    pub fn teaching(&self) -> Result<Teaching, Error> {
        self.read(|db| {
            let mut query = db.prepare_cached("SELECT act, at FROM learning ORDER BY number")?;
            let rows: Vec<(String, i64)> =
                query.query_map([], |r| Ok((r.get(0)?, r.get(1)?)))?.collect::<Result<_, _>>()?;
            rows.iter().try_fold(Teaching::default(), |teaching, (act, at)| {
                Ok(teaching.follow((stored::<LearningAct>(act)?, Moment(*at))))
            })
        })
    }

    /// Keeps what the grower said about learning.
    ///
    /// # Errors
    /// The diary cannot be written.
    pub fn say_of_learning(&mut self, act: LearningAct, at: Moment) -> Result<(), Error> {
        self.write(|db| {
            db.prepare_cached("INSERT INTO learning (at, act) VALUES (?, ?)")?
                .execute(params![at.0, act.keyword()])?;
            Ok(())
        })
    }
}
