//! Sheets from rolls of cloth, cut straight across and then slit along, never tilted and never joined.

use crate::cut::best::{Found, Shortage, best};
use crate::cut::error::CutError;
use crate::cut::problem::{Laid, Problem, Roll as CoreRoll, Strip as CoreStrip, Used};
use crate::cut::units::{Costs, Proof, check_count, check_length, check_price, down, metres, up};
use milp::Solver;

/// Sheets of one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Demand {
    /// What the grower calls it.
    pub name: String,
    /// Width across the bed, m, (0, 10 000].
    pub width_m: f64,
    /// Length along the bed, m, (0, 10 000].
    pub length_m: f64,
    /// How many.
    pub count: u32,
    /// Which cloth; each is cut by itself.
    pub material: usize,
}

/// A kind of roll.
#[derive(Clone, Debug, PartialEq)]
pub struct Roll {
    /// What the grower calls it.
    pub name: String,
    /// Width, m, (0, 10 000].
    pub width_m: f64,
    /// Length, m, (0, 10 000].
    pub length_m: f64,
    /// Price of one, money, ≥ 0; `None` when unknown.
    pub price: Option<f64>,
    /// How many there are; `None` when more can be had.
    pub at_most: Option<u32>,
    /// Which cloth.
    pub material: usize,
}

/// One sheet on a roll: a rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// Index of the demand.
    pub demand: usize,
    /// Where it begins across the roll, m from its edge.
    pub across_from_m: f64,
    /// Extent across the roll, m.
    pub across_m: f64,
    /// Where it begins along the roll, m from its start.
    pub along_from_m: f64,
    /// Extent along the roll, m.
    pub along_m: f64,
    /// Whether its length lies across the roll.
    pub turned: bool,
}

/// A length cut across the roll, then slit.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Where it begins, m from the start of the roll.
    pub from_m: f64,
    /// Its length along the roll: that of its longest sheet, m.
    pub length_m: f64,
    /// Sheets side by side.
    pub places: Vec<Place>,
    /// Width left beside them, m.
    pub offcut_width_m: f64,
}

/// One roll to cut.
#[derive(Clone, Debug, PartialEq)]
pub struct CutRoll {
    /// Index of the kind of roll.
    pub roll: usize,
    /// Strips in the order of cutting, longest first.
    pub strips: Vec<Strip>,
    /// What is left at the end, m.
    pub offcut_m: f64,
}

/// The whole cut of one cloth, as data to be drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Layout {
    /// Which cloth.
    pub material: usize,
    /// Each roll that is used, kind by kind.
    pub rolls: Vec<CutRoll>,
    /// What it costs, and how much less any such cut could.
    pub proof: Proof,
}

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
    let layouts = materials.into_iter().map(|m| of_cloth(demands, rolls, m, solver));
    let layouts: Vec<Layout> = layouts.collect::<Result<_, _>>()?;
    super::verify::sheets(demands, rolls, &layouts)?;
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
fn of_cloth(
    demands: &[Demand],
    rolls: &[Roll],
    material: usize,
    solver: &dyn Solver,
) -> Result<Layout, CutError> {
    let kinds: Vec<usize> = (0..rolls.len()).filter(|r| rolls[*r].material == material).collect();
    let area_m2 = |r: &usize| rolls[*r].width_m * rolls[*r].length_m;
    let prices: Vec<Option<f64>> = kinds.iter().map(|r| rolls[*r].price).collect();
    let costs = Costs::of(&prices, kinds.iter().map(area_m2).collect());
    let (mut problem, alike) = pieces(demands, material);
    let roll = |(r, cost): (&usize, &f64)| CoreRoll {
        width: down(rolls[*r].width_m),
        length: down(rolls[*r].length_m),
        cost: *cost,
        at_most: rolls[*r].at_most,
    };
    problem.rolls = kinds.iter().zip(&costs.each).map(roll).collect();
    let found = best(&problem, solver).map_err(|s: Shortage| CutError::NotEnoughRolls {
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
        let same = problem.laid.iter().find(|l| (l.across, l.along) == (across, along));
        let piece = same.map(|l| l.piece).unwrap_or_else(|| {
            let piece = alike.len();
            problem.laid.push(Laid { piece, across, along });
            if across != along {
                problem.laid.push(Laid { piece, across: along, along: across });
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
        for used in &mut found.cut {
            let laid = |l: &usize| std::cmp::Reverse((self.problem.laid[*l].along, *l));
            used.strips.iter_mut().for_each(|s| s.laid.sort_by_key(laid));
            used.strips.sort_by_key(|s| std::cmp::Reverse(s.along));
        }
        found.cut.sort_by_cached_key(|u: &Used| {
            let strip = |s: &CoreStrip| (std::cmp::Reverse(s.along), s.laid.clone());
            (u.roll, u.strips.iter().map(strip).collect::<Vec<_>>())
        });
        let mut cut = Vec::new();
        for used in found.cut {
            let kind = kinds[used.roll];
            let mut at = 0;
            let mut strips = Vec::new();
            for strip in &used.strips {
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
        for laid in strip.laid.iter().map(|l| &self.problem.laid[*l]) {
            if let Some(demand) = self.waiting[laid.piece].pop() {
                let Demand { width_m, length_m, .. } = self.demands[demand];
                let turned = up(width_m) != laid.across;
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
            across += laid.across;
        }
        Strip {
            from_m: metres(from),
            length_m: metres(strip.along),
            places,
            offcut_width_m: (self.rolls[kind].width_m - metres(across)).max(0.0),
        }
    }
}
