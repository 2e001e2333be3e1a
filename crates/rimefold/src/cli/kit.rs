//! `rimefold kit`: which sheets, hoops, pins and clips to own, what they cost a season, and in which year to buy them.

mod json;
mod text;
mod worth;

use std::path::PathBuf;

use milp::Microlp;
use purchase::kit::{KitError, Settings, kit};

use quantities::UnitSystem;

use crate::cli::{Output, check, replay, supply_example};
use crate::exit::{Exit, Failure};
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(default_value = ".")]
    garden: PathBuf,
    /// What may be spent in a year; else the budget in the garden file
    #[arg(long, value_name = "MONEY")]
    budget: Option<f64>,
    /// Years over which the kit is bought, 1 to 10; else as in the garden file
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u32).range(1..=10))]
    years: Option<u32>,
    /// The hoops in the garden file stand already: leave them out of the bill
    #[arg(long)]
    have_hoops: bool,
    /// Daily station record for what sheets would have saved; else the one beside the garden
    #[arg(long, value_name = "FILE")]
    station: Option<PathBuf>,
    /// Years of that record, such as 1991-2020 [default: the last thirty]
    #[arg(long, value_name = "FROM-TO", value_parser = replay::years)]
    record_years: Option<(i16, i16)>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

/// What to write into a garden file that offers no cloth.
fn example(units: UnitSystem) -> String {
    let (supply, weight) = (supply_example::example(units), supply_example::weight(units));
    format!(
        "\
{supply}

and, after a bed, what it is to carry when:

[[bed.need]]
kind = \"row cover\"
least_{weight}
from = \"04-01\"
to = \"05-31\""
    )
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = files::garden_file(&args.garden);
    let (garden, warnings) = check::load(&path)?;
    let settings = Settings {
        budget: args.budget.or(garden.supply.budget),
        years: args.years.unwrap_or(garden.supply.years.max(1)),
        have_hoops: args.have_hoops,
    };
    let answer = kit(&garden, settings, &Microlp).map_err(|e| match e {
        KitError::NothingOnOffer => {
            let example = example(garden.units);
            let message = format!(
                "{}: no cloth is on offer, so there is nothing to choose from.\n\
                 Write down what you could buy, at your own prices, such as:\n\n{example}",
                path.display()
            );
            Failure::new(Exit::Garden, message)
        }
        KitError::BadBudget { .. } | KitError::BadYears { .. } => {
            Failure::new(Exit::Usage, e.to_string())
        }
        e => Failure::from_fault(&e, Exit::Garden),
    })?;
    let mut aside = Vec::new();
    let asked = worth::Asked { station: args.station.as_ref(), years: args.record_years };
    let estimate = worth::estimate(&path, &garden, settings, &asked, &mut aside)?;
    let text = if args.json {
        json::write(&answer, &garden, settings, estimate.as_ref())
    } else {
        text::write(&answer, &garden, settings, estimate.as_ref(), terminal::width())
    };
    if !warnings.is_empty() {
        let n = crate::format::count(warnings.len(), "warning");
        aside.push(format!("({n} about the garden file: run `rimefold check`)"));
    }
    Ok(Output { text, aside })
}
