//! Which unknown moves the coldest leaf most: each moved by one sigma of its prior, one at a time.

use microclimate::cover::{Fabric, Shape};
use microclimate::draws::soil_resistance_s_m;
use microclimate::{Bed, Cover, Draws, Error};

use crate::scene::{CLEAR_CALM, Laid, Scene, TUNNEL, bed, run};

/// A calm clear April night, everything that can be moved.
#[derive(Clone)]
struct Case {
    bed: Bed,
    scene: Scene,
    draws: Draws<f64>,
    weight_g_m2: f64,
    shape: Shape,
}

/// What is moved, and how: `z` is +1 or −1 sigma.
type Move = (&'static str, fn(&mut Case, f64));

const MOVES: [Move; 16] = [
    ("air temperature ±1.5 K (forecast)", |c, z| c.scene.mean_c += 1.5 * z),
    ("dew point ±1.5 K (forecast)", |c, z| c.scene.dry_k = (c.scene.dry_k - 1.5 * z).max(0.0)),
    ("night cloud +0.25 (forecast)", |c, z| c.scene.cloud = (c.scene.cloud + 0.25 * z).max(0.0)),
    ("wind ×1.4 or ÷1.4 (forecast)", |c, z| c.scene.wind_m_s *= (0.35 * z).exp()),
    ("clear-sky emissivity ±0.02", |c, z| c.scene.emissivity_shift = 0.02 * z),
    ("share of the wind that arrives ×1.3 or ÷1.3", |c, z| c.draws.shelter *= (0.25 * z).exp()),
    ("still-air exchange ×1.5 or ÷1.5", |c, z| c.draws.still_air *= (0.4 * z).exp()),
    ("convection inside ×1.4 or ÷1.4", |c, z| c.draws.convection *= (0.35 * z).exp()),
    ("air change ×1.5 or ÷1.5", |c, z| c.draws.leak *= (0.4 * z).exp()),
    ("cloth transmissivity ±0.07", |c, z| c.draws.transmissivity += 0.07 * z),
    ("cloth weight ±10 %", |c, z| c.weight_g_m2 *= 1.0 + 0.1 * z),
    ("soil wetness ±0.1 of the pores", |c, z| {
        c.draws.saturation += 0.1 * z;
        c.draws.soil_resistance_s_m = soil_resistance_s_m(c.draws.saturation);
    }),
    ("ground covered by leaves ±0.15", |c, z| c.bed.canopy.ground_cover += 0.15 * z),
    ("leaf size ×1.5 or ÷1.5", |c, z| c.bed.canopy.leaf_m *= (0.4 * z).exp()),
    ("gap under the skirts ×2 or ÷2", |c, z| c.shape.gap_ratio *= 2.0_f64.powf(z)),
    ("touch of 0.2 by the cloth", |c, z| c.shape.contact = (0.2 * z).max(0.0)),
];

impl Case {
    fn coldest(&self) -> Result<(f64, f64), Error> {
        let fabric = Fabric::row_cover(self.weight_g_m2);
        let cover = Cover::Cloth { fabric, layers: 1, shape: self.shape };
        let open = run(&self.bed, None, &self.scene, &self.draws)?.leaf_c;
        let covered = run(&self.bed, Some((&cover, Laid::Dusk)), &self.scene, &self.draws)?.leaf_c;
        Ok((open, covered))
    }
}

/// The ten greatest, in Markdown.
pub fn markdown() -> Result<String, Error> {
    let middle = Case {
        bed: bed(),
        scene: CLEAR_CALM,
        draws: Draws::central(0.6),
        weight_g_m2: 50.0,
        shape: TUNNEL,
    };
    let (open, covered) = middle.coldest()?;
    let mut rows = Vec::new();
    for (name, change) in MOVES {
        let mut sides = [(0.0, 0.0); 2];
        for (side, z) in sides.iter_mut().zip([-1.0, 1.0]) {
            let mut case = middle.clone();
            change(&mut case, z);
            let (o, c) = case.coldest()?;
            *side = (o - open, c - covered);
        }
        let greatest = sides.iter().map(|s| s.0.abs().max(s.1.abs())).fold(0.0, f64::max);
        rows.push((greatest, name, sides));
    }
    rows.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut out = format!(
        "Coldest leaf {open:.1} °C open, {covered:.1} °C under 50 g/m² on hoops; lowest air at 2 m {:.1} °C.\n\n\
         | moved by one sigma | open, K | covered, K |\n|---|--:|--:|\n",
        CLEAR_CALM.mean_c - CLEAR_CALM.swing_k
    );
    for (_, name, [low, high]) in rows.iter().take(10) {
        out.push_str(&format!(
            "| {name} | {:+.2} / {:+.2} | {:+.2} / {:+.2} |\n",
            low.0, high.0, low.1, high.1
        ));
    }
    Ok(out)
}
