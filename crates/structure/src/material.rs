//! What hoops are made of: stiffness, strength and weight, each with source and trust.

use crate::range::{Range, Trust};

/// What a hoop is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Galvanised or bright mild steel wire: bends and stays bent.
    SoftWire,
    /// Hard-drawn steel wire of spring temper: springs back.
    SpringWire,
    /// Rigid PVC pipe.
    PvcPipe,
    /// Polyethylene water pipe.
    PePipe,
    /// Pultruded glass-fibre rod: springs back, then breaks.
    Fibreglass,
    /// Thin-walled mild steel tube or conduit, bent to shape.
    Conduit,
}

/// Numbers of one material.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Properties {
    /// Young's modulus E, Pa; of plastics for loads of minutes at 20 °C.
    pub modulus_pa: f64,
    /// Stress at which it yields, or breaks where it is not ductile, Pa.
    pub yield_pa: Range,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Whether it bends on past its yield; otherwise it breaks there.
    pub ductile: bool,
    /// Whether hoops are bent to their shape beforehand, not sprung into it.
    pub keeps_shape: bool,
    /// Where the numbers come from.
    pub source: &'static str,
    /// How far that source was seen.
    pub trust: Trust,
}

impl Material {
    /// All kinds.
    pub const ALL: [Self; 6] = [
        Self::SoftWire,
        Self::SpringWire,
        Self::PvcPipe,
        Self::PePipe,
        Self::Fibreglass,
        Self::Conduit,
    ];

    /// The numbers of this material.
    ///
    /// Plastics creep: under snow of days their modulus falls to a third or less, and what stands under a gust may
    /// sink under snow that lies. Checked by `bending::steel_radii_follow_the_table`.
    #[must_use]
    pub const fn properties(self) -> Properties {
        match self {
            Self::SoftWire => Properties {
                modulus_pa: 200e9,
                yield_pa: Range::new(250e6, 350e6, 400e6),
                density_kg_m3: 7850.0,
                ductile: true,
                keeps_shape: true,
                source: "galvanised carbon steel wire of soft temper, ASTM A641: tensile at most about 515 MPa",
                trust: Trust::FromMemory,
            },
            Self::SpringWire => Properties {
                modulus_pa: 200e9,
                yield_pa: Range::new(800e6, 1000e6, 1300e6),
                density_kg_m3: 7850.0,
                ductile: true,
                keeps_shape: false,
                source: "hard-drawn carbon steel wire, ASTM A641 hard temper 620 to 1400 MPa tensile, the upper part",
                trust: Trust::FromMemory,
            },
            Self::PvcPipe => Properties {
                modulus_pa: 2.8e9,
                yield_pa: Range::new(40e6, 48e6, 55e6),
                density_kg_m3: 1400.0,
                ductile: true,
                keeps_shape: false,
                source: "unplasticised PVC pipe, makers' short-term values",
                trust: Trust::FromMemory,
            },
            Self::PePipe => Properties {
                modulus_pa: 0.9e9,
                yield_pa: Range::new(18e6, 22e6, 25e6),
                density_kg_m3: 950.0,
                ductile: true,
                keeps_shape: false,
                source: "polyethylene water pipe (PE 80 to PE 100), makers' short-term values",
                trust: Trust::FromMemory,
            },
            Self::Fibreglass => Properties {
                modulus_pa: 40e9,
                yield_pa: Range::new(500e6, 700e6, 900e6),
                density_kg_m3: 1900.0,
                ductile: false,
                keeps_shape: false,
                source: "pultruded glass-fibre rod, makers' flexural strength",
                trust: Trust::FromMemory,
            },
            Self::Conduit => Properties {
                modulus_pa: 200e9,
                yield_pa: Range::new(210e6, 250e6, 350e6),
                density_kg_m3: 7850.0,
                ductile: true,
                keeps_shape: true,
                source: "welded mild steel tube, makers' least values",
                trust: Trust::FromMemory,
            },
        }
    }
}
