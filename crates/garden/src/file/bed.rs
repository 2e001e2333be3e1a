//! Beds, hoops, mulch, plantings, what lies over a bed now.

use std::ops::Range;

use crate::bed::{Bed, Mulch, OnNow};
use crate::crops::{self, CropId, Stage};
use crate::file::hoops::hoops;
use crate::file::supply;
use crate::file::table::{Reader, Table};
use crate::need::Need;
use crate::planting::{Planting, Start};
use crate::stock::Sheet;

/// Every bed, and where each stands; `None` when any has a fault.
pub fn beds(
    r: &mut Reader,
    top: &Table<'_>,
    sheets: Option<&[Sheet]>,
    own: Option<&[(String, CropId)]>,
) -> Option<(Vec<Bed>, Vec<Range<usize>>)> {
    let tables = top.tables(r, "bed");
    if tables.is_empty() && !top.has("bed", r.units) && !top.is_meant("bed") {
        r.fault(top.span_of("bed"), "the garden has no beds".into(), "at least one [[bed]]");
    }
    let mut out = Some(Vec::<Bed>::new());
    let mut spans = Vec::new();
    for t in tables {
        let span = t.span_of("name");
        match (bed(r, &t, sheets, own), &mut out) {
            (Some(bed), Some(beds)) => {
                if beds.iter().any(|b| b.name == bed.name) {
                    r.fault(
                        span.clone(),
                        format!("two beds are called “{}”", bed.name),
                        "a name of its own for each bed",
                    );
                }
                beds.push(bed);
                spans.push(span);
            }
            _ => out = None,
        }
    }
    Some((out?, spans))
}

fn bed(
    r: &mut Reader,
    t: &Table<'_>,
    sheets: Option<&[Sheet]>,
    own: Option<&[(String, CropId)]>,
) -> Option<Bed> {
    let name = t.text(r, "name");
    let position_m = t.pair(r, "position");
    let length_m = t.number(r, "length");
    let width_m = t.number(r, "width");
    let raised_m = t.number(r, "raised");
    let wetness = t.word(r, "wetness");
    let pots = t.count(r, "pots");
    let mulch = t.table(r, "mulch").map(|m| mulch(r, &m));
    let hoops = t.table(r, "hoops").map(|h| hoops(r, &h));
    let on_now = t.table(r, "on_now").map(|o| on_now(r, &o, sheets));
    let plantings: Vec<Option<Planting>> =
        t.tables(r, "planting").iter().map(|p| planting(r, p, own)).collect();
    let needs: Vec<Option<Need>> = t.tables(r, "need").iter().map(|n| supply::need(r, n)).collect();
    Some(Bed {
        name: name?,
        position_m,
        length_m: length_m?,
        width_m: width_m?,
        raised_m: raised_m?,
        wetness: wetness?,
        pots: pots?,
        mulch: all_or_nothing(mulch)?,
        hoops: all_or_nothing(hoops)?,
        plantings: plantings.into_iter().collect::<Option<_>>()?,
        needs: needs.into_iter().collect::<Option<_>>()?,
        on_now: all_or_nothing(on_now)?,
    })
}

/// Missing is fine, faulty is not.
#[expect(clippy::option_option, reason = "absent, faulty and read are three things")]
fn all_or_nothing<T>(part: Option<Option<T>>) -> Option<Option<T>> {
    match part {
        None => Some(None),
        Some(None) => None,
        Some(x) => Some(x),
    }
}

fn mulch(r: &mut Reader, t: &Table<'_>) -> Option<Mulch> {
    let kind = t.word(r, "kind");
    let depth_m = t.number(r, "depth");
    Some(Mulch { kind: kind?, depth_m: depth_m? })
}

fn on_now(r: &mut Reader, t: &Table<'_>, sheets: Option<&[Sheet]>) -> Option<OnNow> {
    let name = t.text(r, "sheet");
    let layers = t.count(r, "layers");
    let left_on = t.flag(r, "left_on").unwrap_or(false);
    // Where the stock could not be read, that is the fault, and not what refers to it.
    let (name, sheets) = (name?, sheets?);
    let sheet = sheets.iter().position(|s| s.name == name);
    if sheet.is_none() {
        let names: Vec<&str> = sheets.iter().map(|s| s.name.as_str()).collect();
        r.unknown_word(t.span_of("sheet"), "sheet in the stock", &name, &names);
    }
    Some(OnNow { sheet: sheet?, layers: layers?, left_on })
}

fn planting(r: &mut Reader, t: &Table<'_>, own: Option<&[(String, CropId)]>) -> Option<Planting> {
    let crop_word = t.text(r, "crop");
    let stage_word = t.text(r, "stage");
    let start = t.word(r, "start");
    let hardened = t.flag(r, "hardened");
    let worth = t.number(r, "worth");
    let height = t.number(r, "height");
    let cover = t.number(r, "ground_cover");
    let crop_word = crop_word?;
    let of_own = own?.iter().find(|c| crops::same(&c.0, &crop_word)).map(|c| c.1);
    let Some(crop) = of_own.or_else(|| crops::find(&crop_word)) else {
        let own = own?.iter().map(|c| c.0.as_str());
        let valid: Vec<&str> = crops::names().into_iter().chain(own).collect();
        r.unknown_word(t.span_of("crop"), "crop", &crop_word, &valid);
        return None;
    };
    let stage_word = stage_word?;
    let Some(stage) = crops::find_stage(crop, &stage_word) else {
        let valid: Vec<&str> = crops::stages(crop).into_iter().map(|s| s.0).collect();
        let what = format!("stage of {}", crops::name(crop));
        r.unknown_word(t.span_of("stage"), &what, &stage_word, &valid);
        return None;
    };
    let (usual_height, usual_cover) = crops::size(crop, stage);
    Some(Planting {
        crop,
        start: start?,
        stage,
        hardened: hardened.unwrap_or(start == Some(Start::DirectSown) || stands_outside(stage)),
        worth: worth?,
        height_m: height.unwrap_or(usual_height),
        ground_cover: cover.unwrap_or(usual_cover),
    })
}

/// What has stood in the bed since before: it has met the weather, however it was raised.
fn stands_outside(stage: Stage) -> bool {
    matches!(stage, Stage::Established | Stage::Mature | Stage::Bloom(_))
}
