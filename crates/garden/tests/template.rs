//! What `new` writes.

use garden::file;
use garden::template::{Answers, write};
use quantities::UnitSystem;

#[test]
fn what_new_writes_reads_back() {
    let cases = [(UnitSystem::Us, 46.75, "04-10"), (UnitSystem::Metric, -46.75, "10-10")];
    for (units, latitude, spring) in cases {
        let text = write(&Answers {
            name: "A \"quoted\" garden".into(),
            units,
            latitude,
            longitude: -5.9,
            elevation: 520.0,
            zone: "Europe/Paris".into(),
            soil: "loam".into(),
            exposure: "open".into(),
            people: 2,
            minutes: 30.0,
            beds: 3,
            bed_length: 7.5,
            bed_width: 80.0,
        });
        let reading = file::read(&text);
        assert!(reading.faults.is_empty(), "{:?}\n{text}", reading.faults);
        assert!(reading.warnings.is_empty(), "{:?}", reading.warnings);
        let garden = reading.garden.expect("reads");
        assert_eq!((garden.beds.len(), garden.units), (3, units));
        // Nothing that the grower did not say is there.
        assert!(
            garden.stock.sheets.is_empty() && garden.stock.pins == 0 && garden.stock.clips == 0
        );
        assert!(garden.beds.iter().all(|b| b.hoops.is_none() && b.plantings.is_empty()));
        // Examples stand in the season of the place.
        assert!(text.contains(&format!("# from = \"{spring}\"")), "{text}");
    }
}
