//! The low tunnels of a garden as text: drawing, measures, what they stand.

use garden::tunnel::{Change, Limits, Tunnel, Wish};
use garden::{Garden, rows};

use super::diagram;
use crate::columns::columns;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// The whole answer.
pub fn write(
    garden: &Garden,
    tunnels: &[Tunnel],
    wish: &Wish,
    words: &GardenFormat,
    width: usize,
) -> String {
    let mut page = Paragraphs::new(width);
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

fn one(
    page: &mut Paragraphs,
    garden: &Garden,
    t: &Tunnel,
    names: &str,
    wish: &Wish,
    words: &GardenFormat,
) {
    let h = &t.hoops;
    page.head(names);
    page.raw(&diagram::draw(t, words, page.width()));
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

fn bend(t: &Tunnel, words: &GardenFormat) -> String {
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

fn fits(page: &mut Paragraphs, garden: &Garden, t: &Tunnel, words: &GardenFormat) {
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
fn table(t: &Tunnel, words: &GardenFormat, width: usize) -> String {
    let mut rows = vec![(format!("as it is, {}", words.short(t.hoops.spacing_m)), &t.limits)];
    rows.extend(t.instead.iter().map(|(change, limits)| (change_words(change, words), limits)));
    if width < TABLE_COLUMNS {
        return narrow(&rows, words);
    }
    let unit = (words.short_unit(), words.wind_unit());
    let line = |cells: [&str; 5]| cells.map(str::to_owned).to_vec();
    let mut all = vec![
        line(["gives way under", "fresh snow", "wet snow", "gust, hoops", "gust, pins"]),
        line(["(low to likely)", unit.0, unit.0, unit.1, unit.1]),
    ];
    for (name, l) in rows {
        all.push(vec![
            name,
            words.short_range(l.snow_collapses_m[0]),
            words.short_range(l.snow_collapses_m[2]),
            words.wind_range(l.gust_collapses_m_s),
            l.pins_m_s.map_or_else(|| "-".into(), |p| words.wind_range(p)),
        ]);
    }
    columns(width, 2, all)
}

/// Columns that the table takes.
const TABLE_COLUMNS: usize = 72;

/// The same for a phone: one limit a line.
fn narrow(rows: &[(String, &Limits)], words: &GardenFormat) -> String {
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

fn change_words(change: &Change, words: &GardenFormat) -> String {
    match change {
        Change::Spacing(m) => format!("{} apart", words.short(*m)),
        Change::Gauge(g) => format!("{g}-gauge wire"),
        Change::Purlin => "purlin on posts".into(),
    }
}

fn spacing(t: &Tunnel, wish: &Wish, words: &GardenFormat) -> String {
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

fn wide_sheets(page: &mut Paragraphs, garden: &Garden, words: &GardenFormat) {
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
