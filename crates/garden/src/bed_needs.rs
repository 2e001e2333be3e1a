//! What a bed is to carry where the grower wrote nothing of it.

use crate::bed::Bed;
use crate::crops;
use crate::need::{Need, Wanted};

/// Row cover that is wanted where a tenth of the tenderest is lost at this or warmer, °C and g/m² (common practice, no source).
const BY_TENDERNESS: [(f64, f64); 2] = [(-1.2, 50.0), (-3.5, 30.0)];
/// Row cover that is wanted for what is hardier, g/m² (common practice, no source).
const FOR_HARDY_G_M2: f64 = 17.0;
/// What a bed needs: what the grower wrote, else row cover all the year round, by the hardiness of what grows there:
/// 50 g/m² where 10 % is lost at −1.2 °C (30 °F) or above, 30 g/m² down to −3.5 °C, else 17 g/m² (common practice, no
/// source). Nothing for a bed in which nothing grows.
#[must_use]
pub fn needs_of_bed(bed: &Bed) -> Vec<Need> {
    if !bed.needs.is_empty() {
        return bed.needs.clone();
    }
    let tenderest = bed
        .plantings
        .iter()
        .filter_map(|p| crops::cold_limits(p.crop, p.stage, p.hardened))
        .map(|l| l.t10_c)
        .fold(f64::NEG_INFINITY, f64::max);
    if tenderest == f64::NEG_INFINITY {
        return Vec::new();
    }
    let least_g_m2 = BY_TENDERNESS
        .iter()
        .find(|(limit_c, _)| tenderest >= *limit_c)
        .map_or(FOR_HARDY_G_M2, |(_, g_m2)| *g_m2);
    vec![Need { wanted: Wanted::RowCover { least_g_m2 }, from_day: 1, to_day: 366 }]
}
