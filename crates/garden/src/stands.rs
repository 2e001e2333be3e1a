//! What a covered bed stands: snow on its hoops, gusts on its hoops, gusts on its pins.

use crate::bed::{Bed, Wetness};
use crate::fit::{Cover, Item, Placement};
use crate::garden::{Garden, Texture};
use crate::hoops::cloth_kg_m2;
use structure::anchors::{Ground, gust_held_m_s, pull_test_n};
use structure::constants::{AIR_KG_M3, CLOTH_WATER_KG_M2};
use structure::hoop::{Capacity, Hoop};
use structure::range::Range;
use structure::wind::{pressure_coefficients, wind_m_s};
use structure::{Arch, Error, Shape};

/// Limits of one covered bed; `None` where there is nothing to give way, or no threat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stands {
    /// Weight of snow on the hoops, Pa.
    pub snow_pa: Option<Capacity>,
    /// Gust across the hoops, m/s.
    pub gust_m_s: Option<Capacity>,
    /// Gust at which pins let go, m/s.
    pub pins_m_s: Option<Range>,
}

/// What counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Threatened {
    /// Gusts on the hoops.
    pub wind: bool,
    /// Snow on the hoops.
    pub snow: bool,
}

/// What a bed under a cover stands of what threatens; the cloth is taken as wet for snow.
///
/// # Errors
/// [`structure::Error`] where a size lies outside what the formulas hold for.
pub fn covered(
    garden: &Garden,
    bed: &Bed,
    cover: &Cover,
    threat: Threatened,
) -> Result<Stands, Error> {
    let dry = cover.cloth.map_or(0.0, |c| cloth_kg_m2(c.kind, cover.layers));
    let hoops = bed.hoops.filter(|_| matches!(cover.lie, Placement::LowTunnel { .. }));
    let wet = hoops.map(|h| h.under(dry + CLOTH_WATER_KG_M2.0.central * f64::from(cover.layers)));
    let pins = cover.uses.iter().filter(|u| u.0 == Item::Pins).map(|u| u.1).sum();
    Ok(Stands {
        snow_pa: wet.filter(|_| threat.snow).map(|h| h.snow_pa()).transpose()?,
        gust_m_s: hoops
            .filter(|_| threat.wind)
            .map(|h| h.under(dry).gust_m_s(AIR_KG_M3))
            .transpose()?,
        pins_m_s: pins_hold_m_s(garden, bed, &cover.lie, pins)?,
    })
}

/// Gust at which so many pins along both sides let go, m/s: low, central and high by what the ground may hold, or one value
/// where the grower pulled some out.
///
/// Cloth on plants is lifted as the middle of an arch without height is (0.7 q), half by each side.
///
/// # Errors
/// As [`covered`].
pub fn pins_hold_m_s(
    garden: &Garden,
    bed: &Bed,
    lie: &Placement,
    pins: u32,
) -> Result<Option<Range>, Error> {
    if pins == 0 {
        return Ok(None);
    }
    let a_metre = 0.5 * f64::from(pins) / bed.length_m;
    let pull = pull_n(garden, bed)?;
    let across_m = match *lie {
        Placement::LooseMulch { .. } => return Ok(None),
        Placement::LowTunnel { .. } | Placement::PopUp { .. } => None,
        Placement::Floating => Some(bed.width_m),
        Placement::Drape => {
            let tall = bed.plantings.iter().map(|p| p.height_m).fold(0.5, f64::max);
            Some(bed.width_m + 2.0 * tall)
        }
    };
    let hold = |pin_n: f64| -> Result<f64, Error> {
        if let Some(across_m) = across_m {
            let lift = -pressure_coefficients(0.0)[1] * 0.5 * across_m;
            return Ok(wind_m_s(AIR_KG_M3, pin_n * a_metre / lift));
        }
        let arch = arch_of(bed, lie)?;
        gust_held_m_s(&arch.outline(64), arch.rise_m(), pin_n, a_metre, AIR_KG_M3)
    };
    Ok(Some(Range::new(hold(pull.low)?, hold(pull.central)?, hold(pull.high)?)))
}

fn arch_of(bed: &Bed, lie: &Placement) -> Result<Arch, Error> {
    match (bed.hoops, *lie) {
        (Some(hoops), Placement::LowTunnel { .. }) => Ok(hoops.arch),
        (
            _,
            Placement::PopUp { span_m, rise_m, .. } | Placement::LowTunnel { span_m, rise_m, .. },
        ) => Arch::from_span_and_rise(Shape::HalfEllipse, span_m, rise_m),
        _ => Arch::from_span_and_rise(Shape::HalfEllipse, bed.width_m, 0.3),
    }
}

/// Pull a pin of the stock withstands in a bed, N: the weakest of the grower's own pulls, else by the formula for clay; loose
/// sand and peat are taken for soaked ground.
///
/// # Errors
/// As [`covered`].
pub fn pull_n(garden: &Garden, bed: &Bed) -> Result<Range, Error> {
    if let Some(pull) = pull_test_n(&garden.stock.pulls_n)? {
        return Ok(Range::new(pull, pull, pull));
    }
    let ground = match (garden.site.soil, bed.wetness) {
        (Texture::Sand | Texture::Peat, _) | (_, Wetness::Wet) => Ground::Soaked,
        (_, Wetness::Damp) => Ground::Moist,
        (_, Wetness::Dry) => Ground::Firm,
    };
    garden.stock.pin.pull_out_n(ground)
}

/// Depths of a kind of snow that weigh so much, m.
#[must_use]
pub fn depths_m(weight_pa: Capacity, kind: structure::snow::Snow) -> Range {
    Hoop::snow_depth_m(weight_pa, kind).collapses
}
