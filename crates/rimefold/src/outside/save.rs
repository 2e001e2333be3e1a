//! Files written whole or not at all: beside their place first, on the disk, then named.

use std::io::{Result as Io, Write as _};
use std::path::{Path, PathBuf};

use crate::exit::{Exit, Failure};

/// Writes a new file whole or not at all; never over an old one.
pub fn write_new(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    refuse_existing(path)?;
    let part = Part::write(path, bytes.as_ref())?;
    // A hard link fails where the target has appeared meanwhile; a rename would replace it.
    step(|| std::fs::hard_link(&part.0, path)).map_err(|e| unwritable(path, &e))
}

/// Writes a file whole or not at all, over an old one if there is one; where the name is a link, over what it leads to.
pub fn replace(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    let path = &linked(path);
    Part::write(path, bytes.as_ref())?.name(path)
}

/// As [`replace`]; the one before is kept under its name with `.old` after it. Whatever goes wrong, a whole file is
/// there under the name: the old or the new one.
pub fn replace_keeping(path: &Path, bytes: impl AsRef<[u8]>) -> Result<(), Failure> {
    let path = &linked(path);
    let new = Part::write(path, bytes.as_ref())?;
    if path.exists() {
        let old = old(path);
        let kept = Part(part_of(&old));
        step(|| std::fs::hard_link(path, &kept.0)).map_err(|e| unwritable(&old, &e))?;
        kept.name(&old)?;
    }
    new.name(path)
}

/// Takes a file out of the way, to its name with `.old` after it; nothing where there is none.
pub fn set_aside(path: &Path) -> Result<(), Failure> {
    if !path.exists() {
        return Ok(());
    }
    step(|| std::fs::rename(path, old(path))).map_err(|e| unwritable(path, &e))
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

/// Takes away what programs left half-written in a folder when they were killed; what one that runs is writing stays.
pub fn clean(folder: &Path) {
    let Ok(all) = std::fs::read_dir(folder) else { return };
    for entry in all.filter_map(Result::ok) {
        let name = entry.file_name();
        let Some(name) = name.to_str() else { continue };
        if let Some(id) = name.strip_suffix(PART).and_then(|n| n.rsplit_once('.')).map(|n| n.1) {
            if id.parse::<u32>().is_ok_and(|id| !writes(id)) {
                let _ = std::fs::remove_file(entry.path());
            }
        } else if name.starts_with(diary::backup::PARTS.0)
            && name.ends_with(diary::backup::PARTS.1)
            && is_old(&entry.path())
        {
            let _ = std::fs::remove_dir_all(entry.path());
        }
    }
}

/// End of the name of a file that is not finished.
const PART: &str = ".part";

/// Whether the program of that number may be writing. This one has just begun.
fn writes(id: u32) -> bool {
    let programs = Path::new("/proc/self");
    id != std::process::id() && (!programs.exists() || Path::new(&format!("/proc/{id}")).exists())
}

/// Whether something was last written more than an hour ago.
fn is_old(path: &Path) -> bool {
    let written = std::fs::metadata(path).and_then(|about| about.modified()).ok();
    written.and_then(|w| w.elapsed().ok()).is_some_and(|ago| ago.as_secs() > 3600)
}

/// A finished file that has no name yet; what gets none is taken away.
struct Part(PathBuf);

impl Part {
    /// Writes it beside `path`, and waits until it is on the disk.
    fn write(path: &Path, bytes: &[u8]) -> Result<Self, Failure> {
        let failed = |e: std::io::Error| unwritable(path, &e);
        make_room_for(path)?;
        let part = Self(part_of(path));
        let mut file = step(|| std::fs::File::create(&part.0)).map_err(failed)?;
        step(|| file.write_all(bytes)).map_err(failed)?;
        if let Ok(about) = std::fs::metadata(path) {
            let _ = file.set_permissions(about.permissions());
        }
        step(|| file.sync_all()).map_err(failed)?;
        Ok(part)
    }

    /// Gives it its name, over an old file if there is one; the name is on the disk when this returns.
    fn name(self, path: &Path) -> Result<(), Failure> {
        step(|| std::fs::rename(&self.0, path)).map_err(|e| unwritable(path, &e))?;
        #[cfg(unix)]
        if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
            let _ = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
        }
        Ok(())
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

/// Makes the folder that a file is to be in.
fn make_room_for(path: &Path) -> Result<(), Failure> {
    match path.parent().filter(|p| !p.as_os_str().is_empty()) {
        Some(folder) => std::fs::create_dir_all(folder).map_err(|e| unwritable(path, &e)),
        None => Ok(()),
    }
}

/// What a name leads to, where it is a link to something.
fn linked(path: &Path) -> PathBuf {
    let link = std::fs::symlink_metadata(path).is_ok_and(|about| about.is_symlink());
    let target = link.then(|| std::fs::canonicalize(path).ok()).flatten();
    target.unwrap_or_else(|| path.to_owned())
}

/// The name under which the file before is kept.
fn old(path: &Path) -> PathBuf {
    let mut old = path.as_os_str().to_owned();
    old.push(".old");
    PathBuf::from(old)
}

/// Where this process writes a file before it gets its name.
fn part_of(path: &Path) -> PathBuf {
    // A name of this process, so that two runs at once do not write into each other's part.
    let mut part = path.as_os_str().to_owned();
    part.push(format!(".{}{PART}", std::process::id()));
    PathBuf::from(part)
}

/// One step that the disk can refuse.
fn step<T>(job: impl FnOnce() -> Io<T>) -> Io<T> {
    #[cfg(test)]
    tests::refuse()?;
    job()
}

#[cfg(test)]
mod tests;
