//! Bending of one rod past its yield: moment and curvature, spring-back, the least elastic radius.

use crate::error::{Error, within};
use crate::section::Section;

/// A rod of elastic, perfectly plastic material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// Cross-section.
    pub section: Section,
    /// Young's modulus E, Pa.
    pub modulus_pa: f64,
    /// Yield or breaking stress σy, Pa; infinite for a rod that never yields.
    pub yield_pa: f64,
    /// Whether it bends on past its yield; otherwise it breaks there.
    pub ductile: bool,
}

impl Rod {
    /// Bending stiffness E I, N m².
    #[must_use]
    pub fn stiffness_n_m2(&self) -> f64 {
        self.modulus_pa * self.section.second_moment_m4()
    }

    /// Moment at which the outermost fibre yields, My = σy Z, N m.
    #[must_use]
    pub fn yield_moment_n_m(&self) -> f64 {
        self.yield_pa * self.section.elastic_modulus_m3()
    }

    /// Plastic moment Mp = σy S, N m; σy d³/6 of a solid rod.
    #[must_use]
    pub fn plastic_moment_n_m(&self) -> f64 {
        self.yield_pa * self.section.plastic_modulus_m3()
    }

    /// Least radius to which the straight rod bends without lasting set, R = E d/2σy, m.
    /// Checked by `bending::steel_radii_follow_the_table`.
    /// Equation 24 of docs/science.md.
    #[must_use]
    pub fn least_elastic_radius_m(&self) -> f64 {
        self.modulus_pa * self.section.outer_m() / (2.0 * self.yield_pa)
    }

    /// Moment (N m) that holds the rod at `curvature_per_m` away from its unstressed shape, and its slope dM/dκ (N m²).
    ///
    /// Fibres within c = σy/(E κ) of the axis are elastic, those beyond carry σy:
    /// M = E κ I(c) + ⁴⁄₃ σy (r² − c²)^{3/2}, I(c) the second moment of the elastic core; dM/dκ = E I(c). A tube is the
    /// outer circle less the inner. Checked by `bending::moment_and_curvature_by_summing_fibres`.
    /// Equation 25 of docs/science.md.
    #[must_use]
    pub fn moment_n_m(&self, curvature_per_m: f64) -> (f64, f64) {
        let outer = self.circle_moment(0.5 * self.section.outer_m(), curvature_per_m.abs());
        let inner = self.circle_moment(0.5 * self.section.inner_m(), curvature_per_m.abs());
        ((outer.0 - inner.0) * curvature_per_m.signum(), outer.1 - inner.1)
    }

    fn circle_moment(&self, radius_m: f64, curvature_per_m: f64) -> (f64, f64) {
        let core = self.yield_pa / (self.modulus_pa * curvature_per_m * radius_m);
        // Also where nothing is bent or the circle has no size: the core is without limit then.
        let t = if core < 1.0 { core } else { 1.0 };
        let flat = (1.0 - t * t).sqrt();
        let slope =
            0.5 * self.modulus_pa * radius_m.powi(4) * (t.asin() - t * flat * (1.0 - 2.0 * t * t));
        let plastic =
            if t < 1.0 { 4.0 / 3.0 * self.yield_pa * radius_m.powi(3) * flat.powi(3) } else { 0.0 };
        (slope * curvature_per_m + plastic, slope)
    }

    /// Radius to which the rod springs back from a round former of `former_m`, m; infinite if it springs back straight.
    ///
    /// κ_free = κ_former − M(κ_former)/EI. `former_m` is measured to the axis of the rod, from half its diameter up.
    /// Checked by `bending::spring_back_and_the_former_undo_each_other`.
    ///
    /// # Errors
    /// [`Error::TakesNoBend`] for a brittle rod, [`Error::OutOfRange`] for a former smaller than the rod.
    /// Equation 26 of docs/science.md.
    pub fn sprung_back_radius_m(&self, former_m: f64) -> Result<f64, Error> {
        let former_m = self.bendable("the radius of the former", former_m)?;
        Ok(1.0 / self.free_curvature_per_m(1.0 / former_m))
    }

    /// Radius of the former that leaves the rod at `wanted_m`, m, both to its axis.
    /// Checked by `bending::spring_back_and_the_former_undo_each_other`.
    ///
    /// # Errors
    /// As [`Rod::sprung_back_radius_m`].
    pub fn former_radius_m(&self, wanted_m: f64) -> Result<f64, Error> {
        let wanted = 1.0 / self.bendable("the radius wanted", wanted_m)?;
        let most = wanted + self.plastic_moment_n_m() / self.stiffness_n_m2();
        Ok(1.0
            / crate::roots::root_of_rising(|k| self.free_curvature_per_m(k) - wanted, wanted, most))
    }

    fn bendable(&self, quantity: &'static str, radius_m: f64) -> Result<f64, Error> {
        if !self.ductile {
            return Err(Error::TakesNoBend);
        }
        within(quantity, radius_m, "m", (0.5 * self.section.outer_m(), 1000.0))
    }

    /// Curvature left after unloading; exactly 0 where nothing yielded, so that no rounding remains.
    fn free_curvature_per_m(&self, held_per_m: f64) -> f64 {
        if held_per_m * self.least_elastic_radius_m() <= 1.0 {
            return 0.0;
        }
        held_per_m - self.moment_n_m(held_per_m).0 / self.stiffness_n_m2()
    }
}
