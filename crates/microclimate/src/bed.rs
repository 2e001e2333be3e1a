//! A bed as the physics sees it: ground, plants, surroundings. The same for all members but where a draw says otherwise.

/// The ground of a bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Ground {
    /// Porosity n of the soil, m³/m³.
    pub porosity: f64,
    /// Quartz share q of the solids.
    pub quartz: f64,
    /// Bulk density, kg/m³.
    pub bulk_density_kg_m3: f64,
    /// Organic share of the volume.
    pub organic: f64,
    /// Sandy soils take the coarse form of the Kersten number.
    pub coarse: bool,
    /// What lies on the soil between the plants.
    pub litter: Option<Litter>,
    /// Long-wave emissivity of the surface.
    pub emissivity: f64,
    /// Share of sunlight the surface sends back.
    pub albedo: f64,
    /// Whether vapour can leave the surface at all (not through film).
    pub evaporates: bool,
}

/// A loose layer on the soil: mulch or snow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Litter {
    /// Thickness, m.
    pub depth_m: f64,
    /// Conductivity, W m⁻¹ K⁻¹.
    pub conductivity: f64,
    /// Heat capacity, J m⁻³ K⁻¹.
    pub capacity_j_m3_k: f64,
}

/// The plants of a bed, as one layer of leaves.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Canopy {
    /// Height, m.
    pub height_m: f64,
    /// Share f of the ground hidden by leaves, 0 to 1.
    pub ground_cover: f64,
    /// Size of a leaf along the wind, m.
    pub leaf_m: f64,
    /// Whether the leaves live and give off water; dead residue does not.
    pub alive: bool,
}

/// A bed.
#[derive(Clone, Debug, PartialEq)]
pub struct Bed {
    /// Soil and mulch.
    pub ground: Ground,
    /// Plants.
    pub canopy: Canopy,
    /// Height of the wind the forcing brings, m.
    pub wind_height_m: f64,
    /// Air pressure, kPa.
    pub pressure_kpa: f64,
}
