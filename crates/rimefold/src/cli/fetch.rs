//! `rimefold fetch`: the garden's forecast from the service that its file names.

use std::time::Duration;

use crate::answers::check;
use crate::answers::tonight::wrong_place;
use crate::cli::{GardenArg, Output, seconds};
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::outside::accepted_place;
use crate::outside::clock;
use crate::outside::fetch::Fetched;
use crate::outside::fetch::forecast::{Manner, address, fetch_for, path};

#[derive(clap::Args, Debug)]
pub struct Args {
    #[command(flatten)]
    garden: GardenArg,
    /// Scheme and host to ask in place of the service's own, as of a copy of yours
    #[arg(long, value_name = "BASE_URL")]
    from: Option<String>,
    /// Longest wait for an answer or its next piece, seconds
    #[arg(long, value_name = "SECONDS", default_value = "30", value_parser = seconds)]
    timeout: Duration,
    /// First pause between tries, seconds; it doubles after each of the four
    #[arg(long, value_name = "SECONDS", default_value = "2", value_parser = seconds)]
    pause: Duration,
    /// Show the address that would be asked, and ask nothing
    #[arg(long)]
    show: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let file = args.garden.file();
    let (garden, _) = check::load_garden(&file)?;
    if let Some(of) = garden.forecast.as_ref().filter(|_| args.show) {
        return Ok(format!("{}\n", address(&garden, of, args.from.as_deref())).into());
    }
    let manner = Manner { timeout: args.timeout, pause: args.pause, base: args.from.clone() };
    let fits =
        |bytes: &[u8]| wrong_place::fits(&garden, bytes, |p| accepted_place::holds(&file, p));
    let did = match fetch_for(&garden, &file, &manner, &fits)? {
        Fetched::New => "Fetched",
        Fetched::Unchanged => "The service has nothing newer than",
    };
    let shown = path(&file);
    let forecast = crate::outside::files::read(&shown).ok().and_then(|b| weather::read(&b).ok());
    let words = GardenFormat::new(garden.units, &garden.zone);
    let issued = forecast.and_then(|f| f.issued).map_or_else(String::new, |at| {
        let hours = (clock::now().0 - at.0).max(0) / 3600;
        format!(", issued {} {} ({hours} h ago)", words.day(at), words.time(at))
    });
    Ok(format!("{did} {}{issued}.\n", shown.display()).into())
}
