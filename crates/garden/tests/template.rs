//! What `new` writes.

use garden::file;
use garden::template::{Answers, write};
use quantities::UnitSystem;

#[test]
fn what_new_writes_reads_back() {
    for units in [UnitSystem::Us, UnitSystem::Metric] {
        let text = write(&Answers {
            name: "A \"quoted\" garden".into(),
            units,
            latitude: 46.75,
            longitude: -5.9,
            elevation: 520.0,
            zone: "Europe/Paris".into(),
            soil: "loam".into(),
            exposure: "open".into(),
            people: 2,
            minutes: 30.0,
            beds: 3,
        });
        let reading = file::read(&text);
        assert!(reading.faults.is_empty(), "{:?}\n{text}", reading.faults);
        assert!(reading.warnings.is_empty(), "{:?}", reading.warnings);
        let garden = reading.garden.expect("reads");
        assert_eq!((garden.beds.len(), garden.units), (3, units));
        // Nothing is owned or grown that was not asked about.
        let stock = &garden.stock;
        assert_eq!((stock.pins, stock.clips, stock.sheets.len()), (0, 0, 0));
        assert!(garden.beds.iter().all(|b| b.hoops.is_none() && b.plantings.is_empty()));
    }
}

/// In the south spring and autumn stand half a year on.
#[test]
fn examples_are_turned_for_the_south() {
    let write_at = |latitude| {
        write(&Answers {
            name: "plot".into(),
            units: UnitSystem::Metric,
            latitude,
            longitude: 170.5,
            elevation: 20.0,
            zone: "Pacific/Auckland".into(),
            soil: "loam".into(),
            exposure: "open".into(),
            people: 1,
            minutes: 30.0,
            beds: 1,
        })
    };
    let (south, north) = (write_at(-45.9), write_at(45.9));
    assert!(north.contains("# from = \"04-10\"") && north.contains("# to = \"05-25\""));
    assert!(south.contains("# from = \"10-10\"") && south.contains("# to = \"11-25\""));
}
