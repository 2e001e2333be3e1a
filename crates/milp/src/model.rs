//! An integer program: minimise a cost over whole numbers under rows.

/// How a row compares.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sense {
    /// = right.
    Equal,
    /// ≤ right.
    AtMost,
}

/// One constraint.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Variable and coefficient.
    pub terms: Vec<(usize, f64)>,
    /// How it compares.
    pub sense: Sense,
    /// Right-hand side.
    pub right: f64,
}

/// Minimise objective · x over whole numbers 0 ≤ x ≤ most under rows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Model {
    /// Cost of each variable.
    pub objective: Vec<f64>,
    /// Greatest value of each variable.
    pub most: Vec<i32>,
    /// Constraints.
    pub rows: Vec<Row>,
}

impl Model {
    /// A new variable.
    pub fn var(&mut self, cost: f64, most: u32) -> usize {
        self.objective.push(cost);
        self.most.push(i32::try_from(most).unwrap_or(i32::MAX));
        self.objective.len() - 1
    }

    /// A new row Σ terms ≤ right.
    pub fn at_most(&mut self, terms: Vec<(usize, f64)>, right: f64) {
        self.rows.push(Row { terms, sense: Sense::AtMost, right });
    }
}
