//! The diary through the real program: notes, undo, files, safety, versions, skill.

#[cfg(target_os = "linux")]
mod disk;
mod exchange;
mod learn;
mod notes;
pub mod rescue;
pub mod safety;
mod skill;
mod untrusted;
mod versions;

use std::path::{Path, PathBuf};

use crate::harness::{Run, rimefold, root};

/// A garden folder of its own: the demonstration garden of that name.
pub struct Garden {
    _folder: tempfile::TempDir,
    pub path: PathBuf,
}

impl Garden {
    pub fn new(demo: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("garden");
        std::fs::create_dir(&path).expect("made");
        let from = root().join("demo").join(demo);
        for entry in std::fs::read_dir(from).expect("a demo") {
            let entry = entry.expect("an entry");
            std::fs::copy(entry.path(), path.join(entry.file_name())).expect("copied");
        }
        Self { _folder: folder, path }
    }

    pub fn file(&self, name: &str) -> String {
        self.path.join(name).display().to_string()
    }

    pub fn database(&self) -> PathBuf {
        self.path.join("diary.sqlite")
    }

    fn run(&self, verb: &str, args: &[&str]) -> Run {
        let garden = self.path.display().to_string();
        rimefold(&[&[verb, "--garden", &garden], args].concat())
    }

    pub fn note(&self, args: &[&str]) -> Run {
        self.run("note", args)
    }

    pub fn diary(&self, args: &[&str]) -> Run {
        self.run("diary", args)
    }

    /// A note that must succeed; its id.
    pub fn noted(&self, args: &[&str]) -> String {
        let run = self.note(args);
        assert_eq!(run.code, 0, "{}", run.err);
        id(&run.out).expect("an id")
    }

    /// The notes as JSON.
    pub fn list(&self) -> Vec<serde_json::Value> {
        let run = self.note(&["list", "--json"]);
        assert_eq!(run.code, 0, "{}", run.err);
        let value: serde_json::Value = serde_json::from_str(&run.out).expect("JSON");
        value["notes"].as_array().expect("notes").clone()
    }

    /// Whether the note whose id begins so stands.
    pub fn stands(&self, id: &str) -> bool {
        let notes = self.list();
        let note = notes.iter().find(|n| n["id"].as_str().is_some_and(|i| i.starts_with(id)));
        note.expect("the note")["stands"].as_bool().expect("whether")
    }

    pub fn write(&self, name: &str, text: impl AsRef<[u8]>) -> String {
        let path = self.path.join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(&path, text).expect("written");
        path.display().to_string()
    }
}

/// The id that a note prints.
pub fn id(out: &str) -> Option<String> {
    let id = out.lines().find_map(|l| l.strip_prefix("Id "))?.split('.').next()?;
    (id.len() == 8).then(|| id.to_owned())
}

/// SQLite's own verdict on a file, by SQLite itself.
pub fn integrity(path: &Path) -> String {
    let db = rusqlite::Connection::open(path).expect("it opens");
    db.query_row("PRAGMA integrity_check", [], |r| r.get(0)).expect("an answer")
}
