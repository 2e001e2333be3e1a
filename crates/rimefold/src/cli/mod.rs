//! The command line: one verb a file.

pub mod check;
pub mod cut;
mod demo;
mod diary;
pub mod hoops;
mod kit;
mod new;
mod note;
mod replay;
mod serve;
pub mod station;
mod supply_example;
mod tonight;
pub mod year;

use clap::{Parser, Subcommand};
use garden::Garden;

use crate::exit::{Exit, Failure};

/// What to cover tonight, with what, by when, and why.
#[derive(Parser, Debug)]
#[command(name = "rimefold", version, max_term_width = 80)]
pub struct Cli {
    #[command(subcommand)]
    verb: Verb,
}

#[derive(Subcommand, Debug)]
enum Verb {
    /// Plan this evening: beds, covers, order, deadline, reasons
    Tonight(tonight::Args),
    /// Read a garden file and show every fault and warning
    Check(check::Args),
    /// Cut hoops from wire and sheets from cloth, buying the least
    Cut(cut::Args),
    /// Draw the hoops of a bed, with what they stand in snow and wind
    Hoops(hoops::Args),
    /// Write a commented garden file from questions or flags
    New(new::Args),
    /// Find, fetch or use the long record of a weather station: frost dates
    Station(station::Args),
    /// Replay past years of a station on this garden and compare ways to decide
    Replay(replay::Args),
    /// Which sheets, hoops, pins and clips to own, and what to buy when
    Kit(kit::Args),
    /// Give each bed its dates, its winter and what its hoops carry through the year
    Year(year::Args),
    /// Write down what happened: readings, covers, losses; list them, take them back
    Note(note::Args),
    /// The diary in and out of files, backups, and how well was said what came
    Diary(diary::Args),
    /// Open the garden's pages in a browser: the whole job, on a phone or at a table
    Serve(serve::Args),
    /// Plan an evening of an invented garden, to see what it looks like
    Demo(demo::Args),
}

/// What a verb has to say.
#[derive(Debug, Default)]
pub struct Output {
    /// The answer.
    pub text: String,
    /// Remarks beside it.
    pub aside: Vec<String>,
}

/// Runs the verb.
pub fn run(cli: Cli) -> Result<Output, Failure> {
    match cli.verb {
        Verb::Tonight(args) => tonight::run(&args),
        Verb::Check(args) => check::run(&args),
        Verb::Cut(args) => cut::run(&args),
        Verb::Hoops(args) => hoops::run(&args),
        Verb::New(args) => new::run(args),
        Verb::Station(args) => station::run(args),
        Verb::Replay(args) => replay::run(&args),
        Verb::Kit(args) => kit::run(&args),
        Verb::Year(args) => year::run(&args),
        Verb::Note(args) => note::run(args),
        Verb::Diary(args) => diary::run(&args),
        Verb::Serve(args) => serve::run(&args),
        Verb::Demo(args) => demo::run(&args),
    }
}

/// Index of the bed of that name; upper and lower case are alike.
fn bed_named(garden: &Garden, name: &str) -> Result<usize, Failure> {
    garden.beds.iter().position(|b| b.name.eq_ignore_ascii_case(name)).ok_or_else(|| {
        let names: Vec<&str> = garden.beds.iter().map(|b| b.name.as_str()).collect();
        let message = format!("no bed is called `{name}`; there are: {}", names.join(", "));
        Failure::new(Exit::Usage, message)
    })
}
