//! A grower's own crops.

use crate::crops::{self, CropId, OwnCrop};
use crate::file::table::{Reader, Table};

/// Own crops by their names.
pub type OwnCrops = Vec<(String, CropId)>;

/// Every own crop; `None` when any has a fault.
pub fn crops(r: &mut Reader, top: &Table<'_>) -> Option<OwnCrops> {
    let mut out = Some(OwnCrops::new());
    for t in top.tables(r, "crop") {
        let read = crop(r, &t).filter(|new| {
            let known = out.iter().flatten().any(|(name, _)| crops::same(name, &new.name))
                || crops::find(&new.name).is_some();
            if known {
                let message = format!("there is a crop called “{}” already", new.name);
                r.fault(t.span_of("name"), message, "a name of its own");
            }
            !known
        });
        match (read, &mut out) {
            (Some(new), Some(all)) => all.push((new.name.clone(), crops::own(&new))),
            _ => out = None,
        }
    }
    out
}

fn crop(r: &mut Reader, t: &Table<'_>) -> Option<OwnCrop> {
    let name = t.text(r, "name");
    let like_word = t.text(r, "like");
    let tenth_lost_c = t.number(r, "tenth_lost");
    let most_lost_c = t.number(r, "most_lost");
    let heat_limit_c = t.number(r, "heat_limit");
    let like_word = like_word?;
    let Some(like) = crops::find(&like_word) else {
        r.unknown_word(t.span_of("like"), "crop", &like_word, &crops::names());
        return None;
    };
    let own = OwnCrop { name: name?, like, tenth_lost_c, most_lost_c, heat_limit_c };
    if own.limits_c().is_some_and(|(t10, t90)| t90 >= t10) {
        r.fault(
            t.span.clone(),
            format!("“{}” would lose nine tenths before it loses a tenth", own.name),
            "most_lost colder than tenth_lost; where one is left out it is that of the crop it is like",
        );
        return None;
    }
    Some(own)
}
