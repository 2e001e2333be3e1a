//! The second look after dark on measured nights, beside the handbook's regression; keeps `docs/limits.md` true.
//!
//! `cargo run --release -p learning --example second_look` prints the table and fails when the page says otherwise;
//! `-- --write` writes it into the page. Lows and readings are measured. No archive of hourly forecasts was at hand: each
//! forecast is the measured course less an error drawn from the error model, so its memory is taken for true here.

mod nights;

use std::error::Error;
use std::process::ExitCode;

use learning::constants::MOMENT_SIGMA_K;
use learning::evening::Errors;
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::constants::MEMORY_H;
use weather::error_model::{minimum_correction_k, sigma_air_k};

use nights::{MeasuredNight, Site};

const BEGIN: &str = "<!-- second look: written by `cargo run --release -p learning --example second_look -- --write` -->\n";
const END: &str = "<!-- end of second look -->\n";
/// Hours of the local day at which the night is looked at; from noon on.
const LOOKS: [f64; 5] = [16.0, 18.0, 20.0, 22.0, 24.0];
/// Forecasts drawn a night.
const DRAWS: usize = 16;
/// Evenings colder than this two hours after sunset are looked at, °C.
const COLD_EVENING_C: f64 = 10.0;

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let Some(data) = measured_data::folder("hourly") else { return Ok(ExitCode::SUCCESS) };
    let mut out = String::from(
        "RMSE of the night's low, K, as seen at local hours, readings on the hour since sunset drawn on; evenings below 10 °C two hours after sunset. The handbook's regression (FAO 2005) knows the air and the dew point two hours after sunset and no forecast.\n\n| site | fitted on | nights | 16 h | 18 h | 20 h | 22 h | 24 h | within 90 % at 22 h | handbook |\n|---|---|--:|--:|--:|--:|--:|--:|--:|--:|\n",
    );
    let mut kept = true;
    for site in nights::sites(&data)? {
        let (row, narrows) = judged(&site);
        out += &row;
        kept &= narrows;
    }
    print!("{out}");
    let told = measured_data::page::keep(BEGIN, END, &out)?;
    Ok(if kept && told { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The row of a site, and whether every look is at least as good as the one before.
fn judged(site: &Site) -> (String, bool) {
    let cold = |n: &&MeasuredNight| n.air_at(2.0).is_some_and(|t| t < COLD_EVENING_C);
    let fit: Vec<&MeasuredNight> = site.fitted.iter().filter(cold).collect();
    let tested: Vec<&MeasuredNight> = site.tested.iter().filter(cold).collect();
    let handbook = Handbook::fit(&fit);
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(1);
    let mut squares = [0.0; LOOKS.len()];
    let (mut n, mut inside, mut rival) = (0.0, 0.0, (0.0, 0.0));
    for night in &tested {
        if let Some(said) = handbook.low_c(night) {
            rival = (rival.0 + (said - night.low_c()).powi(2), rival.1 + 1.0);
        }
        for _ in 0..DRAWS {
            let looked = Looked::new(night, &mut || StandardNormal.sample(&mut rng));
            for (square, look) in squares.iter_mut().zip(LOOKS) {
                let (low, spread) = looked.low_c(look);
                let off = low - night.low_c();
                *square += off * off;
                if look == 22.0 {
                    inside += f64::from(u8::from(off.abs() < 1.645 * spread));
                }
            }
            n += 1.0;
        }
    }
    let rmse = squares.map(|s: f64| (s / n).sqrt());
    let mut row = format!("| {} | {} | {} |", site.name, site.fitted_on, tested.len());
    rmse.iter().for_each(|r| row += &format!(" {r:.2} |"));
    row += &format!(" {:.0} % | {:.2} |\n", 100.0 * inside / n, (rival.0 / rival.1).sqrt());
    (row, rmse.windows(2).all(|w| w[1] <= w[0] + 0.01))
}

/// A night with a forecast of it.
struct Looked<'a> {
    night: &'a MeasuredNight,
    forecast_c: Vec<f64>,
    sigma_k: Vec<f64>,
}

impl<'a> Looked<'a> {
    /// Forecast = measured less a drawn error, raised so that its low errs as a low does.
    fn new(night: &'a MeasuredNight, normal: &mut impl FnMut() -> f64) -> Self {
        // Issued at noon.
        let sigma_k: Vec<f64> =
            night.hours.iter().map(|h| sigma_air_k((h - 12.0).max(0.0))).collect();
        let mut x = normal();
        let mut last = night.hours.first().copied().unwrap_or_default();
        let mut errors = Vec::new();
        for (h, s) in night.hours.iter().zip(&sigma_k) {
            let phi = (-(h - last) / MEMORY_H).exp();
            x = phi * x + (1.0 - phi * phi).max(0.0).sqrt() * normal();
            last = *h;
            errors.push(-s * x);
        }
        let raise = minimum_correction_k(&night.air_c, &errors);
        let forecast_c = night.air_c.iter().zip(&errors).map(|(t, e)| t + e + raise).collect();
        Self { night, forecast_c, sigma_k }
    }

    /// The low as seen at an hour, and its spread.
    fn low_c(&self, look: f64) -> (f64, f64) {
        let n = self.night;
        let none = vec![0.0; n.hours.len()];
        let errors = Errors {
            hours: &n.hours,
            sigma_k: &self.sigma_k,
            memory_h: MEMORY_H,
            offset_sigma_k: 0.0,
            shows: &none,
            shows_sigma_k: 0.0,
        };
        let whole = |h: f64| (h - h.round()).abs() < 1e-6;
        let read: Vec<usize> =
            (0..n.hours.len()).filter(|k| n.hours[*k] <= look && whole(n.hours[*k])).collect();
        let weights = errors.weights(&read, MOMENT_SIGMA_K);
        let off: Vec<f64> = read.iter().map(|r| n.air_c[*r] - self.forecast_c[*r]).collect();
        let course = (0..n.hours.len()).map(|k| {
            let moves: f64 = weights[k].iter().zip(&off).map(|(w, o)| w * o).sum();
            (k, self.forecast_c[k] + moves)
        });
        let coldest = course
            .filter(|(k, _)| n.hours[*k] > look || read.is_empty())
            .min_by(|a, b| a.1.total_cmp(&b.1));
        let so_far = read.iter().map(|r| n.air_c[*r]).fold(f64::INFINITY, f64::min);
        match coldest {
            Some((k, low)) => (low.min(so_far), errors.left_k(k, &read, &weights)),
            None => (so_far, 0.0),
        }
    }
}

/// Snyder & de Melo-Abreu, FAO 2005: the low regressed on the air two hours after sunset, what is left on the dew point.
struct Handbook {
    slope: f64,
    dew_slope: f64,
    base: f64,
}

impl Handbook {
    fn fit(nights: &[&MeasuredNight]) -> Self {
        let of: Vec<[f64; 3]> = nights
            .iter()
            .filter_map(|n| Some([n.air_at(2.0)?, n.dew_at(2.0)?, n.low_c()]))
            .collect();
        let (a, slope) = line(of.iter().map(|n| (n[0], n[2])));
        let (d, dew_slope) = line(of.iter().map(|n| (n[1], n[2] - a - slope * n[0])));
        Self { slope, dew_slope, base: a + d }
    }

    fn low_c(&self, night: &MeasuredNight) -> Option<f64> {
        Some(self.slope * night.air_at(2.0)? + self.dew_slope * night.dew_at(2.0)? + self.base)
    }
}

/// Least squares: where the line crosses zero, and its slope.
fn line(pairs: impl Iterator<Item = (f64, f64)> + Clone) -> (f64, f64) {
    let n = pairs.clone().count() as f64;
    let (x, y) = pairs.clone().fold((0.0, 0.0), |s, p| (s.0 + p.0 / n, s.1 + p.1 / n));
    let (xy, xx) =
        pairs.fold((0.0, 0.0), |s, p| (s.0 + (p.0 - x) * (p.1 - y), s.1 + (p.0 - x) * (p.0 - x)));
    (y - xy / xx * x, xy / xx)
}
