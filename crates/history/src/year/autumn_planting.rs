//! What is planted in autumn and picked the next summer.

use garden::growth::{Day, walk};

use crate::constants::{PLANTED_BELOW_C, PLANTED_DAYS, SPRING_ENDS};
use crate::year::dates::{DAYS, Dates};
use crate::year::development::Development;
use crate::year::past::Past;
use crate::year::spring::SetOut;

/// Planting in the open: of each year the first day from the end of spring of a fortnight whose mean is 10 °C or less, the
/// median of them; picked when the degree-days of its usual days have come, in the year after. What is lost in winter is for
/// [`crate::year::winter`] to say.
///
/// Checked by `year::garlic_is_planted_in_autumn_and_picked_in_summer`.
/// Equation 95 of docs/science.md.
#[must_use]
pub fn planting(past: &Past, life: &Development) -> SetOut {
    let day = Dates(past.days().iter().map(|days| cools(days)).collect()).by(0.5);
    let years = past.years();
    let after =
        |i: usize| (years.get(i + 1)? == &(years[i] + 1)).then(|| past.days().get(i + 1))?;
    let pickings: Vec<[Option<usize>; 2]> = (0..years.len())
        .filter_map(|i| {
            let (from, next) = (day?, after(i)?);
            let days: Vec<Day> = past.days()[i].iter().skip(from).chain(next).copied().collect();
            let progress = walk(&life.growth, life.start, &days)?;
            // Counted from the middle of the winter between.
            let in_next = |d: Option<usize>| (d? + from).checked_sub(DAYS);
            Some([progress.first_picking, progress.last_picking].map(in_next))
        })
        .collect();
    let median = |which: usize| Dates(pickings.iter().map(|p| p[which]).collect()).by(0.5);
    let [first_picking, last_picking] = [median(0), median(1)];
    SetOut {
        day,
        interval: None,
        waits_for_warmth: false,
        fit_to_set_out: None,
        first_picking,
        first_picking_open: first_picking,
        last_picking,
    }
}

/// The first day of the first cool fortnight of autumn; days not known are left out of its mean.
fn cools(days: &[Day]) -> Option<usize> {
    let cool = |from: &usize| {
        let fortnight = days.iter().skip(*from).take(PLANTED_DAYS);
        let known: Vec<f64> =
            fortnight.filter_map(|d| Some(0.5 * (d.tmin_c? + d.tmax_c?))).collect();
        let mean = known.iter().sum::<f64>() / known.len().max(1) as f64;
        2 * known.len() >= PLANTED_DAYS && mean <= PLANTED_BELOW_C
    };
    (SPRING_ENDS..DAYS).find(cool)
}
