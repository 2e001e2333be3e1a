//! Why there is no report.

use quantities::Fault;

/// What the grower can mend is kept apart from our bugs: see [`Fault::is_bug`].
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The forecast ends before the night does, or begins after the question.
    #[error("{}; fetch a newer forecast, or ask with --at at a time inside it", reach(*from, *to, *needed))]
    ForecastTooShort {
        /// Hours from now to its first hour.
        from: f64,
        /// Hours from now to its last.
        to: f64,
        /// Hours needed.
        needed: f64,
    },
    /// Air temperature is missing for hours of the night.
    #[error(
        "air temperature is missing for {hours} hours in a row inside the night; a plan cannot be made without it"
    )]
    TemperatureGap {
        /// Hours in a row.
        hours: i64,
    },
    /// The sun does not set and rise here within a day and a half.
    #[error("the sun does not both set and rise here in the next day and a half")]
    NoNight,
    /// The physics did not close: our bug.
    #[error("bed `{bed}`: {error}")]
    Physics {
        /// Bed.
        bed: String,
        /// What did not close.
        error: microclimate::Error,
    },
    /// A size in the garden lies outside what the mechanics hold for.
    #[error(transparent)]
    Structure(#[from] structure::Error),
    /// The planner failed: our bug.
    #[error(transparent)]
    Plan(#[from] crate::plan::PlanError),
}

/// What a forecast from `from` to `to` hours after the question lacks.
fn reach(from: f64, to: f64, needed: f64) -> String {
    let span = |hours: f64| {
        if hours.abs() < 48.0 {
            format!("{hours:.0} hours")
        } else {
            format!("{:.0} days", hours / 24.0)
        }
    };
    if to <= 0.0 {
        format!("the forecast ended {} ago", span(-to))
    } else if from > 2.0 {
        format!("the forecast begins only in {}", span(from))
    } else {
        format!("the forecast ends in {}, tonight's plan needs {needed:.0}", span(to))
    }
}

impl Fault for Error {
    fn is_bug(&self) -> bool {
        matches!(self, Self::Physics { .. } | Self::Plan(_))
    }
}
