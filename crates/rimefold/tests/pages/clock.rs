//! A clock that is set while the pages run: forwards through a night, back, and forwards again.
//!
//! The program's own clock is set by Debian's libfaketime, which reads the time from a file at every call; where it is not
//! installed the test says so and is skipped, under `CI=true` it fails.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::Site;
use crate::diary::{Garden, integrity};

/// The library that answers for the clock.
fn library() -> Option<PathBuf> {
    let folders = std::fs::read_dir("/usr/lib").ok()?.filter_map(Result::ok);
    folders.map(|f| f.path().join("faketime/libfaketimeMT.so.1")).find(|f| f.is_file())
}

/// Sets the clock to a local time of the garden, Central Daylight Time.
fn set(file: &Path, local: &str) {
    let zoned: jiff::civil::DateTime = local.parse().expect("a time");
    let utc = zoned.checked_add(jiff::Span::new().hours(5)).expect("a time");
    std::fs::write(file, format!("{}\n", utc.strftime("%Y-%m-%d %H:%M:%S"))).expect("set");
}

#[test]
fn a_clock_set_forwards_and_back_through_a_night_loses_nothing_and_is_followed() {
    let Some(library) = library() else {
        return measured_data::lacks("libfaketime (apt-get install faketime)");
    };
    let garden = Garden::new("wisconsin");
    let clock = garden.path.join("clock");
    set(&clock, "2027-05-14T16:00:00");
    let mut command = Command::new(env!("CARGO_BIN_EXE_rimefold"));
    command.arg("serve").arg(&garden.path).args(["--port", "0"]);
    command.env("LD_PRELOAD", library).env("FAKETIME_TIMESTAMP_FILE", &clock);
    // Read at every call; what waits goes by the true time.
    command.env("FAKETIME_NO_CACHE", "1").env("DONT_FAKE_MONOTONIC", "1").env("TZ", "UTC");
    let site = Site::started(garden, command);
    let shows = |words: &str| site.until("/", |a| a.body.contains(words));
    let mut noted = 0_u32;
    let mut note = |bed: &str, sheet: &str, act: &str| {
        noted += 1;
        let id = format!("{noted:032x}");
        let fields = [("id", id.as_str()), ("bed", bed), ("sheet", sheet), ("act", act)];
        let answer = site.post("/cover", &fields);
        assert_eq!(answer.status, 303, "{bed}: {}", answer.body);
    };
    shows("Cover 8 beds.");
    set(&clock, "2027-05-14T20:00:00");
    note("young peach", "clear film", "covered");
    shows("7 of 8 beds left to cover.");
    // Forwards into the night, and past its end: film in the sun comes first.
    set(&clock, "2027-05-14T23:00:00");
    shows("Forecast of 1:20 pm, 10 hours old.");
    set(&clock, "2027-05-15T09:30:00");
    shows("LATE");
    note("young peach", "", "opened");
    // Back before both notes: they are still to come.
    set(&clock, "2027-05-14T16:00:00");
    shows("Cover 8 beds.");
    note("cabbage", "heavy 72", "covered");
    shows("7 of 8 beds left to cover.");
    // Forwards again, by a day.
    set(&clock, "2027-05-15T16:00:00");
    shows("15 May");
    assert_eq!(site.notes().len(), noted as usize, "every note is there");
    assert_eq!(integrity(&site.garden.database()), "ok");
    // The end of a year, and a clock that knows nothing yet: no plan, and why.
    for (strange, why) in [
        ("2027-12-31T23:59:58", "the forecast ended 229 days ago"),
        ("1970-01-01T06:00:00", "the forecast begins only in 20952 days"),
    ] {
        set(&clock, strange);
        shows(why);
    }
    set(&clock, "2027-05-14T16:30:00");
    shows("7 of 8 beds left to cover.");
}
