//! Published experiments under covers as scenarios: what was measured beside what the model gives.

use std::error::Error;
use std::path::Path;

use microclimate::bed::{Bed, Ground};
use microclimate::cover::{Fabric, Shape};
use microclimate::{Cover, Draws};

use quantities::quantile;

use crate::scene::{CLEAR_CALM, Laid, Night, Scene, TUNNEL, bed, run};

/// One published fact.
struct Fact {
    /// Cover, place, quantity.
    what: String,
    /// Least and greatest of what was measured.
    measured: (f64, f64),
    /// What the model gives over the weather left open.
    computed: Vec<f64>,
    /// Source.
    source: &'static str,
}

impl Fact {
    fn range(&self) -> (f64, f64) {
        self.computed.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)))
    }

    /// The middle of what was computed.
    fn middle(&self) -> f64 {
        let mut all = self.computed.clone();
        all.sort_by(f64::total_cmp);
        quantile::type_7(&all, 0.5).unwrap_or(f64::NAN)
    }

    /// A hit: the middle of what was computed lies in the measured range, or the middle of that in the middle half.
    fn hit(&self) -> bool {
        let mut all = self.computed.clone();
        all.sort_by(f64::total_cmp);
        let at = |p| quantile::type_7(&all, p).unwrap_or(f64::NAN);
        let middle = 0.5 * (self.measured.0 + self.measured.1);
        (self.measured.0..=self.measured.1).contains(&at(0.5))
            || (at(0.25)..=at(0.75)).contains(&middle)
    }
}

/// The table in Markdown.
pub fn markdown(data: &Path) -> Result<String, Box<dyn Error>> {
    let mut out =
        String::from("| experiment | measured | computed | | source |\n|---|--:|--:|---|---|\n");
    for fact in facts(data)? {
        let (low, high) = fact.range();
        out.push_str(&format!(
            "| {} | {:.1} to {:.1} | {:.1} ({low:.1} to {high:.1}) | {} | {} |\n",
            fact.what,
            fact.measured.0,
            fact.measured.1,
            fact.middle(),
            if fact.hit() { "hit" } else { "**miss**" },
            fact.source
        ));
    }
    Ok(out)
}

fn cloth(fabric: Fabric, layers: u32, shape: Shape) -> Cover {
    Cover::Cloth { fabric, layers, shape }
}

/// Black film on the soil.
fn mulched() -> Bed {
    let bare = bed();
    Bed { ground: Ground { albedo: 0.06, evaporates: false, ..bare.ground.clone() }, ..bare }
}

/// Sheets of the vegetable simulations: flat over the row on short wires.
const LOW: Shape =
    Shape { area_ratio: 1.2, mean_height_m: 0.2, crown_m: 0.3, gap_ratio: 0.007, contact: 0.0 };

/// What the Oregon simulation printed, K: least and greatest over its seasons or nights.
struct Oregon {
    /// Season means of spunbonded over mulch, over bare ground.
    spunbonded: (f64, f64),
    /// The same of perforated film.
    perforated: (f64, f64),
    /// Single nights of spunbonded over mulch, over mulch alone.
    single_nights: (f64, f64),
}

fn oregon(data: &Path) -> Result<Oregon, Box<dyn Error>> {
    let mut table = csv::ReaderBuilder::new()
        .flexible(true)
        .from_path(data.join("covers/published_row_cover_minima.csv"))?;
    let (mut spunbonded, mut perforated, mut single) = (Vec::new(), Vec::new(), Vec::new());
    for line in table.records() {
        let line = line?;
        // Bare, mulch, mulch and spunbonded, mulch and perforated film: columns 8 to 11, °F; NR where none.
        let get = |i: usize| line.get(i).and_then(|x| x.parse::<f64>().ok());
        let gain = |i: usize, over: usize| Some((get(i)? - get(over)?) / 1.8);
        if line.get(6).is_some_and(|d| d.starts_with("MEAN")) {
            spunbonded.extend(gain(10, 8));
            perforated.extend(gain(11, 8));
        } else {
            single.extend(gain(10, 9));
        }
    }
    let range =
        |all: &[f64]| all.iter().fold((f64::MAX, f64::MIN), |(a, b), x| (a.min(*x), b.max(*x)));
    if spunbonded.is_empty() || perforated.is_empty() || single.is_empty() {
        return Err("the table of minima lacks its columns".into());
    }
    Ok(Oregon {
        spunbonded: range(&spunbonded),
        perforated: range(&perforated),
        single_nights: range(&single),
    })
}

fn facts(data: &Path) -> Result<Vec<Fact>, Box<dyn Error>> {
    let draws = Draws::central(0.6);
    let open = |bed: &Bed, s: &Scene| run(bed, None, s, &draws);
    let under = |bed: &Bed, c: &Cover, laid, s: &Scene| run(bed, Some((c, laid)), s, &draws);
    // Each variant of the weather gives one number.
    let over = |scene: &Scene, f: &dyn Fn(&Scene) -> Result<f64, microclimate::Error>| {
        scene.variants().iter().map(f).collect::<Result<Vec<f64>, _>>()
    };
    let outside = |n: Night| n.air_c - n.outside_c;
    let mut facts = Vec::new();
    let mut add = |what: &str, measured, computed: Vec<f64>, source| {
        facts.push(Fact { what: what.to_owned(), measured, computed, source });
    };

    // Season means: every second night is clouded over and windy.
    let mulch = mulched();
    let spunbonded = cloth(Fabric::row_cover(17.0), 1, LOW);
    let perforated = cloth(Fabric::film(50.0).with_holes(0.04), 1, LOW);
    let measured = oregon(data)?;
    let oregon_source = "Oregon State University, North Willamette 1988, tables 1 and 2";
    let simulation = |cover: &Cover, s: &Scene| {
        let gain = |s: &Scene| {
            Ok::<f64, microclimate::Error>(
                under(&mulch, cover, Laid::LeftOn, s)?.air_c - open(&bed(), s)?.air_c,
            )
        };
        Ok(0.5 * gain(s)? + 0.5 * gain(&Scene { cloud: 0.9, day_cloud: 0.6, wind_m_s: 4.0, ..*s })?)
    };
    let may = Scene { mean_c: 11.0, swing_k: 6.0, ..CLEAR_CALM };
    add(
        "mean minimum, black mulch and spunbonded over bare, K",
        measured.spunbonded,
        over(&may, &|s| simulation(&spunbonded, s))?,
        oregon_source,
    );
    add(
        "mean minimum, black mulch and perforated film over bare, K",
        measured.perforated,
        over(&may, &|s| simulation(&perforated, s))?,
        oregon_source,
    );
    add(
        "single cool clear nights, spunbonded over mulch alone, K",
        measured.single_nights,
        over(&may, &|s| {
            Ok(under(&mulch, &spunbonded, Laid::LeftOn, s)?.air_c - open(&mulch, s)?.air_c)
        })?,
        oregon_source,
    );

    let fifty = cloth(Fabric::row_cover(50.0), 1, TUNNEL);
    let twice = cloth(Fabric::row_cover(50.0), 2, TUNNEL);
    let thin = cloth(Fabric::row_cover(17.0), 1, TUNNEL);
    let film = cloth(Fabric::film(100.0), 1, TUNNEL);
    let dusk = |c: &Cover, s: &Scene| under(&bed(), c, Laid::Dusk, s);
    let left = |c: &Cover, s: &Scene| under(&bed(), c, Laid::LeftOn, s);
    add(
        "17 g nonwoven laid at dusk, air over outside air, K",
        (0.0, 2.5),
        over(&CLEAR_CALM, &|s| Ok(outside(dusk(&thin, s)?)))?,
        "trials and reviews together, 0–4, light 1–2.5; FAO 2005: 1 thin",
    );
    add(
        "50 g nonwoven laid at dusk, air over outside air, K",
        (0.0, 4.0),
        over(&CLEAR_CALM, &|s| Ok(outside(dusk(&fifty, s)?)))?,
        "trials and reviews together, 0–4; FAO 2005: 5 thick; Olle & Bender: 2–6",
    );
    add(
        "two layers of 50 g, leaf gain over the open bed in gains of one",
        (1.3, 2.2),
        over(&CLEAR_CALM, &|s| {
            let ground = open(&bed(), s)?.leaf_c;
            Ok((dusk(&twice, s)?.leaf_c - ground) / (dusk(&fifty, s)?.leaf_c - ground))
        })?,
        "Acta Hort. 187: 3 K against 1.5; trade press: much more than one",
    );
    let africa = Scene { mean_c: 10.0, swing_k: 9.0, noon_w_m2: 600.0, ..CLEAR_CALM };
    add(
        "film tunnel left on, minimum over outside, K",
        (0.5, 1.5),
        over(&africa, &|s| Ok(outside(left(&film, s)?)))?,
        "Savage 1980: minima +1.3, frost nights never below 0.5",
    );
    add(
        "film tunnel, inside less outside after sunset, K",
        (-2.5, -0.1),
        over(&africa, &|s| Ok(left(&film, s)?.after_sunset_k))?,
        "Savage 1980: colder inside until the film is wet",
    );
    let holed = |layers| cloth(Fabric::film(100.0).with_holes(0.04), layers, TUNNEL);
    let (one, two) = (holed(1), holed(2));
    add(
        "film with 4 % holes, frost protection, K",
        (1.0, 2.0),
        over(&CLEAR_CALM, &|s| Ok(outside(left(&one, s)?)))?,
        "Acta Hort. 187: about 1.5",
    );
    add(
        "the same, two layers, K",
        (2.0, 4.0),
        over(&CLEAR_CALM, &|s| Ok(outside(left(&two, s)?)))?,
        "Acta Hort. 187: about 3",
    );
    add(
        "film with 4 % holes, day maximum over outside, K",
        (4.0, 8.0),
        over(&CLEAR_CALM, &|s| Ok(left(&one, s)?.day_excess_k))?,
        "Acta Hort. 187: at most 8",
    );
    add(
        "film tunnel's day maximum less 50 g nonwoven's, K",
        (0.5, 12.0),
        over(&CLEAR_CALM, &|s| Ok(left(&film, s)?.day_excess_k - left(&fifty, s)?.day_excess_k))?,
        "film 8–20, nonwoven 3–6 (from memory)",
    );
    // Overcast day near 10 °C, then clear; flowers under a floating sheet.
    let after_cloud =
        Scene { mean_c: 5.0, swing_k: 6.0, dry_k: -0.5, day_cloud: 1.0, ..CLEAR_CALM };
    let after_sun = Scene { day_cloud: 0.1, ..after_cloud };
    add(
        "air under 50 g after an overcast day, dew point −0.5, lowest outside −1 (assumed), °C",
        (-1.0, 0.0),
        over(&after_cloud, &|s| Ok(dusk(&fifty, s)?.air_c))?,
        "Poling 2011: slightly below 0",
    );
    add(
        "gain lost by an overcast day before, K",
        (0.1, 2.0),
        over(&after_sun, &|s| {
            Ok(dusk(&fifty, s)?.air_c - dusk(&fifty, &Scene { day_cloud: 1.0, ..*s })?.air_c)
        })?,
        "Poling 2011: less after an overcast cold day; amount from memory",
    );
    add(
        "50 g left on by day less laid at dusk, coldest air, K",
        (-1.0, 1.0),
        over(&CLEAR_CALM, &|s| Ok(left(&fifty, s)?.air_c - dusk(&fifty, s)?.air_c))?,
        "common practice, no source: a sheet left on can protect less",
    );
    add(
        "open leaf less air at 2 m, K",
        (-3.0, -1.0),
        over(&CLEAR_CALM, &|s| {
            let n = open(&bed(), s)?;
            Ok(n.leaf_c - n.air_c)
        })?,
        "Leuning & Cremer 1988: leaves 1–3 K below adjacent air",
    );
    Ok(facts)
}
