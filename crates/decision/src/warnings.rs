//! Wind and snow against the covers that the plan lays.

use garden::bed::Bed;
use garden::fit::{Cover, Item, Lie};
use garden::hoops::pins_hold_gust_m_s;

use crate::report::{Warning, WarningKind};

/// Density of wet snow, kg/m³ (EN 1991-1-3 annex E: 4 kN/m³).
const WET_SNOW_KG_M3: f64 = 408.0;

/// Warnings for the beds that are covered tonight.
#[must_use]
pub fn of(covered: &[(&Bed, &Cover)], gust_m_s: Option<f64>, snow_m: Option<f64>) -> Vec<Warning> {
    let mut out: Vec<Warning> = Vec::new();
    for (bed, cover) in covered {
        let across = match cover.lie {
            Lie::LowTunnel { arch_m, .. } | Lie::PopUp { arch_m, .. } => arch_m,
            Lie::Drape => 2.0,
            Lie::Floating => bed.width_m,
            Lie::LooseMulch { .. } => continue,
        };
        let pins = cover.uses.iter().filter(|u| u.0 == Item::Pins).map(|u| u.1).sum::<u32>();
        if let Some(gust) = gust_m_s.filter(|_| pins > 0) {
            let holds = pins_hold_gust_m_s(across, bed.length_m, pins);
            if gust > holds {
                let pins_needed = (f64::from(pins) * (gust / holds).powi(2)).ceil() as u32;
                let kind =
                    WarningKind::WindLiftsCloth { gust_m_s: gust, holds_m_s: holds, pins_needed };
                push(&mut out, bed, kind);
            }
        }
        let Some(hoops) = bed.hoops.filter(|_| matches!(cover.lie, Lie::LowTunnel { .. })) else {
            continue;
        };
        if let Some(gust) = gust_m_s.filter(|g| *g > hoops.gust_held_m_s()) {
            let holds_m_s = hoops.gust_held_m_s();
            push(&mut out, bed, WarningKind::WindBendsHoops { gust_m_s: gust, holds_m_s });
        }
        let holds_m = hoops.snow_held_m(WET_SNOW_KG_M3);
        if let Some(snow) = snow_m.filter(|s| *s > 0.5 * holds_m) {
            push(&mut out, bed, WarningKind::SnowLoad { snow_m: snow, holds_m });
        }
    }
    out
}

fn push(out: &mut Vec<Warning>, bed: &Bed, kind: WarningKind) {
    out.push(Warning { kind, beds: vec![bed.name.clone()], at: None });
}
