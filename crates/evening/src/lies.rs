//! What lies on a bed, and the work from one way to another.

use garden::fit::{Cover, Item, Placement};
use garden::lying::{Lying, Opening};

use crate::constants::{OPEN_ENDS_MIN, TAKE_OFF_SHARE};
use crate::plan::stock;

/// What lies on a bed; a number is an index into the bed's options.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lies {
    /// Nothing.
    Open,
    /// The cover, shut.
    Shut(usize),
    /// The cover with both ends open, by day.
    EndsOpen(usize),
    /// The cover pulled to one side and held there, by day: sun, wind and bees come to the plants.
    HalfOff(usize),
}

/// The state of a bed on which option `option` lies, opened so far.
#[must_use]
pub fn as_option(opening: Opening, option: usize) -> Lies {
    match opening {
        Opening::Shut => Lies::Shut(option),
        Opening::EndsOpen => Lies::EndsOpen(option),
        Opening::HalfOff => Lies::HalfOff(option),
    }
}

/// Whether what lies is a cover: the same sheet in as many layers.
#[must_use]
pub fn is_cover(lying: &Lying, cover: &Cover) -> bool {
    cover.layers == lying.cover.layers
        && lying.item().is_some_and(|item| cover.uses.iter().any(|u| u.0 == item))
}

impl Lies {
    /// The option, where there is one.
    #[must_use]
    pub fn option(self) -> Option<usize> {
        match self {
            Self::Open => None,
            Self::Shut(c) | Self::EndsOpen(c) | Self::HalfOff(c) => Some(c),
        }
    }
}

/// Whether the ends of a cover can be opened: film over hoops, or at its foot over a tree, and ready-made tunnels.
#[must_use]
pub fn has_ends(cover: &Cover) -> bool {
    cover.is_film() || matches!(cover.lie, Placement::PopUp { .. })
}

/// Whether a cover can be pulled to one side: a sheet of cloth, not draped over a tree.
#[must_use]
pub fn pulls_aside(cover: &Cover) -> bool {
    matches!(cover.lie, Placement::LowTunnel { .. } | Placement::Floating) && !has_ends(cover)
}

/// Every state of a bed with these options, open first.
#[must_use]
pub fn states(options: &[Cover]) -> Vec<Lies> {
    let mut all = vec![Lies::Open];
    for (c, cover) in options.iter().enumerate() {
        all.push(Lies::Shut(c));
        if has_ends(cover) {
            all.push(Lies::EndsOpen(c));
        }
        if pulls_aside(cover) {
            all.push(Lies::HalfOff(c));
        }
    }
    all
}

/// What a cover holds of the stock; pulled to one side, it is held by half of its pins and by no clips.
#[must_use]
pub fn held(cover: &Cover, opening: Opening) -> Vec<(Item, u32)> {
    let share = |(item, n): &(Item, u32)| match (item, opening) {
        (Item::Pins, Opening::HalfOff) => (*item, n.div_ceil(2)),
        (Item::Clips, Opening::HalfOff) => (*item, 0),
        _ => (*item, *n),
    };
    cover.uses.iter().map(share).collect()
}

/// What a state takes from each line of the stock, by its index.
#[must_use]
pub fn uses(lies: Lies, options: &[Cover], lines: &[(Item, u32)]) -> Vec<(usize, u32)> {
    let (option, opening) = match lies {
        Lies::Open => return Vec::new(),
        Lies::Shut(c) => (c, Opening::Shut),
        Lies::EndsOpen(c) => (c, Opening::EndsOpen),
        Lies::HalfOff(c) => (c, Opening::HalfOff),
    };
    let held = options.get(option).map(|c| held(c, opening)).unwrap_or_default();
    stock::by_line(&held, lines)
}

/// Minutes to pull a cover to one side, or back over the bed, over those of laying it (from memory).
const ASIDE_SHARE: f64 = 0.35;

/// Person-minutes from one state to another, the walk to the bed not counted.
///
/// Laying takes what [`garden::fit`] says; off ½, aside and back 0.35 of it, both ends 1 min, one more layer the
/// difference of two and one (all but laying from memory). Checked by `week::work_is_counted_once_and_never_below_nought`.
#[must_use]
pub fn minutes(from: Lies, to: Lies, options: &[Cover]) -> f64 {
    let lay = |c: usize| options.get(c).map_or(0.0, |o| o.minutes);
    // Straw is laid with the raking off counted.
    let loose =
        |c: usize| options.get(c).is_some_and(|o| matches!(o.lie, Placement::LooseMulch { .. }));
    let off = |lies: Lies| match lies {
        Lies::Open => 0.0,
        Lies::Shut(c) if loose(c) => 0.0,
        Lies::HalfOff(c) => (TAKE_OFF_SHARE - 0.5 * ASIDE_SHARE) * lay(c),
        Lies::Shut(c) | Lies::EndsOpen(c) => TAKE_OFF_SHARE * lay(c),
    };
    match (from, to) {
        (a, b) if a == b => 0.0,
        (Lies::EndsOpen(a), Lies::Shut(b)) | (Lies::Shut(a), Lies::EndsOpen(b)) if a == b => {
            OPEN_ENDS_MIN
        }
        (Lies::HalfOff(a), Lies::Shut(b)) | (Lies::Shut(a), Lies::HalfOff(b)) if a == b => {
            ASIDE_SHARE * lay(a)
        }
        (Lies::Shut(a), Lies::Shut(b)) if more_of_the_same(options, a, b) => {
            let (one, two) = (lay(a).min(lay(b)), lay(a).max(lay(b)));
            let layer = two - one;
            if lay(b) > lay(a) { layer } else { TAKE_OFF_SHARE * layer }
        }
        // One more layer over what is opened: it is shut first.
        (Lies::EndsOpen(a) | Lies::HalfOff(a), Lies::Shut(b))
            if more_of_the_same(options, a, b) && lay(b) > lay(a) =>
        {
            let shut = Lies::Shut(a);
            minutes(from, shut, options) + minutes(shut, to, options)
        }
        (from, Lies::Open) => off(from),
        (from, Lies::Shut(c)) => off(from) + lay(c),
        (from, Lies::EndsOpen(c)) => off(from) + lay(c) + OPEN_ENDS_MIN,
        (from, Lies::HalfOff(c)) => off(from) + (1.0 + ASIDE_SHARE) * lay(c),
    }
}

/// Whether two options are the same sheets, once and twice.
fn more_of_the_same(options: &[Cover], a: usize, b: usize) -> bool {
    let (Some(a), Some(b)) = (options.get(a), options.get(b)) else { return false };
    a.layers != b.layers && a.uses.first().map(|u| u.0) == b.uses.first().map(|u| u.0)
}

/// Person-seconds from one state to another, the walk to the bed counted.
#[must_use]
pub fn seconds(from: Lies, to: Lies, options: &[Cover]) -> u32 {
    if from == to {
        return 0;
    }
    stock::with_walk(minutes(from, to, options))
}

/// What may be done in the evening: anything that lies then is shut, or nothing does, or it is left as it is.
#[must_use]
pub fn in_the_evening(from: Lies, to: Lies) -> bool {
    from == to || matches!(to, Lies::Open | Lies::Shut(_))
}

/// What may be done in the morning: what lies is left, opened, pulled aside or taken off.
#[must_use]
pub fn in_the_morning(from: Lies, to: Lies) -> bool {
    from == to || to == Lies::Open || matches!(from, Lies::Shut(_)) && from.option() == to.option()
}
