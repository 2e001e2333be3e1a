//! What the hoops carry through the year: cloth, net, shade, cloth again, by half-months.

use garden::crops::{self, CropId, Stage, cold_limits};
use garden::fit::covers;
use garden::growth::light::TEN_HOURS_H;
use garden::growth::pests as insects;
use garden::planting::Planting;
use garden::stock::SheetKind;

use crate::constants::{BLOOM_SHARE, SPRING_ENDS, WINTER_TO};
use crate::year::bed_year::PlantingYear;
use crate::year::cover_period::{COVER_KINDS, CoverKind, CoverPeriod};
use crate::year::dates::{DAYS, Dates, half_months, spans};
use crate::year::development::Development;
use crate::year::past::{Past, sums};
use crate::year::winter::Verdict;
use crate::years::growing_season::by_hardiness;

/// Insects of a crop with the median day of their first flight; `None` where no published sum is known, or not reached.
#[must_use]
pub fn pests(past: &Past, crop: CropId) -> Vec<(&'static str, Option<usize>)> {
    let first = |flights: &insects::Flights| {
        let year = |days: &Vec<garden::growth::Day>| {
            let extremes: Vec<_> = days.iter().map(|d| (d.tmin_c, d.tmax_c)).collect();
            flights.days(&extremes).first().copied().flatten()
        };
        Dates(past.days().iter().map(year).collect()).by(0.5)
    };
    insects::pests_of_crop(crop)
        .into_iter()
        .map(|p| (p.name, p.flights.as_ref().and_then(first)))
        .collect()
}

/// What one bed carries, its plantings together.
///
/// Cloth: half-months in which some open night takes more than a tenth of what stands in more than a share `risk` of the
/// years, from setting out to the median last picking under cover; winter cloth the same where a crop is carried over
/// under it and days are under ten hours. Net: from the median first flight of any insect of the crop to its last picking,
/// where flowers need insects to their opening. Shade: half-months whose usual maximum is above the heat limit.
/// Checked by `year::the_hoops_carry_cloth_then_net_then_cloth_again`.
#[must_use]
pub fn cover_periods(
    past: &Past,
    bed: usize,
    plantings: &[PlantingYear],
    risk: f64,
) -> Vec<CoverPeriod> {
    let mut on = [[false; DAYS]; COVER_KINDS.len()];
    for year in plantings {
        let Some(p) = past.garden().beds[bed].plantings.get(year.planting) else { continue };
        match Development::for_planting(p) {
            Ok(life) => annual(past, bed, year, &life, (risk, &mut on)),
            Err(_) => bloom(past, bed, year, p, (risk, &mut on)),
        }
    }
    let fits = covers(past.garden(), &past.garden().beds[bed]);
    let has =
        |kind: fn(SheetKind) -> bool| fits.iter().any(|f| f.cloth.is_some_and(|c| kind(c.kind)));
    let cloth = past.covers(bed).is_some_and(|c| !c.is_empty());
    let mut out = Vec::new();
    for (what, days) in COVER_KINDS.iter().zip(&on) {
        let have = match what {
            CoverKind::Cloth | CoverKind::WinterCloth => cloth,
            CoverKind::Net => has(|k| k == SheetKind::InsectNet),
            CoverKind::Shade => has(|k| matches!(k, SheetKind::ShadeCloth { .. })),
        };
        out.extend(spans(days).into_iter().map(|days| CoverPeriod { what: *what, days, have }));
    }
    out
}

type On<'a> = (f64, &'a mut [[bool; DAYS]; COVER_KINDS.len()]);

fn annual(past: &Past, bed: usize, year: &PlantingYear, life: &Development, (risk, on): On) {
    let spring = year.spring.as_ref().ok().and_then(|s| s.first());
    let (best, autumn) = (year.best_spring(), year.best_autumn().map(|b| b.1));
    let (choice, covered) = (best.map_or(0, |b| b.0 + 1), best.map(|b| b.1));
    let Some(set_out) = covered.or(spring) else { return };
    let Some(from) = set_out.day else { return };
    let open_end = year.autumn.as_ref().ok().and_then(|a| a.first());
    let end = autumn.or(open_end).and_then(|e| e.day).unwrap_or(DAYS - 1);
    let wintered = year.winter.as_ref().is_ok_and(|w| matches!(w.verdict, Verdict::Under(_)));
    let sums = sums(&past.under(bed, choice), &life.growth);
    let Some(open) = past.laid(bed, 0) else { return };
    let late: Vec<_> = past.days().iter().map(|days| life.late_limits(days)).collect();
    let winter_t10_c = life.winter_limits().t10_c;
    let harmed = |y: usize, i: usize| {
        let (tissue, soil) = (open.tissue_c[y][i], open.soil_c[y][i]);
        if i >= SPRING_ENDS {
            f64::from(tissue) < late[y][i].t10_c
        } else if i < from {
            f64::from(tissue) < winter_t10_c
        } else {
            life.harmed(sums[y][i] - sums[y][from], tissue, soil)
        }
    };
    let heat_c = crops::heat_limit_c(life.growth.crop);
    for half in half_months(past.new_year()) {
        let stands =
            |i: &usize| (from..=end).contains(i) || (wintered && (*i < WINTER_TO || *i > end));
        let days: Vec<usize> = half.clone().filter(stands).collect();
        let years = (0..past.years().len()).filter(|y| days.iter().any(|i| harmed(*y, *i))).count();
        let often = years as f64 > risk * past.years().len() as f64;
        let short = past.day_length_h((half.start + half.end) / 2) < TEN_HOURS_H;
        let hot = past.usual_max_c(half).is_some_and(|t| t > heat_c);
        for i in days {
            on[usize::from(wintered && short)][i] |= often;
            on[3][i] |= hot;
        }
    }
    if let Some(flight) = year.pests.iter().filter_map(|p| p.1).min() {
        let last = set_out.last_picking.unwrap_or(end).min(end);
        let until =
            if life.growth.needs_insects() { blooms(&sums, life, from) } else { Some(last) };
        let until = until.unwrap_or(last).min(last);
        (flight.max(from)..=until).for_each(|i| on[2][i] = true);
    }
}

/// Median day on which flowers open.
fn blooms(sums: &[Vec<f64>], life: &Development, from: usize) -> Option<usize> {
    let at =
        |s: &Vec<f64>| (from..DAYS).find(|i| s[i + 1] - s[from] >= BLOOM_SHARE * life.to_picking);
    Dates(sums.iter().map(at).collect()).by(0.5)
}

/// What stands for years is covered while it is at the stage of the garden file, in the weeks that the replay gives it,
/// and in winter where it needs it.
fn bloom(past: &Past, bed: usize, year: &PlantingYear, p: &Planting, (risk, on): On) {
    let garden = past.garden();
    let seasons = by_hardiness(garden, past.record());
    let stands = seasons.iter().find(|s| s.bed == bed && s.planting == year.planting);
    let Some(open) = past.laid(bed, 0) else { return };
    let limit = cold_limits(p.crop, p.stage, p.hardened).map(|l| l.t10_c);
    let hardens = crops::hardening_speed(p.crop, Stage::Established).is_some();
    let rest = if hardens { 1.0 } else { crops::hardness(true) };
    let rest = crops::limits_at(p.crop, Stage::Established, rest).map(|l| l.t10_c);
    let wintered = year.winter.as_ref().is_ok_and(|w| matches!(w.verdict, Verdict::Under(_)));
    for half in half_months(past.new_year()) {
        let short = past.day_length_h((half.start + half.end) / 2) < TEN_HOURS_H;
        let limit_on = |i: usize| {
            if stands.is_some_and(|s| s.includes(i, past.new_year())) {
                limit
            } else {
                rest.filter(|_| wintered && short)
            }
        };
        let harmed =
            |y: usize, i: usize| limit_on(i).is_some_and(|l| f64::from(open.tissue_c[y][i]) < l);
        let years = (0..past.years().len()).filter(|y| half.clone().any(|i| harmed(*y, i))).count();
        if years as f64 > risk * past.years().len() as f64 {
            for i in half.filter(|i| limit_on(*i).is_some()) {
                on[usize::from(wintered && short)][i] = true;
            }
        }
    }
}
