//! What sheets are worth, as plain data in SI and the garden's own money.

use quantities::quantile::type_7;

use crate::replay::SeasonResult;
use crate::sheet_value::set::UsesByYear;
use crate::years::RunStats;
use purchase::kit::Line;
use purchase::kit::StockItem;

/// The whole answer.
#[derive(Clone, Debug, PartialEq)]
pub struct SheetValue {
    /// UsesByYear of the record behind it, in order.
    pub years: Vec<i16>,
    /// Every sheet that would fit a bed with something at planting, bed by bed, the best first.
    pub sheets: Vec<Sheet>,
    /// The best set for the money; `None` where a price is missing.
    pub set: Option<Set>,
    /// Steps run and greatest budget residual of the nights.
    pub stats: RunStats,
}

/// One sheet on one bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Index of the bed.
    pub bed: usize,
    /// What it is.
    pub thing: StockItem,
    /// Across the bed, m.
    pub width_m: f64,
    /// Along the bed, m.
    pub length_m: f64,
    /// Sheets end to end.
    pub pieces: u32,
    /// What it saved.
    pub saved: Saved,
    /// Evenings a year on which it was laid.
    pub evenings: f64,
}

/// Money saved in a year.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Saved {
    /// Mean.
    pub mean: f64,
    /// One year in ten lies below.
    pub low: f64,
    /// One year in ten lies above.
    pub high: f64,
}

/// The best set.
#[derive(Clone, Debug, PartialEq)]
pub struct Set {
    /// What may be spent in all; `None` without a limit.
    pub budget: Option<f64>,
    /// What to buy.
    pub lines: Vec<Line>,
    /// Sheets to cut from it.
    pub pieces: Vec<Piece>,
    /// What it costs to buy.
    pub paid: f64,
    /// The same over the seasons that each thing lasts, money a season.
    pub a_season: f64,
    /// What it saves a year beyond the shed alone, less that, counted bed by bed.
    pub net: f64,
    /// No set counted so comes to more.
    pub at_most: f64,
    /// What the evening plan saves a year with it beyond the shed alone, work of the evenings off, money.
    pub saved: Saved,
    /// A mean year of the evening plan with the shed alone.
    pub shed: Mean,
    /// A mean year with the set.
    pub with: Mean,
}

/// Sheets of one size to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What it is.
    pub thing: StockItem,
    /// Across the bed, m.
    pub width_m: f64,
    /// Along the bed, m.
    pub length_m: f64,
    /// How many.
    pub count: u32,
    /// Indices of the beds they are counted for.
    pub beds: Vec<usize>,
}

/// A mean year of the evening plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mean {
    /// Money lost to cold.
    pub loss: f64,
    /// SheetValue of the work.
    pub labour: f64,
    /// Evenings with work.
    pub evenings: f64,
    /// Evenings on which sheets, pins or minutes were short.
    pub short: f64,
}

impl Saved {
    /// Of these years; zeros without any.
    #[must_use]
    pub fn from_years(mut years: Vec<f64>) -> Self {
        years.sort_by(f64::total_cmp);
        let mean = years.iter().sum::<f64>() / years.len().max(1) as f64;
        let at = |p| type_7(&years, p).unwrap_or(0.0);
        Self { mean, low: at(0.1), high: at(0.9) }
    }

    /// Of a way's years, and the evenings of a mean year.
    #[must_use]
    pub fn from_uses(years: &UsesByYear) -> (Self, f64) {
        let evenings: usize = years.iter().map(|u| u.evenings.len()).sum();
        let saved = Self::from_years(years.iter().map(|u| u.saves).collect());
        (saved, evenings as f64 / years.len().max(1) as f64)
    }
}

impl Mean {
    /// Of these years.
    #[must_use]
    pub fn over(years: &[SeasonResult]) -> Self {
        let n = years.len().max(1) as f64;
        let of = |f: &dyn Fn(&SeasonResult) -> f64| years.iter().map(f).sum::<f64>() / n;
        Self {
            loss: of(&|p| p.loss),
            labour: of(&|p| p.labour),
            evenings: of(&|p| f64::from(p.evenings)),
            short: of(&|p| f64::from(p.short_nights)),
        }
    }
}
