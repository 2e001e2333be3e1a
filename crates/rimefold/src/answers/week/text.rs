//! The nights ahead as text: beds down, nights across.

use evening::lies::Lies;
use evening::week::report::{BedNight, BedWeek, WeekReport};
use garden::Garden;

use super::{Key, Work, evening, in_100, morning, saving};
use crate::columns::columns;
use crate::format::{GardenFormat, count};
use crate::paragraphs::Paragraphs;

/// Columns of a bed's name and of a night.
const NAME: usize = 16;
const NIGHT: usize = 9;

/// The whole answer.
pub fn write(report: &WeekReport, garden: &Garden, width: usize) -> String {
    let words = GardenFormat::new(report.units, &report.zone);
    let key = Key::new(report, garden);
    let mut paper = Paragraphs::new(width);
    let nights = count(report.nights.len(), "night");
    let now = words.day(report.asked_at);
    paper.say("", 0, &format!("{}, {now}. {nights} as one plan.", report.garden));
    let fits = (width.saturating_sub(NAME) / NIGHT).max(1);
    for first in (0..report.nights.len()).step_by(fits) {
        paper.blank();
        table(&mut paper, report, &words, &key, first, fits);
    }
    paper.blank();
    let letters: Vec<String> = key.lines().iter().map(|(c, w)| format!("{c} {w}")).collect();
    let mut legend = letters.join(", ");
    if !legend.is_empty() {
        legend += ". ";
    }
    legend += "Chances in 100 to lose a tenth or more: as planned/left open. After the letter, the day that follows: = stays \
               on, ~ pulled to one side, ^ ends open.";
    paper.say("", 0, &legend);
    paper.blank();
    say_work(&mut paper, "Tonight", evening(report, &key, 0));
    say_work(&mut paper, "In the morning", morning(report, &key, 0));
    if report.nights.len() > 1 {
        say_work(&mut paper, "Tomorrow evening", evening(report, &key, 1));
    }
    let short: Vec<String> = report.short.iter().map(|s| saving(s, garden)).collect();
    if !short.is_empty() {
        paper.say("", 2, &format!("Short: {}.", short.join("; ")));
    }
    let p = &report.proof;
    paper.say(
        "",
        2,
        &format!(
            "Expected loss and work {:.0}, all left as it lies at least {:.0}; no plan costs under {:.0}. Later nights follow the \
             forecast as it changes: ask again tomorrow.",
            p.cost, p.left_alone, p.bound
        ),
    );
    for doubt in &report.doubts {
        paper.say("", 2, doubt);
    }
    paper.finish()
}

fn table(
    paper: &mut Paragraphs,
    report: &WeekReport,
    words: &GardenFormat,
    key: &Key,
    first: usize,
    most: usize,
) {
    let nights = report.nights.iter().skip(first).take(most);
    let line = |head: String, cells: Vec<String>| [vec![head], cells].concat();
    let days = nights.clone().map(|n| words.short_date(n.sunset).chars().take(6).collect());
    let lows = nights.map(|n| words.bare(n.garden_low_c.p50)).collect();
    let mut rows = vec![
        line("Night of".into(), days.collect()),
        line(format!("low, {}", words.degree()), lows),
    ];
    for bed in &report.beds {
        let cells = bed.nights.iter().skip(first).take(most).map(|n| cell(bed, n, key));
        rows.push(line(cut(&bed.bed), cells.collect()));
    }
    paper.raw(&columns(paper.width(), 0, rows));
}

/// A name that fits its column.
fn cut(name: &str) -> String {
    if name.chars().count() < NAME { name.into() } else { name.chars().take(NAME - 1).collect() }
}

fn cell(bed: &BedWeek, night: &BedNight, key: &Key) -> String {
    if !bed.at_risk {
        return "–".into();
    }
    let (with, open) = (in_100(night.chance), in_100(night.chance_open));
    match (key.letter(bed, night.night), night.night) {
        (Some(letter), Lies::Shut(_)) => {
            let day = match night.day {
                Lies::Open => ' ',
                Lies::Shut(_) => '=',
                Lies::EndsOpen(_) => '^',
                Lies::HalfOff(_) => '~',
            };
            format!("{letter}{day}{with}/{open}")
        }
        _ => format!("{open}"),
    }
}

fn say_work(paper: &mut Paragraphs, when: &str, (work, minutes): (Vec<Work>, f64)) {
    let said: Vec<String> =
        work.iter().map(|w| format!("{} {}", w.what, w.beds.join(", "))).collect();
    let said = if said.is_empty() {
        "nothing to move".to_owned()
    } else {
        format!("{} ({minutes:.0} person-minutes)", said.join("; "))
    };
    paper.say("", 2, &format!("{when}: {said}."));
}
