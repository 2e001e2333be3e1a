//! What was learned, for people.

use garden::Garden;

use crate::answers::learn::{Learnt, sentences};
use crate::format::GardenFormat;
use crate::paragraphs::Paragraphs;

/// The sentences, and how to stop or undo it.
pub fn write(learnt: &Learnt, garden: &Garden, width: usize) -> String {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut paper = Paragraphs::new(width);
    for sentence in sentences(learnt, &words) {
        paper.say("", 0, &sentence);
    }
    if learnt.lesson.is_some() {
        let stop = if learnt.frozen_since.is_some() { "--go-on" } else { "--freeze" };
        let how = format!(
            "The plans of the evening go by this. To stop or start learning: {stop}; to forget every night so far: --forget. The garden file is not touched."
        );
        paper.say("", 0, &how);
    }
    paper.finish()
}
