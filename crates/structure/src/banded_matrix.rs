//! A banded matrix and its solution without exchange of rows, so that the signs of the pivots tell stability.
//!
//! A linear-algebra crate would bring dense or general sparse matrices for what is one loop over eleven diagonals.

/// Diagonals on either side of the main one: joints couple three points of two coordinates.
pub(crate) const REACH: usize = 5;
const WIDTH: usize = 2 * REACH + 1;

/// Square matrix with entries up to [`REACH`] from the diagonal.
#[derive(Clone)]
pub(crate) struct BandedMatrix(Vec<[f64; WIDTH]>);

impl BandedMatrix {
    pub fn zero(size: usize) -> Self {
        Self(vec![[0.0; WIDTH]; size])
    }

    pub fn clear(&mut self) {
        self.0.fill([0.0; WIDTH]);
    }

    pub fn add(&mut self, row: usize, column: usize, value: f64) {
        self.0[row][column + REACH - row] += value;
    }

    /// Takes an unknown out: it stays 0.
    pub fn hold(&mut self, held: usize) {
        self.0[held] = [0.0; WIDTH];
        self.0[held][REACH] = 1.0;
        for row in held.saturating_sub(REACH)..(held + REACH + 1).min(self.0.len()) {
            if row != held {
                self.0[row][held + REACH - row] = 0.0;
            }
        }
    }

    /// Solves for `right` in place, destroying the matrix; `false` where a pivot is not positive, which for a stiffness
    /// matrix means that the structure does not resist some movement.
    pub fn solve(&mut self, right: &mut [f64]) -> bool {
        let size = self.0.len();
        for pivot in 0..size {
            let own = self.0[pivot];
            // Also false for what is not a number.
            let resists = own[REACH] > 0.0 && own[REACH].is_finite();
            if !resists {
                return false;
            }
            let last = (pivot + REACH + 1).min(size);
            for row in pivot + 1..last {
                let offset = REACH - (row - pivot);
                let ratio = self.0[row][offset] / own[REACH];
                if ratio != 0.0 {
                    for k in 1..=REACH {
                        self.0[row][offset + k] -= ratio * own[REACH + k];
                    }
                    right[row] -= ratio * right[pivot];
                }
            }
        }
        for row in (0..size).rev() {
            let last = REACH.min(size - 1 - row);
            let sum: f64 = (1..=last).map(|k| self.0[row][REACH + k] * right[row + k]).sum();
            right[row] = (right[row] - sum) / self.0[row][REACH];
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::BandedMatrix;

    /// The second difference with held ends: −u″ = 1 gives u = x (1 − x)/2.
    #[test]
    fn solves_and_sees_a_negative_pivot() {
        let n = 9;
        let mut band = BandedMatrix::zero(n);
        for i in 0..n {
            band.add(i, i, 2.0);
            if i > 0 {
                band.add(i, i - 1, -1.0);
                band.add(i - 1, i, -1.0);
            }
        }
        let mut right = vec![0.01; n];
        assert!(band.clone().solve(&mut right));
        for (i, u) in right.iter().enumerate() {
            let x = (i as f64 + 1.0) / 10.0;
            assert!((u - 0.5 * x * (1.0 - x)).abs() < 1e-14);
        }
        band.add(4, 4, -1.9);
        assert!(!band.solve(&mut right));
    }
}
