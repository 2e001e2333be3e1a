//! `rimefold demo`: an invented garden, an invented forecast, a frozen clock.

use crate::cli::Output;
use crate::cli::tonight::{Draw, answer, moment};
use crate::exit::{Exit, Failure};

const GARDEN: &str = include_str!("../../../../demo/wisconsin/garden.toml");
const FORECAST: &[u8] = include_bytes!("../../../../demo/wisconsin/forecast.json");
const PAST: &[u8] = include_bytes!("../../../../demo/wisconsin/past.csv");
const ASKED_AT: &str = "2027-05-14T16:00";

const NEXT: &str = "
What to try next
  The same garden under wind and cloud:
    rimefold tonight demo/wisconsin --at 2027-05-14T16:00 \\
      --forecast demo/wisconsin/forecast-windy.json
  A mild night:
    rimefold tonight demo/wisconsin --at 2027-05-14T16:00 \\
      --forecast demo/wisconsin/forecast-mild.json
  A metric garden:       rimefold tonight demo/jura --at 2027-05-14T16:00
  Your own garden:       rimefold new my-garden, then rimefold check my-garden
";

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    draw: Draw,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let bug = |what: String| Failure::new(Exit::Bug, format!("the demo garden is broken: {what}"));
    let garden = garden::file::read(GARDEN).garden.ok_or_else(|| bug("garden.toml".into()))?;
    let forecast = weather::read(FORECAST).map_err(|e| bug(e.to_string()))?;
    let past = weather::read(PAST).map_err(|e| bug(e.to_string()))?;
    let at = moment(ASKED_AT, &garden.zone)?;
    let mut out = answer(&garden, &forecast, Some(&past), at, args.draw.settings(), args.json)?;
    if !args.json {
        out.text.push_str(NEXT);
    }
    Ok(out)
}
