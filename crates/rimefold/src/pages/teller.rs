//! People told in time while the program runs: what is known is looked at every ten seconds, what is due is sent.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use ::diary::Id;
use ::diary::entries::JudgedEntry;
use ::diary::entry::{Entry, Extreme, Place, What};
use ::diary::messages::{Delivery, Message, Messages};
use ::diary::series::{self, Series};
use ::watch::brief::{Brief, threat};
use ::watch::facts::{Blind, Facts, Sense, Upkeep};
use ::watch::ledger::{Ledger, REACH_S};
use ::watch::outbox::Recipient;
use ::watch::subject::Subject;
use ::watch::{Watcher, World, calendar};
use evening::report::Report;
use garden::Garden;
use garden::lying::{self as lies, Opening};
use garden::watch::{Channel, Watch};
use quantities::Moment;

use crate::answers::station::climate;
use crate::answers::{messages, upkeep};
use crate::diary::lying;
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::machines::{air, state, token};
use crate::outside::push::{self, Phone, Push};
use crate::outside::{files, mail, webhook};
use crate::pages::App;
use crate::pages::diary_writer::DiaryWriter;
use crate::pages::folder::garden_file;
use crate::pages::planner::Evening;

/// How often it is looked whether anything is to be told.
const LOOK_EVERY: Duration = Duration::from_secs(10);
/// And where the first plan is on its way.
const SOON: Duration = Duration::from_secs(1);
/// Covers are noted in this garden where one was noted since, s.
const NOTED_S: i64 = 14 * 86_400;
/// What upkeep asks for is worked out so often, s.
const UPKEEP_S: i64 = 600;
/// Air is read back for so long, s.
const AIR_S: i64 = 3600;

/// What the pages see of the thread that tells.
#[derive(Default)]
struct Shown {
    ledger: Ledger,
    blind: Vec<Blind>,
    /// What was seen since the last look.
    seen: Vec<(Id, Moment)>,
}

/// The thread that tells, and what it has told.
#[derive(Clone, Default)]
pub struct Teller {
    shown: Arc<Mutex<Shown>>,
}

/// What the thread goes on from.
#[derive(Default)]
struct Telling {
    watcher: Option<Watcher>,
    /// The last garden that could be read: a file with faults stops no message.
    garden: Option<Arc<Garden>>,
    /// What was to be looked at, and when that was worked out.
    upkeep: Option<(Moment, Vec<Upkeep>)>,
}

impl Teller {
    /// Starts the thread, for as long as the program runs.
    pub fn keep(&self, app: &App) {
        let (teller, app) = (self.clone(), app.clone());
        std::thread::spawn(move || {
            let mut telling = Telling::default();
            loop {
                let look = AssertUnwindSafe(|| teller.look(&app, &mut telling));
                // A fault of ours in one look ends no later one; the diary knows what was told.
                let pause = catch_unwind(look).unwrap_or_else(|_| {
                    telling = Telling::default();
                    LOOK_EVERY
                });
                std::thread::sleep(pause);
            }
        });
    }

    /// One look, from what the diary knows.
    pub fn look_once(&self, app: &App) {
        let _ = self.look(app, &mut Telling::default());
    }

    /// What was told lately.
    pub fn ledger(&self) -> Ledger {
        self.shown().ledger.clone()
    }

    /// What cannot wait and nobody has seen: names and first lines.
    pub fn unseen(&self, now: Moment) -> Vec<(Id, String)> {
        let shown = self.shown();
        let open = shown
            .ledger
            .told()
            .iter()
            .map(|t| &t.message)
            .filter(|m| m.urgent && now < m.until && !shown.ledger.seen(m, None));
        open.map(|m| (m.id.clone(), messages::first_line(m).to_owned())).collect()
    }

    /// What cannot be kept or sent, a sentence each.
    pub fn told(&self) -> Vec<String> {
        let sentence = |b: &Blind| match &b.sense {
            Sense::Recipient(name) => format!("no message reaches {name}: {}", b.why),
            _ => b.why.clone(),
        };
        self.shown().blind.iter().map(sentence).collect()
    }

    /// Somebody has seen a message.
    pub fn see(&self, message: &Id, now: Moment) {
        let mut shown = self.shown();
        shown.ledger.see(message, now);
        shown.seen.push((message.clone(), now));
    }

    fn shown(&self) -> MutexGuard<'_, Shown> {
        self.shown.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// One look: decides, keeps, sends; the pause until the next. Does nothing where the garden file tells nobody.
    fn look(&self, app: &App, telling: &mut Telling) -> Duration {
        let evening = app.planner.evening();
        telling.garden = evening.garden.clone().or(telling.garden.take());
        let Some(garden) = telling.garden.clone() else { return SOON };
        let file = garden_file(&app.planner.folder);
        let phones = push::phones(&file);
        let recipients = recipients(&garden, &phones);
        if garden.watch.is_none() && recipients.is_empty() {
            return LOOK_EVERY;
        }
        // The first plan is on its way.
        if evening.report.is_none() && evening.trouble.is_none() {
            return SOON;
        }
        let now = app.planner.clock.now();
        let watch = garden.watch.clone().unwrap_or_default();
        let fresh = |(at, _): &(Moment, Vec<Upkeep>)| (now.0 - at.0).abs() < UPKEEP_S;
        let looked = telling.upkeep.take().filter(fresh).unwrap_or_else(|| {
            (now, upkeep(&garden, &app.writer.entries(), evening.report.as_deref(), now))
        });
        let upkeep = telling.upkeep.insert(looked).1.clone();
        let facts = Facts { upkeep, ..facts(app, &evening, &garden, &watch, now) };
        let mut outside = Outside {
            garden: &garden,
            report: evening.report.as_deref(),
            link: watch.link.as_deref(),
            writer: &app.writer,
            phones: &phones,
            now,
            file,
        };
        let watcher = telling.watcher.get_or_insert_with(|| Watcher::new(kept(&app.writer, now)));
        for (message, at) in std::mem::take(&mut self.shown().seen) {
            watcher.see(&message, at);
        }
        let zone = calendar::zone(&garden.zone);
        watcher.step(&facts, &watch, &recipients, &zone, &mut outside);
        let (ledger, blind) = (watcher.ledger().clone(), watcher.blind(&recipients, now));
        let mut shown = self.shown();
        (shown.ledger, shown.blind) = (ledger, blind);
        LOOK_EVERY
    }
}

/// Those who are told.
fn recipients(garden: &Garden, phones: &[Phone]) -> Vec<Recipient> {
    let of = |r: &garden::watch::Recipient| Recipient { name: r.name.clone(), second: r.second };
    let phone = |p: &Phone| Recipient { name: p.name.clone(), second: false };
    garden.recipients.iter().map(of).chain(phones.iter().map(phone)).collect()
}

/// What the diary has of the last days; nothing where it cannot be read.
fn kept(writer: &DiaryWriter, now: Moment) -> Messages {
    let since = now.plus_seconds(-REACH_S);
    writer.wait(move |diary| diary.messages_since(since)).unwrap_or_default()
}

/// Everything known now.
fn facts(app: &App, evening: &Evening, garden: &Garden, watch: &Watch, now: Moment) -> Facts {
    let entries = app.writer.entries();
    let plan = match (&evening.report, &evening.planned_for) {
        (Some(report), Some(of)) => Ok(Brief::new(report, of)),
        _ => {
            // Faults of a garden file have many lines; the first says enough.
            let why = evening.trouble.as_ref().and_then(|t| t.message.lines().next());
            Err(why.unwrap_or("none was made").to_owned())
        }
    };
    // Opened once a look, and only where something is read by machines.
    let file = ::diary::beside(&garden_file(&app.planner.folder));
    let path = (!garden.sensors.is_empty()).then(|| series::beside(&file));
    let series = path.and_then(|path| Series::open_read_only(&path).ok().flatten());
    let noted = lying::noted(&entries, now);
    let state = lies::derive(garden, &noted, now);
    let shut = garden
        .beds
        .iter()
        .zip(&state.beds)
        .filter(|(_, on)| on.iter().any(|l| l.opening == Opening::Shut && l.against_cold()));
    let standing = || entries.iter().filter(|e| e.stands).map(|e| &e.entry);
    let of_covers = |e: &&Entry| matches!(e.what, What::Cover { .. } | What::Done { .. });
    let recent = |e: &Entry| now.0 - e.written.0 < NOTED_S;
    let by_hand = |e: &&Entry| !matches!(e.what, What::Reading { .. });
    Facts {
        now,
        place: garden.place,
        plan,
        air: air_now(series.as_ref(), &entries, garden, now),
        shut: shut.map(|(bed, _)| bed.name.clone()).collect(),
        noted: standing().filter(of_covers).any(recent),
        last_note: standing().filter(by_hand).map(|e| e.written).max(),
        blind: blind(app, evening.report.as_deref(), series.as_ref(), garden, watch, now),
        upkeep: Vec::new(),
    }
}

/// What is to be looked at today, as the calendar has it.
fn upkeep(
    garden: &Garden,
    entries: &[JudgedEntry],
    report: Option<&Report>,
    now: Moment,
) -> Vec<Upkeep> {
    let today = upkeep::coming(garden, entries, report, now, 0);
    let threats = |u: &upkeep::Upkeep| match u.kind {
        upkeep::Kind::Snow | upkeep::Kind::Wind if u.danger => {
            u.subjects.iter().map(|bed| threat(u.kind == upkeep::Kind::Snow, bed)).collect()
        }
        _ => Vec::new(),
    };
    let of = |u: &upkeep::Upkeep| Upkeep {
        threats: threats(u),
        name: format!("{:?} {}", u.kind, u.subjects.join(", ")),
        words: upkeep::words::sentence(u, garden),
        danger: u.danger,
    };
    today.iter().map(of).collect()
}

/// The last reading of the open air within the hour, by a machine or by hand.
fn air_now(
    series: Option<&Series>,
    entries: &[JudgedEntry],
    garden: &Garden,
    now: Moment,
) -> Option<(Moment, f64)> {
    let from = now.plus_seconds(-AIR_S);
    let machines = series.map(|s| air::open(s, garden, from, now)).unwrap_or_default();
    let machines = machines.into_iter().map(|r| (r.at, r.celsius));
    let hand = entries.iter().filter(|e| e.stands).filter_map(|e| match &e.entry.what {
        What::Reading { extreme: Extreme::Now, celsius, place: Place::Open { .. } } => {
            Some((e.entry.at, *celsius))
        }
        _ => None,
    });
    let fresh = |r: &(Moment, f64)| r.0 >= from && r.0 <= now;
    machines.chain(hand).filter(fresh).max_by_key(|r| r.0)
}

/// What cannot be seen: an old forecast, a silent sensor, a damaged diary.
fn blind(
    app: &App,
    report: Option<&Report>,
    series: Option<&Series>,
    garden: &Garden,
    watch: &Watch,
    now: Moment,
) -> Vec<Blind> {
    let words = GardenFormat::new(garden.units, &garden.zone);
    let mut out = Vec::new();
    let issued = report.and_then(|r| r.weather.issued).or_else(|| {
        let path = crate::pages::folder::forecast_file(&app.planner.folder)?;
        files::age_s(&path).map(|age| now.plus_seconds(-(age as i64)))
    });
    if let Some(issued) = issued
        && now.hours_since(issued) > watch.blind_after_h
    {
        let of = format!("it is of {} {}", words.date(issued), words.time(issued));
        let why = app.fetcher.told().map_or_else(|| of.clone(), |t| format!("{of}; {t}"));
        out.push(Blind { sense: Sense::Forecast, why });
    }
    let state = state::state(garden, series, &[], now).unwrap_or_default();
    for sensor in state.sensors.iter().filter(|s| s.trouble.is_some()) {
        let why = sensor.told(&words, now).unwrap_or_default();
        out.push(Blind { sense: Sense::Sensor(sensor.name.clone()), why });
    }
    out.extend(app.writer.damage().map(|why| Blind { sense: Sense::Disk, why }));
    out
}

/// What carries messages.
struct Outside<'a> {
    garden: &'a Garden,
    report: Option<&'a Report>,
    link: Option<&'a str>,
    writer: &'a DiaryWriter,
    phones: &'a [Phone],
    now: Moment,
    file: PathBuf,
}

impl World for Outside<'_> {
    fn words(&self, subject: &Subject) -> String {
        let climate = || {
            let record = files::station(&self.file)?;
            climate::nights_like_this(&record, self.garden, self.now)
        };
        messages::words(subject, self.garden, self.report, &climate, self.link)
    }

    fn keep(&mut self, message: &Message) -> Result<(), String> {
        let message = message.clone();
        let kept = self.writer.wait(move |diary| diary.keep_message(&message));
        kept.map(drop).map_err(|f: Failure| f.message)
    }

    fn send(&mut self, recipient: &Recipient, message: &Message) -> Result<(), String> {
        if let Some(phone) = self.phones.iter().find(|p| p.name == recipient.name) {
            let push = Push {
                payload: &messages::json::for_a_phone(message).map_err(|f| f.message)?,
                ttl_s: message.until.0 - self.now.0,
                urgent: message.urgent,
                now: self.now.0,
            };
            return push::send(&self.file, phone, &push);
        }
        let Some(to) = self.garden.recipients.iter().find(|r| r.name == recipient.name) else {
            return Err("the garden file names them no more".to_owned());
        };
        match to.by {
            Channel::Mail => {
                let server = self.garden.mail.as_ref().ok_or("no mail server is named")?;
                let letter = mail::Letter {
                    id: message.id.as_str(),
                    to: &to.to,
                    subject: messages::first_line(message),
                    text: &message.text,
                    at: message.at.0,
                };
                mail::send(server, &self.file, &letter)
            }
            Channel::Webhook => {
                let secret = token::of_webhooks(&self.file).map_err(|f| f.message)?;
                let body = messages::json::posted(message, self.garden).map_err(|f| f.message)?;
                webhook::send(&to.to, &secret, message.id.as_str(), message.at.0, &body)
            }
        }
    }

    fn keep_delivery(&mut self, delivery: &Delivery) -> Result<(), String> {
        let delivery = delivery.clone();
        self.writer
            .wait(move |diary| diary.keep_delivery(&delivery))
            .map_err(|f: Failure| f.message)
    }
}
