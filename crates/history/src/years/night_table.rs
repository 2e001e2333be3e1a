//! The table of simulated nights: for each kind of bed every cover that fits, every night that matters, sixteen years abreast.

use garden::bed::Wetness;
use garden::garden::Garden;
use microclimate::cover::Cover;
use microclimate::lanes::{Lanes, WIDTH};
use microclimate::real::Real;
use microclimate::soil::{CELLS, Column};
use microclimate::{Bed, Draws, Forcing, Site, State, column, parameters::STEP_S, step};
use rayon::prelude::*;
use serde::{Deserialize, Serialize};

use crate::constants::{AIR_SHIFT_K, RESPONSE_EVERY, ROOTS_M, SPIN_UP_DAYS};
use crate::years::batch_weather::{BatchWeather, Day, STEPS_A_DAY};
use crate::years::bed_kinds::BedKind;
use crate::years::error::Error;
use evening::constants::CHILL_BELOW_C;
use evening::harm::{HalfHour, LongSpell};
use evening::priors;

/// Coldest half-hours of one night, by lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ColdestTissue {
    /// Most exposed tissue, °C.
    pub tissue_c: [f32; WIDTH],
    /// The same over eighty minutes, °C.
    pub long_c: [f32; WIDTH],
    /// Its dose below 12 °C, K h.
    pub chill_k_h: [f32; WIDTH],
    /// Hours below that.
    pub chill_h: [f32; WIDTH],
    /// Soil at 2 cm, °C.
    pub soil_c: [f32; WIDTH],
    /// Soil at [`ROOTS_M`], °C.
    pub roots_c: [[f32; WIDTH]; 2],
    /// Leaf in the middle of the plants, lowest of all steps, °C.
    pub leaf_c: [f32; WIDTH],
}

/// A night under a cover that has lain since an earlier evening, and the day before it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeftOnNight {
    /// The night.
    pub cold: ColdestTissue,
    /// Hottest tissue of the day before, °C; −99 on the first night.
    pub hottest_c: [f32; WIDTH],
    /// Warmest leaf on the day before, °C; −99 on the first night.
    pub warmest_c: [f32; WIDTH],
    /// Hours of that day with the air inside above the heat limit.
    pub heat_h: [f32; WIDTH],
}

/// How a night's coldest tissue answers to the air: K per K, mean and standard deviation over sampled nights.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Response {
    /// Mean.
    pub mean: f64,
    /// Standard deviation.
    pub sd: f64,
    /// Mean for the soil at 2 cm.
    pub soil: f64,
}

/// All nights of one kind of bed.
#[derive(Clone, Debug)]
pub struct NightTable {
    /// Places in [`BatchWeather::days`] of the nights that matter in some lane.
    pub days: Vec<usize>,
    /// Open, then each cover laid at dusk; by night.
    pub laid: Vec<Vec<ColdestTissue>>,
    /// Each cover left on; by night. On days that are not asked for the cover is laid anew.
    pub left: Vec<Vec<LeftOnNight>>,
    /// Warmest leaf of the open bed since the cover of the night before came off, by night, °C.
    pub warmest_c: Vec<[f32; WIDTH]>,
    /// Answer to the air, open first; empty where it is not asked for.
    pub response: Vec<Response>,
    /// Steps run and greatest budget residual.
    pub stats: RunStats,
}

/// What a run took and how well its energy budgets closed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct RunStats {
    /// Greatest budget residual of all steps, W/m².
    pub residual_w_m2: f64,
    /// Steps of sixteen lanes that were run.
    pub steps: usize,
}

/// What one kind of bed runs on.
struct Run<'a> {
    kind: &'a BedKind,
    years: &'a BatchWeather,
    column: Column<Lanes>,
    draws: Draws<Lanes>,
    /// Cells nearest to 2 cm and to [`ROOTS_M`].
    near: [usize; 3],
}

/// What lies on the bed: a cover and snow.
#[derive(Clone, Copy)]
struct OnTheBed<'a> {
    cover: Option<&'a Cover>,
    snow: Snow,
}

/// Depth of the snow of one night beneath what lies on the bed and on top of it, m.
#[derive(Clone, Copy)]
struct Snow {
    beneath: Lanes,
    on_top: Lanes,
}

impl Snow {
    /// Snow on open ground, or beneath what is laid on it.
    fn on_ground(day: &Day) -> Self {
        let lies = Lanes::from_lanes(|l| f64::from(day.snow_m[l]));
        Self { beneath: lies, on_top: Lanes::splat(0.0) }
    }

    /// Snow on what has lain since before it fell: as deep as on open ground, as far as the cover `holds_m` it, and melting and
    /// settling as there.
    /// Checked by `winter_snow::snow_on_a_cover_that_lies_on_keeps_its_bed_warmer`.
    /// Equation 105 of docs/science.md.
    fn on_cover(day: &Day, holds_m: f64) -> Self {
        let fell = Self::on_ground(day).beneath;
        Self { beneath: Lanes::splat(0.0), on_top: fell.min(Lanes::splat(holds_m)) }
    }
}

/// The open bed's nights, the warmest leaf before each and its state at dusk.
type Open = (Vec<ColdestTissue>, Vec<[f32; WIDTH]>, Vec<State<Lanes>>);

/// What a stretch of steps kept.
struct Extremes {
    tissue: HalfHour<Lanes>,
    long: LongSpell<Lanes>,
    chill: [Lanes; 2],
    soil: [HalfHour<Lanes>; 3],
    hottest: Lanes,
    leaf: [Lanes; 2],
    heat_steps: Lanes,
}

/// The middle of every prior for one bed, the same in all lanes.
#[must_use]
pub fn central(garden: &Garden, wetness: Wetness) -> Draws<Lanes> {
    let spread = priors::saturations(wetness);
    let middle = (0..WIDTH).map(|m| spread.lane(m)).sum::<f64>() / WIDTH as f64;
    let none = [[0.0; priors::UNKNOWNS]; WIDTH];
    priors::draws(&none, priors::shelter(garden.site.exposure), Lanes::splat(middle))
}

/// Runs one kind of bed through a batch of years; `stands` says on which days (by place in [`BatchWeather::days`]) something stands.
///
/// The open bed is carried through day and night; every cover branches from it at each dusk, or goes on lying.
///
/// # Errors
/// [`Error::Physics`]. Checked by `replay::open_nights_agree_with_one_bed_in_double_precision`.
pub fn run(
    garden: &Garden,
    kind: &BedKind,
    years: &BatchWeather,
    stands: &[bool],
) -> Result<NightTable, Error> {
    let draws = central(garden, kind.wetness);
    let depths = column::depths_m(&kind.bed);
    let nearest = |m: f64| {
        let off = |d: &f64| (d - m).abs();
        depths.iter().enumerate().min_by(|a, b| off(a.1).total_cmp(&off(b.1))).map_or(0, |n| n.0)
    };
    let run = Run {
        kind,
        years,
        column: column::build(&kind.bed, &draws),
        draws,
        near: [0.02, ROOTS_M[0], ROOTS_M[1]].map(nearest),
    };
    let days: Vec<usize> = (0..years.days.len()).filter(|d| run.matters(*d, stands)).collect();
    let mut stats = RunStats::default();
    let (open, warmest_c, evenings) = run.open(&days, &mut stats)?;
    let covered: Vec<(Vec<ColdestTissue>, Vec<LeftOnNight>, RunStats)> = kind
        .covers
        .par_iter()
        .zip(&kind.holds_snow_m)
        .map(|(cover, holds)| run.covered((cover, *holds), &days, &evenings))
        .collect::<Result<_, Error>>()?;
    let sites: Vec<Option<&Cover>> =
        std::iter::once(None).chain(kind.covers.iter().map(Some)).collect();
    let mut laid = vec![open];
    let mut left = Vec::new();
    for (cold, l, b) in covered {
        laid.push(cold);
        left.push(l);
        stats.add(&b);
    }
    let asked = if kind.asked.answers() { sites.len() } else { 0 };
    let responses: Vec<(Response, RunStats)> = sites[..asked]
        .par_iter()
        .zip(&laid)
        .map(|(cover, cold)| run.response(*cover, &days, &evenings, cold))
        .collect::<Result<_, Error>>()?;
    responses.iter().for_each(|r| stats.add(&r.1));
    let response = responses.into_iter().map(|r| r.0).collect();
    Ok(NightTable { days, laid, left, warmest_c, response, stats })
}

impl RunStats {
    /// Takes in another's.
    pub fn add(&mut self, other: &Self) {
        self.residual_w_m2 = self.residual_w_m2.max(other.residual_w_m2);
        self.steps += other.steps;
    }
}

impl Run<'_> {
    /// Whether a night matters in some year.
    fn matters(&self, day: usize, stands: &[bool]) -> bool {
        let cold = |l: &f32| f64::from(*l) < self.kind.matters_below_c;
        stands.get(day).copied().unwrap_or(false)
            && self.years.days[day].garden_low_c.iter().any(cold)
    }

    /// Runs steps under a cover and keeps what is asked of a night or a day.
    fn stretch(
        &self,
        lying: OnTheBed<'_>,
        forcing: &[Forcing<Lanes>],
        state: &mut State<Lanes>,
        stats: &mut RunStats,
    ) -> Result<Extremes, Error> {
        let (bed, cover) = (&self.kind.bed, lying.cover);
        let buried = lying.snow.beneath.max_lane() > 0.0;
        let under_snow = buried.then(|| self.column.under_snow(lying.snow.beneath));
        let column = under_snow.as_ref().unwrap_or(&self.column);
        let site = Site::new(bed, cover, column, &self.draws);
        let site = site.with_snow_on_cover(lying.snow.on_top);
        let mut kept = Extremes {
            tissue: HalfHour::new(),
            long: LongSpell::new(),
            chill: [Lanes::splat(0.0); 2],
            soil: [HalfHour::new(); 3],
            hottest: Lanes::splat(-99.0),
            leaf: [Lanes::splat(99.0), Lanes::splat(-99.0)],
            heat_steps: Lanes::splat(0.0),
        };
        let (heat, one, none) =
            (Lanes::splat(self.kind.heat_c), Lanes::splat(1.0), Lanes::splat(0.0));
        for force in forcing {
            let fluxes = step(&site, force, state)
                .map_err(|error| Error::Physics { bed: self.kind.name.clone(), error })?;
            stats.residual_w_m2 = stats.residual_w_m2.max(fluxes.residual_w_m2);
            stats.steps += 1;
            let mut tissue = state.tissue_c(bed, cover);
            if buried {
                tissue = buried_c(state, bed, tissue, lying.snow.beneath);
            }
            kept.tissue.push(tissue);
            kept.long.push(tissue);
            let below = Lanes::splat(CHILL_BELOW_C) - tissue;
            kept.chill[0] += below.max(none) * (STEP_S / 3600.0);
            kept.chill[1] += Lanes::select_lt(none, below, one, none) * (STEP_S / 3600.0);
            for (soil, cell) in kept.soil.iter_mut().zip(self.near) {
                soil.push(state.soil.temperature_c[cell]);
            }
            kept.hottest = kept.hottest.max(tissue);
            kept.leaf = [kept.leaf[0].min(state.leaf_c), kept.leaf[1].max(state.leaf_c)];
            kept.heat_steps += Lanes::select_lt(heat, state.air_c, one, none);
        }
        Ok(kept)
    }

    /// The open bed through all days; its nights, the warmest leaf before and its state at the dusk of each.
    fn open(&self, days: &[usize], stats: &mut RunStats) -> Result<Open, Error> {
        let forcing = &self.years.forcing;
        let early = &forcing[..forcing.len().min(SPIN_UP_DAYS * STEPS_A_DAY)];
        let mean =
            early.iter().fold(Lanes::splat(0.0), |s, f| s + f.air_c) / early.len().max(1) as f64;
        let vapour = forcing.first().map_or(Lanes::splat(0.6), |f| f.vapour_kpa);
        let mut state = State::resting(mean, vapour, [mean; CELLS]);
        let (mut cold, mut warmest, mut evenings) = (Vec::new(), Vec::new(), Vec::new());
        let mut done = 0;
        for d in days {
            let day = &self.years.days[*d];
            let open = OnTheBed { cover: None, snow: Snow::on_ground(day) };
            let before = self.stretch(open, &forcing[done..day.dusk], &mut state, stats)?;
            warmest.push(before.leaf[1].0);
            evenings.push(state);
            let kept = self.stretch(open, &forcing[day.dusk..day.off], &mut state, stats)?;
            cold.push(kept.cold());
            done = day.off;
        }
        Ok((cold, warmest, evenings))
    }

    fn covered(
        &self,
        (cover, holds_snow_m): (&Cover, f64),
        days: &[usize],
        evenings: &[State<Lanes>],
    ) -> Result<(Vec<ColdestTissue>, Vec<LeftOnNight>, RunStats), Error> {
        let forcing = &self.years.forcing;
        let (mut colds, mut lefts, mut stats) = (Vec::new(), Vec::new(), RunStats::default());
        let mut lying: Option<(usize, State<Lanes>)> = None;
        for (d, evening) in days.iter().zip(evenings) {
            let day = &self.years.days[*d];
            let mut state = evening.just_covered(forcing[day.dusk].air_c);
            let night = &forcing[day.dusk..day.off];
            let laid = OnTheBed { cover: Some(cover), snow: Snow::on_ground(day) };
            let on_bed = OnTheBed { cover: Some(cover), snow: Snow::on_cover(day, holds_snow_m) };
            let cold = self.stretch(laid, night, &mut state, &mut stats)?.cold();
            colds.push(cold);
            let (none, never) = ([0.0; WIDTH], [-99.0; WIDTH]);
            let mut left = LeftOnNight { cold, hottest_c: never, warmest_c: never, heat_h: none };
            let lies_on = self.kind.asked.lying_on(day.index);
            if let Some((_, mut on)) = lying.filter(|l| lies_on && l.0 + 1 == *d) {
                let day_steps = &forcing[self.years.days[d - 1].off..day.dusk];
                let lit = self.stretch(on_bed, day_steps, &mut on, &mut stats)?;
                left.cold = self.stretch(on_bed, night, &mut on, &mut stats)?.cold();
                left.hottest_c = lit.hottest.0;
                left.warmest_c = lit.leaf[1].0;
                left.heat_h = (lit.heat_steps * (STEP_S / 3600.0)).0;
                state = on;
            }
            lefts.push(left);
            lying = Some((*d, state));
        }
        Ok((colds, lefts, stats))
    }

    /// Every eighth night again in air 2 K colder, the dew point 1 K lower (it shares half of the air's error) and the sky
    /// as much colder: the coldest tissue's change over the air's, in the lanes to which the night matters.
    fn response(
        &self,
        cover: Option<&Cover>,
        days: &[usize],
        evenings: &[State<Lanes>],
        cold: &[ColdestTissue],
    ) -> Result<(Response, RunStats), Error> {
        let (mut found, mut soil) = (Vec::new(), 0.0);
        let mut stats = RunStats::default();
        for i in (0..days.len()).step_by(RESPONSE_EVERY) {
            let day = &self.years.days[days[i]];
            let colder: Vec<Forcing<Lanes>> = self.years.forcing[day.dusk..day.off]
                .iter()
                .map(|f| shifted(f, AIR_SHIFT_K))
                .collect();
            let mut state = evenings[i];
            if cover.is_some() {
                state = state.just_covered(colder[0].air_c);
            }
            let lying = OnTheBed { cover, snow: Snow::on_ground(day) };
            let again = self.stretch(lying, &colder, &mut state, &mut stats)?.cold();
            for l in 0..WIDTH {
                if f64::from(day.garden_low_c[l]) < self.kind.matters_below_c {
                    found.push(f64::from(again.tissue_c[l] - cold[i].tissue_c[l]) / AIR_SHIFT_K);
                    soil += f64::from(again.soil_c[l] - cold[i].soil_c[l]) / AIR_SHIFT_K;
                }
            }
        }
        let n = found.len().max(1) as f64;
        let mean = if found.is_empty() { 1.0 } else { found.iter().sum::<f64>() / n };
        let sd = (found.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / n).sqrt();
        let soil = if found.is_empty() { 1.0 } else { soil / n };
        Ok((Response { mean, sd, soil }, stats))
    }
}

impl Extremes {
    fn cold(&self) -> ColdestTissue {
        ColdestTissue {
            tissue_c: self.tissue.coldest.0,
            long_c: self.long.coldest.0,
            chill_k_h: self.chill[0].0,
            chill_h: self.chill[1].0,
            soil_c: self.soil[0].coldest.0,
            roots_c: [self.soil[1].coldest.0, self.soil[2].coldest.0],
            leaf_c: self.leaf[0].0,
        }
    }
}

/// Tissue of plants of height h under snow of depth d > h: the tips lie at h/d of its thickness, T_soil + (T_snow − T_soil) h/d;
/// plants that stand out of it have `tissue`.
/// Checked by `winter_snow::snow_shelters_what_it_buries`.
/// Equation 66 of docs/science.md.
fn buried_c(state: &State<Lanes>, bed: &Bed, tissue: Lanes, depth_m: Lanes) -> Lanes {
    let height = Lanes::splat(bed.canopy.height_m);
    let (soil, snow) = (state.soil.temperature_c[0], state.ground_c);
    let within = soil + (snow - soil) * (height / depth_m.max(height));
    Lanes::select_lt(height, depth_m, within, tissue)
}

/// The same weather in air `k` warmer; vapour follows half of it at 7.2 % a kelvin, the sky's long-wave T⁴.
fn shifted(f: &Forcing<Lanes>, k: f64) -> Forcing<Lanes> {
    let ratio = (f.air_c + (273.15 + k)) / (f.air_c + 273.15);
    let square = ratio * ratio;
    Forcing {
        air_c: f.air_c + k,
        vapour_kpa: f.vapour_kpa * (0.072 * 0.5 * k).exp(),
        sky_w_m2: f.sky_w_m2 * square * square,
        ..*f
    }
}
