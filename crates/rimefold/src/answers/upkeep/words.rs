//! Upkeep in sentences.

use garden::Garden;
use garden::lying::alike;
use garden::wear::lasts_seasons;
use jiff::tz::TimeZone;

use super::{Kind, Life, Upkeep};
use crate::format::{GardenFormat, count, listed};

/// What to do, in one or two sentences.
pub fn sentence(upkeep: &Upkeep, garden: &Garden) -> String {
    let names = listed(&upkeep.subjects);
    match (upkeep.kind, upkeep.danger) {
        (Kind::Snow, true) => format!(
            "Snow tonight may bring down the hoops over {names}: brush it off in time, or take the cover off before it falls."
        ),
        (Kind::Snow, false) => {
            format!("Snow is forecast on the covers of {names}: brush it off in the morning.")
        }
        (Kind::Wind, _) => format!(
            "Gusts tonight may lift the covers of {names} or flatten the hoops: pin them down harder, or take them off."
        ),
        (Kind::Voles, _) => {
            format!("Look for voles under the covers of {names}: runs, holes, gnawed roots.")
        }
        (Kind::Mice, _) => {
            "Look for mice in the stored cloth: they nest in it and gnaw holes.".into()
        }
        (Kind::SheetEnd, _) => {
            let of = |name: &String| garden.stock.sheets.iter().find(|s| alike(&s.name, name));
            let seasons = upkeep.subjects.first().and_then(of).map(lasts_seasons);
            match (seasons, upkeep.subjects.len()) {
                (Some(seasons), 1) => format!(
                    "The sheet {names} is near its end: it has had most of the sun of {}. Pull at an edge: if it tears easily, replace it.",
                    self::seasons(seasons)
                ),
                _ => format!(
                    "The sheets {names} are near their end: they have had most of the sun they are good for. Pull at an edge: what tears easily, replace."
                ),
            }
        }
    }
}

/// What is left of a sheet's life, for one short line; of several pieces their mean.
pub fn life_left(life: Option<&Life>, pieces: u32, words: &GardenFormat) -> String {
    let Some(life) = life else { return "no day outside noted".into() };
    let percent = |used: f64| format!("{:.0}", 100.0 * (1.0 - used).max(0.0));
    let [least, used, most] = life.worn.used();
    let left = if least >= 1.0 {
        "past its usual life".into()
    } else if used >= 1.0 {
        format!("past its usual life, at most {} % left", percent(least))
    } else {
        format!(
            "about {} % of its life left ({} to {})",
            percent(used),
            percent(most),
            percent(least)
        )
    };
    let zone: &TimeZone = &words.zone;
    let since = diary::night::local(life.since, zone).strftime("%-d %b %Y");
    let days = life.worn.days.round() as usize;
    let days = if days == 0 { "less than a day".into() } else { count(days, "day") };
    let each = if pieces > 1 { " each" } else { "" };
    format!("{left}: out {days}{each} since {since}")
}

/// `1 season`, `2.5 seasons`.
fn seasons(seasons: f64) -> String {
    if seasons == 1.0 { "one season".into() } else { format!("{seasons} seasons") }
}
