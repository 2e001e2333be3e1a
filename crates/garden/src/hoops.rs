//! Wire hoops over a bed: their size, their arch above ground, their strength.

/// A row of like hoops over one bed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hoops {
    /// Length of one hoop before bending, m.
    pub length_m: f64,
    /// How much of each end is pushed into the ground, m.
    pub bury_m: f64,
    /// Distance between hoops along the row, m.
    pub spacing_m: f64,
    /// Distance between the two feet, m.
    pub span_m: f64,
    /// Diameter of the rod, m.
    pub diameter_m: f64,
    /// What it is made of.
    pub material: Material,
}

/// What a hoop is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Material {
    /// Soft galvanised or mild steel wire: bends and stays bent.
    SoftWire,
    /// Hard-drawn or spring steel: springs back.
    SpringWire,
    /// Glass-fibre rod.
    Fibreglass,
    /// Plastic water pipe.
    PlasticPipe,
    /// Thin-walled steel conduit bent to shape.
    Conduit,
}

impl Hoops {
    /// Length of the arch above ground, m: length − 2 × bury.
    ///
    /// A 76 in wire with 6 in of each end buried leaves 64 in (common practice, no source).
    #[must_use]
    pub fn arch_m(&self) -> f64 {
        self.length_m - 2.0 * self.bury_m
    }

    /// Height of the crown over the feet, m.
    ///
    /// Soft wire keeps the shape it is bent to, here a circular arc; springy rods stand as the pinned
    /// elastica: chord/P = 2E/K − 1, rise/P = k/K (Timoshenko & Gere, table 2-4).
    /// Checked by `hoops::the_elastica_matches_the_published_table`.
    #[must_use]
    pub fn rise_m(&self) -> f64 {
        let ratio = (self.span_m / self.arch_m()).clamp(0.0, 0.9999);
        let rise = match self.material {
            Material::SpringWire | Material::Fibreglass | Material::PlasticPipe => {
                elastica_rise(ratio)
            }
            Material::SoftWire | Material::Conduit => arc_rise(ratio),
        };
        rise * self.arch_m()
    }

    /// Plastic moment Mp = σy d³/6 of the round rod, N m (steel 350 MPa from memory; glass 700, pipe 20 MPa of
    /// a solid rod a third as strong; conduit as a tube, 0.4 of solid).
    #[must_use]
    pub fn plastic_moment_n_m(&self) -> f64 {
        let strength = match self.material {
            Material::SoftWire => 350e6,
            Material::SpringWire => 1000e6,
            Material::Fibreglass => 700e6,
            Material::PlasticPipe => 7e6,
            Material::Conduit => 0.4 * 250e6,
        };
        strength * self.diameter_m.powi(3) / 6.0
    }

    /// Depth of snow of `density` kg/m³ the hoops carry, m.
    ///
    /// Two-hinged semicircle under w per horizontal length: greatest moment 0.0901 w R² ≤ Mp, w = ρ g h s,
    /// s the hoop spacing. Checked by `hoops::the_snow_example_collapses_as_computed`.
    /// Equation 23 of docs/science.md.
    #[must_use]
    pub fn snow_held_m(&self, density_kg_m3: f64) -> f64 {
        let radius = 0.5 * self.span_m;
        self.plastic_moment_n_m()
            / (0.0901 * radius * radius * density_kg_m3 * 9.81 * self.spacing_m)
    }

    /// Gust at which the wire yields under wind on a closed cover, m/s.
    ///
    /// q = 0.613 V² (Pa); crosswind pressure on an arch from the ground, windward +0.7 q, crown −1.2 q
    /// (ASCE 7 curved roofs at rise/span .5, from memory): taken as 0.1 · 1.9 q s R² ≤ Mp.
    #[must_use]
    pub fn gust_held_m_s(&self) -> f64 {
        let radius = 0.5 * self.span_m;
        (self.plastic_moment_n_m() / (0.1 * 1.9 * 0.613 * self.spacing_m * radius * radius)).sqrt()
    }
}

/// US steel wire gauge and diameter, m (from memory; other gauge systems differ).
pub const GAUGES: [(f64, f64); 6] = [
    (8.0, 0.004_115),
    (9.0, 0.003_767),
    (10.0, 0.003_429),
    (11.0, 0.003_061),
    (12.0, 0.002_680),
    (12.5, 0.002_515),
];

/// Gust at which the pins of a cover pull out, m/s.
///
/// Uplift 1.2 q over half the arch of a bay on each side against two pins of 14 N each: a thin leg 15 cm in
/// ordinary ground, α c_u π d L with α .5, c_u 20 kPa, d 3 mm (28 N for a pair; never scale stake tests by volume).
#[must_use]
pub fn pins_hold_gust_m_s(arch_m: f64, length_m: f64, pins: u32) -> f64 {
    let area = (arch_m * length_m).max(0.1);
    (14.0 * f64::from(pins) / (0.613 * 1.2 * 0.5 * area)).sqrt()
}

/// Rise over length of the pinned elastica with the given chord over length.
/// Equation 22 of docs/science.md.
#[must_use]
pub fn elastica_rise(chord: f64) -> f64 {
    let (mut low, mut high) = (1e-9_f64, std::f64::consts::PI * 0.7262);
    for _ in 0..80 {
        let half = 0.25 * (low + high);
        let (k_int, e_int) = elliptic(half.sin());
        if 2.0 * e_int / k_int - 1.0 > chord {
            low = 2.0 * half;
        } else {
            high = 2.0 * half;
        }
    }
    let k = (0.25 * (low + high)).sin();
    k / elliptic(k).0
}

/// Complete elliptic integrals K and E of modulus k by the arithmetic–geometric mean.
fn elliptic(k: f64) -> (f64, f64) {
    let (mut a, mut b, mut sum, mut power) = (1.0, (1.0 - k * k).sqrt(), k * k, 1.0);
    for _ in 0..40 {
        let c = 0.5 * (a - b);
        let next = 0.5 * (a + b);
        b = (a * b).sqrt();
        a = next;
        sum += 2.0 * power * c * c;
        power *= 2.0;
        if c.abs() < 1e-16 {
            break;
        }
    }
    let k_int = std::f64::consts::FRAC_PI_2 / a;
    (k_int, k_int * (1.0 - 0.5 * sum))
}

/// Rise over arc length of a circular arc with the given chord over arc length: chord/P = sin α/α.
fn arc_rise(chord: f64) -> f64 {
    let (mut low, mut high) = (1e-6_f64, std::f64::consts::PI);
    for _ in 0..80 {
        let a = 0.5 * (low + high);
        if a.sin() / a > chord { low = a } else { high = a }
    }
    let a = 0.5 * (low + high);
    (1.0 - a.cos()) / (2.0 * a)
}
