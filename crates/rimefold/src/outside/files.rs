//! Reading and writing files, with messages that say what to do.

use std::io::Write as _;
use std::path::{Path, PathBuf};

use crate::exit::{Exit, Failure};

/// Largest file that is read, bytes: no forecast or garden comes near it.
const LARGEST: u64 = 32 * 1024 * 1024;

/// The bytes of a file.
pub fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let shown = path.display();
    let missing =
        |e: std::io::Error| Failure::new(Exit::Missing, format!("cannot open {shown}: {e}"));
    let about = std::fs::metadata(path).map_err(missing)?;
    if about.len() > LARGEST {
        return Err(Failure::new(
            Exit::Missing,
            format!("{shown} is larger than 32 MB; that is no garden and no forecast"),
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
pub fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    let shown = path.display().to_string();
    let failed =
        |e: std::io::Error| Failure::new(Exit::Write, format!("cannot write {shown}: {e}"));
    if path.exists() {
        return Err(Failure::new(
            Exit::Write,
            format!("{shown} is already there; it is left as it is"),
        ));
    }
    if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).map_err(failed)?;
    }
    let mut part = path.as_os_str().to_owned();
    part.push(".part");
    let part = PathBuf::from(part);
    let mut file = std::fs::File::create(&part).map_err(failed)?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(failed)?;
    // A hard link fails where the target has appeared meanwhile; a rename would replace it.
    let linked = std::fs::hard_link(&part, path);
    let _ = std::fs::remove_file(&part);
    linked.map_err(failed)
}
