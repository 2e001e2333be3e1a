//! The plan in what light is left, and what of the rest is worth doing by lamp.

use milp::Solver;

use crate::constants::DARK_TIMES;
use crate::error::Error;
use crate::plan::{self, Plan, Problem};

/// The evening's plan in its two parts.
pub struct Staged {
    /// What is done first: all of it, or what fits in the light that is left.
    pub first: Plan,
    /// What is done by lamp after that; each bed of the first part keeps its choice there.
    pub lamp: Plan,
    /// The choices by lamp: the first of a bed is what the first part left it with.
    pub lamp_problem: Problem,
    /// Both parts together.
    pub whole: Plan,
}

/// The plan of least cost with `light_s` seconds until dark for `people`.
///
/// What does not fit in the light is asked again with [`DARK_TIMES`] the work, what was done staying done; of a bed's choices
/// then only those that can be made `by_lamp`.
///
/// # Errors
/// [`Error::Plan`].
pub fn plan(
    problem: &Problem,
    solver: &dyn Solver,
    people: u32,
    light_s: i64,
    by_lamp: impl Fn(usize, usize) -> bool,
) -> Result<Staged, Error> {
    let light = light_s.saturating_mul(i64::from(people.max(1)));
    let light = u32::try_from(light.max(0)).unwrap_or(u32::MAX);
    let in_light = Problem { seconds: problem.seconds.min(light), ..problem.clone() };
    let first = plan::best(&in_light, solver)?;
    let mut rest = Problem {
        seconds: problem.seconds.saturating_sub(u32::try_from(first.seconds).unwrap_or(u32::MAX)),
        ..problem.clone()
    };
    for (b, (choices, chosen)) in rest.beds.iter_mut().zip(&first.choice).enumerate() {
        if *chosen > 0 {
            let mut done = choices[*chosen].clone();
            done.seconds = 0;
            *choices = vec![done];
        }
        let left = choices[0].clone();
        for (c, choice) in choices.iter_mut().enumerate().skip(1) {
            if by_lamp(b, c) {
                choice.seconds = (f64::from(choice.seconds) * DARK_TIMES) as u32;
            } else {
                *choice = left.clone();
            }
        }
    }
    // Without a lack of light there is no rest.
    let lamp = if in_light.seconds < problem.seconds {
        plan::best(&rest, solver)?
    } else {
        rest.plan_of(vec![0; rest.beds.len()], Some(0.0))
    };
    let choice =
        first.choice.iter().zip(&lamp.choice).map(|(a, b)| if *a > 0 { *a } else { *b }).collect();
    let whole = problem.plan_of(choice, first.gap);
    Ok(Staged { first, lamp, lamp_problem: rest, whole })
}
