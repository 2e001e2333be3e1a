//! Snow through the winter: on open beds, on covers that lie on, and the sky above it.

use garden::stock::SheetKind;
use weather::StationRecord;

use crate::scene::record;
use crate::year::{garden, past};

/// The same winters with 25 cm of snow from December to February: low plants and roots of the open bed come through milder,
/// what stands out of it does not. Snow as the best winter cover is common practice, no source.
#[test]
fn snow_shelters_what_it_buries() {
    let bare = record(false);
    let snowy = under_snow(&bare);
    let mut garden = garden(43.0);
    let (kale, lettuce) = (2, 3);
    garden.beds[kale].plantings[0].height_m = 0.5;
    let coldest =
        |n: &Vec<Vec<f32>>| n.iter().flat_map(|y| &y[0..45]).copied().fold(f32::INFINITY, f32::min);
    let [bare, snowy] = [&bare, &snowy].map(|r| {
        let past = past(&garden, r, 1990..=1992);
        [kale, lettuce].map(|bed| {
            let open = past.left(bed, 0).expect("nights");
            [coldest(&open.tissue_c), coldest(open.root_c(0.05))]
        })
    });
    println!("tops and roots, bare {bare:?}, under snow {snowy:?}");
    assert!(snowy[1][0] > bare[1][0] + 3.0, "lettuce of 20 cm is buried");
    assert!(snowy[0][0] < bare[0][0] + 1.0, "kale of 50 cm stands out of it");
    for bed in [0, 1] {
        assert!(snowy[bed][1] > bare[bed][1] + 1.0);
    }
}

/// The same record with 25 cm of snow from December to February.
fn under_snow(record: &StationRecord) -> StationRecord {
    let mut csv = String::from("date,tmin_c,tmax_c,snow_depth_cm\n");
    for d in record.days() {
        let snow = if matches!(d.date.month(), 12 | 1 | 2) { 25 } else { 0 };
        let (low, high) = (d.tmin_c.expect("whole"), d.tmax_c.expect("whole"));
        csv += &format!("{},{low:.1},{high:.1},{snow}\n", d.date);
    }
    weather::station::read(csv.as_bytes()).expect("reads")
}

/// Snow that falls on a cover that has lain since autumn keeps what is under it milder: much on cloth that lies on the plants,
/// little on hoops, which carry only some of it before it is brushed off.
#[test]
fn snow_on_a_cover_that_lies_on_keeps_its_bed_warmer() {
    let bare = record(false);
    let snowy = under_snow(&bare);
    let mut garden = garden(43.0);
    let (kale, lettuce) = (2, 3);
    garden.beds[lettuce].hoops = None;
    let coldest =
        |n: &Vec<Vec<f32>>| n.iter().flat_map(|y| &y[0..45]).copied().fold(f32::INFINITY, f32::min);
    let gained = [kale, lettuce].map(|bed| {
        let [bare, snowy] = [&bare, &snowy].map(|r| {
            let past = past(&garden, r, 1990..=1992);
            let heavy = |c: &&garden::fit::Cover| {
                c.cloth.is_some_and(|c| matches!(c.kind, SheetKind::RowCover { .. }))
            };
            let choice =
                past.covers(bed).expect("covers").iter().position(|c| heavy(&c)).expect("cloth");
            coldest(&past.left(bed, choice + 1).expect("nights").tissue_c)
        });
        println!("bed {bed}: {bare:.1} °C under cloth, {snowy:.1} °C with snow on it");
        snowy - bare
    });
    assert!(gained[0] > 0.3, "some on hoops: {gained:?}");
    assert!(gained[1] > 3.0 && gained[1] > gained[0], "more on the plants: {gained:?}");
}
