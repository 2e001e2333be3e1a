//! What may become known, decision by decision: a lattice common to all beds.

/// One way on from a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Step {
    /// Node of the next decision.
    pub to: usize,
    /// Its chance, given where it starts.
    pub chance: f64,
}

/// Nodes of each decision and the chances between them, a Markov chain: what is known later depends on the node alone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lattice {
    /// By decision and node, the ways on; none from the last decision. The first decision has one node: what is known now.
    pub steps: Vec<Vec<Vec<Step>>>,
}

impl Lattice {
    /// One node for each decision: nothing more becomes known.
    #[must_use]
    pub fn known(decisions: usize) -> Self {
        let steps = |t| if t + 1 < decisions { vec![Step { to: 0, chance: 1.0 }] } else { vec![] };
        Self { steps: (0..decisions).map(|t| vec![steps(t)]).collect() }
    }

    /// Number of decisions.
    #[must_use]
    pub fn decisions(&self) -> usize {
        self.steps.len()
    }

    /// Number of nodes of a decision.
    #[must_use]
    pub fn nodes(&self, decision: usize) -> usize {
        self.steps.get(decision).map_or(0, Vec::len)
    }

    /// Chance of each node, by decision.
    #[must_use]
    pub fn chances(&self) -> Vec<Vec<f64>> {
        let mut all: Vec<Vec<f64>> = self.steps.iter().map(|s| vec![0.0; s.len()]).collect();
        if let Some(first) = all.first_mut().and_then(|f| f.first_mut()) {
            *first = 1.0;
        }
        for (t, nodes) in self.steps.iter().enumerate() {
            for (n, steps) in nodes.iter().enumerate() {
                for step in steps {
                    all[t + 1][step.to] += all[t][n] * step.chance;
                }
            }
        }
        all
    }

    /// What is wrong with it, if anything is.
    #[must_use]
    pub fn fault(&self) -> Option<&'static str> {
        if self.nodes(0) != 1 {
            return Some("the first decision must have one node");
        }
        for t in 0..self.decisions() {
            let next = self.nodes(t + 1);
            for steps in &self.steps[t] {
                if steps.iter().any(|s| s.to >= next || !s.chance.is_finite() || s.chance < 0.0) {
                    return Some("a step of the lattice leads nowhere or has no chance");
                }
                let sum: f64 = steps.iter().map(|s| s.chance).sum();
                if next > 0 && (sum - 1.0).abs() > 1e-9 {
                    return Some("the chances from a node must sum to 1");
                }
            }
        }
        None
    }
}
