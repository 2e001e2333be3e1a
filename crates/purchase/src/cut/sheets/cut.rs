//! The cut of cloth: into whole units, solved, back to metres, checked.

use crate::cut::checks::{check_count, check_length, check_price};
use crate::cut::error::CutError;
use crate::cut::problem::{OrientedPiece, Pattern, Problem, Roll as CoreRoll, Strip as CoreStrip};
use crate::cut::proof::Costs;
use crate::cut::sheets::layout::{CutRoll, Demand, Layout, Place, Roll, Strip};
use crate::cut::sheets::verify::verify;
use crate::cut::solve::{Found, Shortage, solve};
use crate::cut::units::{down, metres, up};
use milp::Solver;

/// For each cloth the cut of least cost (of least area bought when a price is missing) among all that are cut straight
/// across the roll and then slit along, a sheet shorter than its strip being trimmed.
///
/// Checked by `cut::every_small_case_in_two_dimensions`, `cut_known::turned_sheets_fill_a_roll`.
///
/// # Errors
/// [`CutError`]; never [`CutError::Bug`] unless the fault is ours.
pub fn cut(
    demands: &[Demand],
    rolls: &[Roll],
    solver: &dyn Solver,
) -> Result<Vec<Layout>, CutError> {
    check(demands, rolls)?;
    let wanted = demands.iter().filter(|d| d.count > 0);
    let mut materials: Vec<usize> = wanted.map(|d| d.material).collect();
    materials.sort_unstable();
    materials.dedup();
    let layouts = materials.into_iter().map(|m| cut_of_cloth(demands, rolls, m, solver));
    let layouts: Vec<Layout> = layouts.collect::<Result<_, _>>()?;
    verify(demands, rolls, &layouts)?;
    Ok(layouts)
}

/// Refuses what is no question.
fn check(demands: &[Demand], rolls: &[Roll]) -> Result<(), CutError> {
    for roll in rolls {
        check_length(&roll.name, "the width", roll.width_m)?;
        check_length(&roll.name, "the length", roll.length_m)?;
        check_price(&roll.name, roll.price)?;
    }
    check_count(demands.iter().map(|d| d.count))?;
    for demand in demands {
        check_length(&demand.name, "the width", demand.width_m)?;
        check_length(&demand.name, "the length", demand.length_m)?;
        let of_cloth = || rolls.iter().filter(|r| r.material == demand.material);
        let (w, l) = (up(demand.width_m), up(demand.length_m));
        let fits = |r: &Roll| {
            let (width, length) = (down(r.width_m), down(r.length_m));
            (w <= width && l <= length) || (l <= width && w <= length)
        };
        if demand.count == 0 || of_cloth().any(fits) {
            continue;
        }
        let widest = of_cloth()
            .max_by(|a, b| a.width_m.total_cmp(&b.width_m).then(a.length_m.total_cmp(&b.length_m)));
        let piece = demand.name.clone();
        return Err(match widest {
            None => CutError::NoRoll { piece },
            Some(roll) => CutError::TooLarge {
                piece,
                width_m: demand.width_m,
                length_m: demand.length_m,
                roll: roll.name.clone(),
                roll_width_m: roll.width_m,
                roll_length_m: roll.length_m,
            },
        });
    }
    Ok(())
}

/// The cut of one cloth.
fn cut_of_cloth(
    demands: &[Demand],
    rolls: &[Roll],
    material: usize,
    solver: &dyn Solver,
) -> Result<Layout, CutError> {
    let kinds: Vec<usize> = (0..rolls.len()).filter(|r| rolls[*r].material == material).collect();
    let area_m2 = |r: &usize| rolls[*r].width_m * rolls[*r].length_m;
    let prices: Vec<Option<f64>> = kinds.iter().map(|r| rolls[*r].price).collect();
    let costs = Costs::new(&prices, kinds.iter().map(area_m2).collect());
    let (mut problem, alike) = pieces(demands, material);
    let roll = |(r, cost): (&usize, &f64)| CoreRoll {
        width: down(rolls[*r].width_m),
        length: down(rolls[*r].length_m),
        cost: *cost,
        at_most: rolls[*r].at_most,
    };
    problem.rolls = kinds.iter().zip(&costs.each).map(roll).collect();
    let found = solve(&problem, solver).map_err(|s: Shortage| CutError::NotEnoughRolls {
        piece: alike[s.piece].first().map_or(String::new(), |d| demands[*d].name.clone()),
        short: s.short,
        proven: s.proven,
    })?;
    let proof = costs.proof(&problem, &found);
    let mut reader =
        Reader { demands, rolls, problem: &problem, waiting: waiting(demands, &alike) };
    Ok(Layout { material, rolls: reader.read(found, &kinds), proof })
}

/// The sheets of a cloth in whole units, and the demands of each: those of one size, turned or not, count together.
fn pieces(demands: &[Demand], material: usize) -> (Problem, Vec<Vec<usize>>) {
    let mut problem = Problem::default();
    let mut alike: Vec<Vec<usize>> = Vec::new();
    let of_cloth = |d: &&Demand| d.material == material && d.count > 0;
    for (d, demand) in demands.iter().enumerate().filter(|(_, d)| of_cloth(d)) {
        let (across, along) = (up(demand.width_m), up(demand.length_m));
        let same = problem.oriented.iter().find(|l| (l.across, l.along) == (across, along));
        let piece = same.map(|l| l.piece).unwrap_or_else(|| {
            let piece = alike.len();
            problem.oriented.push(OrientedPiece { piece, across, along });
            if across != along {
                problem.oriented.push(OrientedPiece { piece, across: along, along: across });
            }
            problem.counts.push(0);
            alike.push(Vec::new());
            piece
        });
        problem.counts[piece] += demand.count;
        alike[piece].push(d);
    }
    (problem, alike)
}

/// For each piece its demands, each as often as it is wanted, last first.
fn waiting(demands: &[Demand], alike: &[Vec<usize>]) -> Vec<Vec<usize>> {
    let each = |d: &usize| std::iter::repeat_n(*d, demands[*d].count as usize);
    alike.iter().map(|ds| ds.iter().rev().flat_map(each).collect()).collect()
}

/// From whole units back to metres and names.
struct Reader<'a> {
    demands: &'a [Demand],
    rolls: &'a [Roll],
    problem: &'a Problem,
    waiting: Vec<Vec<usize>>,
}

impl Reader<'_> {
    /// The cut, longest strips first.
    fn read(&mut self, mut found: Found, kinds: &[usize]) -> Vec<CutRoll> {
        for pattern in &mut found.cut {
            let oriented = |l: &usize| std::cmp::Reverse((self.problem.oriented[*l].along, *l));
            pattern.strips.iter_mut().for_each(|s| s.oriented.sort_by_key(oriented));
            pattern.strips.sort_by_key(|s| std::cmp::Reverse(s.along));
        }
        found.cut.sort_by_cached_key(|u: &Pattern| {
            let strip = |s: &CoreStrip| (std::cmp::Reverse(s.along), s.oriented.clone());
            (u.roll, u.strips.iter().map(strip).collect::<Vec<_>>())
        });
        let mut cut = Vec::new();
        for pattern in found.cut {
            let kind = kinds[pattern.roll];
            let mut at = 0;
            let mut strips = Vec::new();
            for strip in &pattern.strips {
                strips.push(self.strip(strip, at, kind));
                at += strip.along;
            }
            let offcut_m = (self.rolls[kind].length_m - metres(at)).max(0.0);
            cut.push(CutRoll { roll: kind, strips, offcut_m });
        }
        cut
    }

    /// One strip.
    fn strip(&mut self, strip: &CoreStrip, from: u64, kind: usize) -> Strip {
        let mut across = 0;
        let mut places = Vec::new();
        for oriented in strip.oriented.iter().map(|l| &self.problem.oriented[*l]) {
            if let Some(demand) = self.waiting[oriented.piece].pop() {
                let Demand { width_m, length_m, .. } = self.demands[demand];
                let turned = up(width_m) != oriented.across;
                let (across_m, along_m) =
                    if turned { (length_m, width_m) } else { (width_m, length_m) };
                places.push(Place {
                    demand,
                    across_from_m: metres(across),
                    across_m,
                    along_from_m: metres(from),
                    along_m,
                    turned,
                });
            }
            across += oriented.across;
        }
        Strip {
            from_m: metres(from),
            length_m: metres(strip.along),
            places,
            offcut_width_m: (self.rolls[kind].width_m - metres(across)).max(0.0),
        }
    }
}
