//! The weather of one step at one place, per member.

/// What the air and the sky do to a bed in one step.
#[derive(Clone, Copy, Debug)]
pub struct Forcing<R> {
    /// Air temperature at 2 m, °C.
    pub air_c: R,
    /// Vapour pressure at 2 m, kPa.
    pub vapour_kpa: R,
    /// Wind at the bed's `wind_height_m`, m/s.
    pub wind_m_s: R,
    /// Long-wave from the sky on the level, W/m² (measured, or by [`crate::sky::longwave_w_m2`]).
    pub sky_w_m2: R,
    /// Sunlight on the level, W/m².
    pub sun_w_m2: R,
}
