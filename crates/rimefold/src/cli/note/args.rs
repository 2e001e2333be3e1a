//! Words of `rimefold note`.

use std::path::PathBuf;

use clap::{ArgGroup, Subcommand};

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(long, default_value = ".", global = true)]
    pub garden: PathBuf,
    /// When it happened: 2027-05-15T06:30 in the garden's zone, or with an offset [default: now]
    #[arg(long, value_name = "TIME", global = true)]
    pub at: Option<String>,
    /// Anything to remember, in your own words
    #[arg(long, value_name = "WORDS", global = true)]
    pub remark: Option<String>,
    #[command(subcommand)]
    pub kind: Kind,
}

#[derive(Subcommand, Debug)]
pub enum Kind {
    /// A thermometer: lowest, highest, or the air as it is, in the garden's units
    Reading(ReadingArgs),
    /// A cover put on
    Covered(CoverArgs),
    /// A cover taken off
    Opened(CoverArgs),
    /// One side of a cover up
    HalfOpen(CoverArgs),
    /// Ends or slits of a cover opened
    Vented(CoverArgs),
    /// Plants lost
    Loss {
        /// Bed
        bed: String,
        /// Share of the bed, in per cent
        #[arg(long, value_name = "PER_CENT", value_parser = per_cent)]
        share: f64,
    },
    /// Snow brushed off
    SnowBrushed {
        /// Bed
        bed: String,
    },
    /// Voles, or their runs
    Voles {
        /// Bed
        bed: String,
    },
    /// A sheet damaged or out of use
    Sheet(SheetArgs),
    /// A task of the newest plan done
    Done {
        /// Its number in the order of work
        task: u32,
    },
    /// Undo a note; the newest without an id. Nothing is deleted: an undo can itself be undone
    Undo {
        /// First digits of the note's id
        id: Option<String>,
    },
    /// What is noted
    List(ListArgs),
}

#[derive(clap::Args, Debug)]
#[command(group(ArgGroup::new("extremes").args(["min", "max", "now"]).required(true).multiple(true)))]
pub struct ReadingArgs {
    /// Lowest since the last reset
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub min: Option<String>,
    /// Highest since the last reset
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub max: Option<String>,
    /// The air as it is: read after dark, it makes tonight's outlook surer
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    pub now: Option<String>,
    /// Bed where the thermometer hangs
    #[arg(long)]
    pub bed: Option<String>,
    /// It hangs under this sheet or pop-up tunnel; without a name, under whatever covers the bed
    #[arg(long, value_name = "SHEET", num_args = 0..=1, default_missing_value = "")]
    pub under: Option<String>,
    /// It is right, even if far colder than anything near
    #[arg(long)]
    pub anyway: bool,
}

#[derive(clap::Args, Debug)]
pub struct CoverArgs {
    /// Bed
    pub bed: String,
    /// Sheet or pop-up tunnel
    #[arg(long, value_name = "SHEET")]
    pub with: Option<String>,
    /// Layers of it
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u8).range(1..=10))]
    pub layers: Option<u8>,
}

#[derive(clap::Args, Debug)]
#[command(group(ArgGroup::new("state").args(["damaged", "retired"]).required(true)))]
pub struct SheetArgs {
    /// Sheet or pop-up tunnel
    pub name: String,
    /// Torn or worn
    #[arg(long)]
    pub damaged: bool,
    /// Out of use
    #[arg(long)]
    pub retired: bool,
}

#[derive(clap::Args, Debug)]
pub struct ListArgs {
    /// All of them, not only the newest twenty
    #[arg(long)]
    pub all: bool,
    /// Write JSON for programs
    #[arg(long)]
    pub json: bool,
}

fn per_cent(words: &str) -> Result<f64, String> {
    let number = words.trim_end_matches('%').trim().parse::<f64>().ok();
    number.filter(|x| (0.0..=100.0).contains(x)).ok_or_else(|| "expected 0 to 100".to_owned())
}
