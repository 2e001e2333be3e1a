//! What stands until spring: open, under each cover that lies on all winter.

use garden::crops::hardening::HARDENED;
use garden::crops::{self, Stage};
use garden::growth::{self, Carry};
use garden::planting::Planting;
use serde::{Deserialize, Serialize};

use crate::constants::{SPRING_ENDS, WINTER_FROM, WINTER_STRAW_M, WINTER_TO};
use crate::year::dates::DAYS;
use crate::year::development::{Absent, half_lost_c, hardness_through};
use crate::year::past::{Nights, Past};

/// Shares of winters through which tops and roots came; `None` for what is not carried or has no limits.
pub type Stood = (Option<f64>, Option<f64>);

/// A winter under [`WINTER_STRAW_M`] of loose straw, whatever stood of the tops.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct Straw {
    /// Share of winters through which the roots came.
    pub roots: f64,
    /// What it takes, m³.
    pub takes_m3: f64,
    /// Whether the shed holds as much.
    pub have: bool,
}

/// What stands the winter.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Winter {
    /// What is carried over.
    pub carry: Carry,
    /// Winters counted.
    pub winters: usize,
    /// Open, then each cover lying on: share of winters through which the tops came with half or more of them, and
    /// share through which the roots came.
    pub stood: Vec<Stood>,
    /// The same for roots under deep straw; `None` where the crop is kept for its tops.
    pub straw: Option<Straw>,
    /// What the grower's risk allows.
    pub verdict: Verdict,
}

/// Whether a crop can be carried over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub enum Verdict {
    /// As it stands.
    Open,
    /// Under this cover of the bed: of those that do, the one that holds back the least light.
    Under(usize),
    /// Roots under deep straw.
    Straw,
    /// Under nothing that fits, nor under straw.
    No,
}

/// The winter of a planting: tops by their leaf, roots by the soil at the depth that their table gives. Snow lies on the open
/// bed as the record has it and on what lies over the bed as far as that holds it. Covers first, then straw.
///
/// # Errors
/// [`Absent::NoGrowth`], [`Absent::NotCarried`], [`Absent::NoLimits`], [`Absent::NoWinters`].
/// Checked by `year::covers_only_help_the_winter` and `year::roots_winter_under_straw`.
pub fn overwinter(past: &Past, bed: usize, p: &Planting, risk: f64) -> Result<Winter, Absent> {
    let growth = growth::crop_growth(p.crop).ok_or(Absent::NoGrowth)?;
    let carry = growth.carry.ok_or(Absent::NotCarried)?;
    let has_tops = growth.winter_top_c().is_some();
    let root_c = growth.winter_root_c.filter(|_| carry != Carry::Tops);
    let decides = |stood: &(Option<f64>, Option<f64>)| match carry {
        Carry::Tops => stood.0,
        // What lives in the ground comes again.
        Carry::Roots | Carry::Both | Carry::Crown => stood.1,
    };
    let years = past.years();
    let pairs: Vec<usize> =
        (0..years.len().saturating_sub(1)).filter(|i| years[i + 1] == years[*i] + 1).collect();
    if pairs.is_empty() {
        return Err(Absent::NoWinters);
    }
    let choices = past.covers(bed).map_or(0, <[_]>::len) + 1;
    let roots = |n: &Nights| {
        let root_c = root_c?;
        Some(share(n.root_c(growth.winter_root_m), &pairs, |_, _| root_c))
    };
    let tops_c: Vec<Vec<f64>> = pairs.iter().map(|i| tops_c(past, p, *i)).collect();
    let tops = |n: &Nights| {
        let limit = |winter: usize, day: usize| tops_c[winter][day];
        has_tops.then(|| share(&n.tissue_c, &pairs, limit))
    };
    let stood: Vec<Stood> = (0..choices)
        .filter_map(|choice| past.left(bed, choice))
        .map(|n| (tops(n), roots(n)))
        .collect();
    // What is picked through winter is not buried.
    let buried = past.winter_straw(bed).filter(|_| carry != Carry::Crown);
    let straw = buried.and_then(|n| straw(past, bed, roots(n)?));
    let enough = |i: usize| decides(&stood[i]).is_some_and(|s| s >= 1.0 - risk - 1e-9);
    decides(stood.first().ok_or(Absent::NoLimits)?).ok_or(Absent::NoLimits)?;
    let lightest = (1..stood.len())
        .filter(|i| enough(*i))
        .map(|i| i - 1)
        .min_by(|a, b| past.dims(bed, *a).total_cmp(&past.dims(bed, *b)));
    let verdict = match lightest {
        _ if enough(0) => Verdict::Open,
        Some(cover) => Verdict::Under(cover),
        None if straw.is_some_and(|s| s.roots >= 1.0 - risk - 1e-9) => Verdict::Straw,
        None => Verdict::No,
    };
    Ok(Winter { carry, winters: pairs.len(), stood, straw, verdict })
}

fn straw(past: &Past, bed: usize, roots: f64) -> Option<Straw> {
    let b = past.garden().beds.get(bed)?;
    let takes_m3 = WINTER_STRAW_M * b.length_m * b.width_m;
    Some(Straw { roots, takes_m3, have: past.garden().stock.loose_mulch_m3 >= takes_m3 })
}

/// Tissue temperature below which half of the tops is lost, by day from the first of the year in which a winter begins, °C:
/// hardened by the days of that autumn and winter, from nothing in the middle of summer.
fn tops_c(past: &Past, p: &Planting, year: usize) -> Vec<f64> {
    let days: Vec<_> = past.days()[year..year + 2].iter().flatten().copied().collect();
    let at =
        |h| crops::limits_at(p.crop, Stage::Established, h).map_or(f64::NAN, |l| half_lost_c(&l));
    hardness_through((p.crop, Stage::Established), &days, SPRING_ENDS, 0.0)
        .map_or_else(|| vec![at(HARDENED); days.len()], |h| h.into_iter().map(at).collect())
}

/// Share of winters whose coldest stays at or above a limit, by winter and day from the first of its first year.
fn share(coldest_c: &[Vec<f32>], winters: &[usize], limit_c: impl Fn(usize, usize) -> f64) -> f64 {
    let stands = |(w, i): &(usize, &usize)| {
        let coldest = coldest_c[**i].iter().chain(&coldest_c[**i + 1]);
        let mut winter = coldest.enumerate().take(DAYS + WINTER_TO).skip(WINTER_FROM);
        !winter.any(|(day, t)| f64::from(*t) < limit_c(*w, day))
    };
    winters.iter().enumerate().filter(stands).count() as f64 / winters.len().max(1) as f64
}
