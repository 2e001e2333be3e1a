//! Many possible nights: forecast error by lead time, the garden's cold spot, and what the model does not know.
//!
//! Reproducible: the same seed gives the same nights.

use garden::bed::Wetness;
use garden::garden::Site;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::moist_air::saturation_vapour_pressure_kpa;
use microclimate::real::Real;
use microclimate::{Draws, Forcing, parameters::STEP_S, sky, sun};
use quantities::{Moment, Place, WeatherHour};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::Forecast;
use weather::error_model::{HourError, draw, raised_k};

use crate::error::LONGEST_GAP_H;
use crate::priors::{self, UNKNOWNS};
use crate::series::Series;

/// The forecast as lines, and what stands in for what it lacks.
#[derive(Clone, Debug)]
pub struct ForecastSeries {
    air: Series,
    dew: Series,
    wind: Series,
    cloud: Series,
    sun: Series,
    place: Place,
}

impl ForecastSeries {
    /// The lines of a run of hours.
    #[must_use]
    pub fn new(hours: &[WeatherHour], place: Place) -> Self {
        Self {
            air: Series::of(hours, |h| h.air_temperature_c),
            dew: Series::of(hours, |h| h.dew_point_c),
            wind: Series::of(hours, |h| h.wind_speed_m_s),
            cloud: Series::of(hours, |h| h.cloud_fraction),
            sun: Series::of(hours, |h| h.shortwave_w_m2),
            place,
        }
    }

    /// The lines of a forecast for one night. A quantity that is silent for more than six hours of it counts
    /// as missing: a value from before the gap is not carried through.
    #[must_use]
    pub fn of_night(hours: &[WeatherHour], place: Place, from: Moment, to: Moment) -> Self {
        let mut sky = Self::new(hours, place);
        for line in [&mut sky.dew, &mut sky.wind, &mut sky.cloud, &mut sky.sun] {
            if line.longest_gap_h(from, to) > LONGEST_GAP_H {
                *line = Series::default();
            }
        }
        sky
    }

    /// Air temperature as forecast, °C.
    #[must_use]
    pub fn air_c(&self, at: Moment) -> Option<f64> {
        self.air.at(at)
    }

    /// The line of air temperatures.
    #[must_use]
    pub fn air(&self) -> &Series {
        &self.air
    }

    /// Wind as forecast, m/s.
    #[must_use]
    pub fn wind_m_s(&self, at: Moment) -> Option<f64> {
        self.wind.at(at)
    }

    /// Cloud as forecast.
    #[must_use]
    pub fn cloud(&self, at: Moment) -> Option<f64> {
        self.cloud.at(at)
    }

    /// What is missing altogether and therefore drawn from a wide prior, in whole sentences.
    #[must_use]
    pub fn notices(&self) -> Vec<String> {
        let mut out = Vec::new();
        if self.dew.is_empty() {
            out.push("No humidity in the forecast: dew point drawn from 0 to 10 K below the night's air; chances are wider.".into());
        }
        if self.wind.is_empty() {
            out.push("No wind in the forecast: drawn from calm to fresh (median 1.5 m/s); chances are wider.".into());
        }
        if self.cloud.is_empty() {
            out.push(
                "No cloud in the forecast: drawn from clear to overcast alike; chances are wider."
                    .into(),
            );
        }
        out
    }

    /// The weather of one member at a moment, its errors added.
    fn member(&self, at: Moment, m: &Member, error: &HourError, clear_sun: f64) -> [f64; 5] {
        let forecast_air = self.air.at(at).unwrap_or(0.0);
        let cloud = (self.cloud.at(at).unwrap_or(m.stand_in[0]) + error.cloud).clamp(0.0, 1.0);
        let wind = (self.wind.at(at).unwrap_or(m.stand_in[1]) * error.wind_factor).clamp(0.0, 40.0);
        // A cold spot shows on clear calm nights: (1 − c)/(1 + (u/2)²) of it (from memory), none in sun.
        let shows =
            if clear_sun > 1.0 { 0.0 } else { (1.0 - cloud) / (1.0 + (0.5 * wind).powi(2)) };
        let air = (forecast_air + error.air_k + m.cold_spot_k * shows).clamp(-60.0, 55.0);
        let dew = self.dew.at(at).unwrap_or(m.stand_in[2]) + error.dew_point_k;
        let light = self.sun.at(at).unwrap_or_else(|| clear_sun * sky::cloud_light(cloud));
        let vapour = saturation_vapour_pressure_kpa(dew.clamp(-60.0, air));
        let sky = sky::longwave_w_m2(air, vapour, cloud, m.sky_emissivity);
        [air, vapour, wind, sky, light]
    }
}

/// What one possible night draws.
#[derive(Clone, Copy, Debug)]
struct Member {
    cold_spot_k: f64,
    /// Cloud, wind, dew point where the forecast has none.
    stand_in: [f64; 3],
    /// Standard normal numbers for the model's own unknowns.
    model: [f64; UNKNOWNS],
    /// Added to the clear-sky emissivity: formulas differ by ±.05 near 0 °C.
    sky_emissivity: f64,
    /// Added to every tissue, K: what the model is off by.
    model_error_k: f64,
    /// Added to the soil at the start, in units of its own spread.
    soil: f64,
}

/// Possible nights, eight side by side.
#[derive(Clone, Debug)]
pub struct Ensemble {
    /// First moment.
    pub start: Moment,
    /// Weather by block of sixteen members and step.
    pub forcing: Vec<Vec<Forcing<Lanes>>>,
    members: Vec<[Member; WIDTH]>,
}

impl Ensemble {
    /// Draws at least `members` nights from `start` over `steps` steps; their minima are centred on the forecast's.
    /// Checked by `tonight::the_drawn_nights_are_no_colder_than_the_forecast`.
    #[must_use]
    pub fn draw(
        sky: &ForecastSeries,
        forecast: &Forecast,
        site: &Site,
        start: Moment,
        steps: usize,
        members: usize,
        seed: u64,
    ) -> Self {
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
        let issued = forecast.issued.unwrap_or_else(|| {
            forecast.hours.first().map_or(start, |h| h.interval.start).min(start)
        });
        let first = forecast.hours.first().map_or(start, |h| h.interval.start);
        let course: Vec<f64> =
            (0..steps).map(|k| sky.air_c(at_step(start, k)).unwrap_or(f64::INFINITY)).collect();
        let lowest = course.iter().copied().fold(f64::INFINITY, f64::min);
        let clear: Vec<f64> = (0..steps)
            .map(|k| {
                sun::position(&sky.place, at_step(start, k))
                    .map_or(0.0, |p| microclimate::sky::clear_sunlight_w_m2(p.zenith_deg))
            })
            .collect();
        let mut forcing = Vec::new();
        let mut all = Vec::new();
        for _ in 0..members.div_ceil(WIDTH) {
            let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
            let block: [(Member, Vec<HourError>); WIDTH] = std::array::from_fn(|_| {
                let member = Member::draw(site, lowest, &mut normal);
                let hours = draw(&forecast.hours, issued, &mut normal);
                (member, levelled(&course, &errors_by_step(&hours, first, start, steps)))
            });
            forcing.push(
                (0..steps)
                    .map(|k| {
                        let at = at_step(start, k);
                        let each: [[f64; 5]; WIDTH] = std::array::from_fn(|i| {
                            sky.member(at, &block[i].0, &block[i].1[k], clear[k])
                        });
                        lanes(&each)
                    })
                    .collect(),
            );
            all.push(std::array::from_fn(|i| block[i].0));
        }
        Self { start, forcing, members: all }
    }

    /// The forecast itself, without error, for `steps` steps from `start`: for the days before and the day after.
    #[must_use]
    pub fn plain(sky: &ForecastSeries, start: Moment, steps: usize) -> Vec<Forcing<Lanes>> {
        let still = HourError { air_k: 0.0, dew_point_k: 0.0, wind_factor: 1.0, cloud: 0.0 };
        (0..steps)
            .map(|k| {
                let at = at_step(start, k);
                let clear = sun::position(&sky.place, at)
                    .map_or(0.0, |p| microclimate::sky::clear_sunlight_w_m2(p.zenith_deg));
                let low = sky.air_c(at).unwrap_or(0.0) - 3.0;
                let member = Member {
                    cold_spot_k: 0.0,
                    stand_in: [0.5, 1.5, low],
                    model: [0.0; UNKNOWNS],
                    sky_emissivity: 0.0,
                    model_error_k: 0.0,
                    soil: 0.0,
                };
                lanes(&[sky.member(at, &member, &still, clear); WIDTH])
            })
            .collect()
    }

    /// The model's own unknowns of one block for a bed as wet as `wetness`.
    #[must_use]
    pub fn draws(&self, block: usize, site: &Site, wetness: Wetness) -> Draws<Lanes> {
        let z = self.members[block].each_ref().map(|m| m.model);
        priors::draws(&z, priors::shelter(site.exposure), priors::saturations(wetness))
    }

    /// Warmth added to the soil of one block, K, for a spread of `sigma_k`.
    #[must_use]
    pub fn soil_shift_k(&self, block: usize, sigma_k: f64) -> Lanes {
        Lanes::from_lanes(|m| sigma_k * self.members[block][m].soil)
    }

    /// What the model is off by in one block, K; to be added to every tissue and soil temperature.
    #[must_use]
    pub fn model_error_k(&self, block: usize) -> Lanes {
        Lanes::from_lanes(|m| self.members[block][m].model_error_k)
    }

    /// Number of nights.
    #[must_use]
    pub fn members(&self) -> usize {
        self.members.len() * WIDTH
    }
}

impl Member {
    fn draw(site: &Site, lowest_c: f64, normal: &mut impl FnMut() -> f64) -> Self {
        let (mean, sigma) = priors::cold_spot_k(site);
        Self {
            cold_spot_k: mean + sigma * normal(),
            stand_in: [
                priors::uniform(normal()),
                priors::unknown_wind_m_s(normal()),
                lowest_c - 10.0 * priors::uniform(normal()),
            ],
            model: std::array::from_fn(|_| normal()),
            sky_emissivity: priors::sky_emissivity(normal()),
            model_error_k: priors::model_error_k(normal()),
            soil: normal(),
        }
    }
}

/// The moment of step `k`.
#[must_use]
pub fn at_step(start: Moment, k: usize) -> Moment {
    start.plus_seconds(STEP_S as i64 * k as i64)
}

fn errors_by_step(
    hours: &[HourError],
    first: Moment,
    start: Moment,
    steps: usize,
) -> Vec<HourError> {
    (0..steps).map(|k| error_at(hours, first, at_step(start, k))).collect()
}

/// Errors raised as [`raised_k`] has it, so that nights as a whole are no colder than their forecast.
fn levelled(course_c: &[f64], errors: &[HourError]) -> Vec<HourError> {
    let air: Vec<f64> = errors.iter().map(|e| e.air_k).collect();
    let k = raised_k(course_c, &air);
    errors.iter().map(|e| e.warmer(k)).collect()
}

fn error_at(errors: &[HourError], first: Moment, at: Moment) -> HourError {
    let hours = at.hours_since(first).clamp(0.0, errors.len().saturating_sub(1) as f64);
    let (i, share) = (hours.floor() as usize, hours.fract());
    let still = HourError { air_k: 0.0, dew_point_k: 0.0, wind_factor: 1.0, cloud: 0.0 };
    let a = errors.get(i).copied().unwrap_or(still);
    let b = errors.get(i + 1).copied().unwrap_or(a);
    let mix = |x: f64, y: f64| x + (y - x) * share;
    HourError {
        air_k: mix(a.air_k, b.air_k),
        dew_point_k: mix(a.dew_point_k, b.dew_point_k),
        wind_factor: mix(a.wind_factor, b.wind_factor),
        cloud: mix(a.cloud, b.cloud),
    }
}

fn lanes(each: &[[f64; 5]; WIDTH]) -> Forcing<Lanes> {
    let get = |i: usize| Lanes::from_lanes(|m| each[m][i]);
    Forcing {
        air_c: get(0),
        vapour_kpa: get(1),
        wind_m_s: get(2),
        sky_w_m2: get(3),
        sun_w_m2: get(4),
    }
}
