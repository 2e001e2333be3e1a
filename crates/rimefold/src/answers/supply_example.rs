//! What to write into a garden file that offers nothing: one example for every verb that buys.

use quantities::UnitSystem;

/// `[supply]` with a roll of cloth and a coil of wire, in the garden's own units.
pub fn example(units: UnitSystem) -> String {
    let weight = weight(units);
    let (size, rod) = match units {
        UnitSystem::Us => ("width_in = 83\nlength_ft = 250", "wire_gauge = 10\nlength_ft = 500"),
        UnitSystem::Metric => {
            ("width_cm = 210\nlength_m = 75", "diameter_mm = 3.4\nlength_m = 150")
        }
    };
    format!(
        "\
[supply]
pin_price = 0.25
clip_price = 0.60
budget = 200    # a year; leave out for no limit
years = 2

[[supply.cloth]]
name = \"medium roll\"
kind = \"row cover\"    # or film, insect net, shade cloth
{weight}
{size}
price = 70    # leave out where you do not know it

[[supply.rod]]
name = \"coil of wire\"
material = \"soft wire\"
{rod}
price = 55"
    )
}

/// A weight of row cover.
pub fn weight(units: UnitSystem) -> &'static str {
    match units {
        UnitSystem::Us => "weight_oz_yd2 = 0.9",
        UnitSystem::Metric => "weight_g_m2 = 30",
    }
}
