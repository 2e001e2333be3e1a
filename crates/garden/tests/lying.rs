//! What lies, from notes by name: shed, contradictions, unnamed sheets.

use garden::fit::{Item, Placement};
use garden::lying::{Contradiction, GardenState, NotedBed, NotedSheet, Opening, derive, owned};
use garden::{Garden, file};
use proptest::prelude::*;
use quantities::Moment;

const NOW: Moment = Moment(1_810_328_400);

fn wisconsin() -> Garden {
    file::read(include_str!("../../../demo/wisconsin/garden.toml")).garden.expect("reads")
}

fn note(bed: &str, name: Option<&str>, layers: u32, hours_ago: i64) -> NotedBed {
    let sheet = NotedSheet {
        name: name.map(str::to_owned),
        layers: Some(layers),
        loose_mulch: false,
        since: NOW.plus_seconds(-3600 * hours_ago),
    };
    NotedBed { bed: bed.to_owned(), sheets: vec![sheet], opening: Opening::Shut }
}

#[test]
fn what_lies_is_not_in_the_shed() {
    let garden = wisconsin();
    let heavy = garden.stock.sheets.iter().position(|s| s.name == "heavy 72").expect("a sheet");
    let state = derive(&garden, &[note("Broccoli ", Some("HEAVY 72"), 1, 2)], NOW);
    let bed = garden.beds.iter().position(|b| b.name == "broccoli").expect("a bed");
    let lies = state.beds[bed].first().expect("lies");
    assert!(matches!(lies.cover.lie, Placement::LowTunnel { .. }), "{lies:?}");
    assert_eq!(lies.since, Some(NOW.plus_seconds(-7200)));
    assert!(state.contradictions.is_empty());
    let item = Item::Sheet(heavy);
    assert_eq!(state.in_shed(&garden, item) + state.lying_of(item), owned(&garden, item));
    assert!(state.in_shed(&garden, Item::Pins) < garden.stock.pins);
    assert!(GardenState::of_file(&garden, NOW).beds.iter().all(Vec::is_empty));
}

#[test]
fn names_that_nobody_knows_are_told_and_a_nameless_sheet_is_taken_for_the_lightest() {
    let garden = wisconsin();
    let notes = [
        note("broccoli", None, 1, 1),
        note("cabbage", Some("sail"), 1, 1),
        note("pond", Some("heavy 72"), 1, 1),
    ];
    let state = derive(&garden, &notes, NOW);
    let told = &state.contradictions;
    assert!(told.iter().any(|c| matches!(c, Contradiction::UnknownBed { bed } if bed == "pond")));
    assert!(
        told.iter()
            .any(|c| matches!(c, Contradiction::UnknownSheet { name, .. } if name == "sail"))
    );
    assert!(told.iter().any(|c| matches!(c, Contradiction::Unnamed { taken_for: Some(_), .. })));
    assert_eq!(state.beds.iter().flatten().count(), 1);
}

proptest! {
    /// However much is noted, no more lies than is owned, and what is not believed is told with the two newest notes.
    #[test]
    fn no_more_lies_than_is_owned(beds in prop::collection::vec((0..20_usize, 0..20_usize, 1..3_u32, 0..99_i64), 0..30)) {
        let garden = wisconsin();
        let mut notes: Vec<NotedBed> = Vec::new();
        for (bed, sheet, layers, ago) in beds {
            let bed = &garden.beds[bed % garden.beds.len()].name;
            let sheet = &garden.stock.sheets[sheet % garden.stock.sheets.len()].name;
            notes.retain(|n| n.bed != *bed);
            notes.push(note(bed, Some(sheet), layers, ago));
        }
        let state = derive(&garden, &notes, NOW);
        for i in 0..garden.stock.sheets.len() {
            prop_assert!(state.lying_of(Item::Sheet(i)) <= garden.stock.sheets[i].count);
        }
        let mut not_believed = 0;
        for c in &state.contradictions {
            if let Contradiction::MoreThanOwned { noted, owned, newest, not_believed: open, .. } = c {
                prop_assert!(noted > owned && !open.is_empty());
                prop_assert!(newest.windows(2).all(|w| w[0].1 >= w[1].1) && newest.len() <= 2);
                not_believed += open.len();
            }
        }
        prop_assert_eq!(state.beds.iter().flatten().count() + not_believed, notes.len());
    }
}
