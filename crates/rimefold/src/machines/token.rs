//! What a machine must show to send readings: a word in a file that only its owner can read, or in the environment.

use std::path::{Path, PathBuf};

use crate::digest::{hex, sha256};
use crate::exit::{Exit, Failure};
use crate::outside::{random, secret};

/// Beside `garden.toml`: of machines that send, of calendars that look.
const NAME: &str = "reading-token";
const CALENDAR: &str = "calendar-token";
/// Of messages that are sent.
const WEBHOOK: &str = "webhook-secret";
/// Stands before the file.
const VARIABLE: &str = "RIMEFOLD_READING_TOKEN";
/// Shorter ones could be guessed, characters.
const LEAST: usize = 16;

fn path(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(NAME)
}

/// The token of the garden's calendar, made where there is none; `None` where it cannot be made.
pub fn of_calendar(garden_file: &Path) -> Option<String> {
    let path = garden_file.with_file_name(CALENDAR);
    let kept = secret::read_file(&path).map(|t| t.trim().to_owned());
    kept.filter(|t| t.chars().count() >= LEAST).or_else(|| fresh(&path).ok())
}

/// What signs the messages to addresses of the web, made where there is none.
///
/// # Errors
/// The file cannot be written.
pub fn of_webhooks(garden_file: &Path) -> Result<String, Failure> {
    let path = garden_file.with_file_name(WEBHOOK);
    let kept = secret::read_file(&path).map(|t| t.trim().to_owned());
    kept.filter(|t| t.chars().count() >= LEAST).map_or_else(|| fresh(&path), Ok)
}

/// Whether two tokens are the same: digests are compared, so that the time it takes tells nothing.
pub fn same(own: &str, shown: &str) -> bool {
    sha256(own.as_bytes()) == sha256(shown.trim().as_bytes())
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
    fresh(&path(garden_file))
}

fn fresh(path: &Path) -> Result<String, Failure> {
    let token = hex(&random::sixteen_bytes()?);
    secret::write(path, &format!("{token}\n"))?;
    Ok(token)
}
