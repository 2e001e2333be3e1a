//! This evening's readings drawn on: how far each moment of the night moves for what was read off at others.

/// How the errors of a night hang together: a course with a memory, an offset that stays, and a difference that shows more at
/// some moments than at others.
#[derive(Clone, Debug)]
pub struct Errors<'a> {
    /// Moments, h.
    pub hours: &'a [f64],
    /// Standard deviation of the forecast's error at each, K.
    pub sigma_k: &'a [f64],
    /// Its memory, h.
    pub memory_h: f64,
    /// Standard deviation of the offset, K.
    pub offset_sigma_k: f64,
    /// How much the difference shows at each moment.
    pub shows: &'a [f64],
    /// Its standard deviation, K.
    pub shows_sigma_k: f64,
}

impl Errors<'_> {
    /// Covariance of the air's errors at two moments, K².
    ///
    /// C = σ_i σ_j exp(−|t_i − t_j|/memory) + o² + c² a_i a_j.
    fn covariance(&self, i: usize, j: usize) -> f64 {
        let apart = (self.hours[i] - self.hours[j]).abs();
        self.sigma_k[i] * self.sigma_k[j] * (-apart / self.memory_h).exp()
            + self.offset_sigma_k * self.offset_sigma_k
            + self.shows_sigma_k * self.shows_sigma_k * self.shows[i] * self.shows[j]
    }

    /// By moment and reading: what is added at the moment for each kelvin that a reading lies above what was expected of it.
    /// `read` are the moments of the readings by their place in `hours`, `noise_k` the thermometer's own scatter, K.
    ///
    /// W = C_kR (C_RR + s² I)⁻¹: the mean of a normal course given some of it. Added to a drawn course with the readings'
    /// own scatter drawn, it makes a draw given the readings (Matheron's rule, from memory).
    /// Checked by `evening::weights_are_those_of_regression`.
    /// Equation 82 of docs/science.md.
    #[must_use]
    pub fn weights(&self, read: &[usize], noise_k: f64) -> Vec<Vec<f64>> {
        let n = read.len();
        let mut square: Vec<Vec<f64>> =
            read.iter().map(|i| read.iter().map(|j| self.covariance(*i, *j)).collect()).collect();
        for (i, row) in square.iter_mut().enumerate() {
            row[i] += noise_k * noise_k;
        }
        let root = cholesky(square);
        let moments = 0..self.hours.len();
        moments
            .map(|k| {
                let mut w: Vec<f64> = read.iter().map(|r| self.covariance(k, *r)).collect();
                for i in 0..n {
                    let known: f64 = (0..i).map(|j| root[i][j] * w[j]).sum();
                    w[i] = (w[i] - known) / root[i][i];
                }
                for i in (0..n).rev() {
                    let known: f64 = (i + 1..n).map(|j| root[j][i] * w[j]).sum();
                    w[i] = (w[i] - known) / root[i][i];
                }
                w
            })
            .collect()
    }

    /// Standard deviation left at a moment when the readings are known, K.
    #[must_use]
    pub fn left_k(&self, k: usize, read: &[usize], weights: &[Vec<f64>]) -> f64 {
        let told: f64 = read.iter().zip(&weights[k]).map(|(r, w)| w * self.covariance(k, *r)).sum();
        (self.covariance(k, k) - told).max(0.0).sqrt()
    }
}

/// Lower triangular square root of a covariance; its diagonal is at least a thousandth.
fn cholesky(mut a: Vec<Vec<f64>>) -> Vec<Vec<f64>> {
    for i in 0..a.len() {
        for j in 0..=i {
            let known: f64 = (0..j).map(|k| a[i][k] * a[j][k]).sum();
            let rest = a[i][j] - known;
            a[i][j] = if i == j { rest.max(1e-6).sqrt() } else { rest / a[j][j] };
        }
    }
    a
}
