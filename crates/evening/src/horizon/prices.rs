//! What stock and time are worth at each node.

use crate::horizon::problem::Problem;

/// One price for each decision, node and resource: money for a unit that lies until the next decision, or for a second.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    first: Vec<usize>,
    resources: usize,
    pub(super) all: Vec<f64>,
}

impl Prices {
    /// All prices zero.
    #[must_use]
    pub fn zero(problem: &Problem) -> Self {
        let resources = problem.resources();
        let mut first = vec![0];
        for t in 0..problem.decisions.len() {
            first.push(first[t] + problem.lattice.nodes(t) * resources);
        }
        Self { resources, all: vec![0.0; first[first.len() - 1]], first }
    }

    /// Index of a price.
    #[must_use]
    pub fn place(&self, decision: usize, node: usize, resource: usize) -> usize {
        self.first[decision] + node * self.resources + resource
    }

    /// One price.
    #[must_use]
    pub fn price(&self, decision: usize, node: usize, resource: usize) -> f64 {
        self.all[self.place(decision, node, resource)]
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}
