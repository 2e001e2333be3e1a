//! What the grower asks of a kit.

/// What the grower asks for beyond the garden file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// What may be spent in a year, money; `None` without a limit.
    pub budget: Option<f64>,
    /// Years over which the kit is bought, 1 to 10.
    pub years: u32,
    /// Whether the hoops of the garden file stand already and are not to be bought.
    pub have_hoops: bool,
}
