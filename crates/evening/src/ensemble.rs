//! Many possible nights: forecast error by lead time, the garden's cold spot, and what the model does not know.
//!
//! Reproducible: the same seed gives the same nights.

use garden::bed::Wetness;
use garden::garden::Site;
use learning::constants::MOMENT_SIGMA_K;
use learning::evening::Errors;
use learning::outlook::Draw;
use learning::{Lessons, Outlook};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::saturation::saturation_vapour_pressure_kpa;
use microclimate::{Draws, Forcing, sky};
use quantities::sun;
use quantities::{Moment, Place, WeatherHour};
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::Forecast;
use weather::constants::{DEW_SHARES, MEMORY_H};
use weather::error_model::{HourError, draw, minimum_correction_k, sigma_air_k};
use weather::frost::normal::cdf as normal_cdf;

use crate::constants::LONGEST_GAP_H;
use crate::learned::{AirNow, Learned, clearness, day_number, prior};
use crate::priors::{self, UNKNOWNS};
use crate::series::Series;
use crate::steps::at_step;

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
            air: Series::from_hours(hours, |h| h.air_temperature_c),
            dew: Series::from_hours(hours, |h| h.dew_point_c),
            wind: Series::from_hours(hours, |h| h.wind_speed_m_s),
            cloud: Series::from_hours(hours, |h| h.cloud_fraction),
            sun: Series::from_hours(hours, |h| h.shortwave_w_m2),
            place,
        }
    }

    /// The lines of a forecast for one night. A quantity that is silent for more than six hours of it counts
    /// as missing: a value from before the gap is not carried through.
    #[must_use]
    pub fn for_night(hours: &[WeatherHour], place: Place, from: Moment, to: Moment) -> Self {
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

    /// Dew point as forecast, °C.
    #[must_use]
    pub fn dew_point_c(&self, at: Moment) -> Option<f64> {
        self.dew.at(at)
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
        let shows = if clear_sun > 1.0 { 0.0 } else { clearness(Some(cloud), Some(wind)) };
        let off = error.air_k + m.offset_k + m.cold_spot_k * shows;
        let air = (forecast_air + off).clamp(-60.0, 55.0);
        let dew =
            self.dew.at(at).unwrap_or(m.stand_in[2]) + error.dew_point_k + DEW_SHARES * m.offset_k;
        let light = self.sun.at(at).unwrap_or_else(|| clear_sun * sky::cloud_transmissivity(cloud));
        let vapour = saturation_vapour_pressure_kpa(dew.clamp(-60.0, air));
        let sky = sky::longwave_w_m2(air, vapour, cloud, m.sky_emissivity);
        [air, vapour, wind, sky, light]
    }
}

/// What one possible night draws.
#[derive(Clone, Copy, Debug)]
struct Member {
    cold_spot_k: f64,
    /// Added to the air on every night, K.
    offset_k: f64,
    /// Times the error stated for the forecast's lead.
    error_scale: f64,
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

/// Possible nights, sixteen side by side.
#[derive(Clone, Debug)]
pub struct Ensemble {
    /// First moment.
    pub start: Moment,
    /// Weather by batch of sixteen members and step.
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
        let nothing = Learned::default();
        Self::draw_knowing(sky, forecast, site, (start, steps), (members, seed), &nothing)
    }

    /// The same with what is known of this garden beyond its forecast.
    /// Checked by `learned::lessons_move_and_narrow_the_night`, `learned::a_reading_after_dark_narrows_the_rest`.
    #[must_use]
    pub fn draw_knowing(
        sky: &ForecastSeries,
        forecast: &Forecast,
        site: &Site,
        (start, steps): (Moment, usize),
        (members, seed): (usize, u64),
        learned: &Learned<'_>,
    ) -> Self {
        let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
        let issued = forecast.issued.unwrap_or_else(|| {
            forecast.hours.first().map_or(start, |h| h.interval.start).min(start)
        });
        let first = forecast.hours.first().map_or(start, |h| h.interval.start);
        let air_c: Vec<f64> =
            (0..steps).map(|k| sky.air_c(at_step(start, k)).unwrap_or(f64::INFINITY)).collect();
        let lowest = air_c.iter().copied().fold(f64::INFINITY, f64::min);
        let clear: Vec<f64> = (0..steps)
            .map(|k| {
                sun::position(&sky.place, at_step(start, k))
                    .map_or(0.0, |p| microclimate::sky::clear_sky_shortwave_w_m2(p.zenith_deg))
            })
            .collect();
        let night = Night { sky, start, issued, clear_sun: &clear };
        let wider = night.wider(learned.disagreement_k);
        let outlook = learned.lessons.and_then(|l| night.outlook(l));
        let evening = SecondLook::new(&night, learned.evening, site, outlook.as_ref());
        let mut forcing = Vec::new();
        let mut all = Vec::new();
        for _ in 0..members.div_ceil(WIDTH) {
            let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
            let batch: [(Member, Vec<HourError>); WIDTH] = std::array::from_fn(|_| {
                let mut member = Member::draw(site, lowest, &mut normal);
                let hours = draw(&forecast.hours, issued, &mut normal);
                if let Some(outlook) = &outlook {
                    member.know(&outlook.draw(normal_cdf(normal()), &mut normal));
                }
                member.error_scale *= wider;
                let mut errors = errors_by_step(&hours, first, start, steps);
                errors.iter_mut().for_each(|e| *e = e.scaled(member.error_scale));
                if let Some(evening) = &evening {
                    evening.draw_on(&member, &mut errors, &mut normal);
                }
                (member, levelled(&air_c, &errors))
            });
            forcing.push(
                (0..steps)
                    .map(|k| {
                        let at = at_step(start, k);
                        let each: [[f64; 5]; WIDTH] = std::array::from_fn(|i| {
                            sky.member(at, &batch[i].0, &batch[i].1[k], clear[k])
                        });
                        lanes(&each)
                    })
                    .collect(),
            );
            all.push(std::array::from_fn(|i| batch[i].0));
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
                    .map_or(0.0, |p| microclimate::sky::clear_sky_shortwave_w_m2(p.zenith_deg));
                let low = sky.air_c(at).unwrap_or(0.0) - 3.0;
                let member = Member {
                    cold_spot_k: 0.0,
                    offset_k: 0.0,
                    error_scale: 1.0,
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

    /// The model's own unknowns of one batch for a bed as wet as `wetness`.
    #[must_use]
    pub fn draws(&self, batch: usize, site: &Site, wetness: Wetness) -> Draws<Lanes> {
        let z = self.members[batch].each_ref().map(|m| m.model);
        priors::draws(&z, priors::shelter(site.exposure), priors::saturations(wetness))
    }

    /// Warmth added to the soil of one batch, K, for a spread of `sigma_k`.
    #[must_use]
    pub fn soil_shift_k(&self, batch: usize, sigma_k: f64) -> Lanes {
        Lanes::from_lanes(|m| sigma_k * self.members[batch][m].soil)
    }

    /// What the model is off by in one batch, K; to be added to every tissue and soil temperature.
    #[must_use]
    pub fn model_error_k(&self, batch: usize) -> Lanes {
        Lanes::from_lanes(|m| self.members[batch][m].model_error_k)
    }

    /// Times the forecast's stated error, on average over the members: what nights of this garden and other forecasts have told.
    #[must_use]
    pub fn error_scale(&self) -> f64 {
        let members = self.members.len() * WIDTH;
        self.members.iter().flatten().map(|m| m.error_scale).sum::<f64>() / members.max(1) as f64
    }

    /// Standard normal numbers behind the model's unknowns, member by member.
    #[must_use]
    pub fn unknowns(&self) -> Vec<[f64; UNKNOWNS]> {
        self.members.iter().flatten().map(|m| m.model).collect()
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
            offset_k: 0.0,
            error_scale: 1.0,
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

impl Member {
    /// Takes over what the garden's own nights have taught.
    fn know(&mut self, draw: &Draw) {
        self.cold_spot_k = draw.clear_k;
        self.offset_k = draw.offset_k;
        self.error_scale = draw.error_scale;
    }
}

/// One night before anything is drawn.
struct Night<'a> {
    sky: &'a ForecastSeries,
    start: Moment,
    issued: Moment,
    /// Sunlight under a clear sky, step by step: none in the dark.
    clear_sun: &'a [f64],
}

impl Night<'_> {
    fn is_dark(&self, k: usize) -> bool {
        self.clear_sun.get(k).is_some_and(|s| *s <= 1.0)
    }

    fn dark(&self) -> impl Iterator<Item = Moment> {
        (0..self.clear_sun.len()).filter(|k| self.is_dark(*k)).map(|k| at_step(self.start, k))
    }

    fn sigma_k(&self, at: Moment) -> f64 {
        sigma_air_k(at.hours_since(self.issued).max(0.0))
    }

    /// When its air is coldest by the forecast, of its dark hours.
    fn lowest(&self) -> Option<Moment> {
        let air = |m: &Moment| self.sky.air_c(*m).unwrap_or(f64::INFINITY);
        self.dark().min_by(|a, b| air(a).total_cmp(&air(b)))
    }

    /// Times the stated error for forecasts that are apart: √(1 + d²/σ²).
    fn wider(&self, disagreement_k: f64) -> f64 {
        let sigma_k = self.lowest().map_or(f64::INFINITY, |m| self.sigma_k(m));
        (1.0 + (disagreement_k / sigma_k).powi(2)).sqrt()
    }

    /// What lessons say of it.
    fn outlook(&self, lessons: &Lessons) -> Option<Outlook> {
        let lowest = self.lowest()?;
        let mean = |x: Vec<f64>| (!x.is_empty()).then(|| x.iter().sum::<f64>() / x.len() as f64);
        let cloud = mean(self.dark().filter_map(|m| self.sky.cloud(m)).collect());
        let wind = mean(self.dark().filter_map(|m| self.sky.wind_m_s(m)).collect());
        lessons.outlook(day_number(self.start), clearness(cloud, wind), self.sigma_k(lowest))
    }
}

/// Readings of this evening, and how much each step answers to each.
struct SecondLook {
    /// Step, reading less forecast, and how much of a cold spot shows at each.
    read: Vec<(usize, f64, f64)>,
    weights: Vec<Vec<f64>>,
}

impl SecondLook {
    /// `None` where nothing was read after sunset.
    fn new(
        night: &Night<'_>,
        evening: &[AirNow],
        site: &Site,
        outlook: Option<&Outlook>,
    ) -> Option<Self> {
        let steps = night.clear_sun.len();
        let hours: Vec<f64> =
            (0..steps).map(|k| at_step(night.start, k).hours_since(night.start)).collect();
        let scale = outlook.map_or(1.0, |o| o.error_k() / o.stated_k());
        let moments = || (0..steps).map(|k| at_step(night.start, k));
        let sigma_k: Vec<f64> = moments().map(|m| scale * night.sigma_k(m)).collect();
        let show = |m| clearness(night.sky.cloud(m), night.sky.wind_m_s(m));
        let shows: Vec<f64> = moments().map(show).collect();
        let (offset_sigma_k, shows_sigma_k) = outlook
            .map_or((0.0, prior(site).clear_sigma_k), |o| (o.offset_doubt_k(), o.clear_doubt_k()));
        let read: Vec<(usize, f64, f64)> = evening
            .iter()
            .filter_map(|r| {
                let k = r.at.hours_since(night.start) * 6.0;
                let k = (k > -0.5).then(|| k.round() as usize).filter(|k| night.is_dark(*k))?;
                Some((k, r.celsius - night.sky.air_c(r.at)?, *shows.get(k)?))
            })
            .collect();
        if read.is_empty() {
            return None;
        }
        let errors = Errors {
            hours: &hours,
            sigma_k: &sigma_k,
            memory_h: MEMORY_H,
            offset_sigma_k,
            shows: &shows,
            shows_sigma_k,
        };
        let at: Vec<usize> = read.iter().map(|r| r.0).collect();
        let weights = errors.weights(&at, MOMENT_SIGMA_K);
        Some(Self { read, weights })
    }

    /// Moves the errors of a member to what was read.
    fn draw_on(&self, member: &Member, errors: &mut [HourError], normal: &mut impl FnMut() -> f64) {
        let off: Vec<f64> = self
            .read
            .iter()
            .map(|&(k, read, shows)| {
                let drawn = errors.get(k).map_or(0.0, |e| e.air_k)
                    + member.offset_k
                    + member.cold_spot_k * shows;
                read - drawn - MOMENT_SIGMA_K * normal()
            })
            .collect();
        for (error, weights) in errors.iter_mut().zip(&self.weights) {
            let moves: f64 = weights.iter().zip(&off).map(|(w, o)| w * o).sum();
            *error = error.warmer(moves);
        }
    }
}

fn errors_by_step(
    hours: &[HourError],
    first: Moment,
    start: Moment,
    steps: usize,
) -> Vec<HourError> {
    (0..steps).map(|k| error_at(hours, first, at_step(start, k))).collect()
}

/// Errors raised as [`minimum_correction_k`] has it, so that nights as a whole are no colder than their forecast.
fn levelled(air_c: &[f64], errors: &[HourError]) -> Vec<HourError> {
    let air: Vec<f64> = errors.iter().map(|e| e.air_k).collect();
    let k = minimum_correction_k(air_c, &air);
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
