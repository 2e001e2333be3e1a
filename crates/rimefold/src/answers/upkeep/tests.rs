//! Notes made up so that the answer is plain: what is due, what is told of it, and how the lives of sheets come out.

use diary::Id;
use diary::entries::JudgedEntry;
use diary::entry::{Act, Cover, Entry, SheetState, Sighting, What};
use evening::report::{Report, Warning, WarningKind};
use garden::{Garden, file};
use jiff::civil::{Date, DateTime, date};
use jiff::tz::TimeZone;
use quantities::Moment;

use super::words::{life_left, sentence};
use super::{Kind, Upkeep, coming, due, life, one_a_day, threatened};
use crate::format::GardenFormat;

const GARDEN: &str = include_str!("../../../../../demo/wisconsin/garden.toml");
const FORECAST: &str = include_str!("../../../../../demo/wisconsin/forecast.json");

fn garden() -> Garden {
    file::read(GARDEN).garden.unwrap()
}

/// A local time at the garden.
fn at(words: &str) -> Moment {
    let local: DateTime = words.parse().unwrap();
    let zone = TimeZone::get("America/Chicago").unwrap();
    Moment(local.to_zoned_datetime(zone).unwrap().timestamp().as_second())
}

#[derive(Clone, Default)]
struct Notes(Vec<JudgedEntry>);

impl Notes {
    fn what(mut self, when: &str, what: What) -> Self {
        let id = Id::from_random([self.0.len() as u8 + 1; 16]);
        let entry = Entry::new(id, at(when), at(when), what);
        self.0.push(JudgedEntry { entry, stands: true });
        self
    }

    fn cover(self, when: &str, act: Act, bed: &str, sheet: &str) -> Self {
        let sheet = Some(sheet.to_owned()).filter(|s| !s.is_empty());
        self.what(when, What::Cover { act, cover: Cover::named(bed.into(), sheet) })
    }

    fn covered(self, when: &str, bed: &str, sheet: &str) -> Self {
        self.cover(when, Act::Covered, bed, sheet)
    }

    fn state(self, when: &str, state: SheetState, sheet: &str) -> Self {
        self.what(when, What::Sheet { state, sheet: sheet.into() })
    }

    fn undone(mut self) -> Self {
        self.0.last_mut().unwrap().stands = false;
        self
    }
}

fn upkeep(kind: Kind, subjects: &[&str], date: Date, danger: bool) -> Upkeep {
    Upkeep { kind, subjects: subjects.iter().map(ToString::to_string).collect(), date, danger }
}

#[test]
fn what_the_diary_says_makes_things_due() {
    let garden = garden();
    let all = ["heavy 72", "light 84", "wide 120", "clear film", "net"];
    let kale = || Notes::default().covered("2027-11-20T16:00", "Kale", "heavy 72");
    let voles = What::Seen { sighting: Sighting::Voles, bed: "kale".into() };
    let kept = ["light 84", "wide 120", "clear film", "net"];
    let one = |s: &'static str| vec![s];
    for (case, notes, now, wanted) in [
        ("a week under cover", kale(), "2027-12-10", vec![(Kind::Voles, one("kale"))]),
        ("a look", kale().what("2027-12-05T09:00", voles.clone()), "2027-12-11", vec![]),
        (
            "a look a week ago",
            kale().what("2027-12-05T09:00", voles),
            "2027-12-12",
            vec![(Kind::Voles, one("kale"))],
        ),
        ("vented", kale().cover("2027-12-08T12:00", Act::Vented, "kale", ""), "2027-12-14", vec![]),
        ("off", kale().cover("2027-12-05T12:00", Act::Opened, "kale", ""), "2027-12-30", vec![]),
        ("undone", kale().undone(), "2027-12-10", vec![(Kind::Mice, all.to_vec())]),
        (
            "a month at no store",
            kale(),
            "2027-12-25",
            vec![(Kind::Voles, one("kale")), (Kind::Mice, all.to_vec())],
        ),
        ("still to come", kale(), "2027-11-19", vec![(Kind::Mice, all.to_vec())]),
        ("summer", kale(), "2028-04-20", vec![]),
        (
            "one net on two beds: the newest note is believed, and none is left in the shed",
            Notes::default().covered("2027-11-01T12:00", "kale", "net").covered(
                "2027-11-02T12:00",
                "spinach",
                "NET",
            ),
            "2027-12-20",
            vec![
                (Kind::Voles, one("spinach")),
                (Kind::Mice, all.into_iter().filter(|s| *s != "net").collect()),
            ],
        ),
        (
            "out of use",
            Notes::default().state("2027-10-01T12:00", SheetState::Retired, "heavy 72"),
            "2027-11-20",
            vec![(Kind::Mice, kept.to_vec())],
        ),
        (
            "worn: three pieces of one season, a third of a year's sun each, out on three beds since April",
            Notes::default()
                .covered("2027-04-01T12:00", "kale", "light 84")
                .covered("2027-04-01T12:00", "spinach", "light 84")
                .covered("2027-04-01T12:00", "peas", "light 84"),
            "2027-07-10",
            vec![(Kind::SheetEnd, one("light 84"))],
        ),
    ] {
        let now = at(&format!("{now}T15:00"));
        let found = due(&garden, &notes.0, None, now);
        let shown: Vec<(Kind, Vec<&str>)> = found
            .iter()
            .map(|u| (u.kind, u.subjects.iter().map(String::as_str).collect()))
            .collect();
        assert_eq!(shown, wanted, "{case}");
        assert!(found.iter().all(|u| !u.danger && !sentence(u, &garden).is_empty()));
    }
    // What the file says lies day and night is looked at too, until the diary tells of the bed.
    let lies = GARDEN.replacen(
        "name = \"kale\"\n",
        "name = \"kale\"\non_now = { sheet = \"heavy 72\", layers = 1, left_on = true }\n",
        1,
    );
    if let Some(lies) = file::read(&lies).garden {
        let found = due(&lies, &[], None, at("2027-12-10T15:00"));
        assert_eq!(found[0], upkeep(Kind::Voles, &["kale"], date(2027, 12, 10), false));
    } else {
        panic!("the file does not read: {:?}", file::read(&lies).faults);
    }
}

#[test]
fn one_thing_a_day_unless_in_danger() {
    let day = |d: i8| date(2027, 12, d);
    let of = |kind, subjects: &[&str], d: i8, danger| upkeep(kind, subjects, day(d), danger);
    let voles = of(Kind::Voles, &["kale", "leeks"], 10, false);
    let mice = of(Kind::Mice, &["net"], 10, false);
    let end = of(Kind::SheetEnd, &["net"], 10, false);
    let (snow, wind) = (of(Kind::Snow, &["peas"], 10, true), of(Kind::Wind, &["peas"], 10, true));
    let due = [voles.clone(), end.clone(), mice.clone()];
    for (due, told, wanted) in [
        (due.to_vec(), vec![], vec![voles.clone()]),
        // Told earlier today is told still; told yesterday is not, and the next comes.
        (due.to_vec(), vec![voles.clone()], vec![voles.clone()]),
        (due.to_vec(), vec![of(Kind::Voles, &["kale", "leeks"], 9, false)], vec![end.clone()]),
        // One of two beds was told: the other.
        (
            due.to_vec(),
            vec![of(Kind::Voles, &["kale"], 9, false)],
            vec![of(Kind::Voles, &["leeks"], 10, false)],
        ),
        // A week later again; an end is told once.
        (due.to_vec(), vec![of(Kind::Voles, &["kale", "leeks"], 3, false)], vec![voles.clone()]),
        (
            due[1..].to_vec(),
            vec![upkeep(Kind::SheetEnd, &["net"], date(2026, 1, 1), false)],
            vec![mice.clone()],
        ),
        // Stored cloth is looked at as a whole: another sheet in the shed is no news.
        (vec![mice.clone()], vec![of(Kind::Mice, &["light"], 1, false)], vec![]),
        (
            vec![mice.clone()],
            vec![upkeep(Kind::Mice, &["net"], date(2027, 11, 9), false)],
            vec![mice],
        ),
        // Danger always comes, all of it, though it came yesterday, and the rest waits.
        (
            vec![snow.clone(), wind.clone(), voles.clone()],
            vec![of(Kind::Snow, &["peas"], 9, true)],
            vec![snow, wind],
        ),
        (vec![], vec![voles], vec![]),
    ] {
        assert_eq!(one_a_day(&due, &told, day(10)), wanted, "{due:?} {told:?}");
    }
}

/// From November to March under one cover, asked every day: a look a week, one at the cloth a month, never two on a day; what was
/// foretold for the days ahead comes so.
#[test]
fn a_winter_is_told_week_by_week() {
    let garden = garden();
    let notes = Notes::default().covered("2027-11-01T16:00", "kale", "heavy 72").0;
    let mut day = date(2027, 11, 2);
    let mut told: Vec<Upkeep> = Vec::new();
    let mut foretold: Vec<Upkeep> = Vec::new();
    while day < date(2028, 4, 10) {
        let found = coming(&garden, &notes, None, at(&format!("{day}T15:00")), 7);
        let today: Vec<Upkeep> = found.iter().filter(|u| u.date == day).cloned().collect();
        let said: Vec<Upkeep> = foretold.iter().filter(|u| u.date == day).cloned().collect();
        assert!(today.len() <= 1 && (foretold.is_empty() || said == today), "{day}: {today:?}");
        told.extend(today);
        foretold = found;
        day = day.tomorrow().unwrap();
    }
    let days =
        |kind| -> Vec<Date> { told.iter().filter(|u| u.kind == kind).map(|u| u.date).collect() };
    let apart = |dates: &[Date], least: i32, most: i32| {
        let gaps = dates.windows(2).map(|d| d[0].until(d[1]).unwrap().get_days());
        assert!(gaps.clone().all(|g| (least..=most).contains(&g)), "{dates:?}");
    };
    let (voles, mice) = (days(Kind::Voles), days(Kind::Mice));
    assert!(voles[0] == date(2027, 11, 8) && voles.len() == 20, "{voles:?}");
    apart(&voles, 7, 7);
    assert!(mice[0] == date(2027, 12, 1) && mice.len() == 4, "{mice:?}");
    apart(&mice, 30, 31);
    assert_eq!(told.len(), voles.len() + mice.len(), "{told:?}");
    // The sun crosses the equator in the second half of March.
    assert!(told.iter().all(|u| u.date < date(2028, 3, 24)));
    // In the warm half a sheet's end is told on its day, once.
    let worn = ["kale", "spinach", "peas"]
        .into_iter()
        .fold(Notes::default(), |notes, bed| notes.covered("2028-04-01T12:00", bed, "light 84"));
    let ends: Vec<Date> = (1..=92)
        .map(|n| date(2028, 5, 1).saturating_add(jiff::Span::new().days(n)))
        .filter(|d| !coming(&garden, &worn.0, None, at(&format!("{d}T12:00")), 0).is_empty())
        .collect();
    assert!(ends.len() == 1 && ends[0] > date(2028, 5, 25), "{ends:?}");
}

/// The demonstration's plan with warnings put in by hand.
#[test]
fn snow_and_wind_that_threaten_hoops_are_danger() {
    let garden = garden();
    let forecast = weather::read(FORECAST.as_bytes()).unwrap();
    let state = garden::lying::derive(&garden, &[], at("2027-05-14T16:00"));
    let settings = evening::Settings { nights: 200, seed: 1 };
    let mut report: Report =
        evening::tonight(&garden, &state, &forecast, None, at("2027-05-14T16:00"), settings)
            .unwrap();
    let day = date(2027, 5, 14);
    report.warnings.clear();
    assert!(threatened(&report, day).iter().all(|u| u.subjects.is_empty()));
    // Snow that every hoop carries: a look in the morning, without danger.
    report.weather.snow_m = Some(0.05);
    let now = at("2027-05-14T16:00");
    let plain = due(&garden, &[], Some(&report), now);
    assert!(plain.len() == 1 && plain[0].kind == Kind::Snow && !plain[0].danger, "{plain:?}");
    let hooped = plain[0].subjects.clone();
    assert!(
        hooped.contains(&"broccoli".to_owned()) && !hooped.contains(&"strawberries".to_owned())
    );
    let kind = WarningKind::SnowLoad { snow_m: 0.05, from_m: 0.03, wet_m: 0.01 };
    let warning = |kind, bed: &str| Warning { kind, beds: vec![bed.into()], at: None };
    report.warnings.push(warning(kind, "broccoli"));
    let gust = WarningKind::WindFlattensHoops { gust_m_s: 20.0, from_m_s: 15.0, likely_m_s: 18.0 };
    report.warnings.push(warning(gust, "cabbage"));
    let lifts = WarningKind::WindLiftsCloth {
        gust_m_s: 20.0,
        from_m_s: 15.0,
        likely_m_s: 18.0,
        pins_needed: 30,
    };
    report.warnings.push(warning(lifts, "cabbage"));
    let told = one_a_day(&due(&garden, &[], Some(&report), now), &[], day);
    let danger =
        [upkeep(Kind::Snow, &["broccoli"], day, true), upkeep(Kind::Wind, &["cabbage"], day, true)];
    assert_eq!(told, danger);
}

/// Two beds of 40 ft take two pieces of 30 ft each: both there are. Renewed and opened counts on, without a name counts for
/// none, replaced begins anew.
#[test]
fn lives_come_from_the_notes() {
    let garden = garden();
    let words = GardenFormat::new(garden.units, &garden.zone);
    let notes = Notes::default()
        .covered("2027-04-01T12:00", "kale", "wide 120")
        .cover("2027-04-05T12:00", Act::HalfOpen, "kale", "wide 120")
        .cover("2027-04-11T12:00", Act::Opened, "kale", "")
        .covered("2027-04-01T12:00", "peas", "")
        .covered("2027-04-01T12:00", "broccoli", "heavy 72")
        .cover("2027-05-01T12:00", Act::Opened, "broccoli", "")
        .state("2027-05-02T12:00", SheetState::Retired, "heavy 72")
        .covered("2027-05-03T12:00", "broccoli", "heavy 72");
    let now = at("2027-05-08T12:00");
    let lives = life(&garden, &notes.0, now);
    let of = |name: &str| {
        let n = garden.stock.sheets.iter().position(|s| s.name == name).unwrap();
        (lives[n], garden.stock.sheets[n].count)
    };
    let (Some(wide), pieces) = of("wide 120") else { panic!("no life") };
    assert!((wide.worn.days - 10.0).abs() < 1e-9 && wide.since == at("2027-04-01T12:00"));
    assert_eq!(
        life_left(Some(&wide), pieces, &words),
        "about 97 % of its life left (94 to 98): out 10 days each since 1 Apr 2027"
    );
    let (Some(heavy), _) = of("heavy 72") else { panic!("no life") };
    // One of five pieces for five days.
    assert!((heavy.worn.days - 1.0).abs() < 1e-9 && heavy.since == at("2027-05-03T12:00"));
    assert!(of("light 84").0.is_none() && of("net").0.is_none());
    assert_eq!(life_left(None, 1, &words), "no day outside noted");
    // Until it is worn out, and beyond.
    let always = Notes::default().covered("2020-04-01T12:00", "kale", "net").0;
    let net = life(&garden, &always, now)[4].unwrap();
    let told = life_left(Some(&net), 1, &words);
    assert!(
        told.starts_with("past its usual life: ")
            && told.contains("out 2593 days since 1 Apr 2020"),
        "{told}"
    );
}
