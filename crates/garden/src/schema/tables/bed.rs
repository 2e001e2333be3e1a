//! A bed, its hoops, its mulch, what grows there, what lies over it, what it is to carry.

use super::{
    CLOTH_WEIGHT, DIAMETER, KIND, MATERIAL, SHADE, WALL, WIRE_GAUGE, key, number, span, table,
    tables, whole, words,
};
use crate::bed::{MulchKind, Wetness};
use crate::hoops::Curve;
use crate::planting::Start;
use crate::schema::unit::{LONG, SHORT};
use crate::schema::{Key, Span, Table, Takes};

/// A bed.
pub static BED: Table = Table {
    path: "bed",
    what: "bed",
    help: "One bed or row; as many as there are.",
    keys: &[
        key("name", "Name", Takes::Text, "What you call it; each bed has a name of its own.")
            .example("\"bed 1\""),
        key("length", "Length", span(LONG, 0.3, 300.0), "Along the row.").examples("20", "6"),
        key("width", "Width", span(SHORT, 0.1, 5.0), "Across the row.").examples("30", "75"),
        key("wetness", "How the top soil feels", words::<Wetness>(), "How the top soil feels.")
            .example("\"damp\""),
        key(
            "raised",
            "Raised above the path",
            span(SHORT, 0.0, 1.5),
            "How far the soil stands above the path.",
        )
        .or(0.0)
        .examples("8", "20"),
        key(
            "position",
            "Where: east, north of the garden’s corner",
            Takes::Pair(Span { unit: LONG, least: -5000.0, most: 5000.0, whole: false }),
            "How far east and north of the garden's corner it lies; walking is ordered by it.",
        )
        .may("the plan of the garden leaves it out")
        .examples("[6, 50]", "[2, 15]"),
        key(
            "pots",
            "Pots that can be carried in",
            whole(0.0, 10_000.0),
            "Pots, tubs or trays that stand here and can be carried indoors for a night.",
        )
        .or(0.0)
        .example("12"),
        table("hoops", &HOOPS, "there are none"),
        table("mulch", &MULCH, "the soil is bare"),
        tables("planting", &PLANTING, "nothing grows there"),
        table("on_now", &ON_NOW, "nothing lies on it"),
        tables("need", &NEED, "row cover all the year, by how hardy the plants are"),
    ],
};

/// Hoops over a bed.
pub static HOOPS: Table = Table {
    path: "bed.hoops",
    what: "hoops",
    help: "Hoops over the bed, all alike; leave the table out where there are none.",
    keys: &[
        MATERIAL,
        WIRE_GAUGE,
        DIAMETER,
        WALL,
        key(
            "length",
            "Length of one hoop",
            span(SHORT, 0.5, 8.0),
            "Length of one hoop before bending.",
        )
        .examples("76", "193"),
        key(
            "bury",
            "Each end in the ground",
            span(SHORT, 0.0, 1.0),
            "How much of each end is in the ground.",
        )
        .examples("6", "15"),
        key("spacing", "From hoop to hoop", span(SHORT, 0.1, 4.0), "From hoop to hoop.")
            .examples("48", "120"),
        key("span", "Between the feet, or a height", span(SHORT, 0.2, 4.0), "Between the feet.")
            .may("give the height")
            .examples("34", "85"),
        key(
            "height",
            "Height",
            span(SHORT, 0.1, 2.5),
            "Height of the crown, in place of the span.",
        )
        .without("span")
        .may("give the span")
        .examples("22", "55"),
        key(
            "shape",
            "Shape, of what is bent",
            words::<Curve>(),
            "Curve of what stays as it is bent.",
        )
        .may("arc; what springs back stands as it springs and takes no shape")
        .example("\"half ellipse\""),
        key(
            "radius",
            "Radius, of a former",
            span(SHORT, 0.05, 2.0),
            "Radius of the former that the crown is bent round.",
        )
        .with("shape", &["former"])
        .examples("14", "35"),
        key(
            "purlin",
            "A purlin runs under the crowns",
            Takes::Flag,
            "Whether a purlin on posts runs under the crowns.",
        )
        .may("false")
        .example("true"),
    ],
};

const DEPTH: Key = key("depth", "How deep", span(SHORT, 0.005, 0.5), "How deep it lies.");

/// Mulch between the plants.
pub static MULCH: Table = Table {
    path: "bed.mulch",
    what: "mulch",
    help: "Mulch between the plants.",
    keys: &[
        key("kind", "Mulch between the plants", words::<MulchKind>(), "What it is.")
            .example("\"straw\""),
        DEPTH.with("kind", &["straw", "leaves", "chips", "compost"]).examples("2", "5"),
        Key {
            label: "",
            takes: span(SHORT, 0.0, 0.01),
            help: "Thickness of film.",
            ..DEPTH.with("kind", &["black film", "clear film"]).or(0.0).examples("0.01", "0.02")
        },
    ],
};

/// What grows in a bed.
pub static PLANTING: Table = Table {
    path: "bed.planting",
    what: "planting",
    help: "One crop in the bed; as many as grow there.",
    keys: &[
        key("crop", "Crop", Takes::Crop, "A crop of docs/crops.md, or of your own, by its name.").example("\"lettuce\""),
        key("start", "Started", words::<Start>(), "How it was started.").example("\"transplant\""),
        key(
            "stage",
            "Stage",
            Takes::Stage,
            "How far along it is: seed bed, seedling, transplant, established, mature, or a bloom stage of the crop.",
        )
        .example("\"transplant\""),
        key(
            "worth",
            "Worth at harvest, all of it",
            number(0.0, 1e7),
            "What the whole planting is worth at harvest, in your own money.",
        )
        .example("60"),
        key(
            "hardened",
            "Hardened off",
            Takes::Flag,
            "Whether it met cold gradually before it was set out, or grew cold in place; where past days are known, they tell.",
        )
        .may("false for a transplant and a seedling raised elsewhere, else true")
        .example("true"),
        key("height", "Height, if unusual", span(SHORT, 0.0, 4.0), "Height of the plants.")
            .may("as usual for the crop at this stage")
            .examples("4", "10"),
        key(
            "ground_cover",
            "Share of ground hidden, 0 to 1, if unusual",
            number(0.0, 1.0),
            "Share of the ground that the leaves hide.",
        )
        .may("as usual for the crop at this stage")
        .example("0.4"),
    ],
};

/// What lies over a bed now.
pub static ON_NOW: Table = Table {
    path: "bed.on_now",
    what: "on_now",
    help: "A sheet that lies on the bed already.",
    keys: &[
        key(
            "sheet",
            "Sheet that lies on it now",
            Takes::Sheet,
            "The name of a sheet in the stock.",
        )
        .example("\"medium\""),
        key("layers", "Layers", whole(1.0, 2.0), "How many layers lie there.").or(1.0).example("1"),
        key(
            "left_on",
            "It stays on by day",
            Takes::Flag,
            "Whether it has been on by day as well, so that the soil took in less sun.",
        )
        .may("false")
        .example("true"),
    ],
};

/// A cover that a bed is to carry.
pub static NEED: Table = Table {
    path: "bed.need",
    what: "need",
    help: "A cover that the bed is to carry in the course of the year, for `rimefold cut` and `rimefold kit`.",
    keys: &[
        KIND,
        Key {
            name: "least_weight",
            label: "",
            help: "Least weight of row cover that will do.",
            ..CLOTH_WEIGHT.may("any weight")
        },
        Key {
            name: "least_shade",
            label: "",
            help: "Least share of the light that it must hold back.",
            ..SHADE.may("any shade")
        },
        key("from", "", Takes::Day, "First day on which it may be wanted, month and day.")
            .example("\"04-10\""),
        key(
            "to",
            "",
            Takes::Day,
            "Last such day; before the first where it runs over the new year.",
        )
        .example("\"05-25\""),
    ],
};
