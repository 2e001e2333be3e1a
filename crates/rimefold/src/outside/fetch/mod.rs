//! Fetching one file politely. It can be left out of a build with `--no-default-features`.

#[cfg(feature = "fetch")]
mod http;
#[cfg(feature = "fetch")]
mod partial;

use std::path::Path;
use std::time::Duration;

#[cfg(feature = "fetch")]
pub use http::fetch;

#[cfg(not(feature = "fetch"))]
use crate::exit::{Exit, Failure};

/// What to fetch, where to, and how patiently.
#[cfg_attr(not(feature = "fetch"), expect(dead_code, reason = "only fetching reads it"))]
pub struct Order<'a> {
    pub url: String,
    pub path: &'a Path,
    /// Longest wait for a connection, an answer, or the next piece.
    pub timeout: Duration,
    /// First pause between tries.
    pub pause: Duration,
    /// Whether the bytes are what was asked for.
    pub check: &'a dyn Fn(&[u8]) -> Result<(), String>,
}

/// How it went.
#[cfg_attr(not(feature = "fetch"), expect(dead_code, reason = "only fetching makes it"))]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fetched {
    /// A new version is in its place.
    New,
    /// The server has nothing newer.
    Unchanged,
}

/// Says that fetching was left out of this build.
#[cfg(not(feature = "fetch"))]
pub fn fetch(order: &Order<'_>) -> Result<Fetched, Failure> {
    let why = "this program was built without fetching; bring the file yourself and run `rimefold station use`";
    Err(Failure::new(Exit::Fetch, format!("could not fetch {}: {why}", order.url)))
}
