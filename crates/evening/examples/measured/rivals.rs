//! The coldest surface of each night beside three rivals: the air minimum, that less a fitted offset, and a regression.
//!
//! What is fitted is fitted on the other groups (years, or halves of a year) of the same site.

use crate::table::Pairs;

/// Terms of the regression beside the constant.
pub const TERMS: usize = 5;

/// One night of a site.
#[derive(Clone, Debug)]
pub struct Night {
    /// Which year, or which part of one.
    pub group: usize,
    /// Measured, °C.
    pub measured: f64,
    /// The model's, °C.
    pub said: f64,
    /// Lowest air, range of the air since the afternoon, dew point below the lowest air, mean wind, mean cloud; where a site
    /// has no wind, the sun of the day before.
    pub terms: [f64; TERMS],
    /// Clear, and calm where the wind is known.
    pub clear_calm: bool,
}

impl Night {
    fn air_c(&self) -> f64 {
        self.terms[0]
    }
}

/// Nights of air below this count as cold, °C.
const COLD_C: f64 = 4.0;

/// What nights count, which do, and the aims for bias and RMSE.
type Kind = (&'static str, fn(&Night) -> bool, f64, f64);

/// The table's head.
pub const HEAD: &str = "| site, season | nights | n | bias | RMSE | air minimum | with offset | regression | aim |\n\
    |---|---|--:|--:|--:|--:|--:|--:|---|\n";

/// Rows for each group of a site: all nights, clear calm ones, cold ones.
pub fn rows(site: &str, groups: &[&str], nights: &[Night]) -> String {
    let mut out = String::new();
    for (group, name) in groups.iter().enumerate() {
        let others: Vec<&Night> = nights.iter().filter(|n| n.group != group).collect();
        let offset = mean(&others, |n| n.measured - n.air_c());
        let line = least_squares(&others);
        let kinds: [Kind; 3] = [
            ("all", |_| true, 0.5, 1.3),
            ("clear, calm", |n| n.clear_calm, f64::INFINITY, 1.6),
            ("air below 4 °C", |n| n.air_c() < COLD_C, 0.7, f64::INFINITY),
        ];
        for (kind, counts, bias, rmse) in kinds {
            let here: Vec<&Night> =
                nights.iter().filter(|n| n.group == group && counts(n)).collect();
            if here.len() < 5 {
                continue;
            }
            let of = |said: &dyn Fn(&Night) -> f64| {
                let mut pairs = Pairs::default();
                for night in &here {
                    pairs.add(said(night), night.measured);
                }
                pairs
            };
            let model = of(&|n| n.said);
            let met = model.bias().abs() <= bias && model.rmse() <= rmse;
            let aim = match (bias.is_finite(), rmse.is_finite()) {
                (true, true) => format!("bias ±{bias}, RMSE {rmse}"),
                (false, _) => format!("RMSE {rmse}"),
                (true, false) => format!("bias ±{bias}"),
            };
            let fitted = match &line {
                Some(line) => format!("{:.2}", of(&|n| value(line, n)).rmse()),
                None => "–".to_owned(),
            };
            out.push_str(&format!(
                "| {site}, {name} | {kind} | {} | {:+.2} | {:.2} | {:.2} | {:.2} | {fitted} | {aim}: {} |\n",
                here.len(),
                model.bias(),
                model.rmse(),
                of(&Night::air_c).rmse(),
                of(&|n| n.air_c() + offset).rmse(),
                if met { "met" } else { "**missed**" },
            ));
        }
    }
    out
}

fn mean(nights: &[&Night], of: impl Fn(&Night) -> f64) -> f64 {
    nights.iter().map(|n| of(n)).sum::<f64>() / nights.len().max(1) as f64
}

fn row(night: &Night) -> [f64; TERMS + 1] {
    std::array::from_fn(|i| if i < TERMS { night.terms[i] } else { 1.0 })
}

fn value(line: &[f64; TERMS + 1], night: &Night) -> f64 {
    line.iter().zip(row(night)).map(|(a, x)| a * x).sum()
}

/// Least squares by the normal equations; `None` with too few nights, or terms that say the same.
fn least_squares(nights: &[&Night]) -> Option<[f64; TERMS + 1]> {
    const N: usize = TERMS + 1;
    if nights.len() < 3 * N {
        return None;
    }
    let (mut a, mut b) = ([[0.0; N]; N], [0.0; N]);
    for night in nights {
        let x = row(night);
        for i in 0..N {
            b[i] += x[i] * night.measured;
            for j in 0..N {
                a[i][j] += x[i] * x[j];
            }
        }
    }
    for k in 0..N {
        if a[k][k].abs() < 1e-9 {
            return None;
        }
        let pivot = a[k];
        for i in k + 1..N {
            let m = a[i][k] / pivot[k];
            for (here, above) in a[i].iter_mut().zip(pivot).skip(k) {
                *here -= m * above;
            }
            b[i] -= m * b[k];
        }
    }
    for k in (0..N).rev() {
        for j in k + 1..N {
            b[k] -= a[k][j] * b[j];
        }
        b[k] /= a[k][k];
    }
    Some(b)
}
