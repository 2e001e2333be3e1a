//! What is wanted when, what could serve, what can be bought; and what a choice makes one own.

/// Money for cutting one piece; so little that it only breaks ties: of kits that cost the same, the one of fewer pieces.
/// Our choice.
pub const CUTTING: f64 = 2e-3;

/// Times that can be told apart.
pub const SLOTS: u32 = 128;

/// One way to meet a want.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// Index of the size of sheet.
    pub size: usize,
    /// Sheets end to end.
    pub pieces: u32,
    /// Ground pins.
    pub pins: u32,
    /// Clips.
    pub clips: u32,
    /// Whether it lies over the bed's hoops.
    pub hoops: bool,
    /// Person-seconds to lay it; counted only where [`Problem::seconds`] is given.
    pub seconds: u32,
    /// Money a season by which it is worse than the best way, ≥ 0; joints and rolled skirts add so little that it only
    /// breaks ties.
    pub handling_cost: f64,
}

/// A cover that a bed is to carry at some time of the year.
#[derive(Clone, Debug, PartialEq)]
pub struct Want {
    /// Index of the bed.
    pub bed: usize,
    /// Times at which it may be wanted, one bit each: halves of months, or evenings of a record.
    pub slots: u128,
    /// What leaving it unmet costs in a season: the worth of what grows in the bed.
    pub penalty: f64,
    /// Ways to meet it; none where nothing fits.
    pub ways: Vec<Way>,
}

/// Where pieces of a size come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// They lie in the shed, so many.
    Stock(u32),
    /// They are cut from this cloth or wire.
    Goods(usize),
}

/// Sheets of one size, or hoops of one length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Across the bed, m; 1 for hoops.
    pub width_m: f64,
    /// Along the bed, m.
    pub length_m: f64,
    /// Where they come from.
    pub from: Origin,
}

/// A cloth or a wire that comes on rolls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Goods {
    /// Seasons it lasts, > 0.
    pub seasons: f64,
    /// Whether it is wire or rod, which is only cut across.
    pub wire: bool,
}

/// A kind of roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Index of its cloth or wire.
    pub goods: usize,
    /// Width, m; 1 for wire.
    pub width_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Price of one, ≥ 0; 0 where it does not count; its area (m²) where cloth is counted instead of money.
    pub price: f64,
    /// How many there are; `None` when more can be had.
    pub at_most: Option<u32>,
}

/// The hoops that a bed takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BedHoops {
    /// Index of their size.
    pub size: usize,
    /// How many.
    pub count: u32,
}

/// Pins, or clips.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fixings {
    /// How many there are.
    pub have: u32,
    /// Price of one, ≥ 0.
    pub price: f64,
    /// Seasons they last.
    pub seasons: f64,
}

/// A garden's question.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Covers wanted.
    pub wants: Vec<Want>,
    /// Hoops to be bought for each bed that has a cover over hoops; `None` where they stand or none are on offer.
    pub hoops: Vec<Option<BedHoops>>,
    /// Sheets and hoops.
    pub sizes: Vec<Size>,
    /// Cloths and wires.
    pub goods: Vec<Goods>,
    /// Rolls of them.
    pub rolls: Vec<Roll>,
    /// Ground pins.
    pub pins: Fixings,
    /// Clips.
    pub clips: Fixings,
    /// What may be spent in all years together; infinite without a limit.
    pub budget: f64,
    /// Person-seconds for laying covers at any one time; `None` where they are not counted.
    pub seconds: Option<u32>,
}

/// For each want the index of its way; `None` leaves it unmet.
pub type Choice = Vec<Option<usize>>;

/// What a choice makes one own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Owned {
    /// Pieces of each size.
    pub pieces: Vec<u32>,
    /// Ground pins.
    pub pins: u32,
    /// Clips.
    pub clips: u32,
}

impl Problem {
    /// The most wanted at one time, given what each want takes: its slot's sum at the greatest.
    fn peak(&self, takes: impl Fn(usize) -> u32) -> u32 {
        let in_slot = |s: u32| {
            let wanted = self.wants.iter().enumerate().filter(|(_, w)| w.slots >> s & 1 == 1);
            wanted.map(|(w, _)| takes(w)).sum::<u32>()
        };
        (0..self.slots()).map(in_slot).max().unwrap_or(0)
    }

    /// Times in use: bits from the lowest to the highest that some want has.
    #[must_use]
    pub fn slots(&self) -> u32 {
        SLOTS - self.wants.iter().fold(0, |all, w| all | w.slots).leading_zeros()
    }

    /// Whether all covers wanted at one time can be laid in time.
    #[must_use]
    pub fn in_time(&self, choice: &Choice) -> bool {
        let seconds = |w: usize| self.way(choice, w).map_or(0, |x| x.seconds);
        self.seconds.is_none_or(|most| self.peak(seconds) <= most)
    }

    /// The way chosen for a want.
    #[must_use]
    pub fn way(&self, choice: &Choice, want: usize) -> Option<Way> {
        self.wants[want].ways.get(choice[want]?).copied()
    }

    /// What must be owned: of each size the most wanted at one time, and hoops for every bed that is covered over them.
    #[must_use]
    pub fn owned(&self, choice: &Choice) -> Owned {
        let way = |w| self.way(choice, w);
        let mut pieces: Vec<u32> = (0..self.sizes.len())
            .map(|s| self.peak(|w| way(w).filter(|x| x.size == s).map_or(0, |x| x.pieces)))
            .collect();
        for (b, hoops) in self.hoops.iter().enumerate() {
            let used = |w: usize| self.wants[w].bed == b && way(w).is_some_and(|x| x.hoops);
            if let Some(hoops) = hoops.filter(|_| (0..self.wants.len()).any(used)) {
                pieces[hoops.size] += hoops.count;
            }
        }
        let pins = self.peak(|w| way(w).map_or(0, |x| x.pins));
        let clips = self.peak(|w| way(w).map_or(0, |x| x.clips));
        Owned { pieces, pins, clips }
    }

    /// Whether no more of the stock is used than there is.
    #[must_use]
    pub fn in_stock(&self, owned: &Owned) -> bool {
        let there = |(size, n): (&Size, &u32)| match size.from {
            Origin::Stock(count) => *n <= count,
            Origin::Goods(_) => true,
        };
        self.sizes.iter().zip(&owned.pieces).all(there)
    }

    /// What is left unmet and what the handling costs, money a season.
    #[must_use]
    pub fn unmet(&self, choice: &Choice, owned: &Owned) -> f64 {
        let cost =
            |w: usize| self.way(choice, w).map_or(self.wants[w].penalty, |x| x.handling_cost);
        let cut = |(s, n): (&Size, &u32)| match s.from {
            Origin::Stock(_) => 0.0,
            Origin::Goods(_) => CUTTING * f64::from(*n),
        };
        let cutting: f64 = self.sizes.iter().zip(&owned.pieces).map(cut).sum();
        cutting + (0..self.wants.len()).map(cost).sum::<f64>()
    }
}

impl Fixings {
    /// How many must be bought.
    #[must_use]
    pub fn short(&self, wanted: u32) -> u32 {
        wanted.saturating_sub(self.have)
    }
}
