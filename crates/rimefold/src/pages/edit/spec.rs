//! Which fields each part of the garden has, in the words of the garden file.

use quantities::UnitSystem;

/// One field.
#[derive(Clone, Copy, Debug)]
pub struct Spec {
    /// Key without its unit.
    pub key: &'static str,
    /// What a person calls it.
    pub words: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// Endings of the key in US and metric units; both empty where there is no unit.
    pub ends: [&'static str; 2],
    /// Whether it may be left empty.
    pub optional: bool,
}

/// What a field takes.
#[derive(Clone, Copy, Debug)]
pub enum Kind {
    /// Text.
    Text,
    /// A number.
    Number,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A crop of the crop table.
    Crop,
    /// A stage that some crop knows.
    Stage,
    /// The name of a sheet in the stock.
    Sheet,
    /// Yes or no; no is the same as absent unless `absent_is_yes`.
    Flag,
    /// Two numbers: east and north.
    Pair,
}

const LONG: [&str; 2] = ["_ft", "_m"];
const SHORT: [&str; 2] = ["_in", "_cm"];
const THIN: [&str; 2] = ["_in", "_mm"];
const NONE: [&str; 2] = ["", ""];

const fn must(key: &'static str, words: &'static str, kind: Kind, ends: [&'static str; 2]) -> Spec {
    Spec { key, words, kind, ends, optional: false }
}

const fn may(key: &'static str, words: &'static str, kind: Kind, ends: [&'static str; 2]) -> Spec {
    Spec { key, words, kind, ends, optional: true }
}

/// The bed itself.
pub const BED: [Spec; 6] = [
    must("name", "Name", Kind::Text, NONE),
    must("length", "Length", Kind::Number, LONG),
    must("width", "Width", Kind::Number, SHORT),
    must("wetness", "How the top soil feels", Kind::Word(&["dry", "damp", "wet"]), NONE),
    may("raised", "Raised above the path", Kind::Number, SHORT),
    may("position", "Where: east, north of the garden’s corner", Kind::Pair, LONG),
];

/// Hoops over a bed.
pub const HOOPS: [Spec; 11] = [
    must(
        "material",
        "Material",
        Kind::Word(&[
            "soft wire",
            "spring wire",
            "fibreglass",
            "pvc pipe",
            "polyethylene pipe",
            "conduit",
        ]),
        NONE,
    ),
    may("wire_gauge", "Wire gauge, or a diameter", Kind::Number, NONE),
    may("diameter", "Diameter", Kind::Number, THIN),
    may("wall", "Wall, of a pipe", Kind::Number, THIN),
    must("length", "Length of one hoop", Kind::Number, SHORT),
    must("bury", "Each end in the ground", Kind::Number, SHORT),
    must("spacing", "From hoop to hoop", Kind::Number, SHORT),
    may("span", "Between the feet, or a height", Kind::Number, SHORT),
    may("height", "Height", Kind::Number, SHORT),
    may("shape", "Shape, of what is bent", Kind::Word(&["arc", "half ellipse", "former"]), NONE),
    may("purlin", "A purlin runs under the crowns", Kind::Flag, NONE),
];

/// Mulch between the plants.
pub const MULCH: [Spec; 2] = [
    must(
        "kind",
        "Mulch between the plants",
        Kind::Word(&["straw", "leaves", "chips", "compost", "black film", "clear film"]),
        NONE,
    ),
    may("depth", "How deep", Kind::Number, SHORT),
];

/// What lies over a bed now.
pub const ON_NOW: [Spec; 3] = [
    must("sheet", "Sheet that lies on it now", Kind::Sheet, NONE),
    may("layers", "Layers", Kind::Number, NONE),
    may("left_on", "It stays on by day", Kind::Flag, NONE),
];

/// What grows in a bed.
pub const PLANTING: [Spec; 7] = [
    must("crop", "Crop", Kind::Crop, NONE),
    must("start", "Started", Kind::Word(&["direct-sown", "transplant"]), NONE),
    must("stage", "Stage", Kind::Stage, NONE),
    must("worth", "Worth at harvest, all of it", Kind::Number, NONE),
    may("hardened", "Hardened off", Kind::Flag, NONE),
    may("height", "Height, if unusual", Kind::Number, SHORT),
    may("ground_cover", "Share of ground hidden, 0 to 1, if unusual", Kind::Number, NONE),
];

/// A sheet in the stock.
pub const SHEET: [Spec; 10] = [
    must("name", "Name", Kind::Text, NONE),
    must("kind", "Kind", Kind::Word(&["row cover", "film", "insect net", "shade cloth"]), NONE),
    may("weight", "Weight, of row cover", Kind::Number, ["_oz_yd2", "_g_m2"]),
    may("thickness", "Thickness, of film", Kind::Number, ["_mil", "_um"]),
    may("shade", "Share of light held back, of shade cloth", Kind::Number, NONE),
    must("width", "Width", Kind::Number, SHORT),
    must("length", "Length", Kind::Number, LONG),
    must("count", "How many", Kind::Number, NONE),
    must("condition", "Condition", Kind::Word(&["good", "worn", "torn"]), NONE),
    may("claim", "What its label claims", Kind::Number, ["_f", "_c"]),
];

/// What else is in the shed.
pub const STOCK: [Spec; 3] = [
    must("pins", "Pins", Kind::Number, NONE),
    must("clips", "Clips", Kind::Number, NONE),
    may("loose_mulch", "Loose straw or leaves", Kind::Number, ["_ft3", "_m3"]),
];

/// The garden's name.
pub const TOP: [Spec; 1] = [must("name", "Name", Kind::Text, NONE)];

/// Where it is.
pub const PLACE: [Spec; 4] = [
    must("latitude", "Latitude, degrees north", Kind::Number, NONE),
    must("longitude", "Longitude, degrees east", Kind::Number, NONE),
    must("elevation", "Height above the sea", Kind::Number, LONG),
    must("zone", "Time zone", Kind::Text, NONE),
];

/// Its ground.
pub const SITE: [Spec; 3] = [
    must(
        "soil",
        "Soil",
        Kind::Word(&["sand", "sandy loam", "loam", "silt loam", "clay loam", "clay", "peat"]),
        NONE,
    ),
    must(
        "exposure",
        "It lies",
        Kind::Word(&["valley floor", "slope", "hilltop", "open", "walled"]),
        NONE,
    ),
    may(
        "cold_spot_offset",
        "Warmer than the forecast on clear calm nights; colder is negative",
        Kind::Number,
        ["_f", "_c"],
    ),
];

/// Its people.
pub const LABOUR: [Spec; 3] = [
    must("people", "People who can cover", Kind::Number, NONE),
    must("minutes_each", "Minutes each has before dark", Kind::Number, NONE),
    must("worth_of_hour", "What an hour of work is worth", Kind::Number, NONE),
];

impl Spec {
    /// The key in a garden of these units.
    pub fn key(&self, units: UnitSystem) -> String {
        format!("{}{}", self.key, self.end(units))
    }

    fn end(&self, units: UnitSystem) -> &'static str {
        match units {
            UnitSystem::Us => self.ends[0],
            UnitSystem::Metric => self.ends[1],
        }
    }

    /// The unit as a person reads it.
    pub fn unit(&self, units: UnitSystem) -> &'static str {
        match self.end(units) {
            "_ft" => "ft",
            "_m" => "m",
            "_in" => "in",
            "_cm" => "cm",
            "_mm" => "mm",
            "_oz_yd2" => "oz/yd²",
            "_g_m2" => "g/m²",
            "_mil" => "mil",
            "_um" => "µm",
            "_ft3" => "cubic feet",
            "_m3" => "m³",
            "_f" => "°F",
            "_c" => "°C",
            _ => "",
        }
    }
}
