//! What may become known from now on: how wrong the forecast of each night turns out, in a few classes.
//!
//! A night's low errs by x. Before that evening a part r of it becomes known, as a newer forecast tells it; the rest
//! the morning tells. Evening nodes are classes of r, morning nodes classes of x. From night to night the errors of
//! one forecast hang together a little.

use std::sync::LazyLock;

use weather::frost::normal::{cdf, quantile};

use crate::horizon::{Lattice, Step};

/// Chances of the classes of an evening, coldest first (chosen).
const EVENING: [f64; 3] = [0.2, 0.6, 0.2];
/// Chances of the classes of a morning, coldest first (chosen).
const MORNING: [f64; 5] = [0.1, 0.2, 0.4, 0.2, 0.1];
/// Correlation of the errors that one forecast makes of two nights in a row: 0.16 for minima of the US National
/// Weather Service in 2021, measured for this program over its cities.
const FROM_NIGHT_TO_NIGHT: f64 = 0.16;
/// Greatest correlation that a class of morning may have with the evening after (chosen).
const MOST_CORRELATION: f64 = 0.95;
/// Points that a class is split into when its chances are integrated.
const POINTS: usize = 64;

/// The middle class of an evening and of a morning: the forecast comes true.
pub const MIDDLE: (usize, usize) = (EVENING.len() / 2, MORNING.len() / 2);

/// How the low of one night errs.
#[derive(Clone, Debug, PartialEq)]
pub struct NightError {
    /// Standard deviation of the error of the forecast's low now, K.
    pub sigma_k: f64,
    /// The same when it is this night's evening, K.
    pub sigma_then_k: f64,
    /// Standard deviation of the garden's low over the possible nights, K: forecast, cold spot and all.
    pub spread_k: f64,
    /// Each possible night's low less their mean, in standard deviations.
    pub low: Vec<f64>,
}

impl NightError {
    /// From the lows of the possible nights, °C.
    #[must_use]
    pub fn new(lows_c: &[f64], sigma_k: f64, sigma_then_k: f64) -> Self {
        let n = lows_c.len().max(1) as f64;
        let mean = lows_c.iter().sum::<f64>() / n;
        let squares: f64 = lows_c.iter().map(|t| (t - mean).powi(2)).sum();
        let spread_k = (squares / n).sqrt().max(1e-6);
        let low = lows_c.iter().map(|t| (t - mean) / spread_k).collect();
        Self { sigma_k, sigma_then_k, spread_k, low }
    }

    /// Variance of what becomes known before the evening, K².
    fn known_variance(&self) -> f64 {
        (self.sigma_k.powi(2) - self.sigma_then_k.powi(2)).max(0.0)
    }

    /// Correlation of what becomes known before the evening with the night's low.
    #[must_use]
    pub fn known(&self) -> f64 {
        (self.known_variance().sqrt() / self.spread_k).min(MOST_CORRELATION)
    }

    /// By node of the evening, the weight of each possible night; sums to 1. One node where nothing becomes known.
    ///
    /// w_m(k) ∝ P(r in class k given x_m), r given x ~ N(ρ x, 1 − ρ²) in standard deviations. So a cost weighted by w is its
    /// mean given the class. Checked by `week::weights_of_the_nodes_average_to_all_nights_alike`.
    #[must_use]
    pub fn evening_weights(&self, nodes: usize) -> Vec<Vec<f64>> {
        let n = self.low.len().max(1) as f64;
        if nodes <= 1 {
            return vec![vec![1.0 / n; self.low.len()]];
        }
        let rho = self.known();
        let rest = (1.0 - rho * rho).sqrt();
        let edges = edges(&EVENING);
        let raw = |k: usize, z: f64| {
            cdf((edges[k + 1] - rho * z) / rest) - cdf((edges[k] - rho * z) / rest)
        };
        (0..nodes)
            .map(|k| {
                let w: Vec<f64> = self.low.iter().map(|z| raw(k, *z)).collect();
                let sum: f64 = w.iter().sum();
                w.iter().map(|x| x / sum.max(1e-300)).collect()
            })
            .collect()
    }

    /// The node of the morning after a night whose low came out `z` standard deviations from its mean.
    #[must_use]
    pub fn morning_node(z: f64) -> usize {
        static EDGES: LazyLock<Vec<f64>> = LazyLock::new(|| edges(&MORNING));
        (0..MORNING.len()).find(|k| z < EDGES[k + 1]).unwrap_or(MORNING.len() - 1)
    }

    /// The node of the morning that each possible night leads to, by its rank.
    #[must_use]
    pub fn morning_nodes(&self) -> Vec<usize> {
        let mut order: Vec<usize> = (0..self.low.len()).collect();
        order.sort_by(|a, b| self.low[*a].total_cmp(&self.low[*b]));
        let mut nodes = vec![0; self.low.len()];
        for (rank, m) in order.iter().enumerate() {
            let p = (rank as f64 + 0.5) / order.len() as f64;
            let mut sum = 0.0;
            nodes[*m] = MORNING
                .iter()
                .position(|c| {
                    sum += c;
                    p < sum
                })
                .unwrap_or(MORNING.len() - 1);
        }
        nodes
    }
}

/// What may become known of some nights, and what each possible night weighs in it.
#[derive(Clone, Debug)]
pub struct Courses {
    /// Evenings and mornings.
    pub lattice: Lattice,
    /// By night, the weights of the possible nights at each node of the evening ([`NightError::evening_weights`]).
    pub evening_weights: Vec<Vec<Vec<f64>>>,
    /// By night, the node of the morning that each possible night leads to.
    pub morning_nodes: Vec<Vec<usize>>,
}

impl Courses {
    /// Those of nights that err so.
    #[must_use]
    pub fn new(nights: &[NightError]) -> Self {
        let weights = |(t, e): (usize, &NightError)| e.evening_weights(nodes(t).0);
        Self {
            lattice: lattice(nights),
            evening_weights: nights.iter().enumerate().map(weights).collect(),
            morning_nodes: nights.iter().map(NightError::morning_nodes).collect(),
        }
    }

    /// How many nights.
    #[must_use]
    pub fn nights(&self) -> usize {
        self.morning_nodes.len()
    }
}

/// Nodes of the evening and of the morning of a night.
#[must_use]
pub fn nodes(night: usize) -> (usize, usize) {
    (if night == 0 { 1 } else { EVENING.len() }, MORNING.len())
}

/// The lattice of the evenings and mornings of these nights; it ends with the last evening.
///
/// Evening to morning: correlation ρ_t of what was known with the low. Morning to evening: c σ_t σ_(t+1)/(S_t s_(t+1)),
/// S the spread of the low, s that of what becomes known. Checked by `week::courses_keep_their_chances_and_correlations`.
#[must_use]
pub fn lattice(nights: &[NightError]) -> Lattice {
    let mut steps = Vec::new();
    for (t, night) in nights.iter().enumerate() {
        let last = t + 1 == nights.len();
        let ways = |row: Vec<f64>| -> Vec<Step> {
            row.into_iter().enumerate().map(|(to, chance)| Step { to, chance }).collect()
        };
        let to_morning =
            if t == 0 { vec![MORNING.to_vec()] } else { given(&EVENING, &MORNING, night.known()) };
        steps.push(if last {
            vec![Vec::new(); to_morning.len()]
        } else {
            to_morning.into_iter().map(ways).collect()
        });
        let Some(next) = nights.get(t + 1) else { break };
        let both = FROM_NIGHT_TO_NIGHT * night.sigma_k * next.sigma_k;
        let spreads = night.spread_k * next.known_variance().sqrt();
        let correlation = if spreads > 0.0 { (both / spreads).min(MOST_CORRELATION) } else { 0.0 };
        steps.push(given(&MORNING, &EVENING, correlation).into_iter().map(ways).collect());
    }
    Lattice { steps }
}

/// Bounds of classes of a standard normal number.
fn edges(classes: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    let inner = classes.iter().take(classes.len() - 1).map(|c| {
        sum += c;
        quantile(sum)
    });
    let mut all = vec![f64::NEG_INFINITY];
    all.extend(inner);
    all.push(f64::INFINITY);
    all
}

/// Chances of the classes `to` given each class of `from`, of two standard normal numbers with a correlation.
fn given(from: &[f64], to: &[f64], correlation: f64) -> Vec<Vec<f64>> {
    let (to_edges, rest) = (edges(to), (1.0 - correlation * correlation).sqrt());
    let mut below = 0.0;
    from.iter()
        .map(|class| {
            let mut row = vec![0.0; to.len()];
            for i in 0..POINTS {
                let z = quantile(below + class * (i as f64 + 0.5) / POINTS as f64);
                for (k, chance) in row.iter_mut().enumerate() {
                    let up_to = |e: f64| cdf((e - correlation * z) / rest);
                    *chance += (up_to(to_edges[k + 1]) - up_to(to_edges[k])) / POINTS as f64;
                }
            }
            below += class;
            let sum: f64 = row.iter().sum();
            row.iter().map(|c| c / sum).collect()
        })
        .collect()
}
