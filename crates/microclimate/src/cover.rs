//! A cover: what it lets through, holds and loses, dry or wet, and how it lies over the bed.

/// How one layer of cloth or film treats one band of radiation; the three shares sum to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Optics {
    /// Share passed straight through.
    pub transmissivity: f64,
    /// Share taken up, which is also its emissivity in the long-wave.
    pub absorptivity: f64,
}

impl Optics {
    /// What is neither passed nor taken up.
    #[must_use]
    pub fn reflectivity(&self) -> f64 {
        1.0 - self.transmissivity - self.absorptivity
    }
}

/// One layer of cloth, film or net.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fabric {
    /// Long-wave (4–50 µm), dry.
    pub longwave_dry: Optics,
    /// Long-wave with a full film of water.
    pub longwave_wet: Optics,
    /// Sunlight.
    pub shortwave: Optics,
    /// Face velocity of air through the cloth at 200 Pa, m/s; 0 for film.
    pub permeability_m_s: f64,
    /// Share of the area that is holes.
    pub open_share: f64,
    /// Exponent n of v = v200 (Δp/200)^n.
    pub flow_exponent: f64,
    /// Mass, kg/m².
    pub mass_kg_m2: f64,
}

/// How the cover stands over the bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shape {
    /// Cover area over ground area r = P/b, ends included; 1 for a cover that lies flat.
    pub area_ratio: f64,
    /// Mean height of the air under the cover, m.
    pub mean_height_m: f64,
    /// Height of the crown, m.
    pub crown_m: f64,
    /// Area of gaps at skirts and ends per ground area.
    pub gap_ratio: f64,
    /// Share κ of the most exposed tissue that touches the cloth, 0 to 1.
    pub contact: f64,
}

/// A cover over a bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cover {
    /// One or two like layers of fabric.
    Cloth {
        /// The fabric of each layer.
        fabric: Fabric,
        /// 1 or 2.
        layers: u32,
        /// How it stands.
        shape: Shape,
    },
    /// Loose straw or leaves over the plants: opaque faces with still air between the stalks.
    Loose {
        /// Thickness, m.
        depth_m: f64,
        /// Conductivity, W m⁻¹ K⁻¹.
        conductivity: f64,
    },
}

impl Cover {
    /// Number of temperature nodes: inner face and, where there are two, outer face.
    #[must_use]
    pub fn nodes(&self) -> usize {
        match self {
            Self::Cloth { layers, .. } => (*layers).clamp(1, 2) as usize,
            Self::Loose { .. } => 2,
        }
    }
}

impl Fabric {
    /// Spunbonded polypropylene of `weight` g/m² (10 to 110).
    ///
    /// Long-wave, dry: τ = 0.83 exp(−(w/70)^0.85), drawn through the prior table 17 g .62, 30 g .50,
    /// 50 g .40 (from memory, ±.1); a film of water takes 0.15 off. Sunlight: τ = exp(−w/78), so that
    /// 50 g/m² passes about half (common practice, no source). Air: v200 = 78 w^(−1.08) m/s (textile
    /// test 17 g 3.5–5, 30 g 1.5–2.5, 50 g 0.7–1.5 m/s, from memory).
    /// Checked by `laws::cloth_of_50_grams_passes_about_half_the_light`.
    #[must_use]
    pub fn row_cover(weight_g_m2: f64) -> Self {
        let w = weight_g_m2.clamp(5.0, 200.0);
        let dry = 0.83 * (-(w / 70.0).powf(0.85)).exp();
        let wet = (dry - 0.15).max(0.05);
        let light = (-(w / 78.0)).exp();
        Self {
            longwave_dry: Optics { transmissivity: dry, absorptivity: 0.93 - dry },
            longwave_wet: Optics { transmissivity: wet, absorptivity: 0.95 - wet },
            shortwave: Optics { transmissivity: light, absorptivity: 0.1 * (1.0 - light) },
            permeability_m_s: 78.0 * w.powf(-1.08),
            open_share: 0.0,
            flow_exponent: 0.8,
            mass_kg_m2: w / 1000.0,
        }
    }

    /// Clear polyethylene film of `thickness` µm (20 to 250).
    ///
    /// Dry film passes most long-wave: τ = .74 for the sheet of Hanson 1963 (J. Appl. Meteorol.
    /// 2:793; protection index 26 %), falling slowly with thickness; a film of water makes it .2
    /// (prior .15–.3). Checked by `laws::dry_film_reproduces_the_published_protection_index`.
    #[must_use]
    pub fn film(thickness_um: f64) -> Self {
        let t = thickness_um.clamp(10.0, 300.0);
        let dry = 0.74 * (-(t - 100.0) / 1000.0).exp();
        Self {
            longwave_dry: Optics { transmissivity: dry, absorptivity: 0.95 - dry },
            longwave_wet: Optics { transmissivity: 0.2, absorptivity: 0.75 },
            shortwave: Optics { transmissivity: 0.86, absorptivity: 0.04 },
            permeability_m_s: 0.0,
            open_share: 0.0,
            flow_exponent: 1.0,
            mass_kg_m2: 0.92e-3 * t,
        }
    }

    /// Insect net: passes 85–90 % of light and about three quarters of long-wave; air goes freely (from memory).
    #[must_use]
    pub fn insect_net() -> Self {
        Self {
            longwave_dry: Optics { transmissivity: 0.75, absorptivity: 0.20 },
            longwave_wet: Optics { transmissivity: 0.65, absorptivity: 0.30 },
            shortwave: Optics { transmissivity: 0.87, absorptivity: 0.04 },
            permeability_m_s: 12.0,
            open_share: 0.0,
            flow_exponent: 0.6,
            mass_kg_m2: 0.06,
        }
    }

    /// Shade cloth that holds back the share `shade` of sunlight; knitted, so about as open as it is light (from memory).
    #[must_use]
    pub fn shade_cloth(shade: f64) -> Self {
        let s = shade.clamp(0.05, 0.95);
        Self {
            longwave_dry: Optics { transmissivity: 1.0 - s, absorptivity: 0.95 * s },
            longwave_wet: Optics { transmissivity: 1.0 - s, absorptivity: 0.95 * s },
            shortwave: Optics { transmissivity: 1.0 - s, absorptivity: 0.85 * s },
            permeability_m_s: 14.0 * (1.0 - s),
            open_share: 0.0,
            flow_exponent: 0.6,
            mass_kg_m2: 0.1,
        }
    }

    /// The same fabric worn thin or torn: `hole_share` of its area is open.
    #[must_use]
    pub fn with_holes(self, hole_share: f64) -> Self {
        let h = hole_share.clamp(0.0, 0.5);
        let open = |o: Optics| Optics {
            transmissivity: h + (1.0 - h) * o.transmissivity,
            absorptivity: (1.0 - h) * o.absorptivity,
        };
        Self {
            longwave_dry: open(self.longwave_dry),
            longwave_wet: open(self.longwave_wet),
            shortwave: open(self.shortwave),
            permeability_m_s: (1.0 - h) * self.permeability_m_s,
            open_share: h + (1.0 - h) * self.open_share,
            ..self
        }
    }
}
