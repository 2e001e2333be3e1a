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
}
