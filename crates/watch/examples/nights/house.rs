//! A household through one year: its machine, its phone, its mail, its bed.

use std::collections::{BTreeMap, BTreeSet};

use diary::Diary;
use diary::messages::{Delivery, Message, MessageKind};
use garden::watch::Watch;
use jiff::civil::{Date, date, time};
use jiff::tz::TimeZone;
use quantities::{Moment, Place};
use rand::RngExt as _;
use rand_xoshiro::Xoshiro256PlusPlus;
use watch::calendar::{self, Evening};
use watch::facts::{Blind, Facts, Sense};
use watch::outbox::Recipient;
use watch::subject::Subject;
use watch::{Watcher, World};
use weather::StationRecord;
use weather::error_model::sigma_air_k;

use crate::count::Count;
use crate::faults::{Faults, normal};
use crate::night::{Air, BED, Known, LIMIT_C, Said, in_season, plan};

/// Milwaukee's airport.
const PLACE: Place = Place { latitude_deg: 42.95, longitude_deg: -87.90, elevation_m: 204.0 };
/// The watcher looks so often here, s.
const STEP_S: i64 = 600;
/// A forecast comes so often, s; its errors remember so long, h (`weather`).
const FORECAST_EVERY_S: i64 = 3 * 3600;
const MEMORY_H: f64 = 13.0;
/// A phone looks at its calendars so often, s.
const CALENDAR_EVERY_S: i64 = 4 * 3600;
/// A thermometer is called silent after this, s.
const SILENT_S: i64 = 2 * 3600;
/// What is told this long before the limit is passed is told in time, s.
const IN_TIME_S: i64 = 1800;
/// A message that reached nobody in so many looks at which somebody could be reached is lost: 50 minutes, more than the longest
/// pause between two tries.
const LOOKS: usize = 5;
/// A program that has not looked for so long before the limit is passed could tell nobody, s.
const DEAD_S: i64 = 4 * 3600;
/// Chance to die at each thing that is done.
const DIES: f64 = 0.01;
/// In two nights of three the grower covers what was told, and notes it.
const COVERS: f64 = 0.67;
/// Mornings with sun on what lies.
const SUNNY: f64 = 0.5;

/// The world of one step.
struct Outside<'a> {
    diary: &'a mut Diary,
    random: &'a mut Xoshiro256PlusPlus,
    mail_down: bool,
    web_down: bool,
    disk_full: bool,
    dead: bool,
    /// Everything that was handed over: to whom, which, when.
    sent: &'a mut Vec<(String, Message, i64)>,
    now: i64,
}

impl Outside<'_> {
    /// Whether the program dies here.
    fn dies(&mut self) -> bool {
        self.dead = self.dead || self.random.random::<f64>() < DIES;
        self.dead
    }
}

impl World for Outside<'_> {
    fn words(&self, subject: &Subject) -> String {
        format!("{:?}", subject.kind())
    }

    fn keep(&mut self, message: &Message) -> Result<(), String> {
        if self.dies() {
            return Ok(());
        }
        if self.disk_full {
            return Err("no room".into());
        }
        let kept = self.diary.keep_message(message).map(drop).map_err(|e| e.to_string());
        self.dies();
        kept
    }

    fn send(&mut self, recipient: &Recipient, message: &Message) -> Result<(), String> {
        if self.dies() {
            return Ok(());
        }
        let down = if recipient.name == "mail" { self.mail_down } else { self.web_down };
        if down {
            return Err("no answer".into());
        }
        self.sent.push((recipient.name.clone(), message.clone(), self.now));
        self.dies();
        Ok(())
    }

    fn keep_delivery(&mut self, delivery: &Delivery) -> Result<(), String> {
        if self.dead {
            return Ok(());
        }
        if self.disk_full {
            return Err("no room".into());
        }
        self.diary.keep_delivery(delivery).map_err(|e| e.to_string())
    }
}

/// The household of one year.
struct House<'a> {
    record: &'a StationRecord,
    zone: TimeZone,
    watch: Watch,
    diary: Diary,
    _folder: tempfile::TempDir,
    watcher: Watcher,
    faults: Faults,
    /// The last forecast: when it came, its error in standard deviations.
    forecast: Option<(i64, f64)>,
    reading: Option<(Moment, f64)>,
    /// The night whose bed is covered.
    covered: Option<Date>,
    /// The plans that the phone's calendar holds, whether each has work, and when it last looked.
    calendar: (BTreeMap<Date, bool>, i64),
    sent: Vec<(String, Message, i64)>,
    /// When the program looked, by the true clock.
    looks: Vec<i64>,
    /// When the program looked and could reach somebody, by its own clock.
    up: Vec<i64>,
    count: Count,
}

/// Lives through the seasons of one year.
pub fn live_through(
    record: &StationRecord,
    year: i16,
    random: &mut Xoshiro256PlusPlus,
) -> Result<Count, Box<dyn std::error::Error + Send + Sync>> {
    let folder = tempfile::tempdir()?;
    let diary = Diary::open(&folder.path().join("diary.sqlite"))?;
    let mut house = House {
        record,
        zone: calendar::zone("America/Chicago"),
        watch: Watch {
            wake: true,
            quiet: Some((time(21, 30, 0, 0), time(6, 0, 0, 0))),
            ..Watch::default()
        },
        diary,
        _folder: folder,
        watcher: Watcher::default(),
        faults: Faults::usual(),
        forecast: None,
        reading: None,
        covered: None,
        calendar: (BTreeMap::new(), 0),
        sent: Vec::new(),
        looks: Vec::new(),
        up: Vec::new(),
        count: Count { seasons: 2, ..Count::default() },
    };
    let mut day = date(year, 3, 15);
    while day.year() == year {
        if in_season(day) {
            house.live_through_night(day, random);
        }
        day = day.tomorrow()?;
    }
    house.look_back();
    Ok(house.count)
}

impl House<'_> {
    /// The air of the night that begins on a date; `None` where the record has none.
    fn air(&self, night: Date, evening: &Evening) -> Option<Air> {
        let high = self.record.day(night)?.tmax_c?;
        let low_c = self.record.day(night.tomorrow().ok()?)?.tmin_c?;
        let from_c = low_c + 0.6 * (high - low_c).max(1.0);
        Some(Air { sunset: evening.sunset.0, sunrise: evening.sunrise.0, from_c, low_c })
    }

    /// From noon to noon.
    fn live_through_night(&mut self, night: Date, random: &mut Xoshiro256PlusPlus) {
        let noon = calendar::moment(night, time(12, 0, 0, 0), &self.zone);
        let evening = Evening::at(noon, &PLACE, &self.zone);
        let Some(air) = self.air(night, &evening) else { return };
        let next = night.tomorrow().map(|d| calendar::moment(d, time(12, 0, 0, 0), &self.zone));
        let Ok(next) = next else { return };
        let (covers, sunny) = (random.random::<f64>() < COVERS, random.random::<f64>() < SUNNY);
        let before = self.sent.len();
        let mut now = noon.0;
        while now < next.0 {
            self.step(now, &evening, &air, sunny, random);
            // In the last light the grower covers what was told.
            let told = self.sent.iter().skip(before).any(|(_, m, _)| wants_cover(m));
            if covers && told && now > evening.sunset.0 - 3600 && now < evening.sunset.0 + 1800 {
                self.covered = Some(night);
            }
            now += STEP_S;
        }
        self.judge(night, &evening, &air, before);
    }

    fn step(
        &mut self,
        now: i64,
        evening: &Evening,
        air: &Air,
        sunny: bool,
        random: &mut Xoshiro256PlusPlus,
    ) {
        let mut fails = |f: fn(&mut Faults) -> &mut crate::faults::Fault, faults: &mut Faults| {
            f(faults).now(now, STEP_S, random)
        };
        let faults = &mut self.faults;
        let no_forecast = fails(|f| &mut f.forecast, faults);
        let no_sensor = fails(|f| &mut f.sensor, faults);
        let mail_down = fails(|f| &mut f.mail, faults);
        let web_down = fails(|f| &mut f.web, faults);
        let no_power = fails(|f| &mut f.power, faults);
        let wrong_clock = fails(|f| &mut f.clock, faults);
        let disk_full = fails(|f| &mut f.disk, faults);
        if no_power {
            return;
        }
        self.looks.push(now);
        let due = self.forecast.is_none_or(|(at, _)| now - at >= FORECAST_EVERY_S);
        if due && !no_forecast {
            let fresh = normal(random);
            let error = self.forecast.map_or(fresh, |(at, before)| {
                let phi = (-((now - at) as f64) / 3600.0 / MEMORY_H).exp();
                phi * before + (1.0 - phi * phi).sqrt() * fresh
            });
            self.forecast = Some((now, error));
        }
        // A clock that went back by three hours, or ahead by two.
        let shift = if !wrong_clock {
            0
        } else if evening.night.day() % 2 == 0 {
            -3
        } else {
            2
        };
        let shown = Moment(now + shift * 3600);
        if !no_sensor {
            self.reading = Some((shown, air.at(now)));
        }
        let facts = self.facts(shown, now, evening, air, sunny);
        let recipients = ["mail", "web"].map(|n| Recipient { name: n.into(), second: false });
        let mut outside = Outside {
            diary: &mut self.diary,
            random,
            mail_down,
            web_down,
            disk_full,
            dead: false,
            sent: &mut self.sent,
            now,
        };
        self.watcher.step(&facts, &self.watch, &recipients, &self.zone, &mut outside);
        if outside.dead {
            self.count.deaths += 1;
            let kept = self.diary.messages_since(shown.plus_seconds(-4 * 86_400));
            self.watcher = Watcher::new(kept.unwrap_or_default());
        }
        if !mail_down || !web_down {
            self.up.push(shown.0);
        }
        // The phone asks for its calendar; the plan of the evening is in it where there is one.
        if now - self.calendar.1 >= CALENDAR_EVERY_S && !web_down {
            self.calendar.1 = now;
            if let Ok(plan) = &facts.plan {
                self.calendar.0.insert(evening.night, plan.has_work());
            }
        }
    }

    fn facts(&self, shown: Moment, now: i64, evening: &Evening, air: &Air, sunny: bool) -> Facts {
        let covered = self.covered == Some(evening.night);
        let age_s = self.forecast.map_or(i64::MAX, |(at, _)| now - at);
        let hours = self.watch.blind_after_h;
        let plan = match self.forecast {
            // A forecast older than two days does not reach the night any more.
            Some((issued, error)) if age_s < 2 * 86_400 => {
                let lead_h = (evening.sunrise.0 - issued) as f64 / 3600.0;
                let low_c = air.low_c + error * sigma_air_k(lead_h);
                let course = Air { low_c, ..*air };
                let said = Said { issued, low_c };
                let reading = self.reading.filter(|(at, _)| (shown.0 - at.0).abs() < 3600);
                Ok(plan(&Known {
                    evening,
                    now: shown,
                    said,
                    course,
                    air: reading,
                    covered,
                    sunny: sunny && covered,
                }))
            }
            _ => Err("there is no forecast".to_owned()),
        };
        let mut blind = Vec::new();
        if age_s as f64 > hours * 3600.0 {
            blind.push(Blind { sense: Sense::Forecast, why: "old".into() });
        }
        if self.reading.is_none_or(|(at, _)| (shown.0 - at.0).abs() > SILENT_S) {
            blind.push(Blind { sense: Sense::Sensor("pole".into()), why: "silent".into() });
        }
        Facts {
            now: shown,
            place: PLACE,
            plan,
            air: self.reading,
            shut: if covered { vec![BED.into()] } else { Vec::new() },
            noted: true,
            last_note: None,
            blind,
            upkeep: Vec::new(),
        }
    }

    /// What the night was told by.
    fn judge(&mut self, night: Date, evening: &Evening, air: &Air, before: usize) {
        let count = &mut self.count;
        count.nights += 1;
        let tonight: Vec<_> = self.sent.iter().skip(before).collect();
        let names: BTreeSet<&str> = tonight.iter().map(|(_, m, _)| m.id.as_str()).collect();
        count.by_number[names.len().min(7)] += 1;
        if tonight.iter().any(|(_, m, at)| wants_cover(m) && *at < evening.sunset.0) {
            count.told += 1;
            count.false_alarms += u32::from(air.low_c > LIMIT_C + 2.0);
        }
        let Some(passes) = air.passes(LIMIT_C) else { return };
        count.frosts += 1;
        // A bed that was covered on time was told.
        let in_time = |pick: &dyn Fn(&Message) -> bool| {
            tonight.iter().any(|(_, m, at)| pick(m) && *at <= passes - IN_TIME_S)
        };
        let of = |kind: MessageKind| move |m: &Message| m.kind == kind;
        let evening_told = |m: &Message| m.kind == MessageKind::Evening && wants_cover(m);
        let change = |m: &Message| m.kind == MessageKind::Change && wants_cover(m);
        // A warning holds until it is taken back.
        let warned =
            self.sent.iter().rev().take_while(|(_, m, _)| m.kind != MessageKind::SeesAgain);
        let warned = warned.filter(|(_, m, at)| {
            matches!(m.kind, MessageKind::Blind | MessageKind::NoPlan)
                && *at <= passes - IN_TIME_S
                && passes - *at < 86_400
        });
        // It rings for the work of the plan that it holds, and where it holds none.
        let rang = self.calendar.0.get(&night).is_none_or(|work| *work);
        let told = if in_time(&evening_told) {
            &mut count.evening
        } else if in_time(&change) {
            &mut count.change
        } else if in_time(&of(MessageKind::Night)) {
            &mut count.night
        } else if warned.count() > 0 {
            &mut count.blind
        } else if rang {
            &mut count.calendar
        } else {
            let last = tonight
                .iter()
                .map(|(_, m, at)| format!("{:?} {} min before", m.kind, (passes - at) / 60));
            let last: Vec<String> = last.collect();
            let low = air.low_c;
            let words = format!("{night}: low {low:.1} °C; told: {}", last.join(", "));
            let dead = !self.looks.iter().any(|at| (passes - DEAD_S..passes).contains(at));
            if dead { &mut count.dead } else { &mut count.untold }.push(words);
            return;
        };
        *told += 1;
    }

    /// What was lost or doubled in the whole year.
    fn look_back(&mut self) {
        let kept = self.diary.messages_since(Moment(0)).unwrap_or_default();
        let count = &mut self.count;
        count.messages = u32::try_from(kept.messages.len()).unwrap_or(u32::MAX);
        let told: Vec<(&Message, bool)> =
            kept.messages.iter().map(|m| (m, tells_plan(m))).collect();
        for (n, (m, tells)) in told.iter().enumerate() {
            // A later plan of the same night is told in place of it.
            let later = told.iter().skip(n + 1).any(|(o, t)| *t && o.night == m.night);
            if *tells && later {
                continue;
            }
            let reached = self.sent.iter().any(|(_, s, _)| s.id == m.id);
            let held = |at: i64| {
                let never =
                    matches!(m.kind, MessageKind::Evening | MessageKind::NoPlan) || m.urgent;
                !never && calendar::quiet_until(Moment(at), &self.watch, &self.zone).is_some()
            };
            let looks =
                self.up.iter().filter(|at| (m.at.0..m.until.0).contains(*at) && !held(**at));
            count.lost += u32::from(!reached && looks.count() >= LOOKS);
        }
        let mut by_name: BTreeMap<(&str, &str), u32> = BTreeMap::new();
        let mut about: BTreeMap<(String, &str), BTreeSet<&str>> = BTreeMap::new();
        for (name, m, _) in &self.sent {
            *by_name.entry((name, m.id.as_str())).or_default() += 1;
            if matches!(m.kind, MessageKind::Evening | MessageKind::NoPlan) {
                let what = format!("{} {:?}", m.night, m.kind);
                about.entry((what, name)).or_default().insert(m.id.as_str());
            }
        }
        count.twice = by_name.values().map(|n| n - 1).sum();
        count.doubled = about.values().map(|ids| u32::try_from(ids.len() - 1).unwrap_or(1)).sum();
    }
}

/// Whether a message tells a plan.
fn tells_plan(message: &Message) -> bool {
    serde_json::from_str::<Subject>(&message.about).is_ok_and(|s| s.plan().is_some())
}

/// Whether a message says that the bed is to be covered.
fn wants_cover(message: &Message) -> bool {
    serde_json::from_str::<Subject>(&message.about)
        .ok()
        .and_then(|s| s.plan().map(watch::brief::Brief::has_work))
        .unwrap_or(false)
}
