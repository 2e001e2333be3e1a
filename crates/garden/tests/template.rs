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
    }
}
