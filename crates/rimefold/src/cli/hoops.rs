//! `rimefold hoops`: the low tunnel of a bed: drawing, measures, what it stands in snow and wind.

use std::path::PathBuf;

use garden::tunnel::Wish;
use garden::{Bed, Garden};
use quantities::UnitSystem;
use quantities::units::{INCH_M, MPH_M_S};

use crate::answers::{self, check, hoops};
use crate::cli::{GardenArg, Output, bed_named};
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::outside::{files, terminal};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Only this bed
    #[arg(long, value_name = "NAME")]
    bed: Option<String>,
    /// Fresh snow it should stand, in inches or centimetres [default: 4 in, 10 cm]
    #[arg(long, value_name = "DEPTH")]
    snow: Option<f64>,
    /// Gust it should stand, in mph or m/s [default: 40 mph, 18 m/s]
    #[arg(long, value_name = "SPEED")]
    gust: Option<f64>,
    /// Write the drawing of one bed into this new SVG file
    #[arg(long, value_name = "FILE", requires = "bed")]
    svg: Option<PathBuf>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = args.garden.file();
    let (garden, _) = check::load_garden(&path)?;
    let wish = wish(args, &garden)?;
    let beds = chosen(&garden, args.bed.as_deref())?;
    let tunnels = hoops::tunnels(&garden, &beds, &wish)?;
    if tunnels.is_empty() {
        let what = args.bed.as_ref().map_or("no bed".into(), |b| format!("bed `{b}`"));
        let has = if args.bed.is_some() { "has no hoops" } else { "has hoops" };
        return Err(Failure::new(
            Exit::Garden,
            format!("{what} {has} in {}: give it `hoops = {{ … }}`", path.display()),
        ));
    }
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut out = Output::default();
    if let (Some(file), Some(tunnel)) = (&args.svg, tunnels.first()) {
        files::write_new(file, hoops::svg::draw(tunnel, &words))?;
        out.aside.push(format!("drawn in {}", file.display()));
    }
    out.text = if args.json {
        answers::json(&hoops::json::layout(&tunnels))?
    } else {
        hoops::text::write(&garden, &tunnels, &wish, &words, terminal::width())
    };
    Ok(out)
}

fn wish(args: &Args, garden: &Garden) -> Result<Wish, Failure> {
    let us = garden.units == UnitSystem::Us;
    let (short_m, speed_m_s) = if us { (INCH_M, MPH_M_S) } else { (0.01, 1.0) };
    let usual = hoops::usual_wish(garden.units);
    let wish = Wish {
        snow_m: args.snow.map_or(usual.snow_m, |s| s * short_m),
        gust_m_s: args.gust.map_or(usual.gust_m_s, |g| g * speed_m_s),
    };
    let bad = |flag: &str, least: f64, most: f64, unit: &str| {
        Failure::new(
            Exit::Usage,
            format!("--{flag}: expected a number from {least:.1} to {most:.0} {unit}"),
        )
    };
    if !(0.001..=3.0).contains(&wish.snow_m) {
        return Err(bad("snow", 0.001 / short_m, 3.0 / short_m, if us { "in" } else { "cm" }));
    }
    if !(1.0..=80.0).contains(&wish.gust_m_s) {
        return Err(bad("gust", 1.0 / speed_m_s, 80.0 / speed_m_s, if us { "mph" } else { "m/s" }));
    }
    Ok(wish)
}

fn chosen<'a>(garden: &'a Garden, name: Option<&str>) -> Result<Vec<&'a Bed>, Failure> {
    match name {
        None => Ok(garden.beds.iter().collect()),
        Some(name) => Ok(vec![&garden.beds[bed_named(garden, name)?]]),
    }
}
