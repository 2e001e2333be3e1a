//! `rimefold learn`: what the garden's own thermometer has taught; stop it, go on, forget it.

use diary::Diary;
use diary::learning::LearningAct;

use crate::answers::learn::{json, learnt, text};
use crate::answers::{self, check};
use crate::cli::{GardenArg, Output, moment};
use crate::diary::learned::GardenLessons;
use crate::exit::{Exit, Failure};
use crate::outside::{clock, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Stop learning: keep what is learned, take no more nights
    #[arg(long, conflicts_with_all = ["go_on", "forget"])]
    freeze: bool,
    /// Learn again, from the nights since it was stopped too
    #[arg(long, conflicts_with = "forget")]
    go_on: bool,
    /// Forget every night so far; the notes stay in the diary
    #[arg(long)]
    forget: bool,
    /// When you ask: 2027-05-14T16:00 in the garden's zone, or with an offset [default: now]
    #[arg(long, value_name = "TIME")]
    at: Option<String>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let file = args.garden.file();
    let (garden, _) = check::load_garden(&file)?;
    let path = diary::beside(&file);
    let now = match &args.at {
        Some(words) => moment(words, &garden.zone)?,
        None => clock::now(),
    };
    let act = [
        (args.freeze, LearningAct::Freeze),
        (args.go_on, LearningAct::GoOn),
        (args.forget, LearningAct::Forget),
    ];
    if let Some((_, act)) = act.into_iter().find(|a| a.0) {
        let there = Diary::open_there(&path)?;
        let mut diary =
            there.ok_or_else(|| Failure::new(Exit::Missing, "there is no diary yet"))?;
        diary.say_of_learning(act, now)?;
    }
    let lessons = GardenLessons::from_diary(&Diary::open_read_only(&path)?, &garden)?;
    let learnt = learnt(&garden, &lessons, now);
    let text = if args.json {
        answers::json(&json::layout(&learnt))?
    } else {
        text::write(&learnt, &garden, terminal::width())
    };
    Ok(text.into())
}
