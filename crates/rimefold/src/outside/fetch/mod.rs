//! Fetching one file politely. It can be left out of a build with `--no-default-features`.

#[cfg(feature = "fetch")]
mod http;
#[cfg(feature = "fetch")]
mod partial;

use std::path::Path;
use std::time::Duration;

#[cfg(feature = "fetch")]
pub use http::fetch;

pub mod forecast;

#[cfg(not(feature = "fetch"))]
use crate::exit::{Exit, Failure};

/// How the program names itself, and why it asks.
pub fn named(why: &str) -> String {
    format!("rimefold/{} ({why})", env!("CARGO_PKG_VERSION"))
}

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
    /// Words and bounds of what is asked for.
    pub kind: &'a Kind,
}

/// What kind of file is fetched.
#[cfg_attr(not(feature = "fetch"), expect(dead_code, reason = "only fetching reads it"))]
#[derive(Clone, Debug)]
pub struct Kind {
    /// What it is: `that station's record`.
    pub what: &'static str,
    /// What to look at where there is no such file.
    pub not_there: &'static str,
    /// Largest that is taken, bytes.
    pub most: u64,
    /// Who asks, told to the server.
    pub name: String,
    /// Whether it may be looked for at another address that the server names.
    pub redirects: u32,
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
