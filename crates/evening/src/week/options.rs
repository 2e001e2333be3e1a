//! Which covers are worth trying through all nights: a few of each bed.

use garden::fit::Cover as Fit;
use microclimate::cover::Cover;

use crate::by_day::light_share;
use crate::error::Error;
use crate::lies::has_ends;
use crate::night::SoFar;
use crate::physics;
use crate::plan::stock;
use crate::week::bed::{Spent, Under, Walk};

/// Covers tried on a bed at most, what lies there already not counted.
const MOST: usize = 4;
/// Batches of sixteen nights by which they are chosen.
const TRIAL_BATCHES: usize = 2;

/// A cover on trial.
struct Tried {
    fit: Fit,
    loss: f64,
    light: f64,
}

/// The covers of a bed that may matter: the warmest, the least work, the lightest that helps, film, and then by cost; tried
/// on the night that loses most in the open. None where the open bed loses less in all nights than any cover costs to lay.
/// What lies there already is always kept, with its single or double.
///
/// # Errors
/// [`Error::Physics`].
pub fn sensible(
    walk: &Walk<'_>,
    fits: Vec<Fit>,
    on: Option<usize>,
    open: &[Spent],
    evenings: &[Vec<SoFar>],
) -> Result<Vec<Fit>, Error> {
    let wage = walk.wage_per_second();
    let labour = |f: &Fit| wage * f64::from(stock::seconds(f));
    let least = fits.iter().map(&labour).fold(f64::INFINITY, f64::min);
    let lost: f64 = open.iter().map(|s| s.outcome.expected_loss).sum();
    if on.is_none() && lost <= least {
        return Ok(Vec::new());
    }
    let loss = |s: &Spent| s.outcome.expected_loss;
    let worst = (0..open.len()).max_by(|a, b| loss(&open[*a]).total_cmp(&loss(&open[*b])));
    let worst = worst.unwrap_or(0);
    let few = &evenings[worst][..evenings[worst].len().min(TRIAL_BATCHES)];
    let mean = |s: &Spent| s.shares.iter().sum::<f64>() / s.shares.len().max(1) as f64;
    let uncovered = walk.night(worst, few, None, true)?;
    let bare = mean(&walk.so_spent(worst, &uncovered));
    let lying = on.and_then(|i| fits.get(i)).cloned();
    let mut kinds: Vec<(Cover, f64)> = Vec::new();
    let mut tried = Vec::new();
    for fit in fits {
        let cover = physics::cover(&fit, walk.simulation.garden_bed);
        // Covers alike make the same night, but for what readings under one of them have taught.
        let taught = walk.learned.cover(&fit).is_some();
        let known = kinds.iter().find(|k| k.0 == cover && !taught).map(|k| k.1);
        let loss = match known {
            Some(loss) => loss,
            None => {
                let under = Under { fit: &fit, cover: &cover, bare: &uncovered };
                let loss = mean(&walk.spent(worst, few, under, true)?);
                if !taught {
                    kinds.push((cover, loss));
                }
                loss
            }
        };
        tried.push(Tried { fit, loss, light: light_share(&cover) });
    }
    let worth: f64 = walk.simulation.at_risk.iter().map(|s| s.worth).sum();
    let cost = |t: &Tried| worth * t.loss + labour(&t.fit);
    tried.sort_by(|a, b| cost(a).total_cmp(&cost(b)));
    let helps = |t: &&Tried| t.loss < 0.9 * bare;
    let by = |key: &dyn Fn(&Tried) -> f64, among: &dyn Fn(&&Tried) -> bool| {
        tried.iter().filter(among).min_by(|a, b| key(a).total_cmp(&key(b)))
    };
    let mut kept: Vec<Fit> = Vec::new();
    let mut keep = |found: Option<&Tried>| {
        if let Some(t) = found.filter(|t| kept.len() < MOST && !kept.contains(&t.fit)) {
            kept.push(t.fit.clone());
        }
    };
    keep(tried.iter().find(helps));
    keep(by(&|t| t.loss, &helps));
    keep(by(&|t| labour(&t.fit), &helps));
    keep(by(&|t| -t.light, &helps));
    keep(by(&cost, &|t: &&Tried| has_ends(&t.fit) && helps(t)));
    for t in tried.iter().filter(helps) {
        keep(Some(t));
    }
    if let Some(lying) = lying {
        let same = |f: &Fit| f.uses.first().map(|u| u.0) == lying.uses.first().map(|u| u.0);
        let other = tried.iter().find(|t| same(&t.fit) && t.fit.layers != lying.layers);
        for fit in std::iter::once(&lying).chain(other.map(|t| &t.fit)) {
            if !kept.contains(fit) {
                kept.push(fit.clone());
            }
        }
    }
    Ok(kept)
}
