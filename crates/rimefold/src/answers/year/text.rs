//! The year for people: a table of dates, a paragraph a planting, what it rests on.

use std::fmt::Write as _;

use garden::Garden;
use garden::fit::{Cover, Item};
use garden::growth::Carry;
use history::year::autumn::LastPicking;
use history::year::chores::ChoreKind;
use history::year::development::Absent;
use history::year::spring::SetOut;
use history::year::winter::{Verdict, Winter};
use history::year::{BedYear, PlantingYear, WINTER_STRAW_M};

use super::{Answer, word};
use crate::columns::columns;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// Width from which a table fits.
const TABLE_WIDTH: usize = 76;

/// The whole answer.
pub fn write(a: &Answer, width: usize) -> String {
    let mut page = Paragraphs::new(width);
    let station = a.station.as_deref().map_or(String::new(), |s| format!(" of {s}"));
    let years = count(a.year.years.len(), "year");
    page.say(
        "",
        0,
        &format!(
            "{}: the year from {years}{station}, {}. Harm is risked in {}.",
            a.garden.name,
            a.span(),
            a.risk()
        ),
    );
    if width >= TABLE_WIDTH {
        page.blank();
        table(&mut page, a);
    }
    for b in &a.year.beds {
        for p in &b.plantings {
            page.head(&a.name(b.bed, p.planting));
            for line in planting(a, b, p) {
                page.say("", 0, &line);
            }
        }
        if let Some(line) = carried(a, b) {
            page.say("", 0, &line);
        }
    }
    chores(&mut page, a);
    page.blank();
    for line in rests(a) {
        page.say("", 0, &line);
    }
    page.finish()
}

fn table(page: &mut Paragraphs, a: &Answer) {
    let line = |first: &str, cells: [&str; 6]| {
        std::iter::once(first).chain(cells).map(str::to_owned).collect::<Vec<_>>()
    };
    let mut rows = vec![
        line("", ["out", "out", "first", "last", "last", "winter"]),
        line("", ["open", "covered", "picking", "open", "covered", ""]),
    ];
    for b in &a.year.beds {
        for p in &b.plantings {
            let short = |d: Option<usize>| {
                d.map_or("-".into(), |d| a.date(d, 2001).strftime("%-d %b").to_string())
            };
            let open = p.spring.as_ref().ok().and_then(|s| s.first());
            let out = p.best_spring().map(|s| s.1);
            let end = p.autumn.as_ref().ok().and_then(|s| s.first());
            let last = p.best_autumn().map(|s| s.1);
            let winter = match p.winter.as_ref().map(|w| w.verdict) {
                Ok(Verdict::Open) => "open",
                Ok(Verdict::Under(_)) => "covered",
                Ok(Verdict::Straw) => "straw",
                Ok(Verdict::No) => "no",
                Err(_) => "-",
            };
            let stands = |e: Option<&LastPicking>| match e {
                Some(LastPicking { day: None, .. }) => "stands".into(),
                e => short(e.and_then(|e| e.day)),
            };
            let cells = [
                short(open.and_then(|s| s.day)),
                short(out.and_then(|s| s.day)),
                short(out.or(open).and_then(|s| s.first_picking)),
                stands(end),
                stands(last),
                winter.into(),
            ];
            rows.push(line(&a.name(b.bed, p.planting), cells.each_ref().map(String::as_str)));
        }
    }
    page.raw(&columns(page.width(), 0, rows));
}

/// One planting's dates in whole sentences.
pub fn planting(a: &Answer, b: &BedYear, p: &PlantingYear) -> Vec<String> {
    let mut out = vec![match &p.spring {
        Ok(rows) => set_out(a, b, p, rows),
        Err(why) => format!("Setting out: {}.", absent(*why)),
    }];
    match &p.autumn {
        Ok(rows) => out.push(ends(a, b, p, rows)),
        Err(why) if p.spring.is_ok() => out.push(format!("Autumn: {}.", absent(*why))),
        Err(_) => {}
    }
    out.push(match &p.winter {
        Ok(w) => wintered(a, b, w),
        Err(why) => format!("Winter: {}.", absent(*why)),
    });
    let dated: Vec<String> =
        p.pests.iter().filter_map(|(n, d)| Some(format!("{n} {}", a.day((*d)?)))).collect();
    let undated: Vec<&str> = p.pests.iter().filter(|p| p.1.is_none()).map(|p| p.0).collect();
    if !dated.is_empty() {
        out.push(format!("Insects fly, in the middle of years: {}.", dated.join(", ")));
    }
    if !undated.is_empty() {
        out.push(format!("Insects without a known date: {}.", undated.join(", ")));
    }
    out
}

fn set_out(a: &Answer, b: &BedYear, p: &PlantingYear, rows: &[SetOut]) -> String {
    let planted = growth_of(a, b, p).filter(|g| g.start == Some(garden::growth::Start::Planted));
    let verb = match planted {
        Some(growth) if growth.in_autumn => return in_autumn(a, rows),
        Some(_) => "Plant",
        None if is_sown(a, b, p) => "Sow",
        None => "Set out",
    };
    let waits =
        |r: &SetOut| if r.waits_for_warmth { " (it waits for warmth to grow in)" } else { "" };
    let mut out = match rows.first().and_then(|r| Some((r, r.day?))) {
        Some((r, day)) => {
            let sure = r.interval.map_or(String::new(), |i| {
                let of = |x: f64| a.day(x.round() as usize);
                format!("; these years fix it only to {} to {}", of(i.low), of(i.high))
            });
            format!("{verb} open from {}{}{sure}.", a.day(day), waits(r))
        }
        None => format!("{verb} open: no date before the middle of summer is safe enough."),
    };
    match p.best_spring() {
        Some((c, r)) => {
            let day = r.day.map_or(String::new(), |d| a.day(d));
            let _ = write!(out, " With {} on cold nights from {day}{}.", with(a, b, c), waits(r));
        }
        None if b.covers.is_empty() => out += " No cover in stock fits.",
        None => out += " No cover brings it forward.",
    }
    out + &picked(a, p, rows)
}

/// What is planted in autumn, and when it is picked the next summer.
fn in_autumn(a: &Answer, rows: &[SetOut]) -> String {
    let Some((row, day)) = rows.first().and_then(|r| Some((r, r.day?))) else {
        return "Plant in autumn: no autumn of these years cools to its time of planting.".into();
    };
    let picked = row.first_picking.map_or(String::new(), |first| {
        let last = row.last_picking.map_or(String::new(), |l| format!(" to {}", a.day(l)));
        format!(" Picked the next summer, {}{last}, by growth, roughly.", a.day(first))
    });
    format!("Plant about {}, as autumn cools.{picked}", a.day(day))
}

fn growth_of(a: &Answer, b: &BedYear, p: &PlantingYear) -> Option<garden::growth::Growth> {
    let planting = a.garden.beds[b.bed].plantings.get(p.planting)?;
    garden::growth::crop_growth(planting.crop)
}

/// By growth, which is rough: fit to set out, first and last picking, and what the cover is worth to the first.
fn picked(a: &Answer, p: &PlantingYear, rows: &[SetOut]) -> String {
    let (open, covered) = (rows.first(), p.best_spring().map(|s| s.1));
    let Some(best) = covered.or(open) else { return String::new() };
    let mut out = String::new();
    if let Some(day) = best.fit_to_set_out {
        let _ = write!(out, " Big enough to transplant {}.", a.day(day));
    }
    let Some(first) = best.first_picking else { return out };
    let last = best.last_picking.map_or(String::new(), |l| format!(" to {}", a.day(l)));
    let _ = write!(out, " Picked {}{last}, by growth, roughly", a.day(first));
    if let Some(without) = open.filter(|_| covered.is_some()).and_then(|o| o.first_picking) {
        let _ = write!(out, "; open, from {}", a.day(without));
        match best.first_picking_open.map(|d| d.saturating_sub(first)) {
            Some(0) | None => {}
            Some(days) => {
                let _ = write!(out, "; {} of it for the warmer nights", count(days, "day"));
            }
        }
    }
    out + "."
}

fn is_sown(a: &Answer, b: &BedYear, p: &PlantingYear) -> bool {
    let planting = a.garden.beds[b.bed].plantings.get(p.planting);
    planting.is_some_and(|p| p.start == garden::planting::Start::DirectSown)
}

fn ends(a: &Answer, b: &BedYear, p: &PlantingYear, rows: &[LastPicking]) -> String {
    let Some(open) = rows.first() else { return "Autumn: not known.".into() };
    let what = if open.root { "Roots keep in the ground" } else { "A late planting is picked" };
    let mut out = match open.day {
        Some(d) => format!("{what} until about {}", a.day(d)),
        None => format!("{what} into the new year"),
    };
    if let Some(early) = open.early.filter(|e| open.day.is_none_or(|d| *e < d)) {
        let _ = write!(out, ", in {} only to {}", a.risk(), a.day(early));
    }
    out.push('.');
    if let Some((c, r)) = p.best_autumn() {
        let until = r.day.map_or("into the new year".into(), |d| format!("to {}", a.day(d)));
        let _ = write!(
            out,
            " With {} {until}: on average {:.0} days more",
            with(a, b, c),
            r.days_gained
        );
        if !open.root && r.pickings_gained >= 0.05 {
            let _ = write!(out, ", {:.1} pickings of growth (rough)", r.pickings_gained);
        }
        out.push('.');
    }
    out
}

fn wintered(a: &Answer, b: &BedYear, w: &Winter) -> String {
    let share = |i: usize| {
        let (tops, roots) = w.stood.get(i).copied().unwrap_or((None, None));
        let of = |s: f64| (s * w.winters as f64).round() as usize;
        let say = |s: Option<f64>, what: &str| s.map(|s| format!("{what} in {}", of(s)));
        let below = if w.carry == Carry::Crown { "crowns" } else { "roots" };
        let both: Vec<String> =
            [say(tops, "tops"), say(roots, below)].into_iter().flatten().collect();
        format!("{} of {}", both.join(", "), count(w.winters, "winter"))
    };
    match w.verdict {
        Verdict::Open => format!("Winter: stands open ({}).", share(0)),
        Verdict::Under(c) => format!(
            "Winter: stands with {} lying on ({}); open: {}.",
            with(a, b, c),
            share(c + 1),
            share(0)
        ),
        Verdict::Straw => format!("Winter: keeps {}; open: {}.", straw(a, w), share(0)),
        Verdict::No => {
            let under =
                if w.straw.is_some() { format!(", nor {}", straw(a, w)) } else { String::new() };
            format!("Winter: nothing that fits carries it over{under}; open: {}.", share(0))
        }
    }
}

/// Under so much straw, in how many winters, and whether there is as much.
fn straw(a: &Answer, w: &Winter) -> String {
    let Some(s) = w.straw else { return String::new() };
    let words = GardenFormat::new(a.garden.units, &a.garden.zone);
    let came = (s.roots * w.winters as f64).round() as usize;
    let lacks = if s.have { "" } else { ", which the stock lacks" };
    format!(
        "under loose straw {} deep (roots in {came}; it takes {}{lacks})",
        words.short(WINTER_STRAW_M),
        words.volume(s.takes_m3)
    )
}

/// What the hoops of a bed, or the bed itself, carry through the year.
pub fn carried(a: &Answer, b: &BedYear) -> Option<String> {
    if b.cover_periods.is_empty() {
        return None;
    }
    let all = b.cover_periods.iter().map(|c| {
        let lacks = if c.have { "" } else { " (none in stock fits)" };
        format!("{} {} to {}{lacks}", word(c.what), a.day(c.days.start), a.day(c.days.end - 1))
    });
    let on =
        if a.garden.beds[b.bed].hoops.is_some() { "The hoops carry" } else { "The bed carries" };
    Some(format!("{on}: {}.", all.collect::<Vec<_>>().join("; ")))
}

fn chores(page: &mut Paragraphs, a: &Answer) {
    if a.year.chores.is_empty() {
        return;
    }
    page.head("To look after");
    for c in &a.year.chores {
        let what = match c.what {
            ChoreKind::Voles => "voles under winter covers, every week",
            ChoreKind::Snow => "snow on covered hoops, every day",
            ChoreKind::StoredCloth => "stored cloth, every month: dry, whole, no mice",
        };
        page.say("", 2, &format!("{} to {}: {what}", a.day(c.days.start), a.day(c.days.end - 1)));
    }
}

/// What the year rests on, in whole sentences.
pub fn rests(a: &Answer) -> Vec<String> {
    let snow = if a.snow {
        ", and the snow that lies on open beds"
    } else {
        "; the record has no depth of snow, so open beds lie bare all winter"
    };
    let left = if a.left_out > 0 {
        let lack = if a.left_out == 1 {
            "lacks too many days and is"
        } else {
            "lack too many days and are"
        };
        format!(" {} asked for {lack} left out.", count(a.left_out, "year"))
    } else {
        String::new()
    };
    vec![
format!(
            "Measured: the station's minima and maxima{snow}. Derived: the hours between, and cloud. Drawn: humidity and \
             wind. The record is the station's; the garden's own cold spot is added on clear calm nights only.{left}"
        ),
"Covers are laid at dusk and off by day; in winter they lie on. Harm is more than a tenth lost, last picking \
         before more than half is. A cover laid on every night that threatens cold \
         brings growth on by what it keeps; left on in days under ten hours it warms by day and dims. Plants are as tall as the garden file has them; growth is from rough tables, mostly \
         from memory; in autumn a planting of the same crop is taken to stand. Flowers that need insects need the net \
         off; chill without frost, rain and disease are not counted.".into(),
"Advice, not a promise: next year is not one of these. Look at the forecast, and at your own ground.".into(),
    ]
}

fn with(a: &Answer, b: &BedYear, c: usize) -> String {
    b.covers.get(c).map_or(String::new(), |c| cover(a, c))
}

/// What is laid, in words.
pub fn cover(a: &Answer, c: &Cover) -> String {
    let words = GardenFormat::new(a.garden.units, &a.garden.zone);
    let Some(cloth) = c.cloth else { return "loose straw".into() };
    let layers = if c.layers > 1 { "two layers of " } else { "" };
    let name = item(&a.garden, c).map_or(String::new(), |n| format!("“{n}” "));
    format!("{layers}{name}({})", words.cloth(cloth.kind))
}

/// Name of the cover in the stock.
pub fn item<'a>(garden: &'a Garden, c: &Cover) -> Option<&'a str> {
    c.uses.iter().find_map(|(item, _)| match item {
        Item::Sheet(i) => garden.stock.sheets.get(*i).map(|s| s.name.as_str()),
        Item::PopUp(i) => garden.stock.pop_ups.get(*i).map(|p| p.name.as_str()),
        _ => None,
    })
}

fn absent(why: Absent) -> &'static str {
    match why {
        Absent::NoGrowth => "how it grows is not in the tables, so there are no dates",
        Absent::NoLimits => "what cold it stands is not in the tables",
        Absent::Perennial => "it stands for years, so there is no date",
        Absent::PickedInSummer => "planted in autumn, it is picked in summer",
        Absent::NotCarried => "not usually carried over",
        Absent::NoWinters => "it takes two years in a row of the record",
    }
}
