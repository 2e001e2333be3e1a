//! Nights of a tower over plants: half-hours of weather and of the surface by its long-wave.

use microclimate::lanes::Lanes;
use microclimate::{Bed, Draws, column};

use crate::record::{Said, Slot, follow, profile};
use crate::rivals::Night;
use crate::spread::{Nights, spread};
use crate::table::Pairs;

/// A night is clear below this mean cloud, and calm below this mean wind, m/s.
const CLEAR: f64 = 0.3;
const CALM_M_S: f64 = 2.5;
/// Half-hours of a day.
pub const DAY: usize = 48;

/// A run of half-hours from midnight to midnight, local.
pub struct Tower {
    /// Weather, gaps bridged.
    pub slots: Vec<Slot>,
    /// Surface as measured, °C; `None` where anything of the half-hour is missing.
    pub surface_c: Vec<Option<f64>>,
    /// Soil at the start: depth m, °C.
    pub soil_c: Vec<(f64, f64)>,
    /// The bed.
    pub bed: Bed,
    /// Share of the pores that hold water.
    pub saturation: f64,
}

impl Tower {
    /// What the model says of every half-hour.
    pub fn run(&self) -> Result<Vec<Said<f64>>, microclimate::Error> {
        let soil = profile(&column::depths_m(&self.bed), &self.soil_c);
        follow(&self.bed, &Draws::central(self.saturation), &self.slots, 1800.0, soil)
    }

    /// Those nights with members drawn from the priors, the soil as wet as `saturation`.
    pub fn spread(&self, saturation: Lanes, spin_up: usize) -> Result<Nights, microclimate::Error> {
        let soil = profile(&column::depths_m(&self.bed), &self.soil_c);
        spread(
            |draws| follow(&self.bed, draws, &self.slots, 1800.0, soil),
            saturation,
            |said| said.skin_c,
            &|skin_c| self.nights(skin_c, spin_up, |_| 0),
        )
    }

    fn dark(&self, i: usize) -> bool {
        self.slots[i].sun_w_m2 < 5.0
    }

    /// Coldest half-hour of every night from noon to noon with no gap, after `spin_up` days; `skin_c` says a half-hour.
    pub fn nights(
        &self,
        skin_c: &dyn Fn(usize) -> f64,
        spin_up: usize,
        group: impl Fn(usize) -> usize,
    ) -> Vec<Night> {
        let mut out = Vec::new();
        for noon in (spin_up * DAY + DAY / 2..self.slots.len().saturating_sub(DAY)).step_by(DAY) {
            let dark: Vec<usize> = (noon..noon + DAY).filter(|i| self.dark(*i)).collect();
            let measured: Option<Vec<f64>> = dark.iter().map(|i| self.surface_c[*i]).collect();
            let Some(measured) = measured.filter(|m| m.len() > DAY / 6) else { continue };
            let low =
                |get: &dyn Fn(usize) -> f64| dark.iter().map(|i| get(*i)).fold(f64::MAX, f64::min);
            let mean = |get: &dyn Fn(&Slot) -> f64| {
                dark.iter().map(|i| get(&self.slots[*i])).sum::<f64>() / dark.len() as f64
            };
            let air = low(&|i| self.slots[i].air_c);
            let high = self.slots[noon..dark[0]].iter().map(|s| s.air_c).fold(air, f64::max);
            let vapour = mean(&|s| s.vapour_kpa);
            let dew = quantities::moist_air::dew_point_c(vapour);
            let cloud = mean(&|s| s.cloud().clamp(0.0, 1.0));
            let wind = mean(&|s| s.wind_m_s);
            out.push(Night {
                group: group(noon / DAY),
                measured: measured.into_iter().fold(f64::MAX, f64::min),
                said: low(skin_c),
                terms: [air, high - air, air - dew, wind, cloud],
                clear_calm: cloud < CLEAR && wind < CALM_M_S,
            });
        }
        out
    }

    /// Half-hours of clear calm nights: surface, and ground heat beside `measured`.
    pub fn clear_calm(&self, said: &[Said<f64>], ground_w_m2: &[Option<f64>]) -> (Pairs, Pairs) {
        let (mut surface, mut ground) = (Pairs::default(), Pairs::default());
        for (i, said) in said.iter().enumerate().skip(2 * DAY) {
            let slot = &self.slots[i];
            let counts = self.dark(i) && slot.cloud() < 0.2 && slot.wind_m_s < 2.0;
            if let Some(measured) = self.surface_c[i].filter(|_| counts) {
                surface.add(said.skin_c, measured);
                if let Some(g) = ground_w_m2[i] {
                    ground.add(said.ground_w_m2, g);
                }
            }
        }
        (surface, ground)
    }
}
