//! How plants harden on cold days and lose it on warm ones.
//!
//! A planting's hardness a runs from 0 (raised warm) over ½ (hardened off, or grown cold in place) to 1 (fully hardened by
//! weeks of cold). FROSTOL (Bergjord, Bonesmo & Skjelvåg 2008) writes it as LT50, the temperature that kills half:
//! a = (LT50i − LT50)/(LT50i − LT50c).

/// Temperature of the day below which plants harden and above which they lose it, °C (Bergjord et al. 2008).
const TURNS_C: f64 = 10.0;
/// H: hardening a day and a kelvin below [`TURNS_C`] (Bergjord et al. 2008, winter wheat; value from memory).
const HARDENING_PER_K: f64 = 0.0093;
/// D: loss a day and a cubic kelvin above −4 °C (Bergjord et al. 2008, winter wheat; value from memory).
const LOSS_PER_K3: f64 = 2.7e-5;
/// Where the loss begins to count from, °C (Bergjord et al. 2008).
const LOSS_FROM_C: f64 = -4.0;

/// Hardness of what was hardened off or grew cold in place, where the days before are not known: the half-way that the
/// hardened limits of the crop table stand for.
pub const HARDENED: f64 = 0.5;

/// Hardness after a day of mean temperature `mean_c`, °C, of a crop that hardens `speed` times as fast as winter wheat.
///
/// Below 10 °C: da/dt = s H (10 − max(T, 0)) (1 − a); above: da/dt = −s D (T + 4)³ a; T held through the day and each solved
/// exactly. Respiration under snow, stress and vernalisation of the model are left out. Range: any finite T, a in 0 to 1.
/// Source: Bergjord, Bonesmo & Skjelvåg 2008, Eur. J. Agronomy 28:321–330, equations; H and D of winter wheat from memory.
/// Checked by `hardening::spinach_hardens_and_loses_it_as_measured` and the laws beside it.
/// Equation 90 of docs/science.md.
#[must_use]
pub fn after_day(hardness: f64, mean_c: f64, speed: f64) -> f64 {
    let a = hardness.clamp(0.0, 1.0);
    if mean_c < TURNS_C {
        let rate = speed * HARDENING_PER_K * (TURNS_C - mean_c.max(0.0));
        1.0 - (1.0 - a) * (-rate).exp()
    } else {
        let rate = speed * LOSS_PER_K3 * (mean_c - LOSS_FROM_C).powi(3);
        a * (-rate).exp()
    }
}
