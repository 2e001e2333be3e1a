//! How a hoop gives way under a growing load: equilibrium in the displaced position, step by step, until none is left.

use crate::banded_matrix::BandedMatrix;
use crate::bending::Rod;
use crate::chain::{Chain, Supports};
use crate::constants as c;
use crate::error::Error;
use crate::load::Load;
use crate::outline::Outline;

/// How a hoop gave way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Failure {
    /// It lost its stiffness while the material was still elastic.
    Buckled,
    /// It lost its stiffness after it had begun to yield.
    Folded,
    /// The brittle rod broke.
    Broke,
    /// It still stood, but some point had moved by half the rise (of a beam: an eighth of its length).
    Flattened,
    /// The steady load alone was too much.
    SteadyLoad,
    /// It stood under every factor tried.
    Stood,
}

/// What one growing load does to a hoop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Collapse {
    /// Factor at which the outermost fibre first yields; none if it gives way before.
    pub yield_factor: Option<f64>,
    /// Greatest factor at which it stands.
    pub collapse_factor: f64,
    /// How it gave way.
    pub failure: Failure,
    /// Greatest movement of any point when it first yields (or gives way before), m.
    pub yield_movement_m: f64,
}

/// What one given load does to a hoop that stands under it.
#[derive(Clone, Debug, PartialEq)]
pub struct Equilibrium {
    /// Where the points are: x and z, m.
    pub points_m: Vec<[f64; 2]>,
    /// Moment at each point, N m, positive where it straightens the hoop.
    pub moments_n_m: Vec<f64>,
    /// Thrust in each piece, N.
    pub thrusts_n: Vec<f64>,
    /// Greatest stress over the yield stress, 1 at first yield.
    pub utilisation: f64,
}

/// One hoop, ready for loads.
pub struct Frame {
    chain: Chain,
    /// Movement at which it counts as flattened, m.
    most_m: f64,
    first_move_m: f64,
    /// Most that a point may move in one step, so that none jumps to another shape, m.
    step_m: f64,
}

/// A position in equilibrium.
#[derive(Clone)]
struct State {
    factor: f64,
    place: Vec<f64>,
    used: f64,
    iterations: usize,
}

impl Frame {
    /// The hoop along `outline`, of `rod`, held as `supports` says.
    #[must_use]
    pub fn new(outline: &Outline, rod: &Rod, supports: Supports) -> Self {
        let rise = outline.points().iter().map(|p| p.z_m).fold(0.0, f64::max);
        let size = rise.max(c::FLAT_SHARE * outline.span_m());
        let most_m = c::FLATTENED_SHARE * size;
        let (first_move_m, step_m) = (c::FIRST_MOVE * size, c::MOST_MOVES * c::FIRST_MOVE * size);
        Self { chain: Chain::new(outline, rod, supports), most_m, first_move_m, step_m }
    }

    /// Lets `growing` grow on top of `steady` until the hoop gives way.
    ///
    /// The load grows in steps; in each, Newton's method seeks equilibrium in the displaced position. A step fails where
    /// it finds none, or where the stiffness there is not positive (buckling of either kind). Steps that fail are cut
    /// until they are 1/5000 of the load. Yielding rods follow M(κ) of [`Rod::moment_n_m`] also where they unload and
    /// without the thrust, which at garden sizes takes less than 1/1000 off the plastic moment.
    /// Checked by `frame::arches_under_pressure_buckle_as_published` and `frame::a_fixed_beam_collapses`.
    ///
    /// # Errors
    /// [`Error::NoLoad`] and [`Error::OtherOutline`] for such loads.
    /// Equation 27 of docs/science.md.
    pub fn collapse(&self, steady: &Load, growing: &Load) -> Result<Collapse, Error> {
        self.accept(steady)?;
        self.accept(growing)?;
        if growing.down_n().iter().chain(growing.inward_n_m()).all(|f| *f == 0.0) {
            return Err(Error::NoLoad);
        }
        let Some(start) = self.loaded(steady) else {
            return Ok(Collapse {
                yield_factor: None,
                collapse_factor: 0.0,
                failure: Failure::SteadyLoad,
                yield_movement_m: 0.0,
            });
        };
        Ok(self.follow(start, steady, growing, f64::INFINITY).0)
    }

    /// The hoop under one load; none if it does not stand.
    ///
    /// # Errors
    /// [`Error::OtherOutline`] for such a load.
    pub fn equilibrium_under(&self, load: &Load) -> Result<Option<Equilibrium>, Error> {
        self.accept(load)?;
        Ok(self.loaded(load).map(|state| {
            let (moments_n_m, thrusts_n) = self.chain.forces(&state.place);
            Equilibrium {
                points_m: state.place.chunks_exact(2).map(|p| [p[0], p[1]]).collect(),
                moments_n_m,
                thrusts_n,
                utilisation: state.used,
            }
        }))
    }

    fn accept(&self, load: &Load) -> Result<(), Error> {
        let (got, wanted) = (load.down_n().len(), self.chain.unknowns() / 2);
        if got == wanted { Ok(()) } else { Err(Error::OtherOutline { got, wanted }) }
    }

    /// Equilibrium under the steady load, at once if that moves the hoop by little, else in steps.
    fn loaded(&self, steady: &Load) -> Option<State> {
        let drawn =
            State { factor: 0.0, place: self.chain.drawn.clone(), used: 0.0, iterations: 0 };
        let zero = Load::like(steady);
        let empty = self.equilibrium(&drawn, (&zero, steady), 0.0)?;
        let last = match self.stands(&empty, (&zero, steady), 1.0) {
            Ok(state) => state,
            Err(_) => self.follow(empty, &zero, steady, 1.0).1,
        };
        (last.factor >= 1.0).then_some(State { factor: 0.0, ..last })
    }

    /// Raises the factor from a state of equilibrium until the hoop gives way or `most` is reached.
    fn follow(&self, start: State, steady: &Load, growing: &Load, most: f64) -> (Collapse, State) {
        let mut out = Collapse {
            yield_factor: (start.used >= 1.0).then_some(start.factor),
            collapse_factor: start.factor,
            failure: Failure::Stood,
            yield_movement_m: self.moved_m(&start.place),
        };
        let first = self.first_step(&start, (steady, growing));
        let (mut state, mut step, mut failed_before) = (start, first, false);
        for _ in 0..c::MOST_STEPS {
            let factor = (state.factor + step).min(most);
            match self.stands(&state, (steady, growing), factor) {
                Ok(next) => {
                    if out.yield_factor.is_none() {
                        let at = if next.used < 1.0 {
                            next.clone()
                        } else {
                            let at = self.first_yield(&state, &next, (steady, growing));
                            out.yield_factor = Some(at.factor);
                            at
                        };
                        out.yield_movement_m = self.moved_m(&at.place);
                    }
                    if next.iterations <= c::EASY_ITERATIONS && !failed_before {
                        step *= c::LONGER;
                    }
                    state = next;
                    if state.factor >= most {
                        break;
                    }
                }
                Err(None) => step *= c::SHORTER,
                Err(Some(failure)) => {
                    out.failure = match failure {
                        Failure::Buckled if state.used >= 1.0 => Failure::Folded,
                        other => other,
                    };
                    failed_before = true;
                    step *= c::SHORTER;
                }
            }
            if step < c::SMALLEST_STEP * state.factor
                || step < c::VANISHING_STEP * first
                || !step.is_finite()
            {
                break;
            }
        }
        out.collapse_factor = state.factor;
        (out, state)
    }

    /// Equilibrium at a higher factor that counts as standing; else how it failed, or nothing if it only moved too far in
    /// one step.
    fn stands(
        &self,
        from: &State,
        loads: (&Load, &Load),
        factor: f64,
    ) -> Result<State, Option<Failure>> {
        let next = self.equilibrium(from, loads, factor).ok_or(Failure::Buckled)?;
        if farthest_m(&next.place, &from.place) > self.step_m {
            return Err(None);
        }
        if !self.chain.rod.ductile && next.used >= 1.0 {
            return Err(Some(Failure::Broke));
        }
        if self.chain.greatest_axial_use(&next.place) >= 1.0 {
            return Err(Some(Failure::Buckled));
        }
        if self.moved_m(&next.place) > self.most_m {
            return Err(Some(Failure::Flattened));
        }
        Ok(next)
    }

    /// The state between two where the use of strength passes 1, by false position.
    fn first_yield(&self, before: &State, after: &State, loads: (&Load, &Load)) -> State {
        let (mut low, mut high) = (before.clone(), after.clone());
        for _ in 0..c::YIELD_TRIALS {
            let part = ((1.0 - low.used) / (high.used - low.used))
                .clamp(c::BRACKET_PARTS.0, c::BRACKET_PARTS.1);
            let factor = low.factor + part * (high.factor - low.factor);
            let Some(state) = self.equilibrium(&low, loads, factor) else { break };
            let done = (state.used - 1.0).abs() < c::YIELD_TOLERANCE;
            if state.used < 1.0 {
                low = state;
            } else {
                high = state;
            }
            if done {
                break;
            }
        }
        if (low.used - 1.0).abs() < (high.used - 1.0).abs() { low } else { high }
    }

    /// A step that moves the hoop by little, from its stiffness at the start.
    fn first_step(&self, start: &State, loads: (&Load, &Load)) -> f64 {
        let (steady, growing) = loads;
        let size = self.chain.unknowns();
        let (mut stiffness, mut at, mut more) =
            (BandedMatrix::zero(size), vec![0.0; size], vec![0.0; size]);
        let place = &start.place;
        self.chain.assemble(place, (steady, growing, start.factor), &mut stiffness, &mut at);
        self.chain.assemble(
            place,
            (steady, growing, start.factor + 1.0),
            &mut stiffness,
            &mut more,
        );
        self.chain.assemble(place, (steady, growing, start.factor), &mut stiffness, &mut at);
        for (m, a) in more.iter_mut().zip(&at) {
            *m -= a;
        }
        let solved = stiffness.solve(&mut more);
        let moves = more.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
        if solved && moves > 0.0 { self.first_move_m / moves } else { f64::INFINITY }
    }

    /// Newton's method from a state; none without convergence or where the stiffness found is not positive.
    fn equilibrium(&self, from: &State, loads: (&Load, &Load), factor: f64) -> Option<State> {
        let size = self.chain.unknowns();
        let (mut stiffness, mut force) = (BandedMatrix::zero(size), vec![0.0; size]);
        let mut place = from.place.clone();
        let small_n = self.chain.small_n();
        for iterations in 0..c::MOST_ITERATIONS {
            let load = (loads.0, loads.1, factor);
            self.chain.assemble(&place, load, &mut stiffness, &mut force);
            let open = force.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
            if !stiffness.solve(&mut force) {
                return None;
            }
            let longest = force.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
            if longest > self.most_m {
                return None;
            }
            for (p, u) in place.iter_mut().zip(&force) {
                *p += u;
            }
            if open <= small_n {
                let used = self.chain.utilisation(&place);
                return Some(State { factor, place, used, iterations });
            }
        }
        None
    }

    fn moved_m(&self, place: &[f64]) -> f64 {
        farthest_m(place, &self.chain.drawn)
    }
}

/// Greatest distance between the points of two positions, m.
fn farthest_m(place: &[f64], from: &[f64]) -> f64 {
    let pairs = place.chunks_exact(2).zip(from.chunks_exact(2));
    pairs.map(|(p, d)| (p[0] - d[0]).hypot(p[1] - d[1])).fold(0.0, f64::max)
}
