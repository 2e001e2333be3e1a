//! Cross-sections of hoops: solid round or tube.

use std::f64::consts::PI;

use crate::error::{Error, within};

/// Cross-section of a hoop; the sizes are checked by [`Section::round`] and [`Section::tube`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    outer_m: f64,
    inner_m: f64,
}

impl Section {
    /// Solid round of `diameter_m`, 0.5 mm to 200 mm.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for another diameter.
    pub fn round(diameter_m: f64) -> Result<Self, Error> {
        let outer_m = within("the diameter of the rod", diameter_m, "m", (0.0005, 0.2))?;
        Ok(Self { outer_m, inner_m: 0.0 })
    }

    /// Tube of outer diameter `outer_m`, 0.5 mm to 200 mm, and wall `wall_m`, up to half of that.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for another diameter or wall.
    pub fn tube(outer_m: f64, wall_m: f64) -> Result<Self, Error> {
        let outer_m = within("the diameter of the tube", outer_m, "m", (0.0005, 0.2))?;
        let wall_m = within("the wall of the tube", wall_m, "m", (0.01 * outer_m, 0.5 * outer_m))?;
        Ok(Self { outer_m, inner_m: outer_m - 2.0 * wall_m })
    }

    /// Outer diameter d, m.
    #[must_use]
    pub fn outer_m(&self) -> f64 {
        self.outer_m
    }

    /// Inner diameter, m; 0 for a solid rod.
    #[must_use]
    pub fn inner_m(&self) -> f64 {
        self.inner_m
    }

    /// Area A = π (d² − d_i²)/4, m². Checked by `sections::the_wire_gauge_table`.
    #[must_use]
    pub fn area_m2(&self) -> f64 {
        0.25 * PI * (self.outer_m.powi(2) - self.inner_m.powi(2))
    }

    /// Second moment of area I = π (d⁴ − d_i⁴)/64, m⁴. Checked by `sections::the_wire_gauge_table`.
    #[must_use]
    pub fn second_moment_m4(&self) -> f64 {
        PI / 64.0 * (self.outer_m.powi(4) - self.inner_m.powi(4))
    }

    /// Elastic section modulus Z = 2 I/d, m³; the yield moment is σy Z.
    #[must_use]
    pub fn elastic_modulus_m3(&self) -> f64 {
        2.0 * self.second_moment_m4() / self.outer_m
    }

    /// Plastic section modulus S = (d³ − d_i³)/6, m³; the plastic moment is σy S.
    /// Checked by `sections::the_wire_gauge_table`.
    #[must_use]
    pub fn plastic_modulus_m3(&self) -> f64 {
        (self.outer_m.powi(3) - self.inner_m.powi(3)) / 6.0
    }

    /// Mass of one metre, kg/m. Checked by `sections::the_wire_gauge_table`.
    #[must_use]
    pub fn mass_kg_m(&self, density_kg_m3: f64) -> f64 {
        density_kg_m3 * self.area_m2()
    }
}
