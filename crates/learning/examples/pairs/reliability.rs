//! The stated error by lead held against forecasts for the place itself: spread, bands, and the chance of a low below 0 °C.

use std::error::Error;

use weather::error_model::sigma_air_k;
use weather::frost::normal::cdf;

use crate::sets::{LEADS, cities};

/// Edges of the chances.
const EDGES: [f64; 8] = [0.0, 0.05, 0.2, 0.4, 0.6, 0.8, 0.95, 1.0];

/// Lows are whole °F: those below 32 are 31 and less, in truth below 31.5.
const FREEZING_C: f64 = -0.5 / 1.8;

/// The tables.
pub fn tables() -> Result<String, Box<dyn Error>> {
    let cities = cities()?;
    let mut out = String::from(
        "Forecasts for the city itself, by lead: all, and said between −7 and +4 °C, on which the spread was chosen. Bias and standard deviation of what came less what was said, K; share of lows within the 50 % and 90 % band; Brier score of the chance of a low below 0 °C, and its skill over the share of such nights in the month.\n\n| lead | nights | bias | deviation | within 50, 90 % | −7 to +4 °C: bias | deviation | stated | within 50, 90 % | Brier score | skill |\n|---|--:|--:|--:|--:|--:|--:|--:|--:|--:|--:|\n",
    );
    let mut bins = vec![[[0.0; 3]; EDGES.len() - 1]; LEADS.len()];
    for (k, (lead, _)) in LEADS.iter().enumerate() {
        let sigma = sigma_air_k(*lead);
        let nights: Vec<(u16, f64, f64)> = cities
            .values()
            .flat_map(|c| &c.nights)
            .filter_map(|(day, n)| Some((month(*day), n.said_c[k]?, n.low_c?)))
            .collect();
        let frosty: Vec<_> =
            nights.iter().copied().filter(|n| (-20.0 / 3.0..=40.0 / 9.0).contains(&n.1)).collect();
        let mut base = [[0.0; 2]; 13];
        for (month, _, came) in &nights {
            base[usize::from(*month)][0] += 1.0;
            base[usize::from(*month)][1] += f64::from(u8::from(*came < FREEZING_C));
        }
        let (mut brier, mut rival) = (0.0, 0.0);
        for (month, said, came) in &nights {
            let chance = cdf((FREEZING_C - said) / sigma);
            let frost = f64::from(u8::from(*came < FREEZING_C));
            let [n, frosts] = base[usize::from(*month)];
            brier += (chance - frost).powi(2);
            rival += (frosts / n - frost).powi(2);
            let bin = EDGES.windows(2).position(|e| chance < e[1]).unwrap_or(EDGES.len() - 2);
            let of = &mut bins[k][bin];
            *of = [of[0] + 1.0, of[1] + chance, of[2] + frost];
        }
        let (bias, sd, half, nine) = spread(&nights, sigma);
        let (cold_bias, cold_sd, cold_half, cold_nine) = spread(&frosty, sigma);
        out += &format!(
            "| {lead:.0} h | {} | {bias:+.2} | {sd:.2} | {half:.0}, {nine:.0} | {cold_bias:+.2} | {cold_sd:.2} | {sigma:.2} | {cold_half:.0}, {cold_nine:.0} | {:.4} | {:.2} |\n",
            nights.len(),
            brier / nights.len() as f64,
            1.0 - brier / rival
        );
    }
    out += "\nOf the nights given such a chance of a low below 0 °C, so many had one: said on average, came.\n\n| chance |";
    LEADS.iter().for_each(|(lead, _)| out += &format!(" {lead:.0} h |"));
    out += "\n|---|--:|--:|--:|--:|\n";
    for (b, edge) in EDGES.windows(2).enumerate() {
        out += &format!("| {:.0} to {:.0} % |", 100.0 * edge[0], 100.0 * edge[1]);
        for of in &bins {
            let [n, said, came] = of[b];
            out += &format!(" {:.0} %, {:.0} % of {n:.0} |", 100.0 * said / n, 100.0 * came / n);
        }
        out.push('\n');
    }
    Ok(out)
}

/// Bias, standard deviation, and per cent within the two bands.
fn spread(nights: &[(u16, f64, f64)], sigma: f64) -> (f64, f64, f64, f64) {
    let n = nights.len() as f64;
    let errors = || nights.iter().map(|(_, said, came)| came - said);
    let bias = errors().sum::<f64>() / n;
    let sd = (errors().map(|e| (e - bias).powi(2)).sum::<f64>() / n).sqrt();
    let within = |z: f64| 100.0 * errors().filter(|e| e.abs() <= z * sigma).count() as f64 / n;
    (bias, sd, within(0.6745), within(1.6449))
}

/// Month of a day since 1970.
fn month(day: i64) -> u16 {
    let date = jiff::civil::Date::constant(1970, 1, 1);
    let span = jiff::Span::new().days(day);
    date.checked_add(span).map_or(0, |d| d.month().unsigned_abs().into())
}
