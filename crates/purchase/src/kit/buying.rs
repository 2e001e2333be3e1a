//! The rolls that the sheets and hoops of a choice are cut from, by the cut list.

use crate::cut::{CutError, lengths, sheets};
use crate::kit::problem::{Origin, Owned, Problem};
use milp::Solver;

/// One roll that is bought, and what is cut from it.
#[derive(Clone, Debug, PartialEq)]
pub struct BoughtRoll {
    /// Kind of roll.
    pub roll: usize,
    /// Sizes and how many of each.
    pub gives: Vec<(usize, u32)>,
    /// What is left of it, as a share of the roll.
    pub left: f64,
}

/// All that is bought.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bought {
    /// Rolls.
    pub units: Vec<BoughtRoll>,
}

/// The cheapest rolls for what must be owned; `None` when there are too few.
///
/// # Errors
/// [`CutError`] other than too few rolls.
pub fn buy(
    problem: &Problem,
    owned: &Owned,
    solver: &dyn Solver,
) -> Result<Option<Bought>, CutError> {
    let mut bought = Bought::default();
    for goods in 0..problem.goods.len() {
        match rolls_of(problem, owned, goods, solver) {
            Ok((units, _)) => bought.units.extend(units),
            Err(CutError::NotEnoughRolls { .. }) => return Ok(None),
            Err(e) => return Err(e),
        }
    }
    Ok(Some(bought))
}

/// The rolls of one cloth or wire, and the least they can cost.
///
/// # Errors
/// [`CutError`].
pub fn rolls_of(
    problem: &Problem,
    owned: &Owned,
    goods: usize,
    solver: &dyn Solver,
) -> Result<(Vec<BoughtRoll>, f64), CutError> {
    let from_it =
        |s: &usize| problem.sizes[*s].from == Origin::Goods(goods) && owned.pieces[*s] > 0;
    let wanted: Vec<usize> = (0..problem.sizes.len()).filter(from_it).collect();
    let rolls: Vec<usize> =
        (0..problem.rolls.len()).filter(|r| problem.rolls[*r].goods == goods).collect();
    if wanted.is_empty() {
        return Ok((Vec::new(), 0.0));
    }
    let (cut, proof) = if problem.goods[goods].wire {
        wire(problem, owned, &wanted, &rolls, solver)?
    } else {
        cloth(problem, owned, &wanted, &rolls, solver)?
    };
    let units = cut.into_iter().map(|(r, pieces)| {
        let mut gives: Vec<(usize, u32)> = Vec::new();
        for piece in pieces {
            let size = wanted[piece];
            match gives.iter_mut().find(|g| g.0 == size) {
                Some(g) => g.1 += 1,
                None => gives.push((size, 1)),
            }
        }
        unit(problem, rolls[r], gives)
    });
    // Where nothing costs anything, the cut is measured by size and no money is proven.
    let at_least = if proof.cost.is_some() { proof.at_least } else { 0.0 };
    Ok((units.collect(), at_least))
}

/// A roll with what is left of it.
fn unit(problem: &Problem, roll: usize, gives: Vec<(usize, u32)>) -> BoughtRoll {
    let area = |width_m: f64, length_m: f64| width_m * length_m;
    let used: f64 = gives
        .iter()
        .map(|(s, n)| f64::from(*n) * area(problem.sizes[*s].width_m, problem.sizes[*s].length_m))
        .sum();
    let r = &problem.rolls[roll];
    BoughtRoll { roll, gives, left: (1.0 - used / area(r.width_m, r.length_m)).max(0.0) }
}

/// Kind of roll and pieces of each roll used.
type Cut = (Vec<(usize, Vec<usize>)>, crate::cut::Proof);

fn cloth(
    problem: &Problem,
    owned: &Owned,
    wanted: &[usize],
    rolls: &[usize],
    solver: &dyn Solver,
) -> Result<Cut, CutError> {
    let demand = |s: &usize| sheets::Demand {
        name: format!("sheet {s}"),
        width_m: problem.sizes[*s].width_m,
        length_m: problem.sizes[*s].length_m,
        count: owned.pieces[*s],
        material: 0,
    };
    let roll = |r: &usize| sheets::Roll {
        name: format!("roll {r}"),
        width_m: problem.rolls[*r].width_m,
        length_m: problem.rolls[*r].length_m,
        price: Some(problem.rolls[*r].price),
        at_most: problem.rolls[*r].at_most,
        material: 0,
    };
    let demands: Vec<_> = wanted.iter().map(demand).collect();
    let rolls: Vec<_> = rolls.iter().map(roll).collect();
    let layouts = sheets::cut(&demands, &rolls, solver)?;
    let [layout] = layouts.as_slice() else {
        return Err(CutError::Bug("not one layout for one cloth".into()));
    };
    let pieces = |c: &sheets::CutRoll| {
        (c.roll, c.strips.iter().flat_map(|s| &s.places).map(|p| p.demand).collect())
    };
    Ok((layout.rolls.iter().map(pieces).collect(), layout.proof))
}

fn wire(
    problem: &Problem,
    owned: &Owned,
    wanted: &[usize],
    rolls: &[usize],
    solver: &dyn Solver,
) -> Result<Cut, CutError> {
    let demand = |s: &usize| lengths::Demand {
        name: format!("hoop {s}"),
        length_m: problem.sizes[*s].length_m,
        count: owned.pieces[*s],
    };
    let roll = |r: &usize| lengths::Roll {
        name: format!("coil {r}"),
        length_m: problem.rolls[*r].length_m,
        price: Some(problem.rolls[*r].price),
        at_most: problem.rolls[*r].at_most,
    };
    let demands: Vec<_> = wanted.iter().map(demand).collect();
    let rolls: Vec<_> = rolls.iter().map(roll).collect();
    let layout = lengths::cut(&demands, &rolls, 0.0, solver)?;
    let pieces =
        |c: &lengths::CutRoll| (c.roll, c.pieces.iter().map(|p| p.demand).collect::<Vec<_>>());
    Ok((layout.rolls.iter().map(pieces).collect(), layout.proof))
}

impl Bought {
    /// What the rolls cost.
    pub fn paid(&self, problem: &Problem) -> f64 {
        self.units.iter().map(|u| problem.rolls[u.roll].price).sum()
    }

    /// What they cost a season.
    pub fn a_season(&self, problem: &Problem) -> f64 {
        let roll = |u: &BoughtRoll| &problem.rolls[u.roll];
        let cost = |u: &BoughtRoll| roll(u).price / problem.goods[roll(u).goods].seasons;
        self.units.iter().map(cost).sum()
    }
}
