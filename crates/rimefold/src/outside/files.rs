//! Finding and reading files, with messages that say what to do; [`save`](super::save) writes them.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use crate::exit::{Exit, Failure};
pub use crate::outside::save::{refuse_existing, replace, unwritable, write_new};

/// Largest forecast that is read, bytes: sixteen days of every element that a service knows are a tenth of it.
pub const LARGEST: u64 = 10 * 1024 * 1024;

/// Largest garden file that is read, bytes: some 700 beds.
const LARGEST_GARDEN: u64 = 256 * 1024;

/// Largest station record or list of stations that is read or fetched, bytes: a century of every element is a third.
pub const LARGEST_RECORD: u64 = 64 * 1024 * 1024;

/// The bytes of a forecast, or of anything that is not named here.
pub fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST, "that is no forecast")
}

/// The bytes of a garden file.
pub fn read_garden(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST_GARDEN, "that is no garden")
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
    let refused = |why: &str| Err(Failure::new(Exit::Missing, format!("{shown} {why}")));
    if about.is_dir() {
        return refused("is a folder; name a file in it");
    }
    if !about.is_file() {
        return refused("is no ordinary file; save what is to be read in one");
    }
    let mut bytes = Vec::new();
    // A file may grow while it is read.
    let file = std::fs::File::open(path).map_err(missing)?;
    file.take(most + 1).read_to_end(&mut bytes).map_err(missing)?;
    if bytes.len() as u64 > most {
        let most = if most < 1 << 20 {
            format!("{} kB", most >> 10)
        } else {
            format!("{} MB", most >> 20)
        };
        return refused(&format!("is larger than {most}; {what}"));
    }
    Ok(bytes)
}

/// The files of a folder whose names end so, in any case, by name; none where there is no such folder.
pub fn with_endings(folder: &Path, endings: &[&str]) -> Vec<PathBuf> {
    let Ok(read) = std::fs::read_dir(folder) else { return Vec::new() };
    let fits = |p: &PathBuf| {
        let ending = p.extension().map(|e| e.to_string_lossy().to_lowercase());
        p.is_file() && ending.is_some_and(|e| endings.contains(&e.as_str()))
    };
    let mut files: Vec<PathBuf> = read.filter_map(|e| Some(e.ok()?.path())).filter(fits).collect();
    files.sort();
    files
}

/// `garden.toml` of a folder, or the file itself.
pub fn garden_file(given: &Path) -> PathBuf {
    if given.is_dir() { given.join("garden.toml") } else { given.to_path_buf() }
}

/// How long ago a file was written, s; `None` where it is not there.
pub fn age_s(path: &Path) -> Option<f64> {
    let written = std::fs::metadata(path).ok()?.modified().ok()?;
    Some(written.elapsed().map_or(0.0, |e| e.as_secs_f64()))
}

/// The first of these names that exists beside the garden file.
pub fn beside(garden: &Path, names: &[&str]) -> Option<PathBuf> {
    let folder = garden.parent()?;
    names.iter().map(|n| folder.join(n)).find(|p| p.is_file())
}

/// Largest file of a diary's export that is read, bytes.
const LARGEST_EXPORT: u64 = 1024 * 1024 * 1024;

/// The bytes of an exported diary.
pub fn read_export(path: &Path) -> Result<Vec<u8>, Failure> {
    read_within(path, LARGEST_EXPORT, "that is no diary")
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

/// A new empty folder of a name that nobody else has, among the temporary files.
pub fn scratch(name: &str) -> Result<PathBuf, Failure> {
    let [a, b, c, d, ..] = crate::outside::random::sixteen_bytes()?;
    let number = u32::from_be_bytes([a, b, c, d]);
    let path = std::env::temp_dir().join(format!("{name}-{number:08x}"));
    std::fs::create_dir(&path).map_err(|e| unwritable(&path, &e))?;
    Ok(path)
}
