//! Reading and writing files, with messages that say what to do.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use crate::exit::{Exit, Failure};

/// Largest file that is read, bytes: no forecast or garden comes near it.
const LARGEST: u64 = 32 * 1024 * 1024;

/// Largest station record or list of stations that is read or fetched, bytes: a century of every element is a third.
pub const LARGEST_RECORD: u64 = 64 * 1024 * 1024;

/// The bytes of a garden or forecast.
pub fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST, "that is no garden and no forecast")
}

/// The bytes of a station record or a list of stations.
pub fn read_record(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST_RECORD, "that is no station record")
}

fn read_within(path: &Path, most: u64, what: &str) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let missing =
        |e: std::io::Error| Failure::new(Exit::Missing, format!("cannot open {shown}: {e}"));
    let about = std::fs::metadata(path).map_err(missing)?;
    if about.len() > most {
        let megabytes = most >> 20;
        return Err(Failure::new(
            Exit::Missing,
            format!("{shown} is larger than {megabytes} MB; {what}"),
        ));
    }
    std::fs::read(path).map_err(missing)
}

/// `garden.toml` of a folder, or the file itself.
pub fn garden_file(given: &Path) -> PathBuf {
    if given.is_dir() { given.join("garden.toml") } else { given.to_path_buf() }
}

/// The first of these names that exists beside the garden file.
pub fn beside(garden: &Path, names: &[&str]) -> Option<PathBuf> {
    let folder = garden.parent()?;
    names.iter().map(|n| folder.join(n)).find(|p| p.is_file())
}

/// Writes a new file whole or not at all; never over an old one.
pub fn write_new(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    refuse_existing(path)?;
    let part = write_part(path, bytes.as_ref())?;
    place_new(&part, path)
}

/// Writes a file whole or not at all, over an old one if there is one.
pub fn replace(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    let part = write_part(path, bytes.as_ref())?;
    let renamed = std::fs::rename(&part, path);
    if renamed.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    renamed.map_err(|e| unwritable(path, &e))
}

/// The failure of a file that cannot be written.
pub fn unwritable(path: &Path, e: &std::io::Error) -> Failure {
    Failure::new(Exit::Write, format!("cannot write {}: {e}", path.display()))
}

/// Refuses a path where something is.
pub fn refuse_existing(path: &Path) -> Result<(), Failure> {
    if path.exists() {
        let message = format!("{} is already there; it is left as it is", path.display());
        return Err(Failure::new(Exit::Write, message));
    }
    Ok(())
}

/// Makes the folder that a file is to be in.
fn make_room_for(path: &Path) -> Result<(), Failure> {
    match path.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => std::fs::create_dir_all(folder).map_err(|e| unwritable(path, &e)),
        None => Ok(()),
    }
}

/// Where this process writes a file before it gets its name.
fn part_of(path: &Path) -> PathBuf {
    // A name of this process, so that two runs at once do not write into each other's part.
    let mut part = path.as_os_str().to_owned();
    part.push(format!(".{}.part", std::process::id()));
    PathBuf::from(part)
}

/// Gives a finished part its name; never over an old file.
fn place_new(part: &Path, path: &Path) -> Result<(), Failure> {
    // A hard link fails where the target has appeared meanwhile; a rename would replace it.
    let linked = std::fs::hard_link(part, path);
    let _ = std::fs::remove_file(part);
    linked.map_err(|e| unwritable(path, &e))
}

/// Largest file of a diary's export that is read, bytes.
const LARGEST_EXPORT: u64 = 1024 * 1024 * 1024;

/// The bytes of an exported diary.
pub fn read_export(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST_EXPORT, "that is no diary")
}

fn write_part(path: &Path, bytes: &[u8]) -> Result<PathBuf, Failure> {
    let failed = |e: std::io::Error| unwritable(path, &e);
    make_room_for(path)?;
    let part = part_of(path);
    let mut file = std::fs::File::create(&part).map_err(failed)?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    if written.is_err() {
        let _ = std::fs::remove_file(&part);
    }
    written.map_err(failed)?;
    Ok(part)
}

/// The station record that goes with a garden file: `station.csv` or `station.dly` beside it, else the one record in its
/// `station` folder; `None` where there is none, or more than one.
pub fn station(garden: &Path) -> Option<PathBuf> {
    if let Some(path) = beside(garden, &["station.csv", "station.dly"]) {
        return Some(path);
    }
    let folder = garden.parent()?.join("station");
    let record = |p: &PathBuf| p.extension().is_some_and(|e| e == "csv" || e == "dly");
    let mut records =
        std::fs::read_dir(folder).ok()?.filter_map(|e| Some(e.ok()?.path())).filter(record);
    let first = records.next()?;
    records.next().is_none().then_some(first)
}

/// What tells that a file has changed: its length and the time it was last written; `None` where it is not there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stamp(u64, u128);

/// The stamp of a file.
pub fn stamp(path: &Path) -> Option<Stamp> {
    let about = std::fs::metadata(path).ok()?;
    let written = about.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
    Some(Stamp(about.len(), written.as_nanos()))
}

/// Renames a file to the same name with `.old` after it, over an older one; nothing where there is none.
pub fn set_aside(path: &Path) -> Result<(), Failure> {
    if !path.exists() {
        return Ok(());
    }
    let mut old = path.as_os_str().to_owned();
    old.push(".old");
    std::fs::rename(path, PathBuf::from(old)).map_err(|e| unwritable(path, &e))
}

/// A new empty folder of a name that nobody else has, among the temporary files.
pub fn scratch(name: &str) -> Result<PathBuf, Failure> {
    let [a, b, c, d, ..] = crate::outside::random::sixteen_bytes()?;
    let number = u32::from_be_bytes([a, b, c, d]);
    let path = std::env::temp_dir().join(format!("{name}-{number:08x}"));
    std::fs::create_dir(&path).map_err(|e| unwritable(&path, &e))?;
    Ok(path)
}
