//! The one thread that writes the diary for the pages, and a picture of the diary that every page may read at once.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;

use diary::Diary;
use diary::entries::JudgedEntry;
use diary::entry::Entry;
use diary::skill::Skill;
use jiff::tz::TimeZone;
use tokio::sync::oneshot;

use crate::exit::{Exit, Failure};

/// Longest wait for the diary to be closed when the program ends.
const FAREWELL: Duration = Duration::from_secs(5);
/// How often the diary is looked at for what another program wrote.
const LOOK_EVERY: Duration = Duration::from_secs(1);

type Job = Box<dyn FnOnce(&mut Writing) + Send>;

/// The writing thread's end.
struct Writing {
    path: PathBuf,
    diary: Option<Diary>,
    shown: Arc<RwLock<Shown>>,
    /// Number of the last entry in the picture.
    last: i64,
    seen: i64,
    /// Whether something written may still lie beside the diary's file.
    unsettled: bool,
    over: bool,
}

/// What pages see of the diary.
#[derive(Default)]
struct Shown {
    entries: Arc<Vec<JudgedEntry>>,
    damage: Option<String>,
    /// How well was said what came, and the write it was worked out after.
    skill: Option<(i64, Arc<Skill>)>,
}

/// The pages' end.
#[derive(Clone)]
pub struct DiaryWriter {
    jobs: Sender<Job>,
    shown: Arc<RwLock<Shown>>,
}

impl DiaryWriter {
    /// Starts the thread for the diary at `path`; it is opened, or made, at once where that can be done.
    pub fn start(path: PathBuf) -> Self {
        let (jobs, todo) = channel::<Job>();
        let shown = Arc::new(RwLock::new(Shown::default()));
        let (diary, last, seen) = (None, 0, -1);
        let (unsettled, over) = (true, false);
        let shared = Arc::clone(&shown);
        let writing = Writing { path, diary, shown: shared, last, seen, unsettled, over };
        std::thread::spawn(move || writing.work(&todo));
        Self { jobs, shown }
    }

    /// Every entry, as of now or a second ago.
    pub fn entries(&self) -> Arc<Vec<JudgedEntry>> {
        Arc::clone(&self.shown.read().unwrap_or_else(PoisonError::into_inner).entries)
    }

    /// What is damaged in the diary's file, if anything is.
    pub fn damage(&self) -> Option<String> {
        self.shown.read().unwrap_or_else(PoisonError::into_inner).damage.clone()
    }

    /// How well was said what came, by nights of the garden's zone; worked out anew after something was written.
    ///
    /// # Errors
    /// As [`DiaryWriter::ask`].
    pub async fn skill(&self, zone: TimeZone) -> Result<Arc<Skill>, Failure> {
        let shown = Arc::clone(&self.shown);
        self.ask(move |diary| {
            let now = diary.writes()?;
            let known =
                |s: &Shown| s.skill.as_ref().filter(|s| s.0 == now).map(|s| Arc::clone(&s.1));
            let (entries, kept) = {
                let shown = shown.read().unwrap_or_else(PoisonError::into_inner);
                (Arc::clone(&shown.entries), known(&shown))
            };
            if let Some(kept) = kept {
                return Ok::<_, Failure>(kept);
            }
            let skill = Arc::new(diary.skill_of(&entries, &zone)?);
            let kept = Some((now, Arc::clone(&skill)));
            shown.write().unwrap_or_else(PoisonError::into_inner).skill = kept;
            Ok(skill)
        })
        .await
    }

    /// Ends the thread once what was asked before is done, and leaves the diary as one file.
    pub fn close(&self) {
        let (done, waiting) = channel();
        let task: Job = Box::new(move |writing| {
            if let Some(diary) = writing.diary.take() {
                diary.close();
            }
            writing.over = true;
            let _ = done.send(());
        });
        if self.jobs.send(task).is_ok() {
            let _ = waiting.recv_timeout(FAREWELL);
        }
    }

    /// Does something with the diary and waits for it; when this returns well, what was written is on the disk.
    ///
    /// # Errors
    /// The diary cannot be opened, or what `job` says.
    pub async fn ask<T: Send + 'static, E: Into<Failure>>(
        &self,
        job: impl FnOnce(&mut Diary) -> Result<T, E> + Send + 'static,
    ) -> Result<T, Failure> {
        let (done, answer) = oneshot::channel();
        self.send(job, |out| drop(done.send(out)))?;
        answer.await.map_err(|_| gone())?
    }

    /// The same for a thread that may wait; never on one that answers pages.
    ///
    /// # Errors
    /// As [`DiaryWriter::ask`].
    pub fn wait<T: Send + 'static, E: Into<Failure>>(
        &self,
        job: impl FnOnce(&mut Diary) -> Result<T, E> + Send + 'static,
    ) -> Result<T, Failure> {
        let (done, answer) = channel();
        self.send(job, move |out| drop(done.send(out)))?;
        answer.recv().map_err(|_| gone())?
    }

    fn send<T: Send + 'static, E: Into<Failure>>(
        &self,
        job: impl FnOnce(&mut Diary) -> Result<T, E> + Send + 'static,
        done: impl FnOnce(Result<T, Failure>) + Send + 'static,
    ) -> Result<(), Failure> {
        let task: Job = Box::new(move |writing| {
            let out = writing.opened().and_then(|diary| job(diary).map_err(Into::into));
            writing.refresh();
            done(out);
        });
        self.jobs.send(task).map_err(|_| gone())
    }

    /// Does something with the diary without waiting; what fails is not told.
    pub fn tell<E>(&self, job: impl FnOnce(&mut Diary) -> Result<(), E> + Send + 'static) {
        let task: Job = Box::new(move |writing| {
            let _ = writing.opened().map(job);
            writing.refresh();
        });
        let _ = self.jobs.send(task);
    }

    /// Adds an entry. The same entry sent twice, as by a browser that lost its line, is kept once.
    ///
    /// # Errors
    /// As [`DiaryWriter::ask`].
    pub async fn add(&self, entry: Entry) -> Result<(), Failure> {
        self.ask(move |diary| diary.add_once(&entry)).await
    }
}

fn gone() -> Failure {
    Failure::bug("the diary's thread has ended")
}

impl Writing {
    fn work(mut self, todo: &Receiver<Job>) {
        let _ = self.opened();
        self.refresh();
        while !self.over {
            match todo.recv_timeout(LOOK_EVERY) {
                // A fault of ours in one job must not end the thread that every later one needs.
                Ok(job) => {
                    if catch_unwind(AssertUnwindSafe(|| job(&mut self))).is_err() {
                        self.diary = None;
                    }
                }
                Err(RecvTimeoutError::Timeout) => {
                    self.refresh();
                    self.settle();
                }
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// The diary, opened anew where it could not be before, or where its file is another by now.
    fn opened(&mut self) -> Result<&mut Diary, Failure> {
        if self.diary.as_ref().is_some_and(|d| !d.is_there()) {
            // Somebody moved it away: what is written now belongs into a new one.
            self.diary = None;
        }
        if self.diary.is_none() {
            let opened = Diary::open(&self.path);
            let found = match &opened {
                Ok(diary) => diary.quick_check().err().as_ref().and_then(damage),
                Err(e) => damage(e),
            };
            self.change(|shown| shown.damage = found);
            self.diary = Some(opened?);
            (self.seen, self.last) = (-1, 0);
            self.change(|shown| shown.entries = Arc::default());
        }
        self.diary.as_mut().ok_or_else(|| Failure::new(Exit::Bug, "no diary"))
    }

    fn change(&self, change: impl FnOnce(&mut Shown)) {
        change(&mut self.shown.write().unwrap_or_else(PoisonError::into_inner));
    }

    /// Takes up into the picture what this or another program has written.
    fn refresh(&mut self) {
        let Some(diary) = &self.diary else { return };
        let Ok(now) = diary.writes() else { return };
        if now == self.seen {
            return;
        }
        self.unsettled = true;
        let mut shown = self.shown.write().unwrap_or_else(PoisonError::into_inner);
        // Copied only while a page is just reading the one before.
        match diary.catch_up(Arc::make_mut(&mut shown.entries), &mut self.last) {
            Ok(()) => self.seen = now,
            Err(e) => shown.damage = damage(&e),
        }
    }

    /// Moves what was written into the diary's own file while nothing is to be done, so that the file alone holds it.
    fn settle(&mut self) {
        if self.unsettled
            && let Some(diary) = &self.diary
        {
            self.unsettled = !matches!(diary.settle(), Ok(true));
        }
    }
}

/// What an error says of damage in the file, if it is that.
fn damage(error: &diary::Error) -> Option<String> {
    matches!(error, diary::Error::Unreadable(_)).then(|| error.to_string())
}
