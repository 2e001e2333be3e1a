//! Pieces, rolls and cuts in whole units.

/// A piece as laid on a roll: one way of turning it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OrientedPiece {
    /// Index of the piece.
    pub piece: usize,
    /// Width across the roll.
    pub across: u64,
    /// Length along the roll.
    pub along: u64,
}

/// A kind of roll.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Roll {
    /// Width.
    pub width: u64,
    /// Length.
    pub length: u64,
    /// Cost of one, > 0.
    pub cost: f64,
    /// How many there are; `None` when more can be had.
    pub at_most: Option<u32>,
}

/// A class of strips of a roll: those whose longest piece has this length.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StripClass {
    /// Length along the roll.
    pub along: u64,
    /// Strips of the class that can be of use in one roll.
    pub most: u32,
}

/// What to cut from what; pieces alike are counted together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Problem {
    /// Every way to lay every piece.
    pub oriented: Vec<OrientedPiece>,
    /// How many of each piece.
    pub counts: Vec<u32>,
    /// Kinds of roll.
    pub rolls: Vec<Roll>,
}

/// A length cut across a roll.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// Its length: that of its longest piece.
    pub along: u64,
    /// Pieces side by side, as indices of [`Problem::oriented`].
    pub oriented: Vec<usize>,
}

/// A cutting pattern: a roll and its strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern {
    /// Kind of roll.
    pub roll: usize,
    /// Strips in order.
    pub strips: Vec<Strip>,
}

impl Problem {
    /// Whether a laid piece fits on a roll.
    pub fn fits(&self, oriented: usize, roll: usize) -> bool {
        let (l, r) = (&self.oriented[oriented], &self.rolls[roll]);
        l.across <= r.width && l.along <= r.length
    }

    /// Classes of strips of a roll, shortest first.
    pub fn classes(&self, roll: usize) -> Vec<StripClass> {
        let fitting =
            || (0..self.oriented.len()).filter(|l| self.fits(*l, roll)).map(|l| self.oriented[l]);
        let mut alongs: Vec<u64> = fitting().map(|l| l.along).collect();
        alongs.sort_unstable();
        alongs.dedup();
        let most = |along| {
            let wanted: u32 =
                fitting().filter(|l| l.along == along).map(|l| self.counts[l.piece]).sum();
            wanted.min((self.rolls[roll].length / along) as u32)
        };
        alongs.into_iter().map(|along| StripClass { along, most: most(along) }).collect()
    }

    /// All pieces.
    pub fn pieces(&self) -> u32 {
        self.counts.iter().sum()
    }

    /// How many of a kind of roll can be of use.
    pub fn most_rolls(&self, roll: usize) -> u32 {
        self.rolls[roll].at_most.unwrap_or(u32::MAX).min(self.pieces())
    }

    /// Cost of the rolls used.
    pub fn cost(&self, cut: &[Pattern]) -> f64 {
        cut.iter().map(|u| self.rolls[u.roll].cost).sum()
    }

    /// What a piece left over costs: more than any cut.
    pub fn shortage_penalty(&self) -> f64 {
        let dearest = self.rolls.iter().map(|r| r.cost).fold(0.0, f64::max);
        dearest * (f64::from(self.pieces()) + 1.0)
    }

    /// How many of each piece a cut gives.
    pub fn given(&self, cut: &[Pattern]) -> Vec<u32> {
        let mut given = vec![0; self.counts.len()];
        for l in cut.iter().flat_map(|u| &u.strips).flat_map(|s| &s.oriented) {
            given[self.oriented[*l].piece] += 1;
        }
        given
    }

    /// Whether a cut gives all that is wanted.
    pub fn meets(&self, cut: &[Pattern]) -> bool {
        self.given(cut).iter().zip(&self.counts).all(|(g, c)| g >= c)
    }

    /// A strip of these pieces.
    pub fn strip(&self, oriented: Vec<usize>) -> Strip {
        let along = oriented.iter().map(|l| self.oriented[*l].along).max().unwrap_or(0);
        Strip { along, oriented }
    }

    /// The cut without what is too much, each roll exchanged for the cheapest that will do.
    pub fn trimmed(&self, cut: Vec<Pattern>) -> Vec<Pattern> {
        let mut kept = self.kept(cut);
        self.exchange(&mut kept);
        kept
    }

    /// The cut without what is too much.
    pub fn kept(&self, cut: Vec<Pattern>) -> Vec<Pattern> {
        let mut wanted = self.counts.clone();
        let mut take = |l: &usize| {
            let left = &mut wanted[self.oriented[*l].piece];
            let some = *left > 0;
            *left -= u32::from(some);
            some
        };
        let mut kept: Vec<Pattern> = Vec::new();
        for mut pattern in cut {
            let strips = pattern.strips.into_iter().map(|mut s| {
                s.oriented.retain(&mut take);
                self.strip(s.oriented)
            });
            pattern.strips = strips.filter(|s| !s.oriented.is_empty()).collect();
            if !pattern.strips.is_empty() {
                kept.push(pattern);
            }
        }
        kept
    }

    /// Each roll becomes the cheapest kind that is left and large enough.
    fn exchange(&self, cut: &mut [Pattern]) {
        let mut left: Vec<u32> = self.rolls.iter().map(|r| r.at_most.unwrap_or(u32::MAX)).collect();
        for pattern in cut.iter() {
            left[pattern.roll] = left[pattern.roll].saturating_sub(1);
        }
        for pattern in cut {
            let long: u64 = pattern.strips.iter().map(|s| s.along).sum();
            let across =
                |s: &Strip| s.oriented.iter().map(|l| self.oriented[*l].across).sum::<u64>();
            let wide = pattern.strips.iter().map(across).max().unwrap_or(0);
            let holds = |r: &usize| self.rolls[*r].width >= wide && self.rolls[*r].length >= long;
            let cheaper = (0..self.rolls.len())
                .filter(|r| left[*r] > 0 && holds(r))
                .min_by(|a, b| self.rolls[*a].cost.total_cmp(&self.rolls[*b].cost));
            if let Some(r) = cheaper.filter(|r| self.rolls[*r].cost < self.rolls[pattern.roll].cost)
            {
                left[r] = left[r].saturating_sub(1);
                left[pattern.roll] = left[pattern.roll].saturating_add(1);
                pattern.roll = r;
            }
        }
    }
}
