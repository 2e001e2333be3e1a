//! What was said against what was read, for people.

use diary::skill::Skill;
use garden::Garden;

use crate::diary::verdict;
use crate::format::GardenFormat;
use crate::paragraphs::Paragraphs;

/// Each night, then the verdicts.
pub fn write(skill: &Skill, garden: &Garden, width: usize) -> String {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut paper = Paragraphs::new(width);
    for line in verdict::nights(skill, &words) {
        paper.say("", 2, &line);
    }
    if !skill.nights.is_empty() {
        paper.blank();
    }
    for sentence in verdict::verdicts(skill, garden, &words) {
        paper.say("", 0, &sentence);
    }
    paper.finish()
}
