//! Several forecasts for one place as one: their mean, and how far they are apart.

use quantities::{Origin, Reading, WeatherHour};

use crate::forecast::{Forecast, Notice};

/// One forecast made of several.
#[derive(Clone, Debug, PartialEq)]
pub struct Combined {
    /// Their mean, over the hours of the first.
    pub forecast: Forecast,
    /// How far apart their air temperatures are: the root of the mean square distance from their mean, K; 0 for one alone.
    pub disagreement_k: f64,
}

/// The mean of `first` and `others` hour by hour and quantity by quantity, each as many as know it, all alike in weight.
///
/// Error of the mean: σ² + d², the variance of as many equally likely forecasts with an error of σ each, d as below. So
/// forecasts that agree leave σ as it is. From memory (linear opinion pool); no pairs of several services were at hand.
/// d² = mean over hours of Σ (T_i − T̄)²/n. Wind at another height than the first's is left out.
/// Checked by `combined::two_forecasts_by_hand`.
/// Equation 83 of docs/science.md.
#[must_use]
pub fn combine(first: Forecast, others: &[Forecast]) -> Combined {
    let (mut squares, mut hours) = (0.0, 0.0);
    let mean_hour = |hour: &WeatherHour| {
        let same = |f: &Forecast| {
            let at = f.hours.iter().find(|h| h.interval.start == hour.interval.start).copied();
            at.map(|h| {
                let wind = (f.wind_height_m - first.wind_height_m).abs() < 0.5;
                WeatherHour {
                    wind_speed_m_s: h.wind_speed_m_s.filter(|_| wind),
                    wind_gust_m_s: h.wind_gust_m_s.filter(|_| wind),
                    ..h
                }
            })
        };
        let all: Vec<WeatherHour> =
            std::iter::once(*hour).chain(others.iter().filter_map(same)).collect();
        let air: Vec<f64> =
            all.iter().filter_map(|h| h.air_temperature_c).map(|r| r.value).collect();
        if air.len() > 1 {
            let mean = air.iter().sum::<f64>() / air.len() as f64;
            squares += air.iter().map(|t| (t - mean).powi(2)).sum::<f64>() / air.len() as f64;
            hours += 1.0;
        }
        let of = |get: fn(&WeatherHour) -> Option<Reading>| mean(all.iter().filter_map(get));
        WeatherHour {
            interval: hour.interval,
            air_temperature_c: of(|h| h.air_temperature_c),
            dew_point_c: of(|h| h.dew_point_c),
            relative_humidity: of(|h| h.relative_humidity),
            wind_speed_m_s: of(|h| h.wind_speed_m_s),
            wind_gust_m_s: of(|h| h.wind_gust_m_s),
            cloud_fraction: of(|h| h.cloud_fraction),
            shortwave_w_m2: of(|h| h.shortwave_w_m2),
            precipitation_mm: of(|h| h.precipitation_mm),
            snowfall_m: of(|h| h.snowfall_m),
        }
    };
    if others.is_empty() {
        return Combined { forecast: first, disagreement_k: 0.0 };
    }
    let mean_hours = first.hours.iter().map(mean_hour).collect();
    let told = format!(
        "The mean of {} forecasts is taken; where they differ, chances are wider.",
        others.len() + 1
    );
    let notices = first.notices.iter().cloned().chain([Notice(told)]).collect();
    // The oldest has the longest lead.
    let issued = others.iter().filter_map(|f| f.issued).chain(first.issued).min();
    Combined {
        forecast: Forecast { hours: mean_hours, notices, issued, ..first },
        disagreement_k: if hours > 0.0 { f64::sqrt(squares / hours) } else { 0.0 },
    }
}

fn mean(readings: impl Iterator<Item = Reading> + Clone) -> Option<Reading> {
    let first = readings.clone().next()?;
    let n = readings.clone().count();
    if n == 1 {
        return Some(first);
    }
    let value = readings.map(|r| r.value).sum::<f64>() / n as f64;
    Some(Reading { value, origin: Origin::Derived, ..first })
}
