//! What the policies came to on real forecasts, beside the aims.

use std::fmt::Write as _;

use history::replay::score::{Value, scores};
use history::replay::{Policy, Year};

use crate::cities::City;

/// Aimed at: value over the best rule, and the lower end of its 90 % interval.
const AIMS: (f64, f64) = (0.50, 0.30);

/// The table, its heading and its verdict; `None` without cities.
pub fn markdown(cities: &[City], replayed: &[Year], seed: u64) -> Option<String> {
    let scores = scores(replayed, seed)?;
    let draws = replayed.first()?.draws.len();
    let mut out = format!(
        "### The replay on real forecasts\n\n\
         {} US cities, 2021, with 40 nights or more forecast from 20 to 36 °F, March to November: minima, maxima and the \
         forecasts of tonight's and tomorrow night's low, read in the afternoon, are real; wind, cloud, humidity and \
         what else errs are drawn, {draws} times. The demonstration garden stands in each, its plantings by the published frost \
         dates of the nearest station. Money of a mean year; value: 0 the rival, 1 perfect foresight (bound {:.0}), in brackets \
         the middle nine tenths over cities drawn again.\n\n\
         | policy | lost | work | light | all | evenings | value over best rule | value over best without forecast |\n\
         |---|--:|--:|--:|--:|--:|--:|--:|\n",
        cities.len(),
        scores.bound,
    );
    for s in &scores.each {
        let m = &s.mean;
        let _ = writeln!(
            out,
            "| {} | {:.0} | {:.0} | {:.0} | {:.0} | {:.0} | {} | {} |",
            s.policy.key().replace('_', " "),
            m.loss,
            m.labour,
            m.dimness,
            m.loss + m.labour + m.dimness,
            m.evenings,
            cell(s.over_rule),
            cell(s.over_fixed),
        );
    }
    let plan = scores.each.iter().find(|s| s.policy == Policy::Plan)?.over_rule?;
    let low = plan.over_years.map_or(f64::NEG_INFINITY, |i| i.low);
    let met = |is: bool| if is { "met" } else { "**missed**" };
    let _ = write!(
        out,
        "\nAims for the evening plan over the best rule: value at least {:.2} ({}: {:.2}), lower end at least {:.2} ({}: \
         {low:.2}).",
        AIMS.0,
        met(plan.value >= AIMS.0),
        plan.value,
        AIMS.1,
        met(low >= AIMS.1),
    );
    if let Some(i) = plan.over_draws {
        let _ = write!(out, " Over the {draws} draws: {:.2} to {:.2}.", i.low, i.high);
    }
    out.push('\n');
    Some(out)
}

fn cell(value: Option<Value>) -> String {
    let Some(v) = value else { return "–".into() };
    let spread =
        v.over_years.map_or(String::new(), |i| format!(" ({:.2} to {:.2})", i.low, i.high));
    format!("{:.2}{spread}", v.value)
}
