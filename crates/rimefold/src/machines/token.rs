//! What a machine must show to send readings: a word in a file that only its owner can read, or in the environment.

use std::path::{Path, PathBuf};

use crate::exit::{Exit, Failure};
use crate::outside::{random, secret};

/// Beside `garden.toml`.
const NAME: &str = "reading-token";
/// Stands before the file.
const VARIABLE: &str = "RIMEFOLD_READING_TOKEN";
/// Shorter ones could be guessed, characters.
const LEAST: usize = 16;

fn path(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(NAME)
}

/// The token of a garden; `None` where none was made: then no machine can send anything.
///
/// # Errors
/// It is too short to be safe.
pub fn of(garden_file: &Path) -> Result<Option<String>, Failure> {
    let Some(token) = secret::read(VARIABLE, Some(&path(garden_file))) else { return Ok(None) };
    let token = token.trim().to_owned();
    if token.chars().count() < LEAST {
        let message = format!(
            "the token for readings has fewer than {LEAST} characters; make a new one with `rimefold sensor token --new`"
        );
        return Err(Failure::new(Exit::Usage, message));
    }
    Ok(Some(token))
}

/// A new token in the file, in place of one that may be there.
///
/// # Errors
/// The file cannot be written.
pub fn make(garden_file: &Path) -> Result<String, Failure> {
    let token: String = random::sixteen_bytes()?.iter().map(|b| format!("{b:02x}")).collect();
    secret::write(&path(garden_file), &format!("{token}\n"))?;
    Ok(token)
}
