//! `rimefold demo`: an invented garden, an invented forecast, a frozen clock.

use crate::answers::tonight::{Question, json, text};
use crate::answers::{self, check};
use crate::cli::serve::{self, Listen};
use crate::cli::tonight::Draw;
use crate::cli::{Output, moment};
use crate::exit::{Exit, Failure};
use crate::outside::{files, terminal};
use crate::pages::auth::Auth;
use crate::pages::clock::Clock;
use crate::pages::host_check::Names;

const GARDEN: &str = include_str!("../../../../demo/wisconsin/garden.toml");
const FORECAST: &[u8] = include_bytes!("../../../../demo/wisconsin/forecast.json");
const PAST: &[u8] = include_bytes!("../../../../demo/wisconsin/past.csv");
const ASKED_AT: &str = "2027-05-14T16:00";

const NEXT: &str = "
What to try next
  Every reason:          rimefold demo --why
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
    /// Tell the reasons, chances and weather behind the plan too
    #[arg(long, conflicts_with_all = ["json", "serve"])]
    why: bool,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
    /// Open its pages in a browser, to try them on a scratch copy
    #[arg(long, conflicts_with = "json")]
    serve: bool,
    #[command(flatten)]
    listen: Listen,
    #[command(flatten)]
    draw: Draw,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    if args.serve {
        return serve_scratch(args);
    }
    let bug = |what: String| Failure::new(Exit::Bug, format!("the demo garden is broken: {what}"));
    let garden = garden::file::read(GARDEN).garden.ok_or_else(|| bug("garden.toml".into()))?;
    let forecast = weather::read(FORECAST).map_err(|e| bug(e.to_string()))?;
    let past = weather::read(PAST).map_err(|e| bug(e.to_string()))?;
    let at = moment(ASKED_AT, &garden.zone)?;
    let (past, settings) = (Some(&past), args.draw.settings());
    let question = Question {
        garden: &garden,
        noted: &[],
        forecast: &forecast,
        past,
        settings,
        learned: Default::default(),
    };
    let report = question.coming_night(at)?;
    Ok(Output::from(if args.json {
        answers::json(&json::layout(&report, None, &garden))?
    } else {
        let write = if args.why { text::write } else { text::brief };
        write(&report, &garden, terminal::width()) + NEXT
    }))
}

/// Serves a scratch copy of the garden, its clock set to the afternoon of the demonstration.
fn serve_scratch(args: &Args) -> Result<Output, Failure> {
    let folder = files::scratch("rimefold-demo")?;
    for (name, bytes) in
        [("garden.toml", GARDEN.as_bytes()), ("forecast.json", FORECAST), ("past.csv", PAST)]
    {
        files::write_new(&folder.join(name), bytes)?;
    }
    terminal::aside(&format!("A scratch copy of the demonstration garden: {}", folder.display()));
    let (garden, _) = check::load_garden(&folder.join("garden.toml"))?;
    let clock = Clock::from(moment(ASKED_AT, &garden.zone)?);
    serve::serve(folder, clock, Auth::default(), Names::default(), args.listen, false)
}
