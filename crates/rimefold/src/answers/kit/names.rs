//! What sheets, lines of a bill and days are called, for people.

use garden::Garden;
use purchase::kit::{Item, StockItem};
use quantities::UnitSystem;
use quantities::units::{FOOT_M, INCH_M};

use crate::format::GardenFormat;

/// Month and day of a day of a leap year: `04-15`.
pub fn month_day(day: u16) -> String {
    date(day, "%m-%d")
}

/// A day of a leap year, 1 to 366, in a format of the calendar library.
pub fn date(day: u16, format: &str) -> String {
    let days = jiff::Span::new().days(i64::from(day) - 1);
    let date = jiff::civil::date(2024, 1, 1).checked_add(days);
    date.map_or_else(|_| String::from("?"), |d| d.strftime(format).to_string())
}

/// `1.5 oz row cover, 76 in × 46 ft`.
pub fn sheet(
    thing: StockItem,
    (width_m, length_m): (f64, f64),
    garden: &Garden,
    words: &GardenFormat,
) -> String {
    let size = match garden.units {
        UnitSystem::Us => {
            format!("{:.0} in × {} ft", width_m / INCH_M, (length_m / FOOT_M * 10.0).round() / 10.0)
        }
        UnitSystem::Metric => {
            format!("{:.0} cm × {} m", width_m * 100.0, (length_m * 100.0).round() / 100.0)
        }
    };
    let kind = match thing {
        StockItem::Stock(i) => {
            let sheet = &garden.stock.sheets[i];
            return format!("“{}” ({}), {size}", sheet.name, words.cloth(sheet.kind));
        }
        StockItem::Cloth(kind) => words.cloth(kind),
        StockItem::Rod(..) => "hoop".into(),
    };
    format!("{kind}, {size}")
}

/// What a line of a bill is called.
pub fn item(item: Item, garden: &Garden) -> &str {
    match item {
        Item::Cloth(i) => garden.supply.cloths[i].name.as_str(),
        Item::Rod(i) => garden.supply.rods[i].name.as_str(),
        Item::Pins => "pins",
        Item::Clips => "clips",
    }
}
