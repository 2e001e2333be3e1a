//! What can be bought, and what a bed is to carry through the year.

use structure::Material;

use crate::file::hoops::{MATERIALS, section};
use crate::file::stock::{KINDS, Kind, kind};
use crate::file::table::{LONG, Reader, SHORT, Table, WEIGHT};
use crate::need::{Need, Wanted};
use crate::supply::{ClothRoll, RodRoll, Supply};

/// What is on offer.
pub fn supply(r: &mut Reader, t: &Table<'_>) -> Option<Supply> {
    let pin_price = t.maybe_number(r, "pin_price", 0.0..=1e4);
    let clip_price = t.maybe_number(r, "clip_price", 0.0..=1e4);
    let budget = t.maybe_number(r, "budget", 0.0..=1e7);
    let years = t.maybe_number(r, "years", 1.0..=10.0).map_or(1, |y| y as u32);
    let rods: Vec<Option<RodRoll>> = t.tables(r, "rod").iter().map(|x| rod(r, x)).collect();
    let cloths: Vec<Option<ClothRoll>> = t.tables(r, "cloth").iter().map(|x| cloth(r, x)).collect();
    t.no_more(r);
    Some(Supply {
        rods: rods.into_iter().collect::<Option<_>>()?,
        cloths: cloths.into_iter().collect::<Option<_>>()?,
        pin_price,
        clip_price,
        budget,
        years,
    })
}

fn rod(r: &mut Reader, t: &Table<'_>) -> Option<RodRoll> {
    let name = t.text(r, "name");
    let material: Option<Material> = t.word(r, "material", &MATERIALS);
    let section = section(r, t, material);
    let length_m = t.measure(r, "length", LONG, 0.5..=10_000.0);
    let (price, at_most) = terms(r, t);
    t.no_more(r);
    Some(RodRoll {
        name: name?,
        material: material?,
        section: section?,
        length_m: length_m?,
        price,
        at_most,
    })
}

fn cloth(r: &mut Reader, t: &Table<'_>) -> Option<ClothRoll> {
    let name = t.text(r, "name");
    let kind = kind(r, t);
    let width_m = t.measure(r, "width", SHORT, 0.3..=20.0);
    let length_m = t.measure(r, "length", LONG, 0.5..=2000.0);
    let lasts_seasons = t.maybe_number(r, "lasts_seasons", 0.5..=30.0);
    let (price, at_most) = terms(r, t);
    t.no_more(r);
    Some(ClothRoll {
        name: name?,
        kind: kind?,
        width_m: width_m?,
        length_m: length_m?,
        price,
        at_most,
        lasts_seasons,
    })
}

fn terms(r: &mut Reader, t: &Table<'_>) -> (Option<f64>, Option<u32>) {
    let price = t.maybe_number(r, "price", 0.0..=1e6);
    let at_most = if t.has("at_most") { t.count(r, "at_most", 10_000) } else { None };
    (price, at_most)
}

/// One cover a bed is to carry.
pub fn need(r: &mut Reader, t: &Table<'_>) -> Option<Need> {
    let kind = t.word(r, "kind", &KINDS);
    let wanted = match kind {
        Some(Kind::RowCover) => Some(Wanted::RowCover {
            least_g_m2: t.maybe_measure(r, "least_weight", WEIGHT, 8.0..=150.0).unwrap_or(0.0),
        }),
        Some(Kind::ShadeCloth) => Some(Wanted::ShadeCloth {
            least_shade: t.maybe_number(r, "least_shade", 0.05..=0.95).unwrap_or(0.0),
        }),
        Some(Kind::Film) => Some(Wanted::Film),
        Some(Kind::InsectNet) => Some(Wanted::InsectNet),
        None => None,
    };
    let from_day = day(r, t, "from");
    let to_day = day(r, t, "to");
    t.no_more(r);
    Some(Need { wanted: wanted?, from_day: from_day?, to_day: to_day? })
}

/// Days before each month of a leap year.
const BEFORE: [u16; 13] = [0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366];

/// A day of the year from month and day.
fn day(r: &mut Reader, t: &Table<'_>, key: &str) -> Option<u16> {
    let text = t.text(r, key)?;
    let parsed = text.split_once('-').and_then(|(m, d)| {
        let (m, d) = (m.parse::<usize>().ok()?, d.parse::<u16>().ok()?);
        let (before, next) = (*BEFORE.get(m.checked_sub(1)?)?, *BEFORE.get(m)?);
        (1..=next - before).contains(&d).then_some(before + d)
    });
    if parsed.is_none() {
        r.fault(t.span_of(key), format!("`{text}` is no day"), "month and day, such as \"04-15\"");
    }
    parsed
}
