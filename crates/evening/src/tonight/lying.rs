//! What lies on a bed as physics, and what it costs in minutes to change it.

use garden::bed::Bed as GardenBed;
use garden::fit::{BEGIN_MIN, Cover as Fit, Item, Placement};
use garden::lying::{Lying, Opening};
use microclimate::cover::Cover;
use quantities::Moment;

use crate::constants::TAKE_OFF_SHARE;
use crate::physics;
use crate::report::Action;

/// What lies over a bed through the hours before the night's plan takes hold.
#[derive(Clone, Debug, Default)]
pub struct BedCovers {
    /// The lying cover that decides: the one against cold that was laid last, else a net.
    pub main: Option<Lying>,
    /// Whatever lies besides it and stays where it is.
    pub beside: Vec<Lying>,
    /// When the main one is opened by day, and whether it is off altogether then.
    pub opened: Option<(Moment, bool)>,
    physics: Option<Cover>,
    vented: Option<Cover>,
}

impl BedCovers {
    /// What lies on a bed now.
    #[must_use]
    pub fn new(lies: &[Lying], bed: &GardenBed) -> Self {
        let last = |against: bool| {
            lies.iter()
                .enumerate()
                .filter(|(_, l)| l.against_cold() == against)
                .max_by_key(|(_, l)| l.since)
                .map(|(n, _)| n)
        };
        let Some(n) = last(true).or_else(|| last(false)) else { return Self::default() };
        let beside = lies.iter().enumerate().filter(|(i, _)| *i != n).map(|(_, l)| l.clone());
        let main = lies[n].clone();
        Self {
            physics: as_physics(&main.cover, main.opening, bed),
            vented: as_physics(&main.cover, Opening::EndsOpen, bed),
            beside: beside.collect(),
            main: Some(main),
            opened: None,
        }
    }

    /// Opened at a moment of the day before the night: its ends, or taken off.
    pub fn open_at(&mut self, at: Moment, off: bool) {
        self.opened = Some((at, off));
    }

    /// What lies over the plants at a moment.
    #[must_use]
    pub fn at(&self, moment: Moment) -> Option<&Cover> {
        let main = self.main.as_ref()?;
        if main.since.is_some_and(|s| moment < s) {
            return None;
        }
        match self.opened.filter(|(at, _)| moment >= *at) {
            None => self.physics.as_ref(),
            Some((_, true)) => None,
            Some((_, false)) => self.vented.as_ref(),
        }
    }

    /// What is still there when the night's plan begins: the main cover and how far it is shut by then.
    #[must_use]
    pub fn at_night(&self) -> Option<(&Lying, Opening)> {
        let main = self.main.as_ref()?;
        match self.opened {
            Some((_, true)) => None,
            Some((_, false)) => Some((main, Opening::EndsOpen)),
            None => Some((main, main.opening)),
        }
    }

    /// How it lies in the night when nobody touches it.
    #[must_use]
    pub fn through_the_night(&self) -> Option<&Cover> {
        self.at(Moment(i64::MAX))
    }

    /// What of the stock stays here when nobody touches it.
    #[must_use]
    pub fn uses(&self) -> Vec<(Item, u32)> {
        let main = self.at_night().map(|m| m.0);
        main.into_iter().chain(&self.beside).flat_map(|l| l.cover.uses.clone()).collect()
    }

    /// What of the stock lies here beside the main cover: it stays whatever is chosen.
    #[must_use]
    pub fn uses_beside(&self) -> Vec<(Item, u32)> {
        let net = self.at_night().map(|m| m.0).filter(|l| !l.against_cold());
        net.into_iter().chain(&self.beside).flat_map(|l| l.cover.uses.clone()).collect()
    }

    /// What is done to bring `fit` about, and its person-minutes by day; `None` where it lies already or is of no use.
    #[must_use]
    pub fn change_to(&self, fit: &Fit, fits: &[Fit]) -> Option<(Action, f64)> {
        let Some((lies, opening)) = self.at_night().filter(|(l, _)| l.against_cold()) else {
            return Some((Action::Lay, fit.minutes));
        };
        let item = |c: &Fit| c.uses.iter().map(|u| u.0).find(|i| Some(*i) == lies.item());
        if item(fit).is_none() {
            return Some((Action::Swap, fit.minutes + take_off_minutes(&lies.cover)));
        }
        let shut = opening == Opening::Shut;
        match fit.layers.cmp(&lies.cover.layers) {
            std::cmp::Ordering::Less => None,
            std::cmp::Ordering::Equal => (!shut).then_some((Action::Shut, BEGIN_MIN)),
            std::cmp::Ordering::Greater => {
                let one = fits.iter().find(|f| item(f).is_some() && f.layers == 1);
                Some((Action::Double, one.map_or(fit.minutes, |f| f.minutes)))
            }
        }
    }
}

/// Person-minutes by day to take a cover off.
#[must_use]
pub fn take_off_minutes(cover: &Fit) -> f64 {
    TAKE_OFF_SHARE * cover.minutes
}

/// A cover as it lies: half off it keeps nothing; with its ends open it has holes of their share of its area.
///
/// Share = 2 h̄/(r L): two ends of mean height h̄ (m) over an area of r times the bed of length L (m); a cover that lies
/// on the plants has no ends and counts as torn (from memory).
#[must_use]
pub fn as_physics(fit: &Fit, opening: Opening, bed: &GardenBed) -> Option<Cover> {
    let cover = physics::cover(fit, bed);
    match (opening, cover) {
        (Opening::HalfOff, _) => None,
        (Opening::EndsOpen, Cover::Cloth { fabric, layers, shape }) => {
            let tunnel = matches!(fit.lie, Placement::LowTunnel { .. } | Placement::PopUp { .. });
            let share = if tunnel {
                2.0 * shape.mean_height_m / (shape.area_ratio * bed.length_m)
            } else {
                0.05
            };
            Some(Cover::Cloth { fabric: fabric.with_holes(share), layers, shape })
        }
        (_, cover) => Some(cover),
    }
}
