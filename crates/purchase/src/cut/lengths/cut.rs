//! The cut of wire: into whole units, solved, back to metres, checked.

use crate::cut::checks::{check_count, check_length, check_price};
use crate::cut::error::CutError;
use crate::cut::lengths::layout::{CutRoll, Demand, Layout, Piece, Roll};
use crate::cut::lengths::verify::verify;
use crate::cut::problem::{OrientedPiece, Pattern, Problem, Roll as CoreRoll};
use crate::cut::proof::Costs;
use crate::cut::solve::{Found, Shortage, solve};
use crate::cut::units::{down, metres, up};
use milp::Solver;

/// The cut of least cost (of least length bought when a price is missing), where each cut spoils `kerf_m`.
///
/// minimise Σ c_r, Σ_i (l_i + k) n_i ≤ L_r + k in each roll, each piece as often as wanted.
/// Checked by `cut::every_small_case_in_one_dimension`, `cut_known::the_paper_mill_needs_73_rolls`.
///
/// # Errors
/// [`CutError`]; never [`CutError::Bug`] unless the fault is ours.
pub fn cut(
    demands: &[Demand],
    rolls: &[Roll],
    kerf_m: f64,
    solver: &dyn Solver,
) -> Result<Layout, CutError> {
    check(demands, rolls, kerf_m)?;
    let kerf = if kerf_m > 0.0 { up(kerf_m) } else { 0 };
    let costs = Costs::new(
        &rolls.iter().map(|r| r.price).collect::<Vec<_>>(),
        rolls.iter().map(|r| r.length_m).collect(),
    );
    let (problem, alike) = problem(demands, rolls, kerf, &costs);
    let found = solve(&problem, solver).map_err(|s: Shortage| CutError::NotEnoughRolls {
        piece: alike[s.piece].first().map_or(String::new(), |d| demands[*d].name.clone()),
        short: s.short,
        proven: s.proven,
    })?;
    let proof = costs.proof(&problem, &found);
    let layout = Layout { rolls: read(demands, rolls, (&problem, alike), found), proof };
    verify(demands, rolls, kerf_m, &layout)?;
    Ok(layout)
}

/// Refuses what is no question.
fn check(demands: &[Demand], rolls: &[Roll], kerf_m: f64) -> Result<(), CutError> {
    if !(0.0..=1.0).contains(&kerf_m) {
        return Err(CutError::BadKerf { value_m: kerf_m });
    }
    for roll in rolls {
        check_length(&roll.name, "the length", roll.length_m)?;
        check_price(&roll.name, roll.price)?;
    }
    check_count(demands.iter().map(|d| d.count))?;
    for demand in demands {
        check_length(&demand.name, "the length", demand.length_m)?;
        let longest = rolls.iter().max_by(|a, b| a.length_m.total_cmp(&b.length_m));
        if demand.count == 0 {
            continue;
        }
        let Some(longest) = longest else {
            return Err(CutError::NoRoll { piece: demand.name.clone() });
        };
        if up(demand.length_m) > down(longest.length_m) {
            return Err(CutError::TooLong {
                piece: demand.name.clone(),
                length_m: demand.length_m,
                roll: longest.name.clone(),
                roll_length_m: longest.length_m,
            });
        }
    }
    Ok(())
}

/// The problem in whole units, and the demands of each piece: those of one length are counted together.
fn problem(
    demands: &[Demand],
    rolls: &[Roll],
    kerf: u64,
    costs: &Costs,
) -> (Problem, Vec<Vec<usize>>) {
    let mut problem = Problem::default();
    let mut alike: Vec<Vec<usize>> = Vec::new();
    for (d, demand) in demands.iter().enumerate().filter(|(_, d)| d.count > 0) {
        let along = up(demand.length_m) + kerf;
        let same = problem.oriented.iter().position(|l| l.along == along);
        let piece = same.unwrap_or_else(|| {
            problem.oriented.push(OrientedPiece { piece: alike.len(), across: 1, along });
            problem.counts.push(0);
            alike.push(Vec::new());
            alike.len() - 1
        });
        problem.counts[piece] += demand.count;
        alike[piece].push(d);
    }
    let roll = |(r, cost): (&Roll, &f64)| CoreRoll {
        width: 1,
        length: down(r.length_m) + kerf,
        cost: *cost,
        at_most: r.at_most,
    };
    problem.rolls = rolls.iter().zip(&costs.each).map(roll).collect();
    (problem, alike)
}

/// The cut in metres, longest pieces first.
fn read(
    demands: &[Demand],
    rolls: &[Roll],
    (problem, alike): (&Problem, Vec<Vec<usize>>),
    mut found: Found,
) -> Vec<CutRoll> {
    let each = |d: &usize| std::iter::repeat_n(*d, demands[*d].count as usize);
    let mut waiting: Vec<_> = alike.iter().map(|ds| ds.iter().flat_map(each)).collect();
    for pattern in &mut found.cut {
        pattern.strips.sort_by_key(|s| std::cmp::Reverse(s.along));
    }
    found.cut.sort_by_cached_key(|u: &Pattern| {
        (u.roll, u.strips.iter().map(|s| std::cmp::Reverse(s.along)).collect::<Vec<_>>())
    });
    let mut cut = Vec::new();
    for pattern in &found.cut {
        let mut at = 0;
        let mut pieces = Vec::new();
        for oriented in pattern.strips.iter().flat_map(|s| &s.oriented) {
            let oriented = &problem.oriented[*oriented];
            if let Some(demand) = waiting[oriented.piece].next() {
                let length_m = demands[demand].length_m;
                pieces.push(Piece { demand, from_m: metres(at), length_m });
            }
            at += oriented.along;
        }
        let offcut_m = (rolls[pattern.roll].length_m - metres(at)).max(0.0);
        cut.push(CutRoll { roll: pattern.roll, pieces, offcut_m });
    }
    cut
}
