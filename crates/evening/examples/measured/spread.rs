//! Whether chances and bands hold what they promise: coverage, reliability and Brier score.

use evening::priors::{self, UNKNOWNS};
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::{Draws, Error};
use rand::SeedableRng as _;
use rand_distr::{Distribution as _, StandardNormal};
use rand_xoshiro::Xoshiro256PlusPlus;

use crate::record::Said;
use crate::rivals;
use crate::table::Row;

/// Batches of members of a measured site.
const BATCHES: usize = 8;

/// A site's rows, its nights beside their rivals, and its nights with members.
pub type SiteTables<M> = (Vec<Row>, String, M);

/// The nights of a site by what a member, or the middle, says of each interval, °C.
type NightsOf<'a> = &'a dyn Fn(&dyn Fn(usize) -> f64) -> Vec<rivals::Night>;

/// Nights of a site whose weather is measured: `follow` runs a batch of members drawn from the priors, `surface` is what
/// was measured, and `nights` finds the coldest of it in each night.
pub fn spread(
    follow: impl Fn(&Draws<Lanes>) -> Result<Vec<Said<Lanes>>, Error>,
    saturation: Lanes,
    surface: fn(&Said<Lanes>) -> Lanes,
    nights: NightsOf<'_>,
) -> Result<Nights, Error> {
    let mut rng = Xoshiro256PlusPlus::seed_from_u64(7);
    let mut normal = || -> f64 { StandardNormal.sample(&mut rng) };
    let mut out: Vec<(rivals::Night, Vec<f64>)> = Vec::new();
    for _ in 0..BATCHES {
        let z: [[f64; UNKNOWNS]; WIDTH] =
            std::array::from_fn(|_| std::array::from_fn(|_| normal()));
        let said = follow(&priors::draws(&z, 1.0, saturation))?;
        for lane in 0..WIDTH {
            let error = normal();
            for (i, night) in nights(&|k| surface(&said[k]).lane(lane)).into_iter().enumerate() {
                let low = night.said + priors::model_error_k(error);
                match out.get_mut(i) {
                    Some((_, members)) => members.push(low),
                    None => out.push((night, vec![low])),
                }
            }
        }
    }
    let mut spread = Nights::default();
    for (i, (night, members)) in out.into_iter().enumerate() {
        spread.add(i, members, night.measured, night.terms[0]);
    }
    Ok(spread)
}

/// One night: what each member said, what was measured, what the rival says.
#[derive(Clone, Debug)]
pub struct Night {
    /// Number of its day.
    pub day: usize,
    /// Members, sorted.
    said: Vec<f64>,
    /// Measured.
    pub measured: f64,
    /// The rival's single value.
    pub rival: f64,
}

/// A run of nights.
#[derive(Clone, Debug, Default)]
pub struct Nights(pub Vec<Night>);

impl Night {
    /// Mean of the members.
    pub fn mean(&self) -> f64 {
        self.said.iter().sum::<f64>() / self.said.len() as f64
    }

    /// Share of members below a threshold.
    fn chance_below(&self, threshold: f64) -> f64 {
        self.said.iter().filter(|t| **t < threshold).count() as f64 / self.said.len() as f64
    }

    /// Whether the measurement lies in the middle `share` of the members.
    fn covers(&self, share: f64) -> bool {
        let n = self.said.len() as f64;
        let edge = (0.5 * (1.0 - share) * n).round() as usize;
        (self.said[edge]..=self.said[self.said.len() - 1 - edge]).contains(&self.measured)
    }
}

impl Nights {
    /// Adds a night.
    pub fn add(&mut self, day: usize, mut said: Vec<f64>, measured: f64, rival: f64) {
        said.sort_by(f64::total_cmp);
        self.0.push(Night { day, said, measured, rival });
    }

    /// The nights of some days.
    pub fn between(&self, days: std::ops::Range<usize>) -> Self {
        Self(self.0.iter().filter(|n| days.contains(&n.day)).cloned().collect())
    }

    /// Mean standard deviation of the members.
    pub fn mean_sd(&self) -> f64 {
        let sd = |n: &Night| {
            let mean = n.mean();
            let square = n.said.iter().map(|t| (t - mean).powi(2)).sum::<f64>();
            (square / n.said.len() as f64).sqrt()
        };
        self.0.iter().map(sd).sum::<f64>() / self.0.len() as f64
    }

    /// Share of nights whose measurement lies in the middle `share` of the members.
    pub fn coverage(&self, share: f64) -> f64 {
        self.0.iter().filter(|n| n.covers(share)).count() as f64 / self.0.len() as f64
    }

    /// Brier score of the chance of falling below `threshold`, and that of the rival's yes or no.
    pub fn brier(&self, threshold: f64) -> (f64, f64) {
        let n = self.0.len() as f64;
        let score = |chance: &dyn Fn(&Night) -> f64| {
            let square = |night: &Night| {
                (chance(night) - f64::from(u8::from(night.measured < threshold))).powi(2)
            };
            self.0.iter().map(square).sum::<f64>() / n
        };
        let model = score(&|night| night.chance_below(threshold));
        (model, score(&|night| f64::from(u8::from(night.rival < threshold))))
    }

    /// Chances given in five classes beside how often it happened, as a Markdown table.
    pub fn reliability(&self, threshold: f64) -> String {
        let mut out =
            String::from("| chance given | nights | mean chance | happened |\n|---|--:|--:|--:|\n");
        for class in 0..5 {
            let (low, high) = (0.2 * f64::from(class), 0.2 * f64::from(class + 1));
            let here: Vec<(f64, bool)> = self
                .0
                .iter()
                .map(|n| (n.chance_below(threshold), n.measured < threshold))
                .filter(|(p, _)| *p >= low && (*p < high || class == 4))
                .collect();
            if here.is_empty() {
                continue;
            }
            let n = here.len() as f64;
            let mean = here.iter().map(|h| h.0).sum::<f64>() / n;
            let happened = here.iter().filter(|h| h.1).count() as f64 / n;
            out.push_str(&format!(
                "| {:.0}–{:.0} % | {} | {:.0} % | {:.0} % |\n",
                100.0 * low,
                100.0 * high,
                here.len(),
                100.0 * mean,
                100.0 * happened
            ));
        }
        out
    }
}
