//! Frost dates of every station file in a folder, and beside NOAA's published normals where those lie in it too.
//!
//! `cargo run -p weather --example frost_dates -- <folder>`

use std::path::Path;

use weather::frost::{Dates, FrostDates, Method};
use weather::{StationRecord, station};

const THRESHOLDS_F: [f64; 5] = [36.0, 32.0, 28.0, 24.0, 20.0];
const DRAWS: usize = 200;
const SEED: u64 = 1;

type Outcome = Result<(), Box<dyn std::error::Error>>;

fn main() -> Outcome {
    let folder = std::env::args().nth(1).ok_or("usage: frost_dates <folder>")?;
    let folder = Path::new(&folder);
    let mut files: Vec<_> =
        std::fs::read_dir(folder)?.filter_map(|e| Some(e.ok()?.path())).collect();
    files.sort();
    for path in files.iter().filter(|p| p.extension().is_some_and(|e| e == "csv" || e == "dly")) {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        match station::read(&std::fs::read(path)?) {
            Ok(record) => show(folder, &name, &record)?,
            Err(e) => println!("{name}: {e}\n"),
        }
    }
    Ok(())
}

fn show(folder: &Path, name: &str, record: &StationRecord) -> Outcome {
    println!("{name}: {} to {}, in {}", record.first(), record.last(), record.unit);
    for notice in &record.notices {
        println!("  {notice}");
    }
    println!(
        "  °F | event        | years with/counted | P10   P50 (5 to 95 %)        P90   | days per decade (p) | median, last 30 years"
    );
    let latitude = record.station.latitude_deg.unwrap_or(40.0);
    for threshold in THRESHOLDS_F {
        let dates = FrostDates::from_record(record, (threshold - 32.0) / 1.8, latitude);
        line(threshold, "last spring", &dates.last_spring);
        line(threshold, "first autumn", &dates.first_autumn);
        if let (Some(q), Some(t)) = (dates.season.quantile(0.5), dates.season.trend()) {
            println!(
                "  {threshold} | season       | median {q:.0} days, {:+.1} days per decade (p {:.3})",
                t.per_decade, t.p_value
            );
        }
    }
    // The identifier is in the rows or in the name of the file.
    let id = record.station.id.clone();
    let id = id.or_else(|| name.split('_').find(|p| p.len() == 11).map(str::to_owned));
    if let Some(id) = id {
        published(folder, &id, record, latitude)?;
    }
    println!();
    Ok(())
}

fn line(threshold: f64, what: &str, dates: &Dates) {
    let shown = |day: Option<f64>| {
        day.map_or("  -  ".to_owned(), |d| {
            let (m, d) = dates.month_day(d);
            format!("{m:02}/{d:02}")
        })
    };
    let q = |p: f64| shown(dates.conditional(p, Method::Empirical));
    let interval = dates.intervals(&[0.5], DRAWS, SEED).into_iter().next().flatten();
    let sure = interval
        .map_or(String::new(), |i| format!("({} to {})", shown(Some(i.low)), shown(Some(i.high))));
    let trend =
        dates.trend().map_or(String::new(), |t| format!("{:+.1} ({:.3})", t.per_decade, t.p_value));
    let with = dates.events().iter().filter(|e| e.season_day.is_some()).count();
    let recent = shown(dates.recent(30).conditional(0.5, Method::Empirical));
    println!(
        "  {threshold} | {what:12} | {with}/{} {:?} | {} {} {sure} {} | {trend} | {recent}",
        dates.counted(),
        dates.standing(),
        q(0.1),
        q(0.5),
        q(0.9),
    );
}

/// Differences from NOAA's normals 1981–2010 at 32 °F.
fn published(folder: &Path, id: &str, record: &StationRecord, latitude_deg: f64) -> Outcome {
    let dates = FrostDates::from_record(record, 0.0, latitude_deg).between(1981..=2010);
    if dates.last_spring.counted() < 24 {
        return Ok(());
    }
    for p in [50_u8, 90] {
        let share = f64::from(p) / 100.0;
        for (element, dates, of) in
            [("prblst", &dates.last_spring, 1.0 - share), ("prbfst", &dates.first_autumn, share)]
        {
            let path =
                folder.join(format!("noaa_normals_1981-2010_ann-tmin-{element}-t32Fp{p}.txt"));
            let Ok(text) = std::fs::read_to_string(path) else { continue };
            let cell = text
                .lines()
                .find(|l| l.starts_with(id))
                .and_then(|l| l.get(11..))
                .unwrap_or("")
                .trim();
            let Some((m, d)) = cell.get(..5).and_then(|c| c.split_once('/')) else { continue };
            let wanted = dates.season_day(m.parse()?, d.parse()?);
            let got = dates.conditional(of, Method::Empirical);
            if let (Some(wanted), Some(got)) = (wanted, got) {
                let (gm, gd) = dates.month_day(got);
                println!(
                    "  published {element} P{p} 1981–2010: {cell}, counted {gm:02}/{gd:02}, {:+.1} days",
                    got - wanted
                );
            }
        }
    }
    Ok(())
}
