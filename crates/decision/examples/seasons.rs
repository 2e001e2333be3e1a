//! Past seasons of a garden at a station, on the terminal: `cargo run --release -p decision --example seasons -- STATION.csv 1991 2020`.

use decision::season::{Replay, score, standing};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut args = std::env::args().skip(1);
    let record = weather::station::read(&std::fs::read(args.next().ok_or("a station file")?)?)?;
    let mut year = || args.next().and_then(|a| a.parse().ok()).ok_or("a year");
    let (from, to): (i16, i16) = (year()?, year()?);
    let text = include_str!("../../../demo/wisconsin/garden.toml");
    let garden = garden::file::read(text).garden.ok_or("a garden")?;
    let stands = standing::by_hardiness(&garden, &record);
    for s in &stands {
        println!("{:20} {:?}", garden.beds[s.bed].name, (s.from_day, s.to_day));
    }
    let replay = Replay::new(&garden, &record, &stands, from..=to, 1)?;
    println!(
        "{} kinds, covers {:?}",
        replay.kinds.len(),
        replay.kinds.iter().map(|k| k.covers.len()).collect::<Vec<_>>()
    );
    let mut years = Vec::new();
    for block in replay.blocks() {
        let t = std::time::Instant::now();
        let weather = replay.weather(block);
        let a = t.elapsed();
        let tables = replay.tables(&weather)?;
        let b = t.elapsed();
        println!("nights {:?}", tables.iter().map(|t| t.days.len()).collect::<Vec<_>>());
        for t in &tables {
            println!(
                "response {:?}",
                t.response
                    .iter()
                    .map(|r| format!("{:.2}±{:.2} {:.2}", r.mean, r.sd, r.soil))
                    .collect::<Vec<_>>()
            );
        }
        let out = replay.block(block)?;
        println!(
            "weather {a:?}, nights {:?}, all again {:?}; {:?}",
            b - a,
            t.elapsed() - b,
            out.books
        );
        years.extend(out.years);
    }
    if let Some(scores) = score::scores(&years, 1) {
        for s in scores.each {
            println!(
                "{:32} {:?} {:?} {:?} {:?}",
                s.policy.key(),
                s.mean,
                s.cost_spread,
                s.value,
                s.value_spread
            );
        }
    }
    let bound: f64 = years.iter().map(|y| y.bound).sum::<f64>() / years.len() as f64;
    println!("bound {bound:.1}; counted {:?}", years.first().map(|y| y.counted));
    Ok(())
}
