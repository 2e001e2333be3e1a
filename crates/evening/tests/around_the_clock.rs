//! A garden walked through three whole days in steps of ten minutes, doing, half doing or not doing what is said.

use std::collections::BTreeMap;

use evening::lies::held;
use evening::report::{
    Action, Handwork, Measure, MorningAction, MorningReason, Phase, Report, Task,
};
use evening::{Settings, tonight};
use garden::bed::Wetness;
use garden::fit::{Cover, Item, Placement};
use garden::lying::{GardenState, NotedBed, NotedSheet, Opening, derive, owned};
use garden::{Garden, file};
use quantities::{Interval, Moment};
use rand::{RngExt, SeedableRng};
use rand_xoshiro::Xoshiro256PlusPlus;
use weather::Forecast;

/// 14 May 2027, 16:00 in Chicago; the sun sets at 20:22 and rises at 5:41.
const START: Moment = Moment(1_810_328_400);
const STEP_S: i64 = 600;
const SETTINGS: Settings = Settings { nights: 32, seed: 1 };

/// Four beds of the demonstration garden.
fn garden() -> Garden {
    let read = file::read(include_str!("../../../demo/wisconsin/garden.toml"));
    let mut garden = read.garden.expect("reads");
    let some = ["strawberries", "broccoli", "cabbage", "young peach"];
    garden.beds.retain(|b| some.contains(&b.name.as_str()));
    garden
}

/// Three of them, with pots and dry soil, and no more time than for some of it.
fn hurried() -> Garden {
    let read = file::read(include_str!("../../../demo/wisconsin/garden.toml"));
    let mut garden = read.garden.expect("reads");
    let some = ["strawberries", "cabbage", "early tomatoes"];
    garden.beds.retain(|b| some.contains(&b.name.as_str()));
    garden.beds.iter_mut().for_each(|b| b.wetness = Wetness::Dry);
    garden.beds.iter_mut().filter(|b| b.name == "early tomatoes").for_each(|b| b.pots = 8);
    garden.labour.people = 1;
    garden.labour.minutes_each = 20.0;
    garden
}

/// The first day of the demonstration's forecast, again and again from a day before the question.
fn days() -> Forecast {
    let read = weather::read(include_bytes!("../../../demo/wisconsin/forecast.json"));
    let mut forecast = read.expect("reads");
    let day: Vec<_> = forecast.hours.iter().take(24).cloned().collect();
    let again = |n: i64| {
        day.iter().cloned().map(move |mut h| {
            let moved = |m: Moment| m.plus_seconds(n * 86_400);
            h.interval = Interval { start: moved(h.interval.start), end: moved(h.interval.end) };
            h
        })
    };
    forecast.hours = (-1..6).flat_map(again).collect();
    forecast
}

fn at(hours: f64) -> Moment {
    START.plus_seconds((3600.0 * hours) as i64)
}

fn ask(garden: &Garden, notes: &[NotedBed], now: Moment) -> Report {
    let state = derive(garden, notes, now);
    tonight(garden, &state, &days(), None, now, SETTINGS).expect("an answer")
}

fn item(cover: &Cover) -> Option<Item> {
    cover.uses.iter().map(|u| u.0).find(|i| !matches!(i, Item::Pins | Item::Clips))
}

fn noted(garden: &Garden, bed: &str, cover: &Cover, since: Moment) -> NotedBed {
    let name = item(cover).and_then(|i| match i {
        Item::Sheet(i) => Some(garden.stock.sheets[i].name.clone()),
        Item::PopUp(i) => Some(garden.stock.pop_ups[i].name.clone()),
        _ => None,
    });
    let loose_mulch = matches!(cover.lie, Placement::LooseMulch { .. });
    let sheet = NotedSheet { name, layers: Some(cover.layers), loose_mulch, since };
    NotedBed { bed: bed.to_owned(), sheets: vec![sheet], opening: Opening::Shut }
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum Gardener {
    All,
    Half,
    Nothing,
}

/// What was done to each bed this evening, and what is noted.
struct Walk {
    garden: Garden,
    notes: Vec<NotedBed>,
    /// Bed and when it was last changed as said.
    done: BTreeMap<String, Moment>,
    chance: Xoshiro256PlusPlus,
    who: Gardener,
}

impl Walk {
    fn put(&mut self, note: NotedBed, now: Moment) {
        self.done.insert(note.bed.clone(), now);
        self.notes.retain(|n| n.bed != note.bed);
        self.notes.push(note);
    }

    fn willing(&mut self) -> bool {
        match self.who {
            Gardener::All => true,
            Gardener::Half => self.chance.random_bool(0.3),
            Gardener::Nothing => false,
        }
    }

    /// Ten minutes of work on what is said.
    fn work(&mut self, r: &Report, now: Moment) {
        for task in &r.today {
            let soon = task.by.0 - now.0 <= STEP_S || task.from.is_some_and(|f| f <= now);
            if !soon || !self.willing() {
                continue;
            }
            let bed = r.beds[task.bed].bed.clone();
            let Some(mut note) = self.notes.iter().find(|n| n.bed == bed).cloned() else {
                continue;
            };
            match task.action {
                MorningAction::OpenEnds => note.opening = Opening::EndsOpen,
                MorningAction::HalfOff => note.opening = Opening::HalfOff,
                _ => note.sheets.clear(),
            }
            self.put(note, now);
        }
        if r.start_by.is_none_or(|s| s.0 - now.0 > STEP_S) {
            return;
        }
        let mut left = f64::from(self.garden.labour.people) * 10.0;
        for task in r.work.iter().chain(&r.by_lamp) {
            if left <= 0.0 || task.not_before.is_some_and(|n| n > now) || !self.willing() {
                continue;
            }
            left -= task.minutes;
            let bed = &r.beds[task.bed];
            let mut note =
                NotedBed { bed: bed.bed.clone(), sheets: vec![], opening: Opening::Shut };
            if task.action != Action::TakeOff {
                let chosen = bed.chosen.expect("a change has its cover");
                note = noted(&self.garden, &bed.bed, &bed.options[chosen].cover, now);
            }
            self.put(note, now);
        }
    }
}

/// The rules that hold at every moment.
fn check(garden: &Garden, r: &Report, when: &str) {
    let now = r.asked_at;
    let tasks = || r.work.iter().chain(&r.by_lamp);
    for (b, bed) in r.beds.iter().enumerate() {
        // Everything that lies is in exactly one list.
        let moves = tasks().any(|t| t.bed == b && t.action != Action::Lay);
        let comes_off = r.today.iter().filter(|t| t.bed == b).count();
        let stays = r.stays.iter().filter(|s| **s == b).count();
        if bed.lies.is_empty() {
            assert_eq!((moves, comes_off, stays), (false, 0, 0), "{when} {}", bed.bed);
        } else {
            assert_eq!(stays + usize::from(moves || comes_off > 0), 1, "{when} {}", bed.bed);
        }
        // Nothing that lies is asked for again.
        let lies = bed.lies.iter().find(|l| l.against_cold());
        for t in tasks().filter(|t| t.bed == b) {
            let cover = bed.chosen.map(|c| &bed.options[c].cover);
            match t.action {
                Action::Lay => assert!(!bed.lies_at_night, "{when}: laid already: {}", bed.bed),
                Action::Double => {
                    assert!(cover.expect("one").layers > lies.expect("lies").cover.layers);
                }
                Action::Swap => {
                    assert_ne!(item(cover.expect("one")), lies.expect("lies").item(), "{when}");
                }
                Action::Shut | Action::TakeOff => assert!(lies.is_some(), "{when}"),
            }
        }
        let asked = tasks().filter(|t| t.bed == b).count();
        assert_eq!(asked, usize::from(bed.chosen.is_some() || bed.takes_off), "{when} {}", bed.bed);
    }
    // No stock is used twice.
    let mut used = BTreeMap::<Item, u32>::new();
    for bed in &r.beds {
        let covers: Vec<Vec<(Item, u32)>> = match bed.chosen {
            Some(c) => vec![bed.options[c].cover.uses.clone()],
            None if bed.takes_off || !bed.lies_at_night => Vec::new(),
            None => bed.lies.iter().map(|l| held(&l.cover, l.opening)).collect(),
        };
        for (i, n) in covers.iter().flatten() {
            *used.entry(*i).or_default() += n;
        }
    }
    for (i, n) in used {
        assert!(n <= owned(garden, i), "{when}: {n} of {i:?}");
    }
    // No deadline before now plus the work before it, person by person.
    let mut busy = BTreeMap::<u32, f64>::new();
    for t in &r.work {
        let busy = busy.entry(t.person).or_default();
        *busy += t.minutes;
        assert!(t.by.0 as f64 >= now.0 as f64 + 60.0 * *busy - 1.0, "{when} {t:?}");
        assert!(t.late_since.is_none_or(|l| l < t.by), "{when} {t:?}");
        assert!(t.person >= 1 && t.person <= garden.labour.people);
        let start = r.start_by.expect("work has a start");
        let in_time = start.0 as f64 + 60.0 * *busy <= t.by.0 as f64 + 1.0;
        assert!(in_time || start == now, "{when} start {start:?} {t:?}");
    }
    for t in &r.today {
        assert!(t.by >= now && t.late_since.is_none_or(|l| l < now), "{when} {t:?}");
    }
    // What comes off today comes off one after the other, person by person or all together.
    let mut busy = 0.0;
    for t in &r.today {
        busy += 60.0 * t.minutes / f64::from(garden.labour.people);
        assert!(t.by.0 as f64 >= now.0 as f64 + busy - 1.0, "{when} {t:?}");
        assert!(t.action != MorningAction::LeaveOn && t.minutes >= 0.0, "{when} {t:?}");
    }
    // By lamp is after dark and after the rest, before the sun is up.
    for t in &r.by_lamp {
        assert!(r.work.iter().all(|w| w.bed != t.bed), "{when} {t:?}");
        assert!(t.by >= r.sun.dark.max(now) && t.by.0 as f64 >= now.0 as f64 + 60.0 * t.minutes);
    }
    // Tomorrow is after the night, and of what lies then.
    for t in &r.morning {
        let bed = &r.beds[t.bed];
        assert!(t.by >= r.sun.sunrise, "{when} {t:?}");
        assert!(bed.chosen.is_some() || bed.lies_at_night && !bed.takes_off, "{when} {t:?}");
    }
    // What is done without cloth is asked for while there is time for it.
    let carried = |h: &&Handwork| matches!(h.measure, Measure::CarryIn { .. });
    for h in &r.without_cloth {
        assert!(h.by.0 as f64 >= now.0 as f64 + 60.0 * h.minutes - 1.0, "{when} {h:?}");
        let both = carried(&h) && r.beds[h.bed].chosen.is_some();
        assert!(!both, "{when}: carried in and covered: {h:?}");
    }
    // The headline's numbers are the lists'.
    let carrying = || r.without_cloth.iter().filter(carried).filter(|h| h.by <= r.sun.dark);
    let sum = r.work.iter().map(|t| t.minutes + t.walk_minutes).sum::<f64>()
        + carrying().map(|h| h.minutes + h.walk_minutes).sum::<f64>();
    assert!((sum - r.minutes_needed).abs() < 1e-9 || now >= r.sun.dark, "{when}");
    let something = !r.work.is_empty() || carrying().next().is_some();
    assert_eq!(r.start_by.is_some(), something || r.start_by.is_some() && now >= r.sun.dark);
    assert!(r.start_by.is_none_or(|s| s >= now), "{when}");
    // Nobody is sent out for what saves less than the work.
    let wage = garden.labour.worth_of_hour / 60.0;
    for t in tasks().filter(|t| t.action != Action::TakeOff) {
        let for_itself = t.saves > wage * t.minutes;
        assert!(for_itself || frees_for_another(r, t), "{when} {t:?}");
    }
    let all = tasks().map(|t| t.saves - wage * t.minutes).sum::<f64>();
    assert!(all > -1e-9 || tasks().count() == 0, "{when} {all}");
}

/// Whether what lies on the bed of a swap is laid on another bed instead.
fn frees_for_another(r: &Report, swap: &Task) -> bool {
    let lay = |item| r.beds[swap.bed].lies.iter().any(|l| l.item() == Some(item));
    let laid = |t: &&Task| {
        let bed = &r.beds[t.bed];
        let option = bed.chosen.and_then(|c| bed.options.get(c));
        t.bed != swap.bed && option.is_some_and(|o| o.cover.uses.iter().any(|u| lay(u.0)))
    };
    swap.action == Action::Swap && r.work.iter().chain(&r.by_lamp).find(laid).is_some()
}

fn walk(who: Gardener, garden: Garden) -> usize {
    let chance = Xoshiro256PlusPlus::seed_from_u64(13);
    let mut walk = Walk { garden, notes: Vec::new(), done: BTreeMap::new(), chance, who };
    let (mut asked_for, mut lay, mut by_hand) = (0, 0, 0);
    for k in 0..3 * 144 {
        let now = START.plus_seconds(STEP_S * k);
        let when = format!("{who:?}, {:.1} h after the start", k as f64 / 6.0);
        let r = ask(&walk.garden, &walk.notes, now);
        check(&walk.garden, &r, &when);
        asked_for += r.work.len() + r.today.len();
        by_hand += r.without_cloth.len();
        lay = lay.max(r.work.len());
        if who == Gardener::All {
            // What was done as said tonight is not undone tonight without new information.
            for t in r.work.iter().chain(&r.by_lamp) {
                let done = walk.done.get(&r.beds[t.bed].bed);
                let dark = matches!(r.phase, Phase::AfterDark | Phase::BeforeDawn);
                let again =
                    dark && done.is_some_and(|d| *d >= r.sun.sunset.plus_seconds(-4 * 3600));
                assert!(!again, "{when}: {} again: {t:?}", r.beds[t.bed].bed);
            }
            assert!(r.today.iter().all(|t| t.late_since.is_none()), "{when}: {:?}", r.today);
        }
        if who == Gardener::Nothing {
            assert!(r.stays.is_empty() && r.today.is_empty(), "{when}");
            if r.phase == Phase::BeforeDawn && r.sun.sunrise.0 - now.0 < 1800 {
                assert!(r.work.is_empty(), "{when}: the harm is done: {:?}", r.work);
                assert!(r.beds.iter().any(|b| b.lost_so_far > 1.0), "{when}");
            }
        }
        walk.work(&r, now);
    }
    assert!(asked_for > 0 && lay >= 1, "{who:?}: nothing was ever asked for");
    by_hand
}

#[test]
fn three_days_of_doing_all_that_is_said() {
    walk(Gardener::All, garden());
}

#[test]
fn three_days_of_doing_some_of_it() {
    walk(Gardener::Half, garden());
}

#[test]
fn three_days_in_a_hurry_with_pots_and_dry_soil() {
    assert!(walk(Gardener::Half, hurried()) > 0, "nothing without cloth was ever asked for");
}

#[test]
fn three_days_of_doing_nothing() {
    walk(Gardener::Nothing, garden());
}

fn laid(garden: &Garden, r: &Report, since: Moment) -> Vec<NotedBed> {
    let chosen = r.beds.iter().filter_map(|b| Some((b, &b.options[b.chosen?].cover)));
    chosen.map(|(b, c)| noted(garden, &b.bed, c, since)).collect()
}

/// Film that was ticked off in the evening lies there at night: it is not told to be left open, nor to be laid.
#[test]
fn a_bed_that_is_covered_is_not_told_to_be_left_open() {
    let garden = garden();
    let evening = ask(&garden, &[], START);
    assert!(evening.work.len() >= 3);
    let notes = laid(&garden, &evening, at(3.5));
    let night = ask(&garden, &notes, at(10.0));
    assert!(night.work.is_empty(), "{:?}", night.work);
    assert_eq!(night.stays.len(), evening.work.len());
    // What lies keeps warm: the loss is that of the plan, not that of the open beds.
    for (before, now) in evening.beds.iter().zip(&night.beds).filter(|(b, _)| b.chosen.is_some()) {
        let promised = before.options[before.chosen.expect("covered")].outcome.expected_loss;
        let off = (now.open.expected_loss - promised).abs();
        assert!(off < 0.1 * before.open.expected_loss, "{}: {off}", now.bed);
    }
    assert_eq!(night.morning.len(), notes.len(), "each has its morning");
}

#[test]
fn film_forgotten_in_the_sun_is_the_first_line() {
    let garden = garden();
    let evening = ask(&garden, &[], START);
    let peach = evening.beds.iter().position(|b| b.bed == "young peach").expect("the bed");
    let film = evening.beds[peach].options.iter().find(|o| o.cover.is_film()).expect("film fits");
    let mut notes = laid(&garden, &evening, at(3.5));
    notes.retain(|n| n.bed != "young peach");
    notes.push(noted(&garden, "young peach", &film.cover, at(3.5)));
    for hours in [17.5, 19.0, 21.0] {
        let day = ask(&garden, &notes, at(hours));
        let first = day.today.first().expect("something comes off");
        // By open ends or taken off, whichever the day asks for; never left.
        assert_eq!(first.bed, peach, "{hours}");
        assert!(matches!(first.action, MorningAction::OpenEnds | MorningAction::TakeOff));
        // Common practice, no source: film that is shut in the sun is many degrees warmer than the air outside.
        let hour = days().hours.into_iter().find(|h| h.interval.contains(at(hours)));
        let outside = hour.and_then(|h| h.air_temperature_c).expect("an hour").value;
        let warmer = first.inside_c.expect("a temperature inside") - outside;
        assert!(first.late_since.is_some() && warmer > 5.0, "{warmer} {first:?}");
        assert!(matches!(first.why, MorningReason::SunOnFilm | MorningReason::Heat { .. }));
    }
}

/// Asked just before dark with everything still to do: what fits is asked for now, the rest by lamp, nothing sooner than
/// it can be done.
#[test]
fn deadlines_can_be_met_and_the_rest_is_told() {
    let mut garden = garden();
    garden.labour.people = 1;
    let early = ask(&garden, &[], START);
    let start = early.start_by.expect("a start");
    assert!(start > START && start < early.sun.dark);
    let minutes: f64 = early.work.iter().map(|t| t.minutes).sum();
    assert!(start.0 as f64 <= early.sun.dark.0 as f64 - 60.0 * minutes + 1.0);
    let now = early.sun.dark.plus_seconds(-13 * 60);
    let late = ask(&garden, &[], now);
    let in_light: f64 = late.work.iter().map(|t| t.minutes).sum();
    assert!(in_light <= 13.0 && !late.by_lamp.is_empty(), "{:?} {:?}", late.work, late.by_lamp);
    assert!(late.by_lamp.iter().all(|t| t.by > late.sun.dark));
    assert_eq!(late.start_by, late.work.first().map(|_| late.start_by.unwrap_or(now)));
    check(&garden, &late, "13 minutes before dark");
}

#[test]
fn a_second_layer_is_worth_going_out_for_when_the_night_turns_colder() {
    let garden = garden();
    let notes = laid(&garden, &ask(&garden, &[], START), at(3.5));
    let mut colder = days();
    for h in &mut colder.hours {
        if let Some(t) = &mut h.air_temperature_c {
            t.value -= 4.0;
        }
    }
    let now = at(7.0);
    let state: GardenState = derive(&garden, &notes, now);
    let r = tonight(&garden, &state, &colder, None, now, SETTINGS).expect("an answer");
    check(&garden, &r, "colder");
    assert_eq!(r.phase, Phase::AfterDark);
    let better = r.work.iter().any(|t| matches!(t.action, Action::Double | Action::Swap));
    assert!(better, "{:?}", r.work);
}
