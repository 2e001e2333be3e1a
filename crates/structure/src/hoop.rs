//! The answer for one hoop: the snow and the gust under which it yields and collapses, and the spacing that would hold.
//!
//! Low: feet free to turn, least strength, heaviest snow, the worse of even snow and a drift. High: feet fixed, greatest
//! strength, lightest snow, even. Central: central strength and density, the worse of even and drift, and the geometric
//! mean of free and fixed feet, as the ground lies between the two.
//! Cloth is a load and nothing else: pulled tight along the tunnel it steadies hoops that sway, and that is not counted, so
//! that taut and well pinned tunnels stand longer than this says. Snow may lie and gusts may come unlike any of the cases.
//! It is a calculation, not a promise: where a collapse can hurt someone, local codes and licensed engineers decide.

use crate::bending::Rod;
use crate::chain::{Base, Supports, Unstressed};
use crate::constants::{GRAVITY_M_S2, PIECES};
use crate::error::{Error, within};
use crate::frame::{Failure, Frame};
use crate::load::Load;
use crate::material::Material;
use crate::outline::Outline;
use crate::range::Range;
use crate::section::Section;
use crate::shape::{Arch, Shape};
use crate::snow::{Snow, SnowLoad, depth_m, own_weight, snow};
use crate::wind;

/// One hoop of a row, and its share of cloth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hoop {
    /// What it is made of.
    pub material: Material,
    /// Its cross-section.
    pub section: Section,
    /// Its curve above ground; what springs back stands as the elastica of that length and span, whatever is given.
    pub arch: Arch,
    /// Distance to the next hoop, m, 0.05 to 10.
    pub spacing_m: f64,
    /// Weight of the cloth with what water hangs in it, kg/m², 0 to 5.
    pub cloth_kg_m2: f64,
    /// Whether a purlin on posts holds the crown up and down.
    pub prop: bool,
}

/// Capacity: what is carried at first yield and at collapse, in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Capacity {
    /// When it begins to yield, and from where on it keeps a set; where it gives way before, that.
    pub yields: Range,
    /// When it gives way.
    pub collapses: Range,
    /// How it gives way, of the central strength with feet free to turn.
    pub failure: Failure,
}

impl Capacity {
    fn map(self, f: impl Fn(f64) -> f64) -> Self {
        let each = |r: Range| Range::new(f(r.low), f(r.central), f(r.high));
        Self { yields: each(self.yields), collapses: each(self.collapses), ..self }
    }

    /// Depths of one kind of snow from weights.
    fn depths_m(self, kind: Snow) -> Self {
        let density = kind.density_kg_m3().0;
        let each = |r: Range| {
            Range::new(
                depth_m(r.low, density.high),
                depth_m(r.central, density.central),
                depth_m(r.high, density.low),
            )
        };
        Self { yields: each(self.yields), collapses: each(self.collapses), ..self }
    }
}

/// Factors at first yield and at collapse, and how.
type Factors = (f64, f64, Failure);

impl Hoop {
    /// Weight of snow on the ground plan that the hoops carry, Pa. Checked by `hoop::the_trade_is_right_about_what_is_stronger`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for spacing or cloth.
    pub fn snow_pa(&self) -> Result<Capacity, Error> {
        self.check()?;
        let (_, outline) = self.curve()?;
        let lies = [SnowLoad::Even, SnowLoad::HalfOnOneSide]
            .map(|l| snow(&outline, 1.0, self.spacing_m, l));
        self.carried(&outline, &self.own(&outline), &lies)
    }

    /// Depth of snow of a kind that the hoops carry, m; `weight_pa` is what [`Hoop::snow_pa`] gave.
    #[must_use]
    pub fn snow_depth_m(weight_pa: Capacity, kind: Snow) -> Capacity {
        weight_pa.depths_m(kind)
    }

    /// Gust across the tunnel, at its height, that the hoops carry, m/s, with air of `air_kg_m3`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for spacing, cloth or air.
    pub fn gust_m_s(&self, air_kg_m3: f64) -> Result<Capacity, Error> {
        self.check()?;
        let air_kg_m3 = within("the density of air", air_kg_m3, "kg/m³", (0.5, 2.0))?;
        let (arch, outline) = self.curve()?;
        let load = wind::crosswind(&outline, arch.rise_m(), 1.0, self.spacing_m);
        let carried = self.carried(&outline, &self.own(&outline), &[load])?;
        Ok(carried.map(|q_pa| wind::wind_m_s(air_kg_m3, q_pa)))
    }

    /// Widest spacing at which the hoops carry snow of a depth (m, 0.001 to 5) and kind, m.
    ///
    /// Snow and cloth grow with the spacing, so it is the factor of one analysis. Checked by
    /// `hoop::the_spacing_that_is_asked_for_carries`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for depth or cloth.
    pub fn spacing_for_snow_m(&self, depth_m: f64, kind: Snow) -> Result<Capacity, Error> {
        self.check()?;
        let depth_m = within("the depth of snow", depth_m, "m", (0.001, 5.0))?;
        let density = kind.density_kg_m3().0;
        // Of the central snow; the range of density is laid on the spacing.
        let weight_pa = depth_m * density.central * GRAVITY_M_S2;
        let (_, outline) = self.curve()?;
        let cloth = own_weight(&outline, 0.0, self.cloth_kg_m2, 1.0);
        let lies = [SnowLoad::Even, SnowLoad::HalfOnOneSide]
            .map(|l| snow(&outline, weight_pa, 1.0, l).and(&cloth));
        let spacing =
            self.carried(&outline, &own_weight(&outline, self.rod_kg_m(), 0.0, 1.0), &lies)?;
        let each = |r: Range| Range {
            low: r.low * density.central / density.high,
            high: r.high * density.central / density.low,
            ..r
        };
        Ok(Capacity { yields: each(spacing.yields), collapses: each(spacing.collapses), ..spacing })
    }

    /// Widest spacing at which the hoops carry a gust of `gust_m_s` (1 to 100) across the tunnel, m.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for gust, air or cloth.
    pub fn spacing_for_gust_m(&self, gust_m_s: f64, air_kg_m3: f64) -> Result<Capacity, Error> {
        self.check()?;
        let gust_m_s = within("the gust", gust_m_s, "m/s", (1.0, 100.0))?;
        let air_kg_m3 = within("the density of air", air_kg_m3, "kg/m³", (0.5, 2.0))?;
        let q_pa = wind::dynamic_pressure_pa(air_kg_m3, gust_m_s);
        let (arch, outline) = self.curve()?;
        let cloth = own_weight(&outline, 0.0, self.cloth_kg_m2, 1.0);
        let load = wind::crosswind(&outline, arch.rise_m(), q_pa, 1.0).and(&cloth);
        self.carried(&outline, &own_weight(&outline, self.rod_kg_m(), 0.0, 1.0), &[load])
    }

    /// The rod at one strength.
    #[must_use]
    pub fn rod(&self, yield_pa: f64) -> Rod {
        let p = self.material.properties();
        Rod { section: self.section, modulus_pa: p.modulus_pa, yield_pa, ductile: p.ductile }
    }

    /// The curve in which it stands: a rod that springs back is an elastica of the length and span of any other.
    fn curve(&self) -> Result<(Arch, Outline), Error> {
        let keeps = self.material.properties().keeps_shape || self.arch.shape() == Shape::Elastica;
        let (length_m, span_m) = (self.arch.length_m(), self.arch.span_m());
        let arch = if keeps {
            self.arch
        } else {
            Arch::from_length_and_span(Shape::Elastica, length_m, span_m)?
        };
        Ok((arch, arch.outline(PIECES)))
    }

    fn rod_kg_m(&self) -> f64 {
        self.section.mass_kg_m(self.material.properties().density_kg_m3)
    }

    fn own(&self, outline: &Outline) -> Load {
        own_weight(outline, self.rod_kg_m(), self.cloth_kg_m2, self.spacing_m)
    }

    fn check(&self) -> Result<(), Error> {
        within("the spacing of the hoops", self.spacing_m, "m", (0.05, 10.0))?;
        within("the weight of the cloth", self.cloth_kg_m2, "kg/m²", (0.0, 5.0)).map(|_| ())
    }

    /// Low, central and high factor; the first of the `loads` is the mildest.
    fn carried(&self, outline: &Outline, steady: &Load, loads: &[Load]) -> Result<Capacity, Error> {
        let strength = self.material.properties().yield_pa;
        let worst = |base, yield_pa, loads: &[Load]| -> Result<Factors, Error> {
            let frame = Frame::new(outline, &self.rod(yield_pa), self.supports(base));
            let mut worst = (f64::INFINITY, f64::INFINITY, Failure::Stood);
            for load in loads {
                let c = frame.collapse(steady, load)?;
                let yields = c.yield_factor.unwrap_or(c.collapse_factor).min(c.collapse_factor);
                worst.0 = worst.0.min(yields);
                if c.collapse_factor < worst.1 {
                    (worst.1, worst.2) = (c.collapse_factor, c.failure);
                }
            }
            Ok(worst)
        };
        let low = worst(Base::Pinned, strength.low, loads)?;
        let free = worst(Base::Pinned, strength.central, loads)?;
        let fixed = worst(Base::Fixed, strength.central, loads)?;
        let high = worst(Base::Fixed, strength.high, loads.get(..1).unwrap_or(loads))?;
        // Of tall or heavily clad hoops a foot free to turn is sometimes the better one: then it gives the high value.
        let spread = |of: fn(&Factors) -> f64| {
            let all = [&low, &free, &fixed, &high].map(of);
            let least = all.iter().fold(f64::INFINITY, |a, b| a.min(*b));
            let greatest = all.iter().fold(0.0, |a: f64, b| a.max(*b));
            Range::new(least, (of(&free) * of(&fixed)).sqrt(), greatest)
        };
        Ok(Capacity { yields: spread(|f| f.0), collapses: spread(|f| f.1), failure: free.2 })
    }

    fn supports(&self, base: Base) -> Supports {
        let keeps = self.material.properties().keeps_shape;
        let unstressed = if keeps { Unstressed::AsDrawn } else { Unstressed::Straight };
        Supports { base, unstressed, prop: self.prop }
    }
}
