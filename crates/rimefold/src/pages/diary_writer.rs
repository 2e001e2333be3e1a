//! The one thread that writes the diary for the pages, and a picture of the diary that every page may read at once.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::sync::{Arc, PoisonError, RwLock};
use std::time::Duration;

use diary::Diary;
use diary::entries::JudgedEntry;
use diary::entry::Entry;
use tokio::sync::oneshot;

use crate::exit::{Exit, Failure};

/// How often the diary is looked at for what another program wrote.
const LOOK_EVERY: Duration = Duration::from_secs(1);

type Job = Box<dyn FnOnce(&mut Writing) + Send>;

/// The writing thread's end.
struct Writing {
    path: PathBuf,
    diary: Option<Diary>,
    entries: Arc<RwLock<Arc<Vec<JudgedEntry>>>>,
    seen: i64,
}

/// The pages' end.
#[derive(Clone)]
pub struct DiaryWriter {
    jobs: Sender<Job>,
    entries: Arc<RwLock<Arc<Vec<JudgedEntry>>>>,
}

impl DiaryWriter {
    /// Starts the thread for the diary at `path`; it is opened, or made, at once where that can be done.
    pub fn start(path: PathBuf) -> Self {
        let (jobs, todo) = channel::<Job>();
        let entries = Arc::new(RwLock::new(Arc::default()));
        let writing = Writing { path, diary: None, entries: Arc::clone(&entries), seen: -1 };
        std::thread::spawn(move || writing.work(&todo));
        Self { jobs, entries }
    }

    /// Every entry, as of now or a second ago.
    pub fn entries(&self) -> Arc<Vec<JudgedEntry>> {
        Arc::clone(&self.entries.read().unwrap_or_else(PoisonError::into_inner))
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
        let gone = || Failure::bug("the diary's thread has ended");
        let task: Job = Box::new(move |writing| {
            let out = writing.opened().and_then(|diary| job(diary).map_err(Into::into));
            writing.refresh();
            let _ = done.send(out);
        });
        self.jobs.send(task).map_err(|_| gone())?;
        answer.await.map_err(|_| gone())?
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

impl Writing {
    fn work(mut self, todo: &Receiver<Job>) {
        let _ = self.opened();
        self.refresh();
        loop {
            match todo.recv_timeout(LOOK_EVERY) {
                // A fault of ours in one job must not end the thread that every later one needs.
                Ok(job) => {
                    if catch_unwind(AssertUnwindSafe(|| job(&mut self))).is_err() {
                        self.diary = None;
                    }
                }
                Err(RecvTimeoutError::Timeout) => self.refresh(),
                Err(RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// The diary, opened anew where it could not be before.
    fn opened(&mut self) -> Result<&mut Diary, Failure> {
        if self.diary.as_ref().is_some_and(|d| !d.path().is_file()) {
            // Somebody moved it away: what is written now belongs into a new one.
            self.diary = None;
        }
        if self.diary.is_none() {
            self.diary = Some(Diary::open(&self.path)?);
            self.seen = -1;
        }
        self.diary.as_mut().ok_or_else(|| Failure::new(Exit::Bug, "no diary"))
    }

    /// Takes a new picture where this or another program has written.
    fn refresh(&mut self) {
        let Some(diary) = &self.diary else { return };
        let Ok(now) = diary.writes() else { return };
        if now == self.seen {
            return;
        }
        if let Ok(all) = diary.entries() {
            *self.entries.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(all);
            self.seen = now;
        }
    }
}
