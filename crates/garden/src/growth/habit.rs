//! One crop's way of growing: what it takes to first picking, what makes it bolt, when fruit sets, what stands winter.

use super::degree_days::{Method, degree_days};
use super::light;
pub use super::table::{Carry, Start};
use super::table::{Row, row};
use crate::crops::{self, CropId, Stage};

/// Half the day's swing of temperature at which usual days are taken to hold, K (from memory, rough).
const HALF_SWING_K: f64 = 6.0;
/// Mean temperature at which transplants are raised, °C (common practice, no source).
const RAISED_AT_C: f64 = 20.0;
/// Exponent of growth on light where nothing measured was read (rough; between those of kale and lettuce).
const EXPONENT: f64 = 0.25;
/// Ratio of light in which the table's gains of dry weight were measured: 14 against 8 mol m⁻² d⁻¹ (`table.toml`).
const MEASURED_RATIO: f64 = 14.0 / 8.0;
/// Depth at which a root is judged where the table is silent, cm (from memory).
const USUAL_ROOT_CM: f64 = 2.0;
/// Days above the heat limit that make a crop bolt (from memory, rough).
const HOT_DAYS: u32 = 5;

/// So many days past a temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spell {
    /// Temperature of the day, °C.
    pub limit_c: f64,
    /// Days, in all and not in a row.
    pub days: u32,
}

/// What makes a crop bolt; from memory and rough.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bolting {
    /// Days with a maximum above the limit.
    pub heat: Option<Spell>,
    /// Days with a mean below the limit, once past youth.
    pub cold: Option<Spell>,
}

/// How a crop grows. Degree-days are K·d above the base, by the sine, held at the upper.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Growth {
    /// Which crop.
    pub crop: CropId,
    /// Temperature below which nothing grows, °C.
    pub base_c: f64,
    /// Temperature above which growth is no faster, °C.
    pub upper_c: f64,
    /// The usual way to begin; `None` where no days are counted (asparagus, rhubarb).
    pub start: Option<Start>,
    /// Usual days from that start to first picking, least and most.
    pub days: Option<[u32; 2]>,
    /// Mean temperature at which the days hold, °C.
    pub at_c: Option<f64>,
    /// Degree-days from sowing to a plant fit to set out; `None` where it is not usually transplanted.
    pub to_transplant: Option<f64>,
    /// Degree-days of a day of `at_c`.
    pub(super) usual_day: f64,
    pub(super) set_out_days: Option<[u32; 2]>,
    /// Days of picking at `at_c`, or for which a crop taken at once stands well.
    pub picking_days: f64,
    /// Exponent of the speed of growth on the share of light.
    pub light_exponent: f64,
    /// Daily light wanted, mol m⁻² d⁻¹: 12 for leafy greens (read); else unknown.
    pub light_mol: Option<f64>,
    /// What makes it bolt.
    pub bolting: Bolting,
    /// Maximum of the day above which fruit does not set, °C.
    pub set_max_c: Option<f64>,
    /// Minimum of the night, least and most, between which fruit sets, °C.
    pub set_night_c: Option<[f64; 2]>,
    /// Whether it is planted in autumn and picked the next summer.
    pub in_autumn: bool,
    /// What is carried over winter.
    pub carry: Option<Carry>,
    /// Soil temperature at which root, bulb or crown is harmed, °C.
    pub winter_root_c: Option<f64>,
    /// Depth at which that temperature is judged, m.
    pub winter_root_m: f64,
    /// Base or days are rougher than the published kind of table.
    pub rough: bool,
}

/// How a crop grows; `None` for a crop that is not in the growth table (there is none).
///
/// Checked by `growth::every_crop_has_its_row`.
#[must_use]
pub fn crop_growth(crop: CropId) -> Option<Growth> {
    let r = row(crops::table_name(crop))?;
    let base_c = crops::gdd_base_c(crop).or_else(|| Some((r.base_f? - 32.0) / 1.8))?;
    let a_day = |mean: f64| {
        degree_days(mean - HALF_SWING_K, mean + HALF_SWING_K, base_c, r.upper, Method::Sine)
    };
    let heat = crops::heat_limit_c(crop);
    Some(Growth {
        crop,
        base_c,
        upper_c: r.upper,
        start: r.start,
        days: r.start.and(r.days.or_else(|| crops::days_to_maturity(crop))),
        at_c: r.at,
        to_transplant: r.raise.map(|days| days * (RAISED_AT_C - base_c).max(0.0)),
        usual_day: r.at.map_or(0.0, a_day),
        set_out_days: r.set_out,
        picking_days: r.pick,
        light_exponent: r.light.map_or(EXPONENT, |gain| light::exponent(gain, MEASURED_RATIO)),
        light_mol: r.mol,
        bolting: bolting(r, heat),
        set_max_c: r.sets.then_some(heat),
        set_night_c: r.night,
        in_autumn: r.autumn,
        carry: r.carry,
        winter_root_c: r.root,
        winter_root_m: r.lies.unwrap_or(USUAL_ROOT_CM) / 100.0,
        rough: r.base_f.is_some() || r.days.is_some(),
    })
}

fn bolting(r: &Row, heat: f64) -> Bolting {
    Bolting {
        heat: r.hot.then_some(Spell { limit_c: heat, days: HOT_DAYS }),
        cold: r.cold.map(|[limit_c, days]| Spell { limit_c, days: days as u32 }),
    }
}

impl Growth {
    /// Degree-days from a start to first picking: middle of the usual days times the degree-days of a usual day.
    ///
    /// `None` where the crop is not begun that way. Units: K·d. Checked by `growth::usual_days_come_back_at_usual_warmth`.
    /// Equation 58 of docs/science.md.
    #[must_use]
    pub fn to_picking(&self, start: Start) -> Option<f64> {
        let [least, most] = match (self.start?, start) {
            (own, asked) if own == asked => self.days?,
            (Start::Sown, Start::SetOut) => self.set_out_days?,
            (Start::SetOut, Start::Sown) => {
                return Some(self.to_transplant? + self.to_picking(Start::SetOut)?);
            }
            _ => return None,
        };
        Some(0.5 * f64::from(least + most) * self.usual_day)
    }

    /// Degree-days from first to last picking, K·d; `None` where no days are counted.
    #[must_use]
    pub fn of_picking(&self) -> Option<f64> {
        self.start.map(|_| self.picking_days * self.usual_day)
    }

    /// Tissue temperature at which a tenth of the hardened tops is lost, °C, where they are carried over winter.
    #[must_use]
    pub fn winter_top_c(&self) -> Option<f64> {
        self.carry.filter(|c| *c != Carry::Roots)?;
        crops::cold_limits(self.crop, Stage::Established, true).map(|l| l.t10_c)
    }

    /// Whether fruit sets on a day, °C; `None` where no limit is known.
    ///
    /// Checked by `growth::fruit_sets_between_its_limits`.
    #[must_use]
    pub fn sets_fruit(&self, tmin_c: f64, tmax_c: f64) -> Option<bool> {
        let by_day = tmax_c <= self.set_max_c?;
        Some(
            by_day
                && self.set_night_c.is_none_or(|[least, most]| tmin_c >= least && tmin_c <= most),
        )
    }

    /// Whether its flowers need insects at any stage: then nets and sheets must open in bloom.
    #[must_use]
    pub fn needs_insects(&self) -> bool {
        let stages = crops::stages(self.crop);
        stages.iter().any(|(_, stage)| crops::needs_bees(self.crop, *stage))
    }
}
