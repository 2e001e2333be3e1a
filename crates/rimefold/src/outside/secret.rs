//! What only the owner may know: in files that nobody else may read, or in the environment.

use std::io::Write as _;
use std::path::Path;

use crate::exit::Failure;
use crate::outside::save::unwritable;

/// What a variable of the environment holds, else the file; `None` where neither is there.
pub fn read(variable: &str, path: Option<&Path>) -> Option<String> {
    std::env::var(variable).ok().or_else(|| read_file(path?))
}

/// The same; a file that others can read is refused.
///
/// # Errors
/// Others can read it.
#[cfg(feature = "mail")]
pub fn read_own(variable: &str, path: &Path) -> Result<Option<String>, String> {
    if let Ok(value) = std::env::var(variable) {
        return Ok(Some(value));
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let open = std::fs::metadata(path).is_ok_and(|m| m.permissions().mode() & 0o077 != 0);
        if open {
            let path = path.display();
            return Err(format!("others can read {path}: close it with `chmod 600 {path}`"));
        }
    }
    Ok(read_file(path))
}

/// What a file holds; `None` where it is not there.
pub fn read_file(path: &Path) -> Option<String> {
    std::fs::read_to_string(path).ok()
}

/// Writes a file with mode 0600, in place of one that may be there.
///
/// # Errors
/// It cannot be written.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    let wrong = |e: std::io::Error| unwritable(path, &e);
    let _ = std::fs::remove_file(path);
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt as _;
        options.mode(0o600);
    }
    let mut file = options.open(path).map_err(wrong)?;
    file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).map_err(wrong)
}
