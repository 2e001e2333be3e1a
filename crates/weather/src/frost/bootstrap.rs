//! How sure an answer from so many years is: the years drawn again and again, the same for the same seed.

use quantities::quantile::type_7;
use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};
use serde::{Deserialize, Serialize};

use crate::constants::INTERVAL_SHARES;

/// The middle nine tenths of what other thirty, sixty or ninety years would have said.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Interval {
    /// 5 % lie below.
    pub low: f64,
    /// 5 % lie above.
    pub high: f64,
}

/// Draws `draws` times `n` places out of 0..n with replacement and gives each to `statistic`.
///
/// Source: Efron 1979, Annals of Statistics 7:1 (from memory). Checked by `frost::the_bootstrap_covers_and_repeats`.
/// Equation 37 of docs/science.md.
pub fn resample(n: usize, draws: usize, seed: u64, mut statistic: impl FnMut(&[usize])) {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
    let mut places = vec![0; n];
    for _ in 0..draws {
        for place in &mut places {
            *place = ((u128::from(rng.next_u64()) * n as u128) >> 64) as usize;
        }
        statistic(&places);
    }
}

/// Percentile intervals (5 to 95 %) of type-7 quantiles at every p, from the values of the years in one filling of missing
/// days or more, each draw from the next; `None` where a draw was empty in more than a tenth of all draws (years without an
/// event are `None` and are drawn too).
#[must_use]
pub fn quantile_intervals(
    fillings: &[Vec<Option<f64>>],
    ps: &[f64],
    draws: usize,
    seed: u64,
) -> Vec<Option<Interval>> {
    let mut found: Vec<Vec<f64>> = vec![Vec::with_capacity(draws); ps.len()];
    let years = fillings.first().map_or(0, Vec::len);
    let mut sample = Vec::with_capacity(years);
    let mut each = fillings.iter().cycle();
    resample(years, draws, seed, |places| {
        let Some(values) = each.next() else { return };
        sample.clear();
        sample.extend(places.iter().filter_map(|i| values.get(*i).copied().flatten()));
        sample.sort_unstable_by(f64::total_cmp);
        for (out, p) in found.iter_mut().zip(ps) {
            out.extend(type_7(&sample, *p));
        }
    });
    found.into_iter().map(|f| interval(f, draws)).collect()
}

/// The interval of drawn statistics, of which `draws` were asked for.
#[must_use]
pub fn interval(mut found: Vec<f64>, draws: usize) -> Option<Interval> {
    if found.len() * 10 < draws * 9 {
        return None;
    }
    found.sort_unstable_by(f64::total_cmp);
    Some(Interval {
        low: type_7(&found, INTERVAL_SHARES.0)?,
        high: type_7(&found, INTERVAL_SHARES.1)?,
    })
}
