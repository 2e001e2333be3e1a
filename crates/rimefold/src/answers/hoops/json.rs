//! Low tunnels as JSON: SI units, every limit low, likely and high.

use garden::tunnel::{Change as Changed, Limits as Stands, Tunnel as Computed};
use serde::Serialize;
use structure::range::Range as Reach;

/// Version of the layout; raised when a member changes its meaning or goes away. 2: `change` is an object.
const LAYOUT: u32 = 2;

/// The answer of `rimefold hoops --json`.
#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
pub struct Hoops {
    /// Version of the layout.
    layout: u32,
    /// One entry a bed with hoops.
    tunnels: Vec<Tunnel>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Tunnel {
    bed: String,
    /// Number of hoops.
    hoops: u32,
    /// Length of a hoop.
    length_m: f64,
    /// Depth of each end in the ground.
    bury_m: f64,
    /// Distance of a hoop from the next.
    spacing_m: f64,
    /// Length above the ground.
    arch_m: f64,
    /// Distance of the feet.
    span_m: f64,
    rise_m: f64,
    volume_m3: f64,
    /// Area of cloth over area of ground.
    cover_to_ground: f64,
    sheet_across_m: f64,
    sheet_along_m: f64,
    skirt_m: f64,
    pins_a_side: u32,
    bend: Bend,
    /// What it stands as it is.
    limits: Limits,
    /// What it would stand after one change.
    instead: Vec<Instead>,
    spacing_for_snow_m: Range,
    spacing_for_gust_m: Range,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Bend {
    least_radius_m: f64,
    least_elastic_radius_m: f64,
    /// Radius of the former it is bent round; null where it springs into its curve.
    former_radius_m: Option<f64>,
    too_tight: bool,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Limits {
    snow_gives_way_m: BySnow,
    snow_bends_m: BySnow,
    gust_flattens_m_s: Range,
    gust_bends_m_s: Range,
    /// Null without pins.
    gust_lifts_pins_m_s: Option<Range>,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct BySnow {
    fresh: Range,
    settled: Range,
    wet: Range,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Range {
    low: f64,
    likely: f64,
    high: f64,
}

#[derive(Serialize)]
#[cfg_attr(test, derive(schemars::JsonSchema))]
struct Instead {
    change: Change,
    limits: Limits,
}

#[derive(Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
#[cfg_attr(test, derive(schemars::JsonSchema))]
enum Change {
    /// Hoops this far apart.
    Spacing { spacing_m: f64 },
    /// Wire of this gauge.
    Gauge { gauge: f64 },
    /// A purlin on posts.
    Purlin,
}

/// The whole answer.
pub fn layout(tunnels: &[Computed]) -> Hoops {
    Hoops { layout: LAYOUT, tunnels: tunnels.iter().map(tunnel).collect() }
}

fn tunnel(t: &Computed) -> Tunnel {
    let h = &t.hoops;
    let [spacing_for_snow_m, spacing_for_gust_m] = t.spacing_for.map(range);
    let instead = t.instead.iter();
    Tunnel {
        bed: t.bed.clone(),
        hoops: t.count,
        length_m: h.length_m,
        bury_m: h.bury_m,
        spacing_m: h.spacing_m,
        arch_m: h.arch_m(),
        span_m: h.span_m(),
        rise_m: h.rise_m(),
        volume_m3: t.volume_m3,
        cover_to_ground: t.cover_to_ground,
        sheet_across_m: t.sheet_m.0,
        sheet_along_m: t.sheet_m.1,
        skirt_m: t.skirt_m,
        pins_a_side: t.pins_a_side,
        bend: Bend {
            least_radius_m: t.bend.least_radius_m,
            least_elastic_radius_m: t.bend.least_elastic_radius_m,
            former_radius_m: t.bend.former_radius_m,
            too_tight: t.bend.too_tight,
        },
        limits: limits(&t.limits),
        instead: instead.map(|(c, l)| Instead { change: change(c), limits: limits(l) }).collect(),
        spacing_for_snow_m,
        spacing_for_gust_m,
    }
}

fn limits(l: &Stands) -> Limits {
    Limits {
        snow_gives_way_m: by_snow(l.snow_collapses_m),
        snow_bends_m: by_snow(l.snow_yields_m),
        gust_flattens_m_s: range(l.gust_collapses_m_s),
        gust_bends_m_s: range(l.gust_yields_m_s),
        gust_lifts_pins_m_s: l.pins_m_s.map(range),
    }
}

fn by_snow(ranges: [Reach; 3]) -> BySnow {
    let [fresh, settled, wet] = ranges.map(range);
    BySnow { fresh, settled, wet }
}

fn range(r: Reach) -> Range {
    Range { low: r.low, likely: r.central, high: r.high }
}

fn change(c: &Changed) -> Change {
    match *c {
        Changed::Spacing(spacing_m) => Change::Spacing { spacing_m },
        Changed::Gauge(gauge) => Change::Gauge { gauge },
        Changed::Purlin => Change::Purlin,
    }
}
