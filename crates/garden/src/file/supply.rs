//! What can be bought, and what a bed is to carry through the year.

use structure::Material;

use crate::file::hoops::section;
use crate::file::stock::kind;
use crate::file::table::{Reader, Table};
use crate::need::{Need, Wanted};
use crate::stock::ClothKind;
use crate::supply::{ClothRoll, RodRoll, Supply};

/// What is on offer.
pub fn supply(r: &mut Reader, t: &Table<'_>) -> Option<Supply> {
    let pin_price = t.number(r, "pin_price");
    let clip_price = t.number(r, "clip_price");
    let budget = t.number(r, "budget");
    let years = t.count(r, "years");
    let rods: Vec<Option<RodRoll>> = t.tables(r, "rod").iter().map(|x| rod(r, x)).collect();
    let cloths: Vec<Option<ClothRoll>> = t.tables(r, "cloth").iter().map(|x| cloth(r, x)).collect();
    Some(Supply {
        rods: rods.into_iter().collect::<Option<_>>()?,
        cloths: cloths.into_iter().collect::<Option<_>>()?,
        pin_price,
        clip_price,
        budget,
        years: years?,
    })
}

fn rod(r: &mut Reader, t: &Table<'_>) -> Option<RodRoll> {
    let name = t.text(r, "name");
    let material: Option<Material> = t.word(r, "material");
    let section = section(r, t, material);
    let length_m = t.number(r, "length");
    let (price, at_most) = terms(r, t);
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
    let width_m = t.number(r, "width");
    let length_m = t.number(r, "length");
    let lasts_seasons = t.number(r, "lasts_seasons");
    let (price, at_most) = terms(r, t);
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
    let price = t.number(r, "price");
    (price, t.count(r, "at_most"))
}

/// One cover a bed is to carry.
pub fn need(r: &mut Reader, t: &Table<'_>) -> Option<Need> {
    let kind = t.word(r, "kind");
    let wanted = match kind {
        Some(ClothKind::RowCover) => {
            Some(Wanted::RowCover { least_g_m2: t.number(r, "least_weight").unwrap_or(0.0) })
        }
        Some(ClothKind::ShadeCloth) => {
            Some(Wanted::ShadeCloth { least_shade: t.number(r, "least_shade").unwrap_or(0.0) })
        }
        Some(ClothKind::Film) => Some(Wanted::Film),
        Some(ClothKind::InsectNet) => Some(Wanted::InsectNet),
        None => None,
    };
    let from_day = day(r, t, "from");
    let to_day = day(r, t, "to");
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
        r.fault(t.span_of(key), format!("“{text}” is no day"), "month and day, such as 04-15");
    }
    parsed
}
