//! Readings of machines while the pages are served: folders looked through, messages listened to, lows noted.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use ::diary::series::{self, Series, Taken};
use garden::Garden;
use quantities::Moment;
use sensors::{Reading, Unit, single};

use crate::answers::sensors::night_told;
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::machines::lows::Came;
use crate::machines::{files, lows, state};
use crate::outside::mqtt::{self, Subscription};
use crate::outside::secret;
use crate::pages::diary_writer::DiaryWriter;
use crate::pages::folder::garden_file;
use crate::pages::planner::Planner;

/// How often folders are looked through.
const LOOK_EVERY: Duration = Duration::from_secs(10);
/// How often nights that are over are looked for where nothing new came.
const NOTE_EVERY: Duration = Duration::from_secs(600);
/// How far back, s.
const NOTE_BACK_S: i64 = 2 * 86_400;
/// Stands for the broker's password.
const PASSWORD: &str = "RIMEFOLD_MQTT_PASSWORD";

/// The series that the pages write, opened when first needed.
#[derive(Clone)]
pub struct Machines {
    planner: Arc<Planner>,
    writer: DiaryWriter,
    series: Arc<Mutex<Option<Series>>>,
    /// What is wrong, a sentence each; nights of the last days that were not noted.
    told: Arc<Mutex<Vec<String>>>,
    not_noted: Arc<Mutex<Vec<String>>>,
    /// When each sensor last sent a message that was taken.
    last: Arc<Mutex<HashMap<String, Instant>>>,
}

impl Machines {
    /// Nothing is opened yet.
    pub fn new(planner: Arc<Planner>, writer: DiaryWriter) -> Self {
        Self {
            planner,
            writer,
            series: Arc::default(),
            told: Arc::default(),
            not_noted: Arc::default(),
            last: Arc::default(),
        }
    }

    /// Starts the threads, for as long as the program runs.
    pub fn keep(&self) {
        let looking = self.clone();
        std::thread::spawn(move || looking.look_for_ever());
        let listening = self.clone();
        std::thread::spawn(move || listening.listen_for_ever());
    }

    /// What is wrong with the sensors, as of some seconds ago.
    pub fn told(&self) -> Vec<String> {
        let mut told = self.told.lock().unwrap_or_else(PoisonError::into_inner).clone();
        told.extend(self.not_noted());
        told
    }

    /// Nights of the last days that were not noted, a line each.
    pub fn not_noted(&self) -> Vec<String> {
        self.not_noted.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Seconds until a sensor may send again, so that one gone wild cannot fill the disk's time; 0 where it may now.
    pub fn wait_s(&self, sensor: &str, least: Duration) -> u64 {
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        let now = Instant::now();
        if let Some(left) = last.get(sensor).and_then(|at| least.checked_sub(now - *at)) {
            return left.as_secs() + 1;
        }
        last.insert(sensor.to_owned(), now);
        0
    }

    /// Takes readings of a sensor; blocks.
    ///
    /// # Errors
    /// The series cannot be written.
    pub fn take(&self, sensor: &str, readings: &[Reading]) -> Result<Taken, Failure> {
        let now = self.planner.clock.now();
        self.with_series(|series| Ok(series.take(sensor, readings, now)?))
    }

    fn with_series<T>(
        &self,
        job: impl FnOnce(&mut Series) -> Result<T, Failure>,
    ) -> Result<T, Failure> {
        let mut held = self.series.lock().unwrap_or_else(PoisonError::into_inner);
        let path = series::beside(&::diary::beside(&garden_file(&self.planner.folder)));
        // Somebody may have moved it away.
        if !path.is_file() {
            *held = None;
        }
        if held.is_none() {
            *held = Some(Series::open(&path)?);
        }
        match held.as_mut() {
            Some(series) => job(series),
            None => Err(Failure::bug("no series")),
        }
    }

    fn garden(&self) -> Option<Arc<Garden>> {
        self.planner.evening().garden.filter(|g| !g.sensors.is_empty())
    }

    fn look_for_ever(&self) {
        let (mut noted, mut looked) = (None::<Instant>, files::Looked::default());
        loop {
            std::thread::sleep(LOOK_EVERY);
            let Some(garden) = self.garden() else { continue };
            let now = self.planner.clock.now();
            let file = garden_file(&self.planner.folder);
            let new = self
                .with_series(|series| files::look(series, &garden, &file, &mut looked, now))
                .ok()
                .flatten();
            if new.is_some() || noted.is_none_or(|at| at.elapsed() > NOTE_EVERY) {
                noted = Some(Instant::now());
                self.note(&garden, new, now);
            }
            let told = self.with_series(|series| Ok(state::troubles(series, &garden, now)));
            let told = told.unwrap_or_default();
            *self.told.lock().unwrap_or_else(PoisonError::into_inner) = told;
        }
    }

    /// Notes the lows of nights that are over, from the first moment of what is new or of the last days.
    fn note(&self, garden: &Arc<Garden>, new: Option<Moment>, now: Moment) {
        let recent = now.plus_seconds(-NOTE_BACK_S);
        let from = new.map_or(recent, |n| n.min(recent));
        let (garden, held) = (Arc::clone(garden), Arc::clone(&self.series));
        let not_noted = Arc::clone(&self.not_noted);
        self.writer.tell(move |diary| {
            let mut held = held.lock().unwrap_or_else(PoisonError::into_inner);
            let Some(series) = held.as_mut() else { return Ok(()) };
            let words = GardenFormat::new(garden.units, &garden.zone);
            let nights = lows::note(diary, series, &garden, from, now)?;
            let lines = nights
                .iter()
                .filter(|(_, _, came)| !matches!(came, Came::Noted(_)))
                .map(|(sensor, night, came)| night_told(sensor, *night, came, &words));
            *not_noted.lock().unwrap_or_else(PoisonError::into_inner) = lines.collect();
            series.compact(now)?;
            Ok::<(), Failure>(())
        });
    }

    /// Listens to the broker that the garden file names; anew where the file says otherwise.
    fn listen_for_ever(&self) {
        loop {
            match self.subscription() {
                Some(wanted) => {
                    let still = || self.subscription().as_ref() == Some(&wanted);
                    mqtt::listen(&wanted, still, |topic, message| self.heard(topic, message));
                }
                None => std::thread::sleep(LOOK_EVERY),
            }
        }
    }

    fn subscription(&self) -> Option<Subscription> {
        let garden = self.garden()?;
        let broker = garden.broker.as_ref()?;
        let topics: Vec<String> = garden.sensors.iter().filter_map(|s| s.topic.clone()).collect();
        let password = secret::read(PASSWORD, None).unwrap_or_default();
        let login = broker.user.clone().map(|user| (user, password));
        let (host, port) = (broker.host.clone(), broker.port);
        (!topics.is_empty()).then_some(Subscription { host, port, login, topics })
    }

    /// A message under a topic: what is no number is passed over; a sensor that then sends nothing else is told as silent.
    fn heard(&self, topic: &str, message: &[u8]) {
        let Some(garden) = self.garden() else { return };
        let at = self.planner.clock.now();
        for sensor in garden.sensors.iter().filter(|s| s.topic.as_deref() == Some(topic)) {
            let unit = sensor.unit.map_or(Unit::Celsius, files::unit);
            let read = single::from_payload(message, sensor.field.as_deref(), unit);
            let Ok(celsius) = read else { continue };
            let _ = self.take(&sensor.name, &[Reading { at, celsius }]);
        }
    }
}
