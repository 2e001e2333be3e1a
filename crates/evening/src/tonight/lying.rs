//! What lies on a bed as physics, and what it costs in minutes to change it.

use garden::bed::Bed as GardenBed;
use garden::fit::{Cover as Fit, Item};
use garden::lying::{Lying, Opening};
use microclimate::cover::Cover;
use quantities::Moment;

use crate::lies::{self, Lies};
use crate::physics;
use crate::report::Action;

/// What lies over a bed through the hours before the night's plan takes hold.
#[derive(Clone, Debug, Default)]
pub struct BedCovers {
    /// The lying cover that decides: the one against cold that was laid last, else a net.
    pub main: Option<Lying>,
    /// Whatever lies besides it and stays where it is.
    pub beside: Vec<Lying>,
    /// When the main one is opened by day, and how far; `None`: it is off altogether then.
    pub opened: Option<(Moment, Option<Opening>)>,
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
            physics: physics::as_it_lies(&main.cover, main.opening, bed),
            vented: physics::as_it_lies(&main.cover, Opening::EndsOpen, bed),
            beside: beside.collect(),
            main: Some(main),
            opened: None,
        }
    }

    /// Opened at a moment of the day before the night, so far; `None`: taken off.
    pub fn open_at(&mut self, at: Moment, how: Option<Opening>) {
        self.opened = Some((at, how));
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
            Some((_, None | Some(Opening::HalfOff))) => None,
            Some((_, Some(Opening::EndsOpen))) => self.vented.as_ref(),
            Some((_, Some(Opening::Shut))) => self.physics.as_ref(),
        }
    }

    /// What is still there when the night's plan begins: the main cover and how far it is shut by then.
    #[must_use]
    pub fn at_night(&self) -> Option<(&Lying, Opening)> {
        let main = self.main.as_ref()?;
        match self.opened {
            Some((_, opening)) => Some((main, opening?)),
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
        let main = self.at_night().map(|(l, opening)| lies::held(&l.cover, opening));
        main.into_iter().flatten().chain(self.held_beside()).collect()
    }

    /// What of the stock lies here beside the main cover: it stays whatever is chosen.
    #[must_use]
    pub fn uses_beside(&self) -> Vec<(Item, u32)> {
        let net = self.at_night().filter(|(l, _)| !l.against_cold());
        let net = net.map(|(l, opening)| lies::held(&l.cover, opening));
        net.into_iter().flatten().chain(self.held_beside()).collect()
    }

    fn held_beside(&self) -> impl Iterator<Item = (Item, u32)> {
        self.beside.iter().flat_map(|l| lies::held(&l.cover, l.opening))
    }

    /// What is against cold here when the night's plan begins, and how far it is shut.
    #[must_use]
    pub fn against_cold_at_night(&self) -> Option<(&Lying, Opening)> {
        self.at_night().filter(|(l, _)| l.against_cold())
    }

    /// What is done to bring `fit` about, and its person-minutes by day; `None` where it lies already or is of no use.
    #[must_use]
    pub fn change_to(&self, fit: &Fit) -> Option<(Action, f64)> {
        let Some((lying, opening)) = self.against_cold_at_night() else {
            return Some((Action::Lay, fit.minutes));
        };
        let options = [lying.cover.clone(), fit.clone()];
        let minutes = |to| lies::minutes(lies::as_option(opening, 0), to, &options);
        if lies::is_cover(lying, fit) {
            return (opening != Opening::Shut).then(|| (Action::Shut, minutes(Lies::Shut(0))));
        }
        let same = lying.item().is_some_and(|item| fit.uses.iter().any(|u| u.0 == item));
        match same {
            false => Some((Action::Swap, minutes(Lies::Shut(1)))),
            true if fit.layers > lying.cover.layers => {
                Some((Action::Double, minutes(Lies::Shut(1))))
            }
            true => None,
        }
    }

    /// Person-minutes by day to take off what is against cold; `None` where nothing is.
    #[must_use]
    pub fn take_off_minutes(&self) -> Option<f64> {
        let (lying, opening) = self.against_cold_at_night()?;
        let options = std::slice::from_ref(&lying.cover);
        Some(lies::minutes(lies::as_option(opening, 0), Lies::Open, options))
    }
}
