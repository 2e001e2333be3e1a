//! What helps a bed without cloth: water on dry soil while the sun can still warm it, picking, carrying pots in.

use garden::bed::{Bed as GardenBed, Wetness};
use garden::crops::Stage;
use garden::fit::BEGIN_MIN;
use garden::garden::Garden;
use microclimate::Forcing;
use microclimate::lanes::Lanes;
use quantities::Moment;

use crate::constants::{
    DONE_BEFORE_LIMIT_S, LOST_ANYWAY, POT_MINUTES, WATER_AFTER_NOON_S, WATER_MINUTES_A_M2,
};
use crate::ensemble::Ensemble;
use crate::error::Error;
use crate::night::BedSimulation;
use crate::physics;
use crate::report::{BedReport, Handwork, Measure, Reason, Spread, SunTimes};
use crate::steps::NightSteps;
use crate::tonight::bed_nights::BedNights;

/// The evening as the beds' nights were run from it.
pub struct Evening<'a> {
    /// The garden.
    pub garden: &'a Garden,
    /// The possible nights.
    pub ensemble: &'a Ensemble,
    /// Weather of the days before.
    pub before: &'a [Forcing<Lanes>],
    /// Doubt about the soil, K.
    pub soil_sigma_k: f64,
    /// The night's steps.
    pub steps: &'a NightSteps,
    /// The turning points of the light.
    pub sun: &'a SunTimes,
    /// Today's sunrise, where the sun is up.
    pub sunrise_today: Option<Moment>,
    /// The moment of asking.
    pub asked_at: Moment,
    /// Times the work by day that it takes by the light there is.
    pub times: f64,
}

/// What may be done with known minutes, worth its wage beside the plan or in its place; the plan chooses among it.
///
/// # Errors
/// [`Error::Physics`].
/// Checked by `without_cloth::dry_soil_is_watered_by_early_afternoon_or_not_at_all`.
pub fn offered(
    evening: &Evening<'_>,
    simulations: &[BedSimulation<'_>],
    nights: &[BedNights],
    beds: &[BedReport],
) -> Result<Vec<Handwork>, Error> {
    let wage = evening.garden.labour.worth_of_hour / 60.0;
    let mut all = Vec::new();
    for (b, ((simulation, n), bed)) in simulations.iter().zip(nights).zip(beds).enumerate() {
        let carried = carry_in(evening, simulation, bed);
        let watered = match loss_by_plan(bed) > 0.0 {
            true => water(evening, simulation, n, bed)?,
            false => None,
        };
        all.extend([carried, watered].into_iter().flatten().map(|m| one(b, m)));
    }
    all.retain(|h| h.saves > wage * h.minutes);
    Ok(all)
}

/// What is ripe and better picked, on beds that are not carried in.
#[must_use]
pub fn picked(
    evening: &Evening<'_>,
    simulations: &[BedSimulation<'_>],
    beds: &[BedReport],
) -> Vec<Handwork> {
    let one = |(b, (simulation, bed))| {
        Some(one(b, pick(evening, simulation, bed)?)).filter(|_| bed.reason != Reason::CarriedIn)
    };
    simulations.iter().zip(beds).enumerate().filter_map(one).collect()
}

fn one(bed: usize, (measure, minutes, by, saves): Measured) -> Handwork {
    Handwork { bed, measure, minutes, walk_minutes: 0.0, by, person: 1, saves }
}

/// Money that a bed is expected to lose when the plan is followed.
fn loss_by_plan(bed: &BedReport) -> f64 {
    match bed.chosen.and_then(|c| bed.options.get(c)) {
        Some(option) => option.outcome.expected_loss,
        None if bed.takes_off => bed.bare_loss(),
        None => bed.open.expected_loss,
    }
}

/// What is done, person-minutes, by when, money it saves.
type Measured = (Measure, f64, Moment, f64);

/// Before the bed gets too cold, and while there is light; a pot can be carried by lamp.
fn in_time(evening: &Evening<'_>, bed: &BedReport, last: Moment) -> Moment {
    let cold = bed.open.reaches_limit_at.map(|m| m.plus_seconds(-DONE_BEFORE_LIMIT_S));
    cold.map_or(last, |m| m.min(last)).max(evening.asked_at)
}

fn carry_in(
    evening: &Evening<'_>,
    simulation: &BedSimulation<'_>,
    bed: &BedReport,
) -> Option<Measured> {
    let pots = simulation.garden_bed.pots;
    let last =
        if evening.asked_at < evening.sun.dark { evening.sun.dark } else { evening.sun.sunrise };
    // What the cold has taken since sunset is lost wherever they stand.
    let saves = bed.open.expected_loss - bed.lost_so_far;
    (pots > 0).then(|| {
        let minutes = evening.times * POT_MINUTES * f64::from(pots);
        (Measure::CarryIn { pots }, minutes, in_time(evening, bed, last), saves)
    })
}

/// Picking, by daylight, what is of harvest size and is expected to be lost in large part whatever is done.
fn pick(
    evening: &Evening<'_>,
    simulation: &BedSimulation<'_>,
    bed: &BedReport,
) -> Option<Measured> {
    let mature = |p: &garden::planting::Planting| p.stage == Stage::Mature;
    let ripe =
        simulation.at_risk.iter().any(|s| mature(&simulation.garden_bed.plantings[s.planting]));
    let lost = loss_by_plan(bed);
    let by = in_time(evening, bed, evening.sun.dark);
    let light = evening.asked_at < evening.sun.dark;
    (ripe && light && lost >= LOST_ANYWAY * bed.worth).then_some((Measure::Pick, 0.0, by, lost))
}

/// Watering dry soil: the night run again over wet soil, from the same bed in the same weather.
///
/// Wet soil stores and conducts more of the day's heat; what evaporates until the evening cools it. Worth it only while
/// the sun still warms what was wetted: never at dusk, never onto leaves (common practice, no source).
fn water(
    evening: &Evening<'_>,
    simulation: &BedSimulation<'_>,
    nights: &BedNights,
    bed: &BedReport,
) -> Result<Option<Measured>, Error> {
    let Some(sunrise) = evening.sunrise_today else { return Ok(None) };
    let noon = sunrise.plus_seconds((evening.sun.sunset.0 - sunrise.0) / 2);
    let by = noon.plus_seconds(WATER_AFTER_NOON_S);
    let dry = simulation.garden_bed;
    let minutes = BEGIN_MIN + WATER_MINUTES_A_M2 * dry.length_m * dry.width_m;
    let done = evening.asked_at.plus_seconds((60.0 * minutes) as i64);
    if dry.wetness != Wetness::Dry || done > by {
        return Ok(None);
    }
    let wetted = GardenBed { wetness: Wetness::Wet, ..dry.clone() };
    let lies: Vec<_> = bed.lies.clone();
    let wet = BedSimulation::new(evening.garden, &wetted, &lies, simulation.bed.wind_height_m);
    let (garden, steps) = (evening.garden, evening.steps);
    let spun = simulation.spin_up(garden, evening.before, steps.start)?;
    let until_dark = wet.evening(garden, evening.ensemble, &spun, evening.soil_sigma_k, steps)?;
    let (cover, as_planned) = match bed
        .chosen
        .and_then(|c| Some((nights.changes.get(c)?.1, nights.covered.get(c)?)))
    {
        Some((fit, cold)) => (Some(physics::cover(&simulation.fits[fit], dry)), cold),
        None => (
            None,
            if bed.takes_off { nights.bare.as_ref().unwrap_or(&nights.open) } else { &nights.open },
        ),
    };
    let left = simulation.lies.through_the_night().filter(|_| !bed.takes_off);
    let cold = wet.night(
        garden,
        evening.ensemble,
        &until_dark,
        cover.as_ref().or(left),
        cover.is_some(),
        steps,
    )?;
    let gains: Vec<f64> = cold.tissue.iter().zip(&as_planned.tissue).map(|(w, d)| w - d).collect();
    let gain_k = Spread::from_sample(&gains);
    let saves = loss_by_plan(bed) - wet.outcome(&cold, steps).expected_loss;
    Ok(Some((Measure::Water { gain_k }, minutes, by, saves)))
}
