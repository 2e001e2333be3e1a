//! The error model does what it says.

use quantities::{Interval, Moment, WeatherHour};
use weather::constants::MEMORY_H;
use weather::error_model::{draw, minimum_correction_k, sigma_air_k};

/// A small fixed generator: splitmix64 and Box–Muller.
fn normals() -> impl FnMut() -> f64 {
    let mut state = 7_u64;
    let mut uniform = move || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
    };
    move || (-2.0 * (1.0 - uniform()).ln()).sqrt() * (std::f64::consts::TAU * uniform()).cos()
}

#[test]
fn spread_and_memory_are_as_stated() {
    let start = Moment(1_800_000_000);
    let hours: Vec<WeatherHour> = (0..60)
        .map(|k| WeatherHour::unknown(Interval::hour_from(start.plus_seconds(3600 * k))))
        .collect();
    let mut normal = normals();
    let draws: Vec<Vec<f64>> = (0..20_000)
        .map(|_| draw(&hours, start, &mut normal).iter().map(|e| e.air_k).collect())
        .collect();
    let moment = |i: usize, j: usize| draws.iter().map(|d| d[i] * d[j]).sum::<f64>() / 20_000.0;
    for i in [0, 24, 48] {
        // 20 000 draws give σ to about 0.5 %.
        let sigma = moment(i, i).sqrt();
        assert!((sigma / sigma_air_k(i as f64) - 1.0).abs() < 0.02, "{i} {sigma}");
    }
    let correlation = moment(6, 12) / (moment(6, 6) * moment(12, 12)).sqrt();
    assert!((correlation - (-6.0 / MEMORY_H).exp()).abs() < 0.02, "{correlation}");
}

/// The spread of the table is that of nightly minima (see the module): so the least of each drawn night must have the
/// forecast minimum as its mean and σ(lead) as its spread. Drawn hour by hour alone, a flat night comes out over 1 K too cold.
#[test]
fn drawn_minima_err_as_stated() {
    let start = Moment(1_800_000_000);
    let hours: Vec<WeatherHour> = (0..16)
        .map(|k| WeatherHour::unknown(Interval::hour_from(start.plus_seconds(3600 * k))))
        .collect();
    let mut normal = normals();
    let steep: Vec<f64> = (0..16).map(|k| 8.0 - 0.8 * f64::from(k.min(13))).collect();
    let flat: Vec<f64> = (0..16).map(|k| if k == 9 { -0.01 } else { 0.0 }).collect();
    for (course, coldest) in [(&steep, 13), (&flat, 9)] {
        let minima = |raise: bool, normal: &mut dyn FnMut() -> f64| -> (f64, f64) {
            let lows: Vec<f64> = (0..20_000)
                .map(|_| {
                    let e: Vec<f64> =
                        draw(&hours, start, &mut &mut *normal).iter().map(|e| e.air_k).collect();
                    let k = if raise { minimum_correction_k(course, &e) } else { 0.0 };
                    assert!(k >= 0.0);
                    let warmer = course.iter().zip(&e).map(|(t, e)| t + e + k);
                    warmer.fold(f64::INFINITY, f64::min)
                })
                .collect();
            let mean = lows.iter().sum::<f64>() / 20_000.0;
            let square = lows.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 20_000.0;
            (mean - course[coldest], square.sqrt())
        };
        let (before, _) = minima(false, &mut normal);
        let (bias, spread) = minima(true, &mut normal);
        println!("hour by hour {before:.2} K, raised {bias:.3} K, spread {spread:.3} K");
        assert!(before < -0.1 && bias.abs() < 0.05, "{before} {bias}");
        assert!((spread / sigma_air_k(coldest as f64) - 1.0).abs() < 0.02, "{spread}");
    }
    assert!(minimum_correction_k(&[], &[]).abs() < 1e-12);
}

#[test]
fn errors_grow_with_lead_and_stay_in_the_published_range() {
    assert!((1.5..=2.0).contains(&sigma_air_k(12.0)));
    assert!((sigma_air_k(48.0) - 1.94).abs() < 1e-12 && (sigma_air_k(168.0) - 3.5).abs() < 1e-12);
    assert!((0..200).all(|h| sigma_air_k(f64::from(h + 1)) >= sigma_air_k(f64::from(h))));
}

/// Standard deviation of observed less forecast lows by lead, and the correlation of two nights of one forecast, on the
/// forecasts for US cities that the table was chosen on: it repeats them.
#[test]
fn measured_errors_by_lead() {
    let Some(bytes) = measured_data::file("pairs/nws_lows_2021.csv.gz") else { return };
    let mut rows = csv::Reader::from_reader(&bytes[..]);
    let names = rows.headers().unwrap().clone();
    let place = |name: &str| names.iter().position(|n| n == name).unwrap();
    let leads = [
        (12.0, "forecast_lo_current_PM"),
        (24.0, "forecast_lo_current_AM"),
        (36.0, "forecast_lo_prev_PM"),
        (48.0, "forecast_lo_prev_AM"),
    ]
    .map(|(h, name)| (h, place(name)));
    let low = place("actual_lo_next_AM");
    let mut errors: [Vec<f64>; 4] = Default::default();
    for row in rows.records() {
        let row = row.unwrap();
        let Ok(came) = row[low].parse::<f64>() else { continue };
        for (k, (_, column)) in leads.iter().enumerate() {
            let said = row[*column].parse::<f64>().ok().filter(|f| (20.0..=40.0).contains(f));
            errors[k].extend(said.map(|f| (came - f) / 1.8));
        }
    }
    for ((lead, _), errors) in leads.iter().zip(&errors) {
        let n = errors.len() as f64;
        let mean = errors.iter().sum::<f64>() / n;
        let sd = (errors.iter().map(|e| (e - mean).powi(2)).sum::<f64>() / n).sqrt();
        println!(
            "{lead} h: {n} forecasts, bias {mean:+.2}, sd {sd:.3} of {:.3}",
            sigma_air_k(*lead)
        );
        assert!((sd / sigma_air_k(*lead) - 1.0).abs() < 0.05, "{lead}: {sd}");
    }
}
