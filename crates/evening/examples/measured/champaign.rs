//! Champaign, Illinois, 1998: half-hours over no-till ground under corn residue, with an infrared thermometer.

use std::error::Error;
use std::io::Read;
use std::ops::Range;
use std::path::Path;

use evening::priors;
use garden::bed::Wetness;
use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::{Draws, column, sky};
use quantities::{Moment, Place};

use crate::daylight::{Cloud, Span, clouds};
use crate::longwave;
use crate::record::{Said, Slot, at_depth, follow, profile, vapour_kpa};
use crate::rivals;
use crate::spread::Nights;
use crate::table::{Pairs, Row};
use crate::tower::Tower;

const FILE: &str = "hourly/champaign1998_forcing98_with_validation.dat.gz";
/// Depths of the soil thermometers, m, and their columns.
const SOIL: [(f64, usize); 6] =
    [(0.02, 15), (0.04, 16), (0.08, 17), (0.16, 18), (0.32, 19), (0.64, 20)];
/// Days run before the first that is counted, so that the start is forgotten.
const SPIN_UP_DAYS: usize = 15;
/// Readings below this are gaps (−999, −6999), °C.
const GAP_C: f64 = -60.0;

/// Everything of one half-hour.
struct Half {
    slot: Slot,
    skin_c: f64,
    soil_c: Vec<(f64, f64)>,
}

/// A half-hour and what the model says of it.
type Told<'a> = (&'a Half, Said<f64>);

impl Half {
    fn night(&self) -> bool {
        self.slot.sun_w_m2 < 5.0
    }

    fn clear_and_calm(&self) -> bool {
        self.night() && self.slot.cloud() < 0.2 && self.slot.wind_m_s < 3.0
    }
}

/// The rows of this site.
pub fn rows(data: &Path) -> Result<Vec<Row>, Box<dyn Error>> {
    let halves = read(data)?;
    // 1998-01-01 00:00 at UTC − 6.
    let span = Span {
        place: Place { latitude_deg: 40.01, longitude_deg: -88.37, elevation_m: 219.0 },
        start: Moment(883_612_800 + 6 * 3600),
        slot_s: 1800,
    };
    let sunlight: Vec<Option<f64>> = halves.iter().map(|h| Some(h.slot.sun_w_m2)).collect();
    let clouds = clouds(&span, &sunlight);
    let mut rows = spring(&halves, &clouds)?;
    rows.extend(autumn(&halves)?);
    let readings: Vec<Option<longwave::Reading>> =
        halves.iter().map(|h| Some((h.slot.air_c, h.slot.vapour_kpa, h.slot.sky_w_m2))).collect();
    rows.extend(longwave::rows("Champaign 1998", &longwave::clear_nights(&readings, &clouds)));
    Ok(rows)
}

fn read(data: &Path) -> Result<Vec<Half>, Box<dyn Error>> {
    let mut text = String::new();
    flate2::read::GzDecoder::new(std::fs::File::open(data.join(FILE))?)
        .read_to_string(&mut text)?;
    text.lines()
        .map(|line| {
            let x: Vec<f64> = line.split_whitespace().map(str::parse).collect::<Result<_, _>>()?;
            // Where the anemometer at 6 m is silent, the one at 10 m by the log law over stubble (z₀ 2 cm).
            let wind = if x[21] >= 0.0 { x[21] } else { x[2] * 0.918 };
            let slot = Slot {
                air_c: x[4],
                vapour_kpa: vapour_kpa(x[4], x[5]),
                wind_m_s: wind,
                sun_w_m2: x[7].max(0.0),
                sky_w_m2: x[29],
            };
            let soil_c = SOIL.iter().map(|(d, i)| (*d, x[*i])).collect();
            Ok(Half { slot, skin_c: x[14], soil_c })
        })
        .collect()
}

/// The site: silt loam at its measured wetness (0.38 of 0.48). Loose stalks and leaves stand and lie in the air as
/// a dead canopy over 60 % of the ground (no-till corn in spring 50–70 %, from memory).
fn bed() -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.48,
            quartz: 0.25,
            bulk_density_kg_m3: 1350.0,
            organic: 0.03,
            coarse: false,
            litter: None,
            emissivity: 0.96,
            albedo: 0.17,
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.05, ground_cover: 0.6, leaf_m: 0.05, alive: false },
        wind_height_m: 6.0,
        pressure_kpa: 99.3,
    }
}

/// The halves of some days with what the model says of each, driven by `slot`; the spin-up is left out.
fn season(
    halves: &[Half],
    days: Range<usize>,
    slot: impl Fn(usize, &Slot) -> Slot,
) -> Result<Vec<Told<'_>>, Box<dyn Error>> {
    let first = 48 * (days.start - 1 - SPIN_UP_DAYS);
    let part = &halves[first..48 * (days.end - 1)];
    let bed = bed();
    let slots: Vec<Slot> = part.iter().enumerate().map(|(i, h)| slot(first + i, &h.slot)).collect();
    let soil = profile(&column::depths_m(&bed), &part[0].soil_c);
    let said = follow(&bed, &Draws::central(0.38 / 0.48), &slots, 1800.0, soil)?;
    Ok(part.iter().zip(said).skip(48 * SPIN_UP_DAYS).collect())
}

/// Skin of the halves that `counts` picks, and the rival that takes the air for the skin.
fn skin(pairs: &[Told<'_>], counts: impl Fn(&Half) -> bool) -> (Pairs, Pairs) {
    let (mut model, mut air) = (Pairs::default(), Pairs::default());
    for (half, said) in pairs.iter().filter(|(h, _)| counts(h) && h.skin_c > GAP_C) {
        model.add(said.skin_c, half.skin_c);
        air.add(half.slot.air_c, half.skin_c);
    }
    (model, air)
}

/// Soil at one of the thermometers.
fn soil(pairs: &[Told<'_>], thermometer: usize) -> Pairs {
    let depths = column::depths_m(&bed());
    let mut out = Pairs::default();
    for (half, said) in pairs {
        let (depth, measured) = half.soil_c[thermometer];
        if measured > GAP_C {
            let profile: Vec<(f64, f64)> = depths.iter().copied().zip(said.soil_c).collect();
            out.add(at_depth(&profile, depth), measured);
        }
    }
    out
}

fn spring(halves: &[Half], clouds: &[Option<Cloud>]) -> Result<Vec<Row>, Box<dyn Error>> {
    const SITE: &str = "Champaign 1998, days 60–125";
    let pairs = season(halves, 60..126, |_, s| *s)?;
    let (all, air) = skin(&pairs, Half::night);
    let (calm, calm_air) = skin(&pairs, Half::clear_and_calm);
    let met = all.bias().abs() <= 0.5 && all.rmse() <= 1.3;
    let mut rows = vec![
        all.row(SITE, "night skin").against(&air).aim("bias ±0.5, RMSE 1.3", met),
        calm.row(SITE, "clear calm night skin")
            .against(&calm_air)
            .aim("RMSE 1.6", calm.rmse() <= 1.6),
    ];
    let own_sky = season(halves, 60..126, |i, s| {
        let cloud = clouds[i].map_or(0.5, |c| c.cover);
        Slot { sky_w_m2: sky::longwave_w_m2(s.air_c, s.vapour_kpa, cloud, 0.0), ..*s }
    })?;
    let (all, air) = skin(&own_sky, Half::night);
    let (calm, calm_air) = skin(&own_sky, Half::clear_and_calm);
    rows.push(all.row(SITE, "night skin, own sky").against(&air));
    rows.push(
        calm.row(SITE, "clear calm night skin, own sky")
            .against(&calm_air)
            .aim("RMSE 2.0", calm.rmse() <= 2.0),
    );
    for (k, (depth, _)) in SOIL.iter().enumerate().take(5) {
        let pairs = soil(&pairs, k);
        let row = pairs.row(SITE, format!("soil {:.0} cm", 100.0 * depth));
        rows.push(if k == 0 { row } else { row.aim("RMSE 1.5", pairs.rmse() <= 1.5) });
    }
    let before = season(halves, 60..78, |_, s| *s)?;
    for (k, (depth, _)) in SOIL.iter().enumerate().take(5) {
        let quantity = format!("soil {:.0} cm", 100.0 * depth);
        rows.push(soil(&before, k).row("Champaign 1998, days 60–77", quantity));
    }
    Ok(rows)
}

/// Autumn: corn was grown and cut; what stood over the ground is not known.
fn autumn(halves: &[Half]) -> Result<Vec<Row>, Box<dyn Error>> {
    const SITE: &str = "Champaign 1998, days 280–330";
    let pairs = season(halves, 280..331, |_, s| *s)?;
    let (all, air) = skin(&pairs, Half::night);
    let (calm, calm_air) = skin(&pairs, Half::clear_and_calm);
    let mut rows = vec![
        all.row(SITE, "night skin").against(&air),
        calm.row(SITE, "clear calm night skin").against(&calm_air),
    ];
    for (k, (depth, _)) in SOIL.iter().enumerate().take(5) {
        rows.push(soil(&pairs, k).row(SITE, format!("soil {:.0} cm", 100.0 * depth)));
    }
    Ok(rows)
}

/// The nights of spring and autumn beside their rivals, and those of spring with members.
pub fn nights(data: &Path) -> Result<(String, Nights), Box<dyn Error>> {
    let halves = read(data)?;
    let (mut all, mut spring) = (Vec::new(), None);
    for (group, days) in [60..126, 280..331].into_iter().enumerate() {
        let part = &halves[48 * (days.start - 1 - SPIN_UP_DAYS)..48 * (days.end - 1)];
        let tower = Tower {
            slots: part.iter().map(|h| h.slot).collect(),
            surface_c: part.iter().map(|h| Some(h.skin_c).filter(|t| *t > GAP_C)).collect(),
            soil_c: part[0].soil_c.clone(),
            bed: bed(),
            saturation: 0.38 / 0.48,
        };
        let said = tower.run()?;
        all.extend(tower.nights(&|i| said[i].skin_c, SPIN_UP_DAYS, |_| group));
        if group == 0 {
            spring = Some(tower.spread(priors::saturations(Wetness::Wet), SPIN_UP_DAYS)?);
        }
    }
    let rows = rivals::rows("Champaign, residue", &["days 60–125", "days 280–330"], &all);
    Ok((rows, spring.unwrap_or_default()))
}
