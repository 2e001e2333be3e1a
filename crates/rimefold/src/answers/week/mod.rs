//! The nights ahead as one plan: what lies on each bed night by night, what moves, what is short.

pub mod json;
pub mod svg;
pub mod text;

use evening::lies::Lies;
use evening::week::report::{BedWeek, Short, ShortThing, WeekReport};
use evening::week::{self, Question, Settings};
use garden::Garden;
use garden::fit::{Cover, Item};

use crate::answers::json_parts::item_name;
use crate::exit::{Exit, Failure};
use crate::format::count;

/// The plan of the nights that the forecast reaches; `told` is called with the beds that are done, and of how many.
///
/// # Errors
/// The forecast does not serve, or a bug of ours.
pub fn plan(
    question: &Question<'_>,
    settings: Settings,
    told: &(dyn Fn(usize, usize) + Sync),
) -> Result<WeekReport, Failure> {
    week::plan(question, settings, told).map_err(|e| Failure::from_fault(&e, Exit::Unsuitable))
}

/// The covers of a plan by letter.
pub struct Key {
    /// What each letter stands for: item, layers, words.
    covers: Vec<(Item, u32, String)>,
}

impl Key {
    /// Of every cover that lies somewhere in the plan.
    pub fn new(report: &WeekReport, garden: &Garden) -> Self {
        let mut covers: Vec<(Item, u32, String)> = Vec::new();
        for bed in &report.beds {
            let lying = bed.nights.iter().flat_map(|n| [n.night, n.day]).chain([bed.now]);
            for cover in lying.filter_map(|l| bed.options.get(l.option()?)) {
                let Some((item, _)) = cover.uses.first() else { continue };
                if !covers.iter().any(|c| c.0 == *item && c.1 == cover.layers) {
                    covers.push((*item, cover.layers, words(item, cover, garden)));
                }
            }
        }
        covers.sort_by_key(|c| (c.0, c.1));
        Self { covers }
    }

    /// The letter of what lies on a bed; `None` where nothing does.
    pub fn letter(&self, bed: &BedWeek, lies: Lies) -> Option<char> {
        let cover = bed.options.get(lies.option()?)?;
        let item = cover.uses.first()?.0;
        let place = self.covers.iter().position(|c| c.0 == item && c.1 == cover.layers)?;
        char::from_u32(u32::from('A') + place as u32)
    }

    /// Letters with their words.
    pub fn lines(&self) -> Vec<(char, &str)> {
        ('A'..='Z').zip(self.covers.iter().map(|c| c.2.as_str())).collect()
    }
}

fn words(item: &Item, cover: &Cover, garden: &Garden) -> String {
    let name = item_name(item, garden);
    match (item, cover.layers) {
        (Item::LooseMulchLitres, _) => "straw".into(),
        (_, 2) => format!("two layers of “{name}”"),
        _ => format!("“{name}”"),
    }
}

/// One kind of work and the beds it is done on.
pub struct Work {
    /// Such as `lay A on`.
    pub what: String,
    /// Names.
    pub beds: Vec<String>,
}

/// The work from one state of each bed to another, like work together, and the person-minutes of it.
pub fn work<'a>(
    report: &'a WeekReport,
    key: &Key,
    step: impl Fn(&'a BedWeek) -> Option<(Lies, Lies, f64)>,
) -> (Vec<Work>, f64) {
    let mut all: Vec<Work> = Vec::new();
    let mut minutes = 0.0;
    for bed in &report.beds {
        let Some((from, to, takes)) = step(bed).filter(|s| s.0 != s.1) else { continue };
        minutes += takes;
        let letter = |l| key.letter(bed, l).map(String::from).unwrap_or_default();
        let (a, b) = (letter(from), letter(to));
        let what = match (from, to) {
            (Lies::Open, Lies::HalfOff(_)) => format!("lay {b} beside"),
            (Lies::Open, _) => format!("lay {b} on"),
            (_, Lies::Open) => format!("take {a} off"),
            (Lies::EndsOpen(x), Lies::Shut(y)) if x == y => "shut the ends of".into(),
            (_, Lies::EndsOpen(_)) => "open the ends of".into(),
            (Lies::HalfOff(x), Lies::Shut(y)) if x == y => format!("pull {b} back over"),
            (_, Lies::HalfOff(_)) => format!("pull {a} to one side of"),
            _ => format!("change {a} for {b} on"),
        };
        match all.iter_mut().find(|w| w.what == what) {
            Some(work) => work.beds.push(bed.bed.clone()),
            None => all.push(Work { what, beds: vec![bed.bed.clone()] }),
        }
    }
    (all, minutes)
}

/// The work of an evening, counted from 0.
pub fn evening(report: &WeekReport, key: &Key, night: usize) -> (Vec<Work>, f64) {
    work(report, key, |bed| {
        let it = bed.nights.get(night)?;
        let before = night.checked_sub(1).map_or(Some(bed.now), |n| Some(bed.nights.get(n)?.day));
        Some((before?, it.night, it.evening_minutes))
    })
}

/// The work of the morning after a night, counted from 0.
pub fn morning(report: &WeekReport, key: &Key, night: usize) -> (Vec<Work>, f64) {
    work(report, key, |bed| {
        let it = bed.nights.get(night)?;
        Some((it.night, it.day, it.morning_minutes))
    })
}

/// What more of something would save: `one more “heavy 72” would save 68`.
pub fn saving(short: &Short, garden: &Garden) -> String {
    let n = short.amount;
    let more = match short.thing {
        ShortThing::Stock(item @ (Item::Sheet(_) | Item::PopUp(_))) => {
            let name = item_name(&item, garden);
            if n == 1 { format!("one more “{name}”") } else { format!("{n} more “{name}”") }
        }
        ShortThing::Stock(Item::Pins) => format!("{} more", count(n as usize, "pin")),
        ShortThing::Stock(Item::Clips) => format!("{} more", count(n as usize, "clip")),
        ShortThing::Stock(_) => format!("{n} litres more of straw"),
        ShortThing::Person(evening::horizon::Part::Evening) => {
            "one more person each evening".into()
        }
        ShortThing::Person(evening::horizon::Part::Morning) => {
            "one more person each morning".into()
        }
    };
    format!("{more} would save {:.0}", short.saves)
}

/// A chance in whole percent, 1 to 99.
pub fn in_100(chance: f64) -> u32 {
    (100.0 * chance).round().clamp(1.0, 99.0) as u32
}
