//! The sensors, for people.

use garden::Garden;
use quantities::Moment;

use crate::answers::sensors::{how, told};
use crate::format::GardenFormat;
use crate::machines::state::State;
use crate::paragraphs::Paragraphs;

/// Every sensor in two lines, then files that could not be read.
pub fn write(state: &State, garden: &Garden, now: Moment, width: usize) -> String {
    if garden.sensors.is_empty() {
        return format!("{}\n", how(garden));
    }
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut paper = Paragraphs::new(width);
    for of in told(state, &words, now) {
        let line = format!("{}, {}: {}; {} in the diary.", of.name, of.place, of.last, of.nights);
        paper.say("", 0, &line);
        if let Some(trouble) = of.trouble {
            paper.say("", 2, &format!("{trouble}."));
        }
    }
    for fault in &state.faults {
        let why = fault.fault.as_deref().unwrap_or_default();
        paper.say("", 0, &format!("Not read: {}, {why}.", fault.name));
    }
    paper.finish()
}
