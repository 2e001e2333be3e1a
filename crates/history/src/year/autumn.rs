//! Last picking in autumn, open and under each cover, and what the cover gains.

use garden::growth::{Carry, Day};
use serde::{Deserialize, Serialize};

use crate::constants::{DAYS_A_PICKING, SPRING_ENDS};
use crate::year::dates::{DAYS, Dates};
use crate::year::development::{Development, half_lost_c};
use crate::year::past::{Nights, Past, sums};

/// Last picking under one choice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LastPicking {
    /// Median day before the night that takes more than half; `None` where it stands into the new year.
    pub day: Option<usize>,
    /// The day by which it has ended in a share of the years that is the grower's risk.
    pub early: Option<usize>,
    /// Mean days gained over the open bed.
    pub days_gained: f64,
    /// Mean pickings gained, rough: growth of those days under the cover in weeks of the crop's usual warmth.
    pub pickings_gained: f64,
    /// Whether it is a root that ends with the soil around it, not with its leaves.
    pub root: bool,
}

/// Last picking: open, then under each cover, as if a planting of the crop were still picked then.
///
/// Of each year from the end of spring the day before the first night that takes more than half of plants as hardened as that
/// autumn has made them (tissue below (T10 + T90)/2), or for roots the first on which the soil around them falls below their limit.
/// Checked by `year::covers_only_lengthen_autumn_and_only_help_the_winter` and `year::tender_crops_go_out_in_may`.
/// Equation 71 of docs/science.md.
#[must_use]
pub fn last_pickings(past: &Past, bed: usize, life: &Development, risk: f64) -> Vec<LastPicking> {
    let root_c = life
        .growth
        .winter_root_c
        .filter(|_| !matches!(life.growth.carry, Some(Carry::Tops | Carry::Crown)));
    let of = |choice| Some((choice, ends(past, past.laid(bed, choice)?, life, root_c)));
    let Some((_, open)) = of(0) else { return Vec::new() };
    let choices = past.covers(bed).map_or(0, <[_]>::len) + 1;
    let row = |(choice, ends): (usize, Dates)| {
        let sums = sums(&past.under(bed, choice), &life.growth);
        let last = |d: &Option<usize>| d.unwrap_or(DAYS - 1);
        let pairs = open.0.iter().map(last).zip(ends.0.iter().map(last));
        let (mut days, mut grown) = (0.0, 0.0);
        for ((from, to), sum) in pairs.zip(&sums).filter(|((a, b), _)| b > a) {
            days += (to - from) as f64;
            grown += sum[to] - sum[from];
        }
        let years = sums.len().max(1) as f64;
        LastPicking {
            day: ends.by(0.5),
            early: ends.by(risk),
            days_gained: days / years,
            pickings_gained: grown / years / (DAYS_A_PICKING * life.usual_day.max(1.0)),
            root: root_c.is_some(),
        }
    };
    (0..choices).filter_map(of).map(row).collect()
}

/// Of each year the day before the night that ends it.
fn ends(past: &Past, nights: &Nights, life: &Development, root_c: Option<f64>) -> Dates {
    let first = |year: &Vec<f32>, limit: &dyn Fn(usize) -> f64| {
        (SPRING_ENDS..DAYS).find(|i| f64::from(year[*i]) < limit(*i))
    };
    let dates = match root_c {
        Some(root_c) => {
            let coldest_c = nights.root_c(life.growth.winter_root_m);
            coldest_c.iter().map(|year| first(year, &|_| root_c)).collect()
        }
        None => {
            let year = |(year, days): (&Vec<f32>, &Vec<Day>)| {
                let limits = life.late_limits(days);
                first(year, &|i| limits.get(i).map_or(f64::NEG_INFINITY, half_lost_c))
            };
            nights.tissue_c.iter().zip(past.days()).map(year).collect()
        }
    };
    Dates(dates)
}
