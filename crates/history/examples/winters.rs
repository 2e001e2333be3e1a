//! Winters that crops came through, open, under covers that lie on with the snow on them, and under straw.
//!
//! `cargo run --release -p history --example winters` prints the table and fails when the page says otherwise; `-- --write`
//! writes it into the page. The garden is invented: beds alike but for their crop.

use std::error::Error;
use std::fmt::Write as _;
use std::process::ExitCode;

use garden::Garden;
use garden::fit::{Cover, Placement};
use garden::growth::Carry;
use garden::stock::SheetKind;
use history::year::past::Past;
use history::year::plan;
use history::year::winter::Winter;
use weather::StationRecord;

/// Marks around the part of the page that this program writes.
const BEGIN: &str =
    "<!-- winters: written by `cargo run --release -p history --example winters -- --write` -->\n";
const END: &str = "<!-- end of winters -->";
/// A crop's covers and its winter.
type CropWinter = (Vec<Cover>, Winter);
/// Name, start and height of what is carried over, cm; heights from memory.
const CROPS: [(&str, &str, u32); 10] = [
    ("kale", "transplant", 30),
    ("spinach", "direct-sown", 12),
    ("mache", "direct-sown", 8),
    ("lettuce", "transplant", 15),
    ("leek", "transplant", 40),
    ("garlic", "direct-sown", 10),
    ("carrot", "direct-sown", 20),
    ("parsnip", "direct-sown", 20),
    ("onion", "transplant", 20),
    ("strawberry", "transplant", 15),
];
/// File, its column of snow, the same with its unit, years.
const RECORDS: [(&str, &str, &str, std::ops::RangeInclusive<i16>); 2] = [
    ("GHCN_USW00014839_Milwaukee_1938-2026.csv", ",SNWD,", ",SNWD_in,", 1991..=2020),
    ("FortCollins_1900-1999.csv", ",SnCv", ",snow_depth_in", 1970..=1999),
];
/// The risk of the verdict, which is not printed.
const RISK: f64 = 0.1;
const SEED: u64 = 1;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let mut out = String::new();
    for (name, column, with_unit, years) in RECORDS {
        let Some(bytes) = measured_data::file(&format!("stations/{name}")) else {
            return Ok(ExitCode::SUCCESS);
        };
        let text = String::from_utf8(bytes)?;
        let (header, rest) = text.split_once('\n').ok_or("an empty record")?;
        let text = format!("{}\n{rest}", header.replace(column, with_unit));
        let record = weather::station::read(text.as_bytes())?;
        if !record.has_snow() {
            return Err("the record's snow was not found".into());
        }
        let place = name.trim_end_matches(".csv");
        writeln!(out, "{}\n", table(&record, place, years)?)?;
    }
    let out = out.trim_end();
    println!("{out}");
    let kept = measured_data::page::keep(BEGIN, END, out)?;
    Ok(if kept { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

fn table(
    record: &StationRecord,
    name: &str,
    years: std::ops::RangeInclusive<i16>,
) -> Result<String, Box<dyn Error>> {
    let on_hoops = winters(&garden(record, true)?, record, years.clone())?;
    let on_plants = winters(&garden(record, false)?, record, years.clone())?;
    let count = on_hoops.first().map_or(0, |w| w.1.winters);
    let mut out = format!(
        "{name}, {} to {}, {count} winters\n\n\
         | | open | 50 g/m² on hoops | two layers on hoops | 50 g/m² on the plants | 30 cm of straw |\n\
         |---|--:|--:|--:|--:|--:|\n",
        years.start(),
        years.end()
    );
    for (((crop, ..), hoops), plants) in CROPS.iter().zip(&on_hoops).zip(&on_plants) {
        let of = |(covers, winter): &CropWinter, layers: u32| {
            let is = |c: &Cover| {
                c.layers == layers
                    && matches!(
                        c.lie,
                        Placement::LowTunnel { .. } | Placement::Floating | Placement::Drape
                    )
                    && c.cloth.is_some_and(|c| matches!(c.kind, SheetKind::RowCover { .. }))
            };
            covers.iter().position(is).map_or_else(|| "–".to_owned(), |i| told(winter, i + 1))
        };
        let straw = hoops.1.straw.map_or_else(|| "–".to_owned(), |s| winters_of(s.roots, count));
        let (open, one, two, floating) =
            (told(&hoops.1, 0), of(hoops, 1), of(hoops, 2), of(plants, 1));
        writeln!(out, "| {crop} | {open} | {one} | {two} | {floating} | {straw} |")?;
    }
    Ok(out)
}

/// Covers and winter of each crop.
fn winters(
    garden: &Garden,
    record: &StationRecord,
    years: std::ops::RangeInclusive<i16>,
) -> Result<Vec<CropWinter>, Box<dyn Error>> {
    let mut past = Past::new(garden, record, years, &|_| true, SEED)?;
    for batch in past.batches() {
        past.run(&batch, &|| ())?;
    }
    let year = plan(&past, RISK);
    let each = year.beds.iter().map(|bed| {
        let winter = bed.plantings.first().and_then(|p| p.winter.as_ref().ok()).cloned();
        Ok((bed.covers.clone(), winter.ok_or("a crop without a winter")?))
    });
    each.collect()
}

/// What came through under a choice: half of the tops, then what lives on in the ground.
fn told(winter: &Winter, choice: usize) -> String {
    let Some((tops, roots)) = winter.stood.get(choice) else { return "–".to_owned() };
    let of = |share: Option<f64>| {
        share.map_or_else(|| "–".to_owned(), |s| winters_of(s, winter.winters))
    };
    match winter.carry {
        Carry::Tops => of(*tops),
        Carry::Roots => of(*roots),
        Carry::Both | Carry::Crown => format!("{} ({})", of(*roots), of(*tops)),
    }
}

fn winters_of(share: f64, count: usize) -> String {
    format!("{:.0}", share * count as f64)
}

/// Beds of 85 cm, alike but for their crop, over hoops of fence wire or none.
fn garden(record: &StationRecord, hoops: bool) -> Result<Garden, Box<dyn Error>> {
    let place = record.station.place();
    let (latitude, elevation) = place
        .map_or((record.station.latitude_deg.unwrap_or(43.0), 200.0), |p| {
            (p.latitude_deg, p.elevation_m)
        });
    let mut text = format!(
        "name = \"Winters\"\nunits = \"metric\"\n[place]\nlatitude = {latitude}\nlongitude = -90\nelevation_m = {elevation}\n\
         zone = \"America/Chicago\"\n[site]\nsoil = \"loam\"\nexposure = \"open\"\ncold_spot_offset_c = 0\n\
         [labour]\npeople = 1\nminutes_each = 60\nworth_of_hour = 15\n"
    );
    for (crop, start, height) in CROPS {
        write!(
            text,
            "[[bed]]\nname = \"{crop}\"\nlength_m = 10\nwidth_cm = 85\nwetness = \"damp\"\n"
        )?;
        if hoops {
            text += "hoops = { material = \"soft wire\", wire_gauge = 10, length_cm = 193, bury_cm = 15, spacing_cm = 120, \
                     span_cm = 86 }\n";
        }
        write!(
            text,
            "[[bed.planting]]\ncrop = \"{crop}\"\nstart = \"{start}\"\nstage = \"established\"\nworth = 100\nheight_cm = {height}\n\
             ground_cover = 0.5\n"
        )?;
    }
    text += "[stock]\npins = 400\nclips = 40\nloose_mulch_m3 = 3\n\
             [[stock.sheet]]\nname = \"heavy\"\nkind = \"row cover\"\nweight_g_m2 = 50\nwidth_cm = 240\nlength_m = 16\ncount = 20\n\
             condition = \"good\"\n";
    let read = garden::file::read(&text);
    read.garden.ok_or_else(|| format!("{:?}", read.faults).into())
}
