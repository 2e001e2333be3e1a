//! Holds the model against measured nights and published experiments, and keeps `docs/limits.md` true.
//!
//! `cargo run --release -p evening --example measured` prints the tables and fails when the page says otherwise;
//! `-- --write` writes them into the page.

mod alfalfa;
mod champaign;
mod covers;
mod daylight;
mod longwave;
mod record;
mod scene;
mod sensitivity;
mod spread;
mod surfrad;
mod table;
mod uscrn;

use std::error::Error;
use std::path::Path;
use std::process::ExitCode;

use spread::Nights;

/// Marks around the part of the page that this program writes.
const BEGIN: &str = "<!-- measured: written by `cargo run --release -p evening --example measured -- --write` -->\n";
const END: &str = "<!-- /measured -->";

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let Some(data) = measured_data::folder("") else { return Ok(ExitCode::SUCCESS) };
    let tables = tables(&data)?;
    print!("{tables}");
    let kept = measured_data::page::keep(BEGIN, END, &tables)?;
    Ok(if kept { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn tables(data: &Path) -> Result<String, Box<dyn Error>> {
    let mut rows = champaign::rows(data)?;
    rows.extend(alfalfa::rows(data)?);
    rows.extend(surfrad::rows(data)?);
    let (more, dinosaur) = uscrn::rows(data)?;
    rows.extend(more);
    let champaign = champaign::nights(data)?;
    Ok(format!(
        "### Open ground, measured\n\nBias is computed less measured, K unless said.\n\n{}\n\
         ### The spread of possible nights\n\nShare of nights whose coldest reading fell inside the band.\n\n{}\n\
         Chance given for a surface below 0 °C at Dinosaur in 2019 against how often it happened; {}.\n\n{}\n\
         ### Under covers, published\n\n{}\n\
         ### What moves the coldest leaf most\n\n{}",
        table::markdown(&rows),
        bands(&champaign, &dinosaur),
        skill(&dinosaur.between(365..731)),
        dinosaur.between(365..731).reliability(0.0),
        covers::markdown(data)?,
        sensitivity::markdown()?,
    ))
}

fn bands(champaign: &Nights, dinosaur: &Nights) -> String {
    let mut out = String::from(
        "| site, season | nights | 50 % band | 90 % band | sigma of the members, K |\n|---|--:|--:|--:|--:|\n",
    );
    for (site, nights) in [
        ("Champaign 1998, days 60–125, weather measured", champaign.between(0..400)),
        ("Dinosaur, April–October 2019, wind and night cloud unknown", dinosaur.between(455..669)),
        ("Dinosaur, November 2018–March 2019, snow guessed", dinosaur.between(304..455)),
    ] {
        out.push_str(&format!(
            "| {site} | {} | {:.0} % | {:.0} % | {:.1} |\n",
            nights.0.len(),
            100.0 * nights.coverage(0.5),
            100.0 * nights.coverage(0.9),
            nights.mean_sd()
        ));
    }
    out
}

fn skill(nights: &Nights) -> String {
    let (brier, rival) = nights.brier(0.0);
    format!(
        "Brier score {brier:.3}, the rule \"frost when the air falls below 0 °C\" {rival:.3}, skill {:.2}",
        1.0 - brier / rival
    )
}
