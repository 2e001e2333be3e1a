//! The dates of one kind of event over the years, and what can be asked of them.

use std::ops::RangeInclusive;

use quantities::quantile;

use crate::constants::{SEASON_DAYS, YEARS_OF_STANDING};

use super::bootstrap::{self, Interval};
use super::hemisphere::Hemisphere;
use super::normal;
use super::trend::{Trend, trend};

/// Which event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Which {
    /// Last of the spring.
    LastSpring,
    /// First of the autumn.
    FirstAutumn,
}

impl Which {
    /// The year in which the growing season that it bounds ends, from the year in which its cold season begins.
    pub(super) fn year(self, season: i16) -> i16 {
        season + i16::from(self == Self::LastSpring)
    }

    pub(super) fn pick<T>(self, first: T, last: T) -> T {
        if self == Self::FirstAutumn { first } else { last }
    }
}

/// What a counted year brought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Event {
    /// Year in which the growing season ends: of a spring event in the north its own year, in the south the next.
    pub year: i16,
    /// Day from the start of the cold season, 1 to 365; `None` where the threshold was not reached.
    pub season_day: Option<u16>,
}

/// How dates are spread between the years that have one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// As they came (type-7 quantiles).
    Empirical,
    /// As they came, at Weibull's plotting positions.
    Weibull,
    /// Normal with their mean and standard deviation (Thom).
    Normal,
}

/// How much a number of years can carry, after the completeness flags of NOAA's climate normals: 24 years or more
/// "standard", 10 or more "representative", 2 or more "estimated". Source: the readme of the 1991–2020 normals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Fewer than 2 years: nothing can be said.
    None,
    /// 2 to 9 years.
    Estimated,
    /// 10 to 23 years.
    Representative,
    /// 24 years or more.
    Standard,
}

impl Standing {
    /// Of a number of counted years.
    #[must_use]
    pub fn from_years(count: usize) -> Self {
        match YEARS_OF_STANDING.iter().filter(|least| count >= **least).count() {
            0 => Self::None,
            1 => Self::Estimated,
            2 => Self::Representative,
            _ => Self::Standard,
        }
    }
}

/// The dates as one filling of the missing days has them.
#[derive(Clone, Debug, PartialEq)]
struct Filling {
    /// Of every counted year in order.
    days: Vec<Option<u16>>,
    ascending: Vec<f64>,
}

impl Filling {
    fn new(days: Vec<Option<u16>>) -> Self {
        let mut ascending: Vec<f64> = days.iter().flatten().copied().map(f64::from).collect();
        ascending.sort_unstable_by(f64::total_cmp);
        Self { days, ascending }
    }

    fn conditional(&self, p: f64, method: Method) -> Option<f64> {
        match method {
            Method::Empirical => quantile::type_7(&self.ascending, p),
            Method::Weibull => quantile::weibull(&self.ascending, p),
            Method::Normal => {
                let (mean, sd) = (quantile::mean(&self.ascending)?, self.sd()?);
                Some(mean + normal::quantile(p) * sd)
            }
        }
    }

    fn sd(&self) -> Option<f64> {
        quantile::standard_deviation(&self.ascending)
    }

    /// F: share of the dates at or before `season_day`, in years that have one.
    fn by(&self, season_day: f64, method: Method) -> Option<f64> {
        let n = self.ascending.len();
        if n == 0 {
            return None;
        }
        let at_most = self.ascending.partition_point(|d| *d <= season_day) as f64;
        Some(match method {
            Method::Empirical => at_most / n as f64,
            Method::Weibull => at_most / (n as f64 + 1.0),
            Method::Normal => {
                let (mean, sd) = (quantile::mean(&self.ascending)?, self.sd()?);
                if sd > 0.0 { normal::cdf((season_day - mean) / sd) } else { at_most.min(1.0) }
            }
        })
    }
}

/// Dates of one event over the years. Every number is the mean over the fillings of missing days, of which there is one
/// where none is missing. Source: Rubin 1987, *Multiple Imputation for Nonresponse in Surveys* (from memory).
/// Equation 102 of docs/science.md.
#[derive(Clone, Debug, PartialEq)]
pub struct Dates {
    which: Which,
    hemisphere: Hemisphere,
    events: Vec<Event>,
    fillings: Vec<Filling>,
}

impl Dates {
    /// From the counted years, and the days of each in every filling.
    pub(super) fn new(
        which: Which,
        hemisphere: Hemisphere,
        years: Vec<i16>,
        fillings: Vec<Vec<Option<u16>>>,
    ) -> Self {
        let middle = |place: usize| {
            let mut of_year: Vec<Option<u16>> =
                fillings.iter().filter_map(|days| days.get(place).copied()).collect();
            of_year.sort_unstable();
            of_year.get(of_year.len() / 2).copied().flatten()
        };
        let events = years.iter().enumerate();
        let events = events.map(|(i, year)| Event { year: *year, season_day: middle(i) }).collect();
        let fillings = fillings.into_iter().map(Filling::new).collect();
        Self { which, hemisphere, events, fillings }
    }

    /// Every counted year in order, with its date; where days are missing, the middle one of the fillings.
    #[must_use]
    pub fn events(&self) -> &[Event] {
        &self.events
    }

    /// The dates of every counted year in each filling.
    pub(super) fn fillings(&self) -> impl ExactSizeIterator<Item = &[Option<u16>]> {
        self.fillings.iter().map(|f| f.days.as_slice())
    }

    /// Mean over the fillings; `None` where more than a tenth of them has none.
    fn mean_of(&self, of: impl Fn(&Filling) -> Option<f64>) -> Option<f64> {
        let found: Vec<f64> = self.fillings.iter().filter_map(of).collect();
        (found.len() * 10 >= self.fillings.len() * 9).then(|| quantile::mean(&found)).flatten()
    }

    /// Years that count.
    #[must_use]
    pub fn counted(&self) -> usize {
        self.events.len()
    }

    /// How much they can carry.
    #[must_use]
    pub fn standing(&self) -> Standing {
        Standing::from_years(self.counted())
    }

    /// Share of counted years that reach the threshold, 0 to 1; `None` where no year counts.
    #[must_use]
    pub fn share(&self) -> Option<f64> {
        let years = self.counted() as f64;
        (years > 0.0).then(|| self.mean_of(|f| Some(f.ascending.len() as f64 / years))).flatten()
    }

    /// Mean date of the years that have one, as a day of the season.
    #[must_use]
    pub fn mean(&self) -> Option<f64> {
        self.mean_of(|f| quantile::mean(&f.ascending))
    }

    /// Standard deviation of the date, days.
    #[must_use]
    pub fn sd(&self) -> Option<f64> {
        self.mean_of(Filling::sd)
    }

    /// Conditional: in years that reach the threshold, the day that a share `p` of the dates does not pass.
    ///
    /// NOAA's published tables are conditional in this sense, with `p` counted from the late end for the last of spring.
    /// Checked by `frost::fort_collins_tables`.
    #[must_use]
    pub fn conditional(&self, p: f64, method: Method) -> Option<f64> {
        self.mean_of(|f| f.conditional(p, method))
    }

    /// Unconditional: the chance, years without any event included, that the event is still to come after
    /// `season_day` (last of spring: share · (1 − F)) or has come by it (first of autumn: share · F).
    ///
    /// G(x) = q + (1 − q) F(x) with q the share of years without an event (Thom 1959). `None` where no year counts.
    /// Checked by `frost::the_mixed_distribution_of_a_rare_threshold`.
    /// Equation 34 of docs/science.md.
    #[must_use]
    pub fn chance(&self, season_day: f64, method: Method) -> Option<f64> {
        let share = self.share()?;
        if share == 0.0 {
            return Some(0.0);
        }
        let f = self.mean_of(|f| f.by(season_day, method))?;
        Some(share * self.which.pick(f, 1.0 - f))
    }

    /// Unconditional: the day at which [`Dates::chance`] is `chance`; `None` where it never reaches so much.
    #[must_use]
    pub fn day_of_chance(&self, chance: f64, method: Method) -> Option<f64> {
        let of_those = chance / self.share().filter(|s| *s >= chance && *s > 0.0)?;
        self.conditional(self.which.pick(of_those, 1.0 - of_those), method)
    }

    /// How sure the conditional empirical quantiles are: seeded bootstrap over the counted years, 5 to 95 %, each draw from
    /// the next filling, so that missing days widen it.
    #[must_use]
    pub fn intervals(&self, ps: &[f64], draws: usize, seed: u64) -> Vec<Option<Interval>> {
        let of = |f: &Filling| f.days.iter().map(|d| d.map(f64::from)).collect();
        let days: Vec<Vec<Option<f64>>> = self.fillings.iter().map(of).collect();
        bootstrap::quantile_intervals(&days, ps, draws, seed)
    }

    /// Whether the dates move, in days for ten years; years without an event are left out.
    #[must_use]
    pub fn trend(&self) -> Option<Trend> {
        let dated = |e: &Event| Some((f64::from(e.year), f64::from(e.season_day?)));
        trend(&self.events.iter().filter_map(dated).collect::<Vec<_>>())
    }

    /// The last `years` calendar years before and with the last counted one, to be held against all.
    #[must_use]
    pub fn recent(&self, years: i16) -> Self {
        let last = self.events.last().map_or(0, |e| e.year);
        self.between(&(last.saturating_sub(years - 1)..=last))
    }

    /// Only these years.
    #[must_use]
    pub fn between(&self, years: &RangeInclusive<i16>) -> Self {
        let among = |e: &Event| years.contains(&e.year);
        let kept = self.events.iter().filter(|e| among(e)).map(|e| e.year).collect();
        let of = |f: &Filling| {
            let both = self.events.iter().zip(&f.days);
            both.filter(|(e, _)| among(e)).map(|(_, day)| *day).collect()
        };
        Self::new(self.which, self.hemisphere, kept, self.fillings.iter().map(of).collect())
    }

    /// Day of the year on a calendar of 365 days, 1 up to 366 (a fraction is kept), of a day of the season.
    #[must_use]
    pub fn day_of_year(&self, season_day: f64) -> f64 {
        let day = season_day + f64::from(self.hemisphere.start_day()) - 2.0;
        day.rem_euclid(f64::from(SEASON_DAYS)) + 1.0
    }

    /// Day of the season of a month and day; `None` where there is no such day. 29 February counts as the 28th.
    #[must_use]
    pub fn season_day(&self, month: i8, day: i8) -> Option<f64> {
        let day = if (month, day) == (2, 29) { 28 } else { day };
        let of_year = jiff::civil::Date::new(2001, month, day).ok()?.day_of_year();
        let place = f64::from(of_year) - f64::from(self.hemisphere.start_day());
        Some(place.rem_euclid(f64::from(SEASON_DAYS)) + 1.0)
    }

    /// Month and day of a day of the season, rounded to a whole day (halves go up).
    #[must_use]
    pub fn month_day(&self, season_day: f64) -> (i8, i8) {
        let day = self.day_of_year((season_day + 0.5).floor()) as i32;
        let date = crate::station::calendar::date_of(NEW_YEAR_2001 + day - 1);
        (date.month(), date.day())
    }
}

/// Day number of 1 January 2001, a year of 365 days.
const NEW_YEAR_2001: i32 = 11_323;
