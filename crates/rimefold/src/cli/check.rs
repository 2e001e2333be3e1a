//! `rimefold check`: every fault and warning of a garden file at its place.

use crate::answers::check;
use crate::cli::{GardenArg, Output};
use crate::exit::Failure;

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, warnings) = check::load_garden(&path)?;
    Ok(Output::from(check::text::write(&path, &garden, &warnings)))
}
