//! Damaged garden files: read, or refused with faults at their places; never a panic.

use std::path::Path;

use measured_data::mutations::{corpus, hold_against};

#[test]
fn damaged_gardens_are_read_or_refused() {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let demo = |name: &str| {
        std::fs::read(here.join("../../demo").join(name).join("garden.toml")).expect("a demo")
    };
    let mut files = vec![demo("jura"), demo("wisconsin")];
    files.extend(corpus(&here.join("tests/malformed")));
    let mut read = 0;
    hold_against("gardens", &files, 2_000, |bytes| {
        let Ok(text) = std::str::from_utf8(bytes) else { return };
        let reading = garden::file::read(text);
        read += u32::from(reading.garden.is_some());
        assert_eq!(reading.garden.is_none(), !reading.faults.is_empty());
        for fault in reading.faults.iter().chain(&reading.warnings) {
            assert!(fault.span.start <= fault.span.end && fault.span.end <= text.len());
            assert!(!fault.message.is_empty());
        }
    });
    assert!(read > 10, "only {read} were still gardens");
}
