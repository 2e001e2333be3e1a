//! How much sun a sheet has taken, and how much of its life that is.
//!
//! Sunlight breaks the fibres of plastic cloth; makers rate it by the sun it takes until half of its strength is gone, growers by
//! seasons. Sun is counted in years of it at the garden: what makes the sun above the clouds weaker on the ground
//! (FAO-56 eq. 37: the same share all year) falls out of that.

use quantities::daylight::{
    extraterrestrial_radiation_between_mj_m2, extraterrestrial_radiation_mj_m2,
};
use quantities::{Interval, Moment, Place};

use crate::stock::Sheet;
use crate::supply::seasons;

/// Sun of one season, in years of it: eight weeks in spring and eight in autumn, day and night, are a third to two fifths of a
/// year's sun from 35° to 50° of latitude (common practice, no source; checked by `wear::a_season_is_a_third_of_a_years_sun`).
pub const SEASON_YEARS: f64 = 1.0 / 3.0;
/// Growers and makers differ by half about how long a sheet lasts (common practice, no source).
pub const LIFE_DOUBT: f64 = 0.5;
/// Share of its life from which a sheet is near its end (chosen).
pub const NEAR_END: f64 = 0.8;

/// Some pieces of a sheet, out from one moment to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Out {
    /// From when to when.
    pub interval: Interval,
    /// How many pieces.
    pub pieces: u32,
}

/// What one piece of a sheet has been through, the mean of all pieces of that name.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Worn {
    /// Time out, days of 24 h.
    pub days: f64,
    /// Sun taken, years of it.
    pub sun_years: f64,
    /// Sun until it is worn out, years of it.
    pub life_years: f64,
}

impl Worn {
    /// Share of its life that is used: the least, as calculated, the most.
    ///
    /// used = sun/(seasons/3), with a life longer and shorter by half.
    /// Equation 108 of docs/science.md.
    /// Checked by `wear::sheets_wear_as_they_lie`.
    #[must_use]
    pub fn used(&self) -> [f64; 3] {
        [1.0 + LIFE_DOUBT, 1.0, 1.0 - LIFE_DOUBT]
            .map(|life| self.sun_years / (self.life_years * life))
    }

    /// Whether it is near its end.
    #[must_use]
    pub fn near_end(&self) -> bool {
        self.used()[1] >= NEAR_END
    }
}

/// Seasons that a sheet lasts: as its entry says, else as usual for the cloth.
#[must_use]
pub fn lasts_seasons(sheet: &Sheet) -> f64 {
    sheet.lasts_seasons.unwrap_or_else(|| seasons(sheet.kind))
}

/// What the pieces of a sheet have been through. Never more of them are out at once than there are: a sheet that was moved is
/// often noted only where it went.
///
/// sun = Σ pieces · Ra(from, to)/(pieces owned · Σ Ra of the year).
/// Equation 107 of docs/science.md.
/// Checked by `wear::sheets_wear_as_they_lie`.
#[must_use]
pub fn worn(sheet: &Sheet, place: &Place, out: &[Out]) -> Worn {
    let owned = sheet.count.max(1);
    let year = year_mj_m2(place.latitude_deg);
    // Pieces that come out and go in, in the order of time.
    let turn = |o: &Out| {
        let pieces = i64::from(o.pieces);
        [(o.interval.start, pieces), (o.interval.end.max(o.interval.start), -pieces)]
    };
    let mut turns: Vec<(Moment, i64)> = out.iter().flat_map(turn).collect();
    turns.sort_unstable_by_key(|t| t.0);
    let (mut there, mut seconds, mut sun) = (0, 0.0, 0.0);
    for (n, (from, pieces)) in turns.iter().enumerate() {
        there += pieces;
        let Some((to, _)) = turns.get(n + 1).filter(|next| there > 0 && next.0 > *from) else {
            continue;
        };
        let share = there.min(i64::from(owned)) as f64 / f64::from(owned);
        seconds += share * (to.0 - from.0) as f64;
        sun += share * extraterrestrial_radiation_between_mj_m2(place, *from, *to) / year;
    }
    let life_years = SEASON_YEARS * lasts_seasons(sheet);
    Worn { days: seconds / 86_400.0, sun_years: sun, life_years }
}

fn year_mj_m2(latitude_deg: f64) -> f64 {
    (1..=365).map(|j| extraterrestrial_radiation_mj_m2(latitude_deg, f64::from(j))).sum()
}
