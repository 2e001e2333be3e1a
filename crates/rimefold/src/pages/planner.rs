//! The evening's plan, made in the background and kept until its inputs or the night change.

#[cfg(test)]
mod tests;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, OnceLock, PoisonError, RwLock};
use std::time::Duration;

use ::diary::entries::JudgedEntry;
use ::diary::entry::What;
use ::diary::learning::Teaching;
use evening::learned::AirNow;
use evening::report::{Report, SunTimes};
use evening::week::report::WeekReport;
use evening::{Settings, week};
use garden::Garden;
use garden::lying::NotedBed;
use quantities::{Moment, Place};
use weather::Forecast;

use crate::answers::tonight::{MORNING_ENDS, Question, SavedPlan, wrong_place};
use crate::diary::damaged::{damaged, take_as_worn};
use crate::diary::learned::Known;
use crate::diary::lying;
use crate::exit::{Exit, Failure};
use crate::format::GardenFormat;
use crate::machines::air;
use crate::outside::accepted_place;
use crate::outside::files::{self, Stamp};
use crate::pages::clock::Clock;
use crate::pages::folder::{self, Folder, Stamps, garden_file};
use crate::pages::hands::Hands;

/// How often the folder is looked at.
const LOOK_EVERY: Duration = Duration::from_secs(1);
/// A plan older than this is made anew, so that its deadlines keep up with the clock.
const KEEP_S: i64 = 2 * 3600;
/// Where it is noted what lies, the answer is for the moment and is made anew after this long.
const KEEP_NOTED_S: i64 = 600;
/// So long after sunrise the morning is over whatever the hour: the machine has slept since.
const LONG_DAY_S: i64 = 12 * 3600;
/// A clock that was set back by more than this makes a plan worthless.
const SET_BACK_S: i64 = 600;

/// What the pages show.
#[derive(Clone, Default)]
pub struct Evening {
    /// The garden and what a grower is warned of, once it could be read.
    pub garden: Option<Arc<Garden>>,
    /// Warnings about the garden file.
    pub warnings: Arc<Vec<String>>,
    /// The plan last made; what it says holds for `planned_for`.
    pub report: Option<Arc<Report>>,
    /// The garden that the plan was made for.
    pub planned_for: Option<Arc<Garden>>,
    /// The nights ahead as one plan.
    pub week: Option<Arc<WeekReport>>,
    /// Why there is no garden or no plan.
    pub trouble: Option<Trouble>,
    /// The place of a forecast for somewhere else, until a grower says that it serves.
    pub asks_place: Option<Place>,
    /// That a forecast for somewhere else is used, and how far off it is.
    pub elsewhere: Option<String>,
    /// The air as read here since the morning that the plan was made on.
    pub air: Arc<Vec<AirNow>>,
    /// Whether a plan is being made.
    pub working: bool,
}

impl Evening {
    /// Shows no plan, and why.
    fn lose_plan(&mut self, why: Failure) {
        (self.report, self.planned_for, self.week) = (None, None, None);
        (self.asks_place, self.elsewhere) = (None, None);
        self.trouble = Some(why.into());
    }
}

/// Why something cannot be shown.
#[derive(Clone, Debug)]
pub struct Trouble {
    /// Cause.
    pub code: Exit,
    /// Words.
    pub message: String,
}

impl From<Failure> for Trouble {
    fn from(f: Failure) -> Self {
        Self { code: f.code, message: f.message }
    }
}

/// What is told of each new plan: garden, plan, forecast and the forecast's bytes.
type OnPlan = dyn Fn(&Garden, &Report, &Forecast, &[u8]) + Send + Sync;

/// The evening and the thread that keeps it.
pub struct Planner {
    /// The garden folder.
    pub folder: PathBuf,
    /// The time.
    pub clock: Clock,
    /// Held while the garden file is written.
    pub saving: Mutex<()>,
    shown: RwLock<Evening>,
    /// Who works tonight, where that is not what the garden file says.
    hands: Mutex<Option<Hands>>,
    nudged: Mutex<bool>,
    nudge: Condvar,
    /// Every entry of the diary and the number of the last, so that only what is new is read.
    entries: Mutex<(Vec<JudgedEntry>, i64)>,
    /// Called with each new plan and its forecast.
    on_plan: Box<OnPlan>,
    /// Whether the nights ahead are planned too.
    week: bool,
}

/// How many plans are made at once in this process: as many as there are cores, however many gardens.
static PLANS: OnceLock<Plans> = OnceLock::new();

/// Places to plan in.
struct Plans {
    free: Mutex<usize>,
    freed: Condvar,
}

impl Plans {
    /// Waits for a place, plans, and gives it back.
    fn with<T>(plan: impl FnOnce() -> T) -> T {
        /// Gives it back also where the plan breaks off.
        struct Place(&'static Plans);
        impl Drop for Place {
            fn drop(&mut self) {
                *lock(&self.0.free) += 1;
                self.0.freed.notify_one();
            }
        }
        let cores = || std::thread::available_parallelism().map_or(1, usize::from);
        let plans = PLANS.get_or_init(|| Self { free: Mutex::new(cores()), freed: Condvar::new() });
        let free = plans.freed.wait_while(lock(&plans.free), |free| *free == 0);
        *free.unwrap_or_else(PoisonError::into_inner) -= 1;
        let _place = Place(plans);
        plan()
    }
}

/// The files and the moment a plan was made from.
struct Made {
    stamps: Stamps,
    at: Moment,
    /// When the diary was last told of a plan: the list whose numbers a grower may have in hand.
    told: Moment,
    /// When diary and readings were last written, and what the diary then said of covers.
    diary: [Option<Stamp>; 4],
    noted: Vec<NotedBed>,
    /// Whose hands it was made for.
    hands: Option<Hands>,
    /// What it then said of thermometers.
    heard: Heard,
}

/// What the diary says of thermometers: readings that stand, and which nights teach.
#[derive(Clone, Default, PartialEq)]
struct Heard {
    readings: usize,
    teaching: Teaching,
    /// The hour of the last reading of the open air by a machine.
    air_hour: Option<i64>,
    /// Sheets noted as damaged.
    damaged: Vec<String>,
}

impl Planner {
    /// A planner over a folder; nothing is read yet. `on_plan` is told of each new plan.
    pub fn new(
        folder: PathBuf,
        clock: Clock,
        on_plan: impl Fn(&Garden, &Report, &Forecast, &[u8]) + Send + Sync + 'static,
    ) -> Arc<Self> {
        Arc::new(Self::over(folder, clock, Box::new(on_plan), true))
    }

    /// One that plans tonight alone, for a garden whose nights ahead nobody looks at.
    pub fn of_tonight(
        folder: PathBuf,
        clock: Clock,
        on_plan: impl Fn(&Garden, &Report, &Forecast, &[u8]) + Send + Sync + 'static,
    ) -> Arc<Self> {
        Arc::new(Self::over(folder, clock, Box::new(on_plan), false))
    }

    fn over(folder: PathBuf, clock: Clock, on_plan: Box<OnPlan>, week: bool) -> Self {
        Self {
            folder,
            clock,
            saving: Mutex::new(()),
            shown: RwLock::new(Evening { working: true, ..Evening::default() }),
            hands: Mutex::new(None),
            nudged: Mutex::new(false),
            nudge: Condvar::new(),
            entries: Mutex::default(),
            on_plan,
            week,
        }
    }

    /// Makes the plan now, on the calling thread.
    pub fn look_once(&self) {
        self.look_unharmed(&mut None);
    }

    /// Starts the thread that keeps the evening, for as long as the program runs.
    pub fn keep(self: &Arc<Self>) {
        let planner = Arc::clone(self);
        std::thread::spawn(move || {
            let mut made = None;
            loop {
                planner.look_unharmed(&mut made);
                planner.rest();
            }
        });
    }

    /// What is to be shown now; never waits for a plan.
    pub fn evening(&self) -> Evening {
        self.shown.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Says that a file has just been written, so that nobody waits for the next look.
    pub fn nudge(&self) {
        let mut nudged = lock(&self.nudged);
        *nudged = true;
        self.change(|e| e.working = true);
        self.nudge.notify_all();
    }

    /// Says that no plan is being made, unless a file was written while the last one was.
    fn rested(&self) {
        let nudged = lock(&self.nudged);
        self.change(|e| e.working = *nudged);
    }

    /// Plans with other hands tonight, or with those of the garden file again.
    pub fn take_hands(&self, hands: Option<Hands>) {
        *lock(&self.hands) = hands;
        self.nudge();
    }

    /// Shows a garden that has just been made, before its folder is read again.
    pub fn take_up(&self, garden: Garden, warnings: Vec<String>) {
        self.change(|e| {
            (e.garden, e.warnings) = (Some(Arc::new(garden)), Arc::new(warnings));
            e.trouble = None;
        });
        self.nudge();
    }

    fn rest(&self) {
        let nudged = lock(&self.nudged);
        let waited = self.nudge.wait_timeout_while(nudged, LOOK_EVERY, |n| !*n);
        let (mut nudged, _) = waited.unwrap_or_else(PoisonError::into_inner);
        *nudged = false;
    }

    fn change(&self, change: impl FnOnce(&mut Evening)) {
        change(&mut self.shown.write().unwrap_or_else(PoisonError::into_inner));
    }

    /// A look whose faults of ours are told on the page instead of ending the thread.
    fn look_unharmed(&self, made: &mut Option<Made>) {
        let (stamps, at) = (folder::stamps(&self.folder), self.clock.now());
        if catch_unwind(AssertUnwindSafe(|| self.look(made))).is_err() {
            let fault = Failure::bug("the evening's plan broke off");
            self.change(|e| e.lose_plan(fault));
            self.rested();
            let diary = self.diary_stamps();
            let (noted, heard) = self.said(at);
            let hands = *lock(&self.hands);
            *made = Some(Made { stamps, at, told: at, diary, noted, hands, heard });
        }
    }

    fn look(&self, made: &mut Option<Made>) {
        let stamps = folder::stamps(&self.folder);
        let now = self.clock.now();
        if made.as_mut().is_some_and(|m| m.stamps == stamps && self.still_serves(m, now)) {
            self.rested();
            return;
        }
        self.change(|e| e.working = true);
        let diary = self.diary_stamps();
        let (noted, heard) = self.said(now);
        // A tick alone makes no new list: its numbers stay.
        let same = made.as_ref().filter(|m| m.stamps == stamps && !self.outlived(m.told, now));
        let told = same.map_or(now, |m| m.told);
        let hands = *lock(&self.hands);
        let mut read = folder::read(&self.folder);
        if let Ok((garden, _)) = &mut read.garden {
            take_as_worn(garden, &heard.damaged);
        }
        Plans::with(|| self.plan(read, &noted, hands, now, told == now));
        *made = Some(Made { stamps, at: now, told, diary, noted, hands, heard });
        self.rested();
    }

    /// Whether what was made still holds: what lies is as it was then, and it is not too old.
    fn still_serves(&self, made: &mut Made, now: Moment) -> bool {
        let stamps = self.diary_stamps();
        if made.diary != stamps {
            made.diary = stamps;
            let (noted, heard) = self.said(now);
            if noted != made.noted || heard != made.heard {
                return false;
            }
        }
        if made.hands != *lock(&self.hands) {
            return false;
        }
        let old = !made.noted.is_empty() && (now.0 - made.at.0).abs() > KEEP_NOTED_S;
        !old && !self.outlived(made.at, now)
    }

    /// When diary and readings of machines were last written: each file, and what waits to go into it.
    fn diary_stamps(&self) -> [Option<Stamp>; 4] {
        let path = ::diary::beside(&garden_file(&self.folder));
        let series = ::diary::series::beside(&path);
        let waiting = |path: &PathBuf| {
            let mut waiting = path.clone().into_os_string();
            waiting.push("-wal");
            files::stamp(&PathBuf::from(waiting))
        };
        [files::stamp(&path), waiting(&path), files::stamp(&series), waiting(&series)]
    }

    /// What the diary says of covers, and of thermometers.
    fn said(&self, now: Moment) -> (Vec<NotedBed>, Heard) {
        let Some(diary) = self.diary() else { return Default::default() };
        let mut kept = lock(&self.entries);
        let (entries, last) = &mut *kept;
        if diary.catch_up(entries, last).is_err() {
            (*entries, *last) = Default::default();
        }
        let reading = |e: &&JudgedEntry| e.stands && matches!(e.entry.what, What::Reading { .. });
        let readings = entries.iter().filter(reading).count();
        let teaching = diary.teaching().unwrap_or_default();
        let garden = self.evening().garden;
        let air_hour = garden.and_then(|g| air::last_hour(&diary, &g, now));
        let damaged = damaged(entries, now);
        (lying::noted(entries, now), Heard { readings, teaching, air_hour, damaged })
    }

    /// Whether a plan made at `at`, or the lack of one, no longer serves.
    fn outlived(&self, at: Moment, now: Moment) -> bool {
        let shown = self.evening();
        let Some((report, garden)) = shown.report.zip(shown.planned_for) else {
            return (now.0 - at.0).abs() > KEEP_S;
        };
        let hour = GardenFormat::new(garden.units, &garden.zone).hour(now);
        is_over(&report.sun, hour, at, now)
    }

    fn plan(
        &self,
        read: Folder,
        noted: &[NotedBed],
        hands: Option<Hands>,
        now: Moment,
        tell: bool,
    ) {
        let (garden, warnings) = match read.garden {
            Ok((garden, warnings)) => (Arc::new(garden), Arc::new(warnings)),
            Err(f) => {
                self.change(|e| {
                    *e = Evening { trouble: Some(f.into()), working: true, ..Evening::default() };
                });
                return;
            }
        };
        self.change(|e| {
            (e.garden, e.warnings) = (Some(Arc::clone(&garden)), Arc::clone(&warnings));
        });
        let past = read.past;
        let garden = tonight_with(garden, hands, now);
        let diary = self.diary();
        let known = Known::from_diary(diary.as_ref(), &garden, now);
        let (settings, learned) = (Settings::default(), known.learned(0.0));
        let saved = diary.and_then(|d| SavedPlan::of_ending_night(&d, now));
        let asked = read.forecast.as_ref().ok().and_then(|f| self.not_accepted(&garden, &f.0));
        let made = read.forecast.and_then(|(f, bytes)| {
            let accepted = asked.is_none();
            let aside = wrong_place::check(&garden, &f, accepted, "say below that it serves")?;
            let (garden, past) = (garden.as_ref(), past.as_ref());
            let question = Question { garden, noted, forecast: &f, past, settings, learned };
            Ok((shown_night(&question, saved.as_ref(), now)?, f, bytes, aside))
        });
        let (report, forecast, bytes, aside) = match made {
            Ok(made) => made,
            Err(f) => {
                self.change(|e| {
                    e.lose_plan(f);
                    e.asks_place = asked;
                });
                return;
            }
        };
        // A night looked back at, after a start in the morning, was not said the evening before.
        if tell && report.asked_at == now {
            (self.on_plan)(&garden, &report, &forecast, &bytes);
        }
        self.change(|e| {
            (e.trouble, e.asks_place, e.elsewhere) = (None, None, aside);
            e.report = Some(Arc::new(report));
            e.air = Arc::new(known.air().to_vec());
            e.planned_for = Some(Arc::clone(&garden));
        });
        if !self.week {
            return;
        }
        let state = garden::lying::derive(&garden, noted, now);
        let question = week::Question {
            garden: &garden,
            state: &state,
            forecast: &forecast,
            past: past.as_ref(),
            asked_at: now,
            learned,
        };
        let plan = week::plan(&question, week::Settings::default(), &|_, _| ());
        self.change(|e| e.week = plan.ok().map(Arc::new));
    }

    /// The place of a forecast that is asked about and has not been accepted.
    fn not_accepted(&self, garden: &Garden, forecast: &Forecast) -> Option<Place> {
        let elsewhere = wrong_place::elsewhere(garden, forecast).filter(|e| !e.useless);
        let place = elsewhere.and(forecast.place)?;
        (!accepted_place::holds(&garden_file(&self.folder), &place)).then_some(place)
    }

    fn diary(&self) -> Option<::diary::Diary> {
        let path = ::diary::beside(&garden_file(&self.folder));
        ::diary::Diary::open_read_only(&path).ok()
    }
}

/// The garden with the hands there are tonight.
fn tonight_with(garden: Arc<Garden>, hands: Option<Hands>, now: Moment) -> Arc<Garden> {
    let Some(hands) = hands else { return garden };
    let labour = hands.labour(garden.labour, now);
    Arc::new(Garden { labour, ..garden.as_ref().clone() })
}

/// The plan of the night that is ending, in the morning; else of the coming one.
fn shown_night(
    question: &Question<'_>,
    saved: Option<&SavedPlan>,
    now: Moment,
) -> Result<Report, Failure> {
    question.ending_night(saved, now).map_or_else(|| question.coming_night(now), Ok)
}

/// Whether a plan of this night, made at `at`, is old or the morning after is over; `hour` is the local one of `now`.
fn is_over(sun: &SunTimes, hour: i8, at: Moment, now: Moment) -> bool {
    if now.0 < at.0 - SET_BACK_S {
        return true;
    }
    if now < sun.sunset {
        return now.0 - at.0 > KEEP_S;
    }
    now > sun.sunrise && (hour >= MORNING_ENDS || now.0 - sun.sunrise.0 > LONG_DAY_S)
}

fn lock<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}
