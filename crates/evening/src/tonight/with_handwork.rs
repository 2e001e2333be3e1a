//! What helps without cloth as choices beside the covers, so that people's minutes go where they save most.

use crate::constants::WALK_MINUTES;
use crate::plan::{Choice, Problem};
use crate::report::{Handwork, Measure};

/// The evening's choices with what may be done without cloth.
pub struct WithHandwork {
    /// The choices; those of the covers alone come first, at their places.
    pub problem: Problem,
    extras: Vec<Extra>,
}

/// A choice with something done without cloth.
struct Extra {
    bed: usize,
    choice: usize,
    /// What lies then.
    cover: usize,
    /// Index into the handwork.
    handwork: usize,
    /// Whether it can be done by lamp.
    by_lamp: bool,
}

impl WithHandwork {
    /// Watering is offered with the cover that is `planned`; what is carried in needs none. What takes no known minutes is
    /// no choice.
    #[must_use]
    pub fn new(problem: &Problem, planned: &[usize], handwork: &[Handwork]) -> Self {
        let (mut problem, mut extras) = (problem.clone(), Vec::new());
        for (handwork, h) in handwork.iter().enumerate().filter(|(_, h)| h.minutes > 0.0) {
            let (cover, by_lamp) = match h.measure {
                Measure::CarryIn { .. } => (0, true),
                Measure::Water { .. } => (planned[h.bed], false),
                Measure::Pick => continue,
            };
            let choices = &mut problem.beds[h.bed];
            let base = choices[cover].clone();
            // One walk to a bed, whatever is done there.
            let walk = if base.seconds > 0 { 0.0 } else { WALK_MINUTES };
            let seconds = base.seconds + (60.0 * (h.minutes + walk)).round() as u32;
            let expected_loss = (base.expected_loss - h.saves).max(0.0);
            extras.push(Extra { bed: h.bed, choice: choices.len(), cover, handwork, by_lamp });
            choices.push(Choice { expected_loss, seconds, ..base });
        }
        Self { problem, extras }
    }

    fn extra(&self, bed: usize, choice: usize) -> Option<&Extra> {
        self.extras.iter().find(|e| (e.bed, e.choice) == (bed, choice))
    }

    /// Whether a choice can be made by lamp.
    #[must_use]
    pub fn by_lamp(&self, bed: usize, choice: usize) -> bool {
        self.extra(bed, choice).is_none_or(|e| e.by_lamp)
    }

    /// What lies on each bed by a choice for every one, and what is done besides (indices into the handwork).
    #[must_use]
    pub fn apart(&self, choice: &[usize]) -> (Vec<usize>, Vec<usize>) {
        let extra = |b: usize| self.extra(b, choice[b]);
        let covers = (0..choice.len()).map(|b| extra(b).map_or(choice[b], |e| e.cover)).collect();
        (covers, (0..choice.len()).filter_map(|b| Some(extra(b)?.handwork)).collect())
    }
}
