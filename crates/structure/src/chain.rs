//! A hoop as a chain of straight links joined by bending joints, in large displacement.
//!
//! Each link stretches with E A and turns as it likes; each joint carries the moment M(κ), κ the turn between its links
//! over the length it stands for. Forces and stiffness are exact derivatives in the displaced position, so equilibrium
//! is that of second order and nothing is assumed small. The chain tends to the rod with the square of the link.

use crate::banded_matrix::BandedMatrix;
use crate::bending::Rod;
use crate::constants::{SMALL_BENDING, SMALL_ROUNDING};
use crate::load::Load;
use crate::outline::Outline;

/// How the feet stand in the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Base {
    /// Held in place, free to turn: loose, wet or shallow ground.
    Pinned,
    /// Held in place and direction: firm or frozen ground, deep legs, rods over stakes.
    Fixed,
}

/// What the hoop would be without any force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unstressed {
    /// The shape in which it stands: bent to it beforehand.
    AsDrawn,
    /// Straight: sprung into its shape and bent by that alone.
    Straight,
}

/// How the hoop is held.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Supports {
    /// The feet.
    pub base: Base,
    /// The shape without force.
    pub unstressed: Unstressed,
    /// Whether a purlin on posts holds the crown: tied to it, so that the crown moves neither up nor down, while it
    /// stays free to move sideways; posts and purlin are taken as rigid.
    pub prop: bool,
}

pub(crate) struct Chain {
    /// Coordinates as drawn: x and z of each point in turn.
    pub drawn: Vec<f64>,
    links_m: Vec<f64>,
    /// Turn of each joint without force, rad.
    rest_rad: Vec<f64>,
    /// Direction in which each foot is held.
    feet: Option<[[f64; 2]; 2]>,
    /// Unknowns that do not move.
    held: Vec<usize>,
    pub rod: Rod,
}

/// Direction of one link in the displaced position.
#[derive(Clone, Copy)]
struct Link {
    length: f64,
    along: [f64; 2],
    /// How its angle changes with its end over start: (−sin, cos)/length.
    turn: [f64; 2],
}

impl Link {
    fn new(x: f64, z: f64) -> Self {
        let length = x.hypot(z);
        let along = [x / length, z / length];
        Self { length, along, turn: [-along[1] / length, along[0] / length] }
    }

    /// A foot held in direction: its angle does not change.
    fn fixed(along: [f64; 2]) -> Self {
        Self { length: 0.0, along, turn: [0.0; 2] }
    }

    /// Angle from this link to the next, rad.
    fn angle_to(&self, next: &Self) -> f64 {
        let (a, b) = (self.along, next.along);
        (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1])
    }
}

impl Chain {
    pub fn new(outline: &Outline, rod: &Rod, supports: Supports) -> Self {
        let drawn: Vec<f64> = outline.points().iter().flat_map(|p| [p.x_m, p.z_m]).collect();
        let points = outline.points().len();
        let last = 2 * (points - 1);
        let mut fixed = vec![0, 1, last, last + 1];
        if supports.prop {
            fixed.push(2 * ((points - 1) / 2) + 1);
        }
        let ends = [outline.points().first(), outline.points().last()];
        let direction = |t: f64| [t.cos(), t.sin()];
        let feet = (supports.base == Base::Fixed)
            .then(|| ends.map(|p| direction(p.map_or(0.0, |p| p.tangent_rad))));
        let mut chain = Self {
            drawn,
            links_m: Vec::new(),
            rest_rad: vec![0.0; points],
            feet,
            held: fixed,
            rod: *rod,
        };
        let links = chain.links(&chain.drawn);
        chain.links_m = links.iter().map(|l| l.length).collect();
        if supports.unstressed == Unstressed::AsDrawn {
            chain.rest_rad = (0..points).map(|i| chain.turn_rad(&links, i)).collect();
        }
        chain
    }

    pub fn unknowns(&self) -> usize {
        self.drawn.len()
    }

    /// A force that is small to this hoop, N.
    pub fn small_n(&self) -> f64 {
        let length: f64 = self.links_m.iter().sum();
        let shortest = self.links_m.iter().fold(length, |a, b| a.min(*b));
        let rounding = self.rod.modulus_pa * self.rod.section.area_m2() * length / shortest;
        SMALL_BENDING * self.rod.stiffness_n_m2() / (length * length) + SMALL_ROUNDING * rounding
    }

    fn links(&self, place: &[f64]) -> Vec<Link> {
        (0..place.len() / 2 - 1)
            .map(|i| {
                Link::new(place[2 * i + 2] - place[2 * i], place[2 * i + 3] - place[2 * i + 1])
            })
            .collect()
    }

    /// Links on either side of a joint; a held foot counts as one, a free foot has none.
    fn around(&self, links: &[Link], joint: usize) -> (Option<Link>, Option<Link>) {
        let before = match joint {
            0 => self.feet.map(|f| Link::fixed(f[0])),
            i => Some(links[i - 1]),
        };
        let after = links.get(joint).copied();
        (before, after.or(self.feet.map(|f| Link::fixed(f[1]))))
    }

    fn turn_rad(&self, links: &[Link], joint: usize) -> f64 {
        match self.around(links, joint) {
            (Some(a), Some(b)) => a.angle_to(&b),
            _ => 0.0,
        }
    }

    /// Length that a joint stands for, m: half the links on either side.
    fn share_m(&self, joint: usize) -> f64 {
        let before = if joint == 0 { 0.0 } else { self.links_m[joint - 1] };
        0.5 * (before + self.links_m.get(joint).copied().unwrap_or(0.0))
    }

    /// Moment (N m) and its slope over the turn (N m/rad) of a joint.
    fn moment(&self, links: &[Link], joint: usize) -> (f64, f64) {
        let share = self.share_m(joint);
        let turn = self.turn_rad(links, joint) - self.rest_rad[joint];
        let (moment, slope) = self.rod.moment_n_m(turn / share);
        if self.feet.is_none() && (joint == 0 || joint == links.len()) {
            return (0.0, 0.0);
        }
        (moment, slope / share)
    }

    fn tension(&self, link: &Link, drawn_m: f64) -> (f64, f64) {
        let stiffness = self.rod.modulus_pa * self.rod.section.area_m2() / drawn_m;
        (stiffness * (link.length - drawn_m), stiffness)
    }

    /// Moment of every joint, N m, positive where it straightens the hoop, and thrust of every link, N.
    pub fn forces(&self, place: &[f64]) -> (Vec<f64>, Vec<f64>) {
        let links = self.links(place);
        let moments = (0..=links.len()).map(|i| self.moment(&links, i).0).collect();
        let thrusts =
            links.iter().zip(&self.links_m).map(|(l, drawn)| -self.tension(l, *drawn).0).collect();
        (moments, thrusts)
    }

    /// Greatest stress over σy: |N|/A σy + |M|/Z σy.
    pub fn utilisation(&self, place: &[f64]) -> f64 {
        let (moments, thrusts) = self.forces(place);
        let (most_m, most_n) =
            (self.rod.yield_moment_n_m(), self.rod.yield_pa * self.rod.section.area_m2());
        let thrust = |i: usize| thrusts.get(i).map_or(0.0, |t| t.abs());
        let beside = |i: usize| thrust(i).max(thrust(i.wrapping_sub(1)));
        moments
            .iter()
            .enumerate()
            .map(|(i, m)| m.abs() / most_m + beside(i) / most_n)
            .fold(0.0, f64::max)
    }

    /// Greatest thrust or pull of a link over what its section bears without any bending.
    pub fn greatest_axial_use(&self, place: &[f64]) -> f64 {
        let most = self.rod.yield_pa * self.rod.section.area_m2();
        self.forces(place).1.iter().fold(0.0, |a: f64, n| a.max(n.abs() / most))
    }

    /// Writes the unbalanced force on every unknown and the stiffness in position `place`, under `steady` +
    /// `factor` × `growing`.
    pub fn assemble(
        &self,
        place: &[f64],
        (steady, growing, factor): (&Load, &Load, f64),
        stiffness: &mut BandedMatrix,
        unbalanced: &mut [f64],
    ) {
        let links = self.links(place);
        let moments: Vec<_> = (0..=links.len()).map(|i| self.moment(&links, i)).collect();
        stiffness.clear();
        let weights = steady.down_n().iter().zip(growing.down_n());
        for (i, (s, g)) in weights.enumerate() {
            unbalanced[2 * i] = 0.0;
            unbalanced[2 * i + 1] = -(s + factor * g);
        }
        for (i, (moment, slope)) in moments.iter().enumerate() {
            self.add_joint(&links, i, (*moment, *slope), stiffness, unbalanced);
        }
        let pushes = steady.inward_n_m().iter().zip(growing.inward_n_m());
        for (i, (link, (s, g))) in links.iter().zip(pushes).enumerate() {
            let (tension, k) = self.tension(link, self.links_m[i]);
            let turning = moments[i].0 - moments[i + 1].0;
            let across = tension / link.length;
            let square = link.length * link.length;
            let [c, n] = link.along;
            // Second derivative of length (across) and of angle (turning) over the end of the link.
            let (xx, zz) = (2.0 * c * n * turning / square, across * c * c);
            let own = [
                [k * c * c + xx + across * n * n, (k - across) * c * n],
                [(k - across) * c * n, k * n * n - xx + zz],
            ];
            let cross = turning * (n * n - c * c) / square;
            let push = 0.5 * (s + factor * g);
            for (row, own) in own.iter().enumerate() {
                for (column, own) in own.iter().enumerate() {
                    let value = own + if row == column { 0.0 } else { cross };
                    // The pressure turns with the link.
                    let turned = push * f64::from(i8::from(column == 1) - i8::from(row == 1));
                    let (r, q) = (2 * i + row, 2 * i + column);
                    stiffness.add(r, q, value + turned);
                    stiffness.add(r + 2, q + 2, value - turned);
                    stiffness.add(r, q + 2, -value - turned);
                    stiffness.add(r + 2, q, -value + turned);
                }
                let pull = tension * link.along[row];
                let pressed = push * link.length * [n, -c][row];
                unbalanced[2 * i + row] += pull + pressed;
                unbalanced[2 * i + 2 + row] += pressed - pull;
            }
        }
        for held in &self.held {
            stiffness.hold(*held);
            unbalanced[*held] = 0.0;
        }
    }

    fn add_joint(
        &self,
        links: &[Link],
        joint: usize,
        (moment, slope): (f64, f64),
        stiffness: &mut BandedMatrix,
        unbalanced: &mut [f64],
    ) {
        let (Some(a), Some(b)) = self.around(links, joint) else { return };
        // Derivative of the turn over the points before, at and after the joint.
        let turn = [
            a.turn[0],
            a.turn[1],
            -a.turn[0] - b.turn[0],
            -a.turn[1] - b.turn[1],
            b.turn[0],
            b.turn[1],
        ];
        let at = |k: usize| (2 * joint + k).checked_sub(2).filter(|i| *i < unbalanced.len());
        let places: [Option<usize>; 6] = std::array::from_fn(at);
        for (row, t) in places.iter().zip(turn) {
            let Some(row) = *row else { continue };
            unbalanced[row] -= moment * t;
            for (column, u) in places.iter().zip(turn) {
                if let Some(column) = *column {
                    stiffness.add(row, column, slope * t * u);
                }
            }
        }
    }
}
