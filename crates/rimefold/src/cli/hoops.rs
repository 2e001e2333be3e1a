//! `rimefold hoops`: the low tunnel of a bed: drawing, measures, what it stands in snow and wind.

use std::path::{Path, PathBuf};

use garden::rows;
use garden::tunnel::{self, Change, Limits, Tunnel, Wish};
use garden::{Bed, Garden};
use quantities::UnitSystem;
use quantities::units::{INCH_M, MPH_M_S};
use serde_json::{Value, json};
use structure::range::Range;

use crate::cli::{Output, bed_named, check};
use crate::draw::{hoop_svg, hoop_text};
use crate::exit::{Exit, Failure};
use crate::format::{Words, count};
use crate::outside::{files, terminal};
use crate::paper::Paper;

#[derive(clap::Args, Debug)]
pub struct Args {
    /// Folder of the garden, or its garden.toml
    #[arg(default_value = ".")]
    garden: PathBuf,
    /// Only this bed
    #[arg(long, value_name = "NAME")]
    bed: Option<String>,
    /// Fresh snow it should stand, in inches or centimetres [default: 4 in, 10 cm]
    #[arg(long, value_name = "DEPTH")]
    snow: Option<f64>,
    /// Gust it should stand, in mph or m/s [default: 40 mph, 18 m/s]
    #[arg(long, value_name = "SPEED")]
    gust: Option<f64>,
    /// Write the drawing of one bed into this new SVG file
    #[arg(long, value_name = "FILE", requires = "bed")]
    svg: Option<PathBuf>,
    /// Write JSON for programs
    #[arg(long)]
    json: bool,
}

pub fn run(args: &Args) -> Result<Output, Failure> {
    let path = files::garden_file(&args.garden);
    let (garden, _) = check::load(&path)?;
    let wish = wish(args, &garden)?;
    let beds = chosen(&garden, args.bed.as_deref())?;
    let mut tunnels = Vec::new();
    for bed in beds {
        let tunnel = tunnel::low_tunnel(&garden, bed, &wish)
            .map_err(|e| Failure::new(Exit::Garden, format!("bed `{}`: {e}", bed.name)))?;
        tunnels.extend(tunnel);
    }
    if tunnels.is_empty() {
        let what = args.bed.as_ref().map_or("no bed".into(), |b| format!("bed `{b}`"));
        let has = if args.bed.is_some() { "has no hoops" } else { "has hoops" };
        return Err(Failure::new(
            Exit::Garden,
            format!("{what} {has} in {}: give it `hoops = {{ … }}`", path.display()),
        ));
    }
    let words = Words::new(garden.units, &garden.zone);
    let mut out = Output::default();
    if let (Some(file), Some(tunnel)) = (&args.svg, tunnels.first()) {
        write_svg(file, tunnel, &words)?;
        out.aside.push(format!("drawn in {}", file.display()));
    }
    out.text = if args.json {
        let all: Vec<Value> = tunnels.iter().map(json).collect();
        format!("{:#}\n", json!({ "tunnels": all }))
    } else {
        text(&garden, &tunnels, &wish, &words)
    };
    Ok(out)
}

/// What hoops should stand where nothing is asked: 4 in of fresh snow and gusts of 40 mph, or 10 cm and 18 m/s.
pub fn usual_wish(units: UnitSystem) -> Wish {
    match units {
        UnitSystem::Us => Wish { snow_m: 4.0 * INCH_M, gust_m_s: 40.0 * MPH_M_S },
        UnitSystem::Metric => Wish { snow_m: 0.1, gust_m_s: 18.0 },
    }
}

fn wish(args: &Args, garden: &Garden) -> Result<Wish, Failure> {
    let us = garden.units == UnitSystem::Us;
    let (short_m, speed_m_s) = if us { (INCH_M, MPH_M_S) } else { (0.01, 1.0) };
    let usual = usual_wish(garden.units);
    let wish = Wish {
        snow_m: args.snow.map_or(usual.snow_m, |s| s * short_m),
        gust_m_s: args.gust.map_or(usual.gust_m_s, |g| g * speed_m_s),
    };
    let bad = |flag: &str, least: f64, most: f64, unit: &str| {
        Failure::new(
            Exit::Usage,
            format!("--{flag}: expected a number from {least:.1} to {most:.0} {unit}"),
        )
    };
    if !(0.001..=3.0).contains(&wish.snow_m) {
        return Err(bad("snow", 0.001 / short_m, 3.0 / short_m, if us { "in" } else { "cm" }));
    }
    if !(1.0..=80.0).contains(&wish.gust_m_s) {
        return Err(bad("gust", 1.0 / speed_m_s, 80.0 / speed_m_s, if us { "mph" } else { "m/s" }));
    }
    Ok(wish)
}

fn chosen<'a>(garden: &'a Garden, name: Option<&str>) -> Result<Vec<&'a Bed>, Failure> {
    match name {
        None => Ok(garden.beds.iter().collect()),
        Some(name) => Ok(vec![&garden.beds[bed_named(garden, name)?]]),
    }
}

fn write_svg(file: &Path, tunnel: &Tunnel, words: &Words) -> Result<(), Failure> {
    files::write_new(file, hoop_svg::draw(tunnel, words))
}

fn text(garden: &Garden, tunnels: &[Tunnel], wish: &Wish, words: &Words) -> String {
    let mut page = Paper::new(terminal::width());
    // Beds with like hoops and length are told once.
    let mut told = vec![false; tunnels.len()];
    for i in 0..tunnels.len() {
        if told[i] {
            continue;
        }
        let t = &tunnels[i];
        let like: Vec<usize> = (i..tunnels.len()).filter(|k| alike(&tunnels[*k], t)).collect();
        let names: Vec<&str> = like.iter().map(|k| tunnels[*k].bed.as_str()).collect();
        for k in like {
            told[k] = true;
        }
        one(&mut page, garden, t, &names.join(", "), wish, words);
    }
    wide_sheets(&mut page, garden, words);
    page.head("How sure");
    page.say(
        "  ",
        2,
        "Low, likely and high answers differ by the strength of the metal, by how firm the ground holds the feet, by the \
         density of snow and by how it drifts. Taut cloth steadies hoops, and that is not counted; flapping cloth and \
         loose pins weaken them, nor is that. Estimates, not a promise: local codes and your own judgement decide. \
         Never shelter or reach under a loaded tunnel; keep cloth and wire off roads and power lines.",
    );
    page.finish()
}

fn alike(a: &Tunnel, b: &Tunnel) -> bool {
    a.hoops == b.hoops && a.bed_m == b.bed_m && a.fits.len() == b.fits.len() && a.limits == b.limits
}

fn one(page: &mut Paper, garden: &Garden, t: &Tunnel, names: &str, wish: &Wish, words: &Words) {
    let h = &t.hoops;
    page.head(names);
    page.raw(&hoop_text::draw(t, words, page.width()));
    let rod = words.rod(h.material, h.section);
    page.say(
        "  ",
        2,
        &format!(
            "Hoops: {} of {rod}, {} long, {} apart; {} in the ground at each end, {} above it.",
            t.count,
            words.short(h.length_m),
            words.short(h.spacing_m),
            words.short(h.bury_m),
            words.short(h.arch_m())
        ),
    );
    page.say(
        "  ",
        2,
        &format!(
            "Sheet: {} by {} gives skirts of {} and gathered ends; {} pins a side and one at each end.",
            words.short(t.sheet_m.0),
            words.long(t.sheet_m.1),
            words.short(t.skirt_m),
            t.pins_a_side
        ),
    );
    page.say("  ", 2, &bend(t, words));
    page.say(
        "  ",
        2,
        &format!(
            "Under it: {} of air; {:.2} of cloth for 1 of ground.",
            words.volume(t.volume_m3),
            t.cover_to_ground
        ),
    );
    fits(page, garden, t, words);
    page.blank();
    let limits = table(t, words, page.width());
    page.raw(&limits);
    page.say("  ", 2, &spacing(t, wish, words));
}

fn bend(t: &Tunnel, words: &Words) -> String {
    let b = &t.bend;
    match b.former_radius_m {
        Some(former) => format!(
            "Bending: round a former of {} radius; it springs back to {}.",
            words.short(former),
            words.short(b.least_radius_m)
        ),
        None if b.too_tight => format!(
            "Bending: TOO TIGHT. It curves to {} radius and keeps a set, or breaks, below {}: a longer rod, a wider span or a thinner rod.",
            words.short(b.least_radius_m),
            words.short(b.least_elastic_radius_m)
        ),
        None => format!(
            "Bending: springs into its curve of {} radius; it could take {}.",
            words.short(b.least_radius_m),
            words.short(b.least_elastic_radius_m)
        ),
    }
}

fn fits(page: &mut Paper, garden: &Garden, t: &Tunnel, words: &Words) {
    if t.fits.is_empty() {
        page.say("  ", 2, "Fits from the stock: nothing.");
        return;
    }
    page.say("  ", 2, "Fits from the stock:");
    for cover in &t.fits {
        let name = cover.uses.iter().find_map(|u| match u.0 {
            garden::fit::Item::Sheet(i) => garden.stock.sheets.get(i).map(|s| s.name.as_str()),
            _ => None,
        });
        let layers = if cover.layers == 2 { "doubled, " } else { "" };
        let joined = if cover.pieces > 1 {
            format!("{} pieces joined, ", cover.pieces)
        } else {
            String::new()
        };
        let roll = if cover.roll_up { ", the rest rolled up" } else { "" };
        page.say(
            "    ",
            6,
            &format!(
                "“{}”: {layers}{joined}skirt {} a side{roll}.",
                name.unwrap_or("?"),
                words.short(cover.skirt_m)
            ),
        );
    }
}

/// Limits as they are and after each change: low, likely.
fn table(t: &Tunnel, words: &Words, width: usize) -> String {
    let mut rows = vec![(format!("as it is, {}", words.short(t.hoops.spacing_m)), &t.limits)];
    rows.extend(t.instead.iter().map(|(change, limits)| (change_words(change, words), limits)));
    if width < TABLE_COLUMNS {
        return narrow(&rows, words);
    }
    let unit = (words.short_unit(), words.wind_unit());
    let mut out = format!(
        "  {:<18}{:>13}{:>13}{:>13}{:>13}\n  {:<18}{:>13}{:>13}{:>13}{:>13}\n",
        "gives way under",
        "fresh snow",
        "wet snow",
        "gust, hoops",
        "gust, pins",
        "(low to likely)",
        unit.0,
        unit.0,
        unit.1,
        unit.1
    );
    for (name, l) in rows {
        let pins = l.pins_m_s.map_or_else(|| "-".into(), |p| words.wind_range(p));
        out.push_str(&format!(
            "  {:<18}{:>13}{:>13}{:>13}{:>13}\n",
            name,
            words.short_range(l.snow_collapses_m[0]),
            words.short_range(l.snow_collapses_m[2]),
            words.wind_range(l.gust_collapses_m_s),
            pins
        ));
    }
    out
}

/// Columns that the table takes.
const TABLE_COLUMNS: usize = 72;

/// The same for a phone: one limit a line.
fn narrow(rows: &[(String, &Limits)], words: &Words) -> String {
    let mut out = String::from("  Gives way (low to likely) under\n");
    for (name, l) in rows {
        let (snow, wind) = (words.short_unit(), words.wind_unit());
        let wet = words.short_range(l.snow_collapses_m[2]);
        out.push_str(&format!("  {name}\n"));
        out.push_str(&format!(
            "    snow {} {snow}, wet {wet}\n",
            words.short_range(l.snow_collapses_m[0])
        ));
        out.push_str(&format!("    gust {} {wind}", words.wind_range(l.gust_collapses_m_s)));
        if let Some(pins) = l.pins_m_s {
            out.push_str(&format!(", pins {}", words.wind_range(pins)));
        }
        out.push('\n');
    }
    out
}

fn change_words(change: &Change, words: &Words) -> String {
    match change {
        Change::Spacing(m) => format!("{} apart", words.short(*m)),
        Change::Gauge(g) => format!("{g}-gauge wire"),
        Change::Purlin => "purlin on posts".into(),
    }
}

fn spacing(t: &Tunnel, wish: &Wish, words: &Words) -> String {
    let apart = |m: f64| if m > WIDEST_M { "any distance".into() } else { words.short(m) };
    let [snow, gust] = t.spacing_for;
    format!(
        "To stand {} of fresh snow these hoops want to be {} apart (to be safe {}); to stand gusts of {}, {} ({}).",
        words.short(wish.snow_m),
        apart(snow.central),
        apart(snow.low),
        words.wind(wish.gust_m_s),
        apart(gust.central),
        apart(gust.low)
    )
}

/// Wider than this nobody sets hoops, m.
const WIDEST_M: f64 = 3.0;

fn wide_sheets(page: &mut Paper, garden: &Garden, words: &Words) {
    let wide = rows::wide(garden);
    if wide.is_empty() {
        return;
    }
    page.head("One sheet over several beds");
    for w in wide {
        let sheet = garden.stock.sheets.get(w.sheet).map_or("?", |s| s.name.as_str());
        let beds: Vec<&str> =
            w.beds.iter().filter_map(|i| Some(garden.beds.get(*i)?.name.as_str())).collect();
        page.say(
            "  ",
            4,
            &format!(
                "“{sheet}”: {} ({}), skirt {} a side.",
                beds.join(", "),
                count(w.pieces as usize, "piece"),
                words.short(w.skirt_m)
            ),
        );
    }
}

fn json(t: &Tunnel) -> Value {
    let h = &t.hoops;
    let limits = |l: &Limits| {
        json!({
            "snow_gives_way_m": { "fresh": range(l.snow_collapses_m[0]), "settled": range(l.snow_collapses_m[1]), "wet": range(l.snow_collapses_m[2]) },
            "snow_bends_m": { "fresh": range(l.snow_yields_m[0]), "settled": range(l.snow_yields_m[1]), "wet": range(l.snow_yields_m[2]) },
            "gust_flattens_m_s": range(l.gust_collapses_m_s),
            "gust_bends_m_s": range(l.gust_yields_m_s),
            "gust_lifts_pins_m_s": l.pins_m_s.map(range),
        })
    };
    json!({
        "bed": t.bed, "hoops": t.count, "length_m": h.length_m, "bury_m": h.bury_m, "spacing_m": h.spacing_m,
        "arch_m": h.arch_m(), "span_m": h.span_m(), "rise_m": h.rise_m(), "volume_m3": t.volume_m3,
        "cover_to_ground": t.cover_to_ground, "sheet_across_m": t.sheet_m.0, "sheet_along_m": t.sheet_m.1,
        "skirt_m": t.skirt_m, "pins_a_side": t.pins_a_side,
        "bend": { "least_radius_m": t.bend.least_radius_m, "least_elastic_radius_m": t.bend.least_elastic_radius_m, "former_radius_m": t.bend.former_radius_m, "too_tight": t.bend.too_tight }, "limits": limits(&t.limits),
        "instead": t.instead.iter().map(|(c, l)| json!({ "change": format!("{c:?}"), "limits": limits(l) })).collect::<Vec<_>>(),
        "spacing_for_snow_m": range(t.spacing_for[0]), "spacing_for_gust_m": range(t.spacing_for[1]),
    })
}

fn range(r: Range) -> Value {
    json!({ "low": r.low, "likely": r.central, "high": r.high })
}
