//! Holds the model against measured nights and published experiments, and keeps `docs/limits.md` true.
//!
//! `cargo run --release -p evening --example measured` prints the tables and fails when the page says otherwise;
//! `-- --write` writes them into the page.

mod alfalfa;
mod champaign;
mod covers;
mod daylight;
mod grass;
mod longwave;
mod meadow;
mod record;
mod rivals;
mod scene;
mod sensitivity;
mod spread;
mod surfrad;
mod table;
mod tower;
mod uscrn;
mod walk_in;

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
    let (alfalfa, alfalfa_nights, alfalfa_members) = alfalfa::rows(data)?;
    let (meadow, meadow_nights, meadow_members) = meadow::rows(data)?;
    let (grass, grass_nights, [winter, spring]) = grass::rows(data)?;
    rows.extend(alfalfa.into_iter().chain(meadow).chain(grass));
    rows.extend(surfrad::rows(data)?);
    let (more, dinosaur, dinosaur_nights) = uscrn::rows(data)?;
    rows.extend(more);
    let (champaign_nights, champaign) = champaign::nights(data)?;
    let mut bands = vec![("Champaign 1998, days 60–125", champaign)];
    bands.extend(alfalfa_members);
    bands.push(("De Bilt, January–March 2000", winter));
    bands.push(("De Bilt, April–June 2000", spring));
    bands.push(("Neustift, July 2010", meadow_members));
    for (site, days) in [
        ("Dinosaur, April–October 2018, wind and night cloud unknown", 90..304),
        ("Dinosaur, April–October 2019, wind and night cloud unknown", 455..669),
        ("Dinosaur, November 2018–March 2019, snow guessed", 304..455),
    ] {
        bands.push((site, dinosaur.between(days)));
    }
    Ok(format!(
        "### Open ground, measured\n\nBias is computed less measured, K unless said.\n\n{}\n\
         ### The coldest surface of each night, and its rivals\n\n\
         RMSE of the rivals, K: the lowest air at 2 m; that with an offset; a regression on five terms (lowest air, its range \
         since the afternoon, lack of vapour, wind, cloud). Both are fitted on the other years, or the other half, of the same \
         site; they need measured surfaces there, the model needs none.\n\n{}\n\
         ### The spread of possible nights\n\nShare of nights whose coldest reading fell inside the band.\n\n{}\n\
         Chance given for a surface below 0 °C at Dinosaur in 2019 against how often it happened; {}.\n\n{}\n\
         ### Under covers, published\n\n\
         A hit: the middle of the computed values lies in the measured range, or the middle of the measured range in the middle \
         half of the computed values.\n\n{}\n\
         ### A walk-in tunnel of bare film, measured\n\n\
         Coldest air inside less coldest outside, K, nights with either below 3 °C, Britain, winter 2021–22.\n\n{}\n\
         ### What moves the coldest leaf most\n\n{}",
        table::markdown(&rows),
        [
            rivals::HEAD,
            &champaign_nights,
            &alfalfa_nights,
            &grass_nights,
            &meadow_nights,
            &dinosaur_nights
        ]
        .concat(),
        spread_table(&bands),
        skill(&dinosaur.between(365..731)),
        dinosaur.between(365..731).reliability(0.0),
        covers::markdown(data)?,
        walk_in::markdown(data)?,
        sensitivity::markdown()?,
    ))
}

fn spread_table(bands: &[(&str, Nights)]) -> String {
    let mut out = String::from(
        "| site, season | nights | 50 % band | 90 % band | sigma of the members, K | aim |\n|---|--:|--:|--:|--:|---|\n",
    );
    for (site, nights) in bands {
        let (half, most) = (nights.coverage(0.5), nights.coverage(0.9));
        let met = (half - 0.5).abs() <= 0.07 && (most - 0.9).abs() <= 0.07;
        out.push_str(&format!(
            "| {site} | {} | {:.0} % | {:.0} % | {:.1} | 50 and 90 ± 7: {} |\n",
            nights.0.len(),
            100.0 * half,
            100.0 * most,
            nights.mean_sd(),
            if met { "met" } else { "**missed**" },
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
