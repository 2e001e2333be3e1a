//! Neustift, Austria, July 2010 (FLUXNET AT-Neu): half-hours over an alpine meadow. What comes down in the long-wave is net
//! radiation and what goes up at night; by day the model's sky with the cloud of the nights around.

use std::error::Error;
use std::path::Path;

use microclimate::bed::{Bed, Canopy, Ground};
use microclimate::lanes::Lanes;
use microclimate::real::Real as _;
use microclimate::sky;
use quantities::moist_air::pressure_kpa;

use crate::record::{Slot, bridged, surface_c, vapour_kpa};
use crate::rivals;
use crate::spread::{Nights, SiteTables};
use crate::tower::{DAY, Tower};

/// Of leaves in a dense canopy.
const EMISSIVITY: f64 = 0.98;
/// Watts of sunlight per µmol of light that plants can use (from memory).
const W_PER_UMOL: f64 = 1.0 / 2.04;

/// Rows of clear calm half-hours, the nights' rows, and the nights with members.
pub fn rows(data: &Path) -> Result<SiteTables<Nights>, Box<dyn Error>> {
    let mut table = csv::Reader::from_path(data.join("hourly/AT-Neu_2010_july.csv"))?;
    // air, deficit, wind, light, long-wave up, net radiation, ground heat
    let mut lines: Vec<[Option<f64>; 7]> = Vec::new();
    for line in table.records() {
        let line = line?;
        let get = |i: usize| line.get(i)?.parse().ok().filter(|x: &f64| *x > -9000.0);
        lines.push([1, 2, 3, 4, 5, 6, 8].map(get));
    }
    let column = |i: usize| bridged(&lines.iter().map(|l| l[i]).collect::<Vec<_>>());
    let (Some(air), Some(deficit), Some(wind), Some(light)) =
        (column(0), column(1), column(2), column(3))
    else {
        return Err("a column is empty".into());
    };
    let vapour = |i: usize| (vapour_kpa(air[i], 100.0) - deficit[i]).max(0.05);
    // The sky of a dark half-hour, W/m².
    let sky_at = |i: usize| {
        let [.., up, net, _] = lines[i];
        (light[i] < 5.0).then_some(up? + net?)
    };
    let cloud = |i: usize| {
        let at = |c| sky::longwave_w_m2(air[i], vapour(i), c, 0.0);
        Some(((sky_at(i)? - at(0.0)) / (at(1.0) - at(0.0))).clamp(0.0, 1.0))
    };
    let clouds = bridged(&(0..lines.len()).map(cloud).collect::<Vec<_>>()).ok_or("no night")?;
    let slots: Vec<Slot> = (0..lines.len())
        .map(|i| Slot {
            air_c: air[i],
            vapour_kpa: vapour(i),
            wind_m_s: wind[i],
            sun_w_m2: light[i].max(0.0) * W_PER_UMOL,
            sky_w_m2: sky_at(i)
                .unwrap_or_else(|| sky::longwave_w_m2(air[i], vapour(i), clouds[i], 0.0)),
        })
        .collect();
    let measured = |i: usize| {
        let [air, deficit, wind, _, up, ..] = lines[i];
        [air?, deficit?, wind?].iter().all(|x| x.is_finite()).then_some(())?;
        Some(surface_c(up?, sky_at(i)?, EMISSIVITY))
    };
    let tower = Tower {
        surface_c: (0..lines.len()).map(measured).collect(),
        slots,
        // Of a meadow in July, from memory: no soil thermometer is in the file.
        soil_c: vec![(0.0, 15.0), (1.0, 13.0)],
        bed: bed(),
        saturation: 0.6,
    };
    let said = tower.run()?;
    let half = lines.len() / DAY / 2;
    let nights = tower.nights(&|i| said[i].skin_c, 2, |day| usize::from(day >= half));
    let ground: Vec<Option<f64>> = lines.iter().map(|l| l[6]).collect();
    let (surface, heat) = tower.clear_calm(&said, &ground);
    Ok((
        vec![
            surface.row("Neustift, July 2010", "clear calm surface"),
            heat.row("Neustift, July 2010", "the same, heat into the ground, W/m²"),
        ],
        rivals::rows("Neustift, meadow", &["1–15 July 2010", "16–31 July 2010"], &nights),
        tower.spread(Lanes::splat(tower.saturation), 2)?,
    ))
}

/// A meadow of 30 cm between two cuts, closed (from memory of the site's description).
fn bed() -> Bed {
    Bed {
        ground: Ground {
            porosity: 0.55,
            quartz: 0.25,
            bulk_density_kg_m3: 1150.0,
            organic: 0.05,
            coarse: false,
            litter: None,
            emissivity: 0.97,
            albedo: 0.2,
            evaporates: true,
        },
        canopy: Canopy { height_m: 0.3, ground_cover: 0.95, leaf_m: 0.01, alive: true },
        wind_height_m: 3.0,
        pressure_kpa: pressure_kpa(970.0),
    }
}
