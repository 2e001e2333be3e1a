//! `rimefold cut`: hoops from wire and sheets from cloth, for all beds at once, with the least bought.

use std::path::PathBuf;

use garden::{Bed, Garden};

use crate::answers::{self, check, cut};
use crate::cli::{GardenArg, Output, bed_named};
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Only these beds: --bed broccoli --bed kale
    #[arg(long, value_name = "NAME")]
    bed: Vec<String>,
    /// Draw the cuts into this new SVG file
    #[arg(long, value_name = "FILE")]
    svg: Option<PathBuf>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, _) = check::load_garden(&path)?;
    let beds = chosen(&garden, &args.bed)?;
    let list = cut::cut_list(&garden, &beds, &path.display().to_string())?;
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut out = Output::default();
    if let Some(file) = &args.svg {
        files::write_new(file, cut::svg::draw(&list, &words))?;
        out.aside.push(format!("drawn in {}", file.display()));
    }
    out.text = if args.json {
        answers::json(&cut::json::layout(&list, &words))?
    } else {
        cut::text::write(&list, &words, terminal::width())
    };
    Ok(out)
}

fn chosen<'a>(garden: &'a Garden, names: &[String]) -> Result<Vec<&'a Bed>, Failure> {
    if names.is_empty() {
        return Ok(garden.beds.iter().collect());
    }
    names.iter().map(|name| Ok(&garden.beds[bed_named(garden, name)?])).collect()
}
