//! Synthetic gardens of known truth, and readings that are wrong.

use learning::constants::{
    CLEAR_MEMORY, ERROR_SCALE_SIGMA_LN, ERROR_SCALES, LASTING_MEMORY, LASTING_SIGMA_K,
    OFFSET_CHANCES, OFFSET_SCALES, PASSING_MEMORY, PASSING_SIGMA_K, SLIP_CHANCE, SLIP_SIGMA_K,
    TAILS, THERMOMETER_SIGMA_K,
};
use learning::{Lessons, Night, Prior};
use rand::{RngExt as _, SeedableRng as _};
use rand_distr::{Distribution as _, StandardNormal, StudentT};
use rand_xoshiro::Xoshiro256PlusPlus;

const PRIOR: Prior = Prior { clear_k: -0.7, clear_sigma_k: 1.0 };
const SIGMA_K: f64 = 1.6;

/// A garden drawn from the prior, its readings, and the truth of each night's difference.
struct Garden {
    nights: Vec<Night>,
    clear_k: f64,
}

fn pick(chances: &[f64], uniform: f64) -> usize {
    let all: f64 = chances.iter().sum();
    let mut left = uniform * all;
    chances
        .iter()
        .position(|c| {
            left -= c;
            left <= 0.0
        })
        .unwrap_or(chances.len() - 1)
}

fn draw(rng: &mut Xoshiro256PlusPlus, count: usize) -> Garden {
    let normal = |rng: &mut Xoshiro256PlusPlus| -> f64 { StandardNormal.sample(rng) };
    let scale = OFFSET_SCALES[pick(&OFFSET_CHANCES, rng.random())];
    let chances = ERROR_SCALES.map(|e: f64| (-0.5 * (e.ln() / ERROR_SCALE_SIGMA_LN).powi(2)).exp());
    let error_scale = ERROR_SCALES[pick(&chances, rng.random())];
    let sigma = [LASTING_SIGMA_K * scale, PASSING_SIGMA_K * scale, PRIOR.clear_sigma_k];
    let mut state: [f64; 3] = std::array::from_fn(|k| sigma[k] * normal(rng));
    let memory = [LASTING_MEMORY, PASSING_MEMORY, CLEAR_MEMORY];
    let noise = ((error_scale * SIGMA_K).powi(2) / TAILS + THERMOMETER_SIGMA_K.powi(2)).sqrt();
    let tailed = StudentT::new(8.0).unwrap();
    let mut nights = Vec::new();
    for day in 0..count {
        if day > 0 {
            for k in 0..3 {
                let phi = (-1.0 / memory[k]).exp();
                state[k] = phi * state[k] + (1.0 - phi * phi).sqrt() * sigma[k] * normal(rng);
            }
        }
        let clear: f64 = rng.random();
        let slip = rng.random::<f64>() < SLIP_CHANCE;
        let t: f64 = tailed.sample(rng);
        let error = noise * t + if slip { SLIP_SIGMA_K * normal(rng) } else { 0.0 };
        let difference = state[0] + state[1] + (PRIOR.clear_k + state[2]) * clear;
        nights.push(Night {
            day: day as f64,
            error_k: difference + error,
            clear,
            sigma_k: SIGMA_K,
        });
    }
    Garden { nights, clear_k: PRIOR.clear_k + state[2] }
}

/// Simulation-based calibration (Talts et al. 2018, from memory): gardens drawn from the prior; the rank of the next
/// reading, and of the truth among draws of the posterior, is as likely to fall into each tenth as into any other.
/// χ² of ten bins has 9 degrees of freedom: 27.9 is passed by chance once in a thousand (table, from memory).
#[test]
fn known_gardens_are_recovered() {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(15);
    let gardens = 2000;
    for count in [5, 20, 60] {
        let (mut next, mut slope) = ([0.0; 10], [0.0; 10]);
        for _ in 0..gardens {
            // The next night is drawn with no slip: what is foretold is a sound reading.
            let garden = draw(&mut rng, count + 1);
            let (last, before) = garden.nights.split_last().unwrap();
            let lessons = Lessons::from_nights(&PRIOR, before);
            let said = lessons.outlook(last.day, last.clear, SIGMA_K).unwrap();
            let rank = said.chance_below(last.error_k);
            next[((rank * 10.0) as usize).min(9)] += 1.0;
            let lower = (0..99).filter(|_| {
                let uniform = rng.random();
                let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
                said.draw(uniform, &mut normal).clear_k < garden.clear_k
            });
            slope[(lower.count() / 10).min(9)] += 1.0;
        }
        for (what, bins) in [("next reading", next), ("clear calm nights", slope)] {
            let even = f64::from(gardens) / 10.0;
            let chi: f64 = bins.iter().map(|b: &f64| (b - even).powi(2) / even).sum();
            println!("{count} nights, {what}: χ² {chi:.1}");
            assert!(chi < 27.9, "{count} nights, {what}: χ² {chi:.1}, {bins:?}");
        }
    }
}

/// A garden 3 K colder than its forecast, 30 nights, seeds one after another: readings as noted by `spoil`.
fn learned_k(seed: u64, spoil: impl Fn(usize, f64) -> f64) -> f64 {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(seed);
    let mut lessons = Lessons::none(&PRIOR);
    for day in 0..30 {
        let z: f64 = StandardNormal.sample(&mut rng);
        let (said, read) = (4.0, 4.0 - 3.0 + 1.4 * z);
        let error_k = spoil(day, read) - said;
        lessons.read(&Night { day: day as f64, error_k, clear: 0.0, sigma_k: SIGMA_K });
    }
    lessons.outlook(30.0, 0.0, SIGMA_K).unwrap().mean_k()
}

/// One reading in ten is wrong: °F noted as °C, or the sign left out. What is learned moves by less than half a kelvin and
/// its error over all gardens grows by less than a quarter.
#[test]
fn wrong_readings_weigh_little() {
    let mut squares = [0.0, 0.0];
    for seed in 0..200 {
        let sound = learned_k(seed, |_, c| c);
        let slips = learned_k(seed, |day, c| match day % 20 {
            7 => 1.8 * c + 32.0,
            17 => -c,
            _ => c,
        });
        assert!((slips - sound).abs() < 0.5, "{seed}: {sound} became {slips}");
        squares[0] += (sound + 3.0).powi(2);
        squares[1] += (slips + 3.0).powi(2);
    }
    assert!(squares[1].sqrt() < 1.25 * squares[0].sqrt(), "{squares:?}");
}

/// Fewer than five nights teach nothing.
#[test]
fn four_nights_teach_nothing() {
    let night = |day| Night { day, error_k: -4.0, clear: 0.0, sigma_k: SIGMA_K };
    let nights: Vec<Night> = (0..5).map(|d| night(f64::from(d))).collect();
    assert!(Lessons::from_nights(&PRIOR, &nights[..4]).outlook(5.0, 0.0, SIGMA_K).is_none());
    assert!(Lessons::from_nights(&PRIOR, &nights).outlook(5.0, 0.0, SIGMA_K).is_some());
}

/// A steady garden is learned, surely, and forgotten over years; the middle moves and the spread narrows.
#[test]
fn a_steady_garden_is_learned_and_forgotten() {
    let night = |day: u32| Night {
        day: f64::from(day),
        error_k: -3.0 + if day.is_multiple_of(2) { 0.3 } else { -0.3 },
        clear: 0.0,
        sigma_k: SIGMA_K,
    };
    let nights: Vec<Night> = (0..30).map(night).collect();
    let lessons = Lessons::from_nights(&PRIOR, &nights);
    let soon = lessons.outlook(31.0, 0.0, SIGMA_K).unwrap();
    // A tenth is left: some of what these days showed passes with them.
    assert!((soon.mean_k() + 3.0).abs() < 0.3, "{}", soon.mean_k());
    assert!(soon.error_k() < 0.75 * SIGMA_K, "{}", soon.error_k());
    let half_width = 0.5 * (soon.quantile_k(0.9) - soon.quantile_k(0.1));
    assert!(half_width < 1.2816 * SIGMA_K, "{half_width}");
    let late = lessons.outlook(2000.0, 0.0, SIGMA_K).unwrap();
    assert!(late.mean_k().abs() < 0.1, "{}", late.mean_k());
    assert!(late.doubt_k() > soon.doubt_k(), "{} {}", late.doubt_k(), soon.doubt_k());
}
