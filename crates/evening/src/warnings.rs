//! Wind and snow against the covers that the plan lays.

use std::ops::Range;

use garden::bed::Bed;
use garden::fit::{Cover, Item};
use garden::garden::Garden;
use quantities::{Moment, WeatherHour};
use structure::snow::Snow;

use crate::error::Error;
use crate::report::{Warning, WarningKind};
use garden::stands::{Stands, Threatened, covered, depths_m};

/// What the night brings against covers.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Threat {
    /// Strongest gust, m/s; `None` where the forecast gives none.
    pub gust_m_s: Option<f64>,
    /// Snow fallen by the end of each hour, m, as deep as it falls; empty where the forecast gives none.
    pub snow_by: Vec<(Moment, f64)>,
}

impl Threat {
    /// The snow of the hours of a night, summed up hour by hour, and its strongest gust.
    #[must_use]
    pub fn from_hours(gust_m_s: Option<f64>, hours: &[WeatherHour], night: &Range<Moment>) -> Self {
        let tonight =
            hours.iter().filter(|h| h.interval.end > night.start && h.interval.start < night.end);
        let mut fallen = 0.0;
        let snow_by = tonight
            .filter_map(|h| h.snowfall_m.map(|s| (h.interval.end, s.value)))
            .map(|(end, snow_m)| {
                fallen += snow_m;
                (end, fallen)
            })
            .collect();
        Self { gust_m_s, snow_by }
    }
}

/// Warnings for the beds that are covered tonight.
///
/// # Errors
/// [`Error::Structure`].
pub fn for_covered_beds(
    garden: &Garden,
    covered_beds: &[(&Bed, &Cover)],
    threat: &Threat,
) -> Result<Vec<Warning>, Error> {
    let snow_m = threat.snow_by.last().map_or(0.0, |s| s.1);
    let gust_m_s = threat.gust_m_s.unwrap_or(0.0);
    let threatened = Threatened { wind: gust_m_s > 0.0, snow: snow_m > 0.0 };
    if !threatened.wind && !threatened.snow {
        return Ok(Vec::new());
    }
    let mut known: Vec<(&Bed, &Cover, Stands)> = Vec::new();
    let mut out = Vec::new();
    for (bed, cover) in covered_beds {
        let like = known.iter().find(|(b, c, _)| {
            let same_bed = b.hoops == bed.hoops && b.wetness == bed.wetness;
            same_bed && b.length_m == bed.length_m && c.cloth == cover.cloth && c.uses == cover.uses
        });
        let stands = match like {
            Some((_, _, stands)) => *stands,
            None => covered(garden, bed, cover, threatened)?,
        };
        known.push((bed, cover, stands));
        wind(&mut out, bed, cover, &stands, gust_m_s);
        snow(&mut out, bed, &stands, threat);
    }
    Ok(out)
}

fn wind(out: &mut Vec<Warning>, bed: &Bed, cover: &Cover, stands: &Stands, gust_m_s: f64) {
    let pins: u32 = cover.uses.iter().filter(|u| u.0 == Item::Pins).map(|u| u.1).sum();
    if let Some(holds) = stands.pins_m_s.filter(|holds| gust_m_s > holds.low) {
        let pins_needed = (f64::from(pins) * (gust_m_s / holds.low).powi(2)).ceil() as u32;
        let (from_m_s, likely_m_s) = (holds.low, holds.central);
        let kind = WarningKind::WindLiftsCloth { gust_m_s, from_m_s, likely_m_s, pins_needed };
        push(out, bed, kind, None);
    }
    if let Some(holds) = stands.gust_m_s.map(|g| g.collapses).filter(|g| gust_m_s > g.low) {
        let (from_m_s, likely_m_s) = (holds.low, holds.central);
        push(out, bed, WarningKind::WindFlattensHoops { gust_m_s, from_m_s, likely_m_s }, None);
    }
}

fn snow(out: &mut Vec<Warning>, bed: &Bed, stands: &Stands, threat: &Threat) {
    let (Some(weight), Some((_, snow_m))) = (stands.snow_pa, threat.snow_by.last()) else { return };
    let from_m = depths_m(weight, Snow::Fresh).low;
    // The last hour by whose end the hoops still stand for certain.
    let Some(first) = threat.snow_by.iter().position(|(_, fallen)| *fallen > from_m) else {
        return;
    };
    let by = threat.snow_by.get(first.saturating_sub(1)).map(|s| s.0);
    let wet_m = depths_m(weight, Snow::Wet).central;
    push(out, bed, WarningKind::SnowLoad { snow_m: *snow_m, from_m, wet_m }, by);
}

fn push(out: &mut Vec<Warning>, bed: &Bed, kind: WarningKind, at: Option<Moment>) {
    out.push(Warning { kind, beds: vec![bed.name.clone()], at });
}
