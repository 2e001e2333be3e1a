//! The earliest sensible date of setting out or sowing, open and under each cover.

use garden::growth::{Day, Progress, walk};
use serde::{Deserialize, Serialize};
use weather::frost::Interval;

use crate::constants::{DATE_STEP_DAYS, GROWS_DAYS, GROWS_SHARE, SPRING_ENDS};
use crate::year::dates::Dates;
use crate::year::development::Development;
use crate::year::past::{Past, sums};

/// Setting out under one choice.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetOut {
    /// Earliest day at the grower's risk; `None` where there is none before spring ends.
    pub day: Option<usize>,
    /// What other such years would have said, 5 to 95 %.
    pub interval: Option<Interval>,
    /// Whether it is not cold that it waits for but warmth to grow in.
    pub waits_for_warmth: bool,
    /// Median day fit to set out elsewhere, when sown on that day; only for what is sown and usually transplanted.
    pub fit_to_set_out: Option<usize>,
    /// Median first picking when begun on that day and grown under the choice; frost and bolting not counted.
    pub first_picking: Option<usize>,
    /// The same begun on that day and grown without a cover: what the cover's warmth is worth, harm left out.
    pub first_picking_open: Option<usize>,
    /// Median last picking when begun on that day; frost and bolting not counted.
    pub last_picking: Option<usize>,
}

/// Setting out: open, then under each cover.
///
/// Of each year, the day after the last trial date from which some night until spring ends would have taken more than a
/// tenth of the planting at its age then, and not before a fortnight brings a quarter of its usual growth; of those days, the one by
/// which a share 1 − risk of the years have come. It grows under the cover as [`Past::under`] has it. Checked by `year::what_is_earlier_is_colder` and
/// `year::tender_crops_go_out_in_may`.
/// Equation 70 of docs/science.md.
#[must_use]
pub fn setting_out(past: &Past, bed: usize, life: &Development, risk: f64) -> Vec<SetOut> {
    let choices = past.covers(bed).map_or(0, <[_]>::len) + 1;
    (0..choices).map(|choice| set_out(past, (bed, choice), life, risk)).collect()
}

fn set_out(past: &Past, (bed, choice): (usize, usize), life: &Development, risk: f64) -> SetOut {
    let days = past.under(bed, choice);
    let sums = sums(&days, &life.growth);
    let safe = safe_from(past, (bed, choice), life, &sums);
    let warm: Vec<Option<usize>> = sums.iter().map(|s| grows_from(s, life.usual_day)).collect();
    let both = safe.0.iter().zip(&warm).map(|(s, w)| Some((*s)?.max((*w)?))).collect();
    let both = Dates(both);
    let share = (1.0 - risk).max(f64::MIN_POSITIVE);
    let day = both.by(share);
    let median = |days: &[Vec<Day>], get: fn(&Progress) -> Option<usize>| {
        let from = day?;
        let year = |days: &Vec<Day>| {
            let progress = walk(&life.growth, life.start, days.get(from..)?)?;
            get(&progress).map(|d| d + from)
        };
        Dates(days.iter().map(year).collect()).by(0.5)
    };
    SetOut {
        day,
        interval: both.interval(share, past.seed()),
        waits_for_warmth: day.is_some() && safe.by(share) < day,
        fit_to_set_out: median(&days, |p| p.fit_to_set_out),
        first_picking: median(&days, |p| p.first_picking),
        first_picking_open: median(past.days(), |p| p.first_picking),
        last_picking: median(&days, |p| p.last_picking),
    }
}

/// Of each year the first trial date from which on no date brings harm; `sums` are the degree-days under the choice.
#[must_use]
pub fn safe_from(
    past: &Past,
    (bed, choice): (usize, usize),
    life: &Development,
    sums: &[Vec<f64>],
) -> Dates {
    let Some(nights) = past.laid(bed, choice) else { return Dates(Vec::new()) };
    let each = sums.iter().zip(nights.tissue_c.iter().zip(&nights.soil_c));
    let first_safe = |(sum, (tissue, soil)): (&Vec<f64>, (&Vec<f32>, &Vec<f32>))| {
        let harmed = |from: usize| {
            (from..SPRING_ENDS).any(|i| life.harmed(sum[i] - sum[from], tissue[i], soil[i]))
        };
        let mut safe = None;
        for from in (0..SPRING_ENDS).step_by(DATE_STEP_DAYS).rev() {
            if harmed(from) {
                break;
            }
            safe = Some(from);
        }
        safe
    };
    Dates(each.map(first_safe).collect())
}

fn grows_from(sum: &[f64], usual_day: f64) -> Option<usize> {
    let enough = GROWS_SHARE * usual_day * GROWS_DAYS as f64;
    (0..SPRING_ENDS).find(|i| sum.get(i + GROWS_DAYS).is_some_and(|s| s - sum[*i] >= enough))
}
