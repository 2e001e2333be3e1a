//! Fetching over http: named, conditional, patient, resumed, checked before it replaces an older one.
//!
//! Asked as it came: no compression, so that half a file can be resumed at a byte.

use std::fs::File;
use std::io::{Read, Write as _};
use std::time::Duration;

use ureq::http::{HeaderMap, Response};
use ureq::{Agent, Body};

use crate::exit::{Exit, Failure};
use crate::outside::fetch::partial::{PartialFile, Version};
use crate::outside::fetch::{Fetched, Order};

/// Tries in all; the pause doubles after each.
const TRIES: u32 = 4;
/// Longest pause that a server may ask for, s.
const LONGEST_PAUSE_S: u64 = 60;

/// Why a try failed.
enum Trouble {
    /// Worth another try, after the pause that the server asked for.
    Again(String, Option<Duration>),
    Stop(Failure),
}

impl From<Failure> for Trouble {
    fn from(failure: Failure) -> Self {
        Self::Stop(failure)
    }
}

/// Fetches; what is in place stays until a checked new version replaces it.
pub fn fetch(order: &Order<'_>) -> Result<Fetched, Failure> {
    let agent: Agent = Agent::config_builder()
        .user_agent(&order.kind.name)
        .http_status_as_error(false)
        .max_redirects(order.kind.redirects)
        .max_redirects_will_error(false)
        .timeout_connect(Some(order.timeout))
        .timeout_recv_response(Some(order.timeout))
        .timeout_per_read(Some(order.timeout))
        .build()
        .into();
    let part = PartialFile::beside(order.path, &order.url);
    let mut pause = order.pause;
    let mut reason = String::new();
    for n in 1..=TRIES {
        match attempt(&agent, order, &part) {
            Ok(fetched) => return Ok(fetched),
            Err(Trouble::Stop(failure)) => {
                part.discard();
                return Err(failure);
            }
            Err(Trouble::Again(why, asked)) => {
                reason = why;
                if n < TRIES {
                    std::thread::sleep(asked.unwrap_or_else(|| jittered(pause)));
                    pause *= 2;
                }
            }
        }
    }
    let kept =
        if part.begun().is_some() { "; the half that came is kept for the next time" } else { "" };
    Err(failed(order, &format!("{reason}; tried {TRIES} times{kept}")))
}

/// A pause half as long to half as long again, so that many who were turned away at once do not come back at once.
fn jittered(pause: Duration) -> Duration {
    let byte = crate::outside::random::sixteen_bytes().map_or(128, |b| b[0]);
    pause.mul_f64(0.5 + f64::from(byte) / 255.0)
}

fn failed(order: &Order<'_>, why: &str) -> Failure {
    Failure::new(Exit::Fetch, format!("could not fetch {}: {why}", order.url))
}

/// One question and what becomes of its answer.
fn attempt(agent: &Agent, order: &Order<'_>, part: &PartialFile) -> Result<Fetched, Trouble> {
    let begun = part.begun();
    // A record that no longer reads is fetched whole, whatever the server thinks of its version.
    let whole = part
        .whole()
        .filter(|_| std::fs::read(order.path).is_ok_and(|bytes| (order.check)(&bytes).is_ok()));
    let answer = ask(agent, order, begun.as_ref(), whole.as_ref())?;
    let again = |why: &str| Err(Trouble::Again(why.to_owned(), None));
    match (answer.status().as_u16(), begun) {
        (304, None) if whole.is_some() => Ok(Fetched::Unchanged),
        (200, _) => {
            let version = version_of(answer.headers(), &order.url);
            let length = number(answer.headers(), "content-length");
            receive(answer, part.begin(&version)?, 0, length, order)?;
            place(order, part, &version)
        }
        (206, Some((have, version))) => {
            let Some(total) = goes_on_at(answer.headers(), have) else {
                part.discard();
                return again("the server went on at another place");
            };
            receive(answer, part.go_on()?, have, total, order)?;
            place(order, part, &version)
        }
        (416, Some(_)) => {
            part.discard();
            again("the server has no more of the half that came")
        }
        (status @ (429 | 500..=599), _) => {
            let asked = number(answer.headers(), "retry-after");
            let asked = asked.map(|s| Duration::from_secs(s.min(LONGEST_PAUSE_S)));
            Err(Trouble::Again(format!("the server answers {status}"), asked))
        }
        (status @ (404 | 410), _) => {
            let why = format!("there is no such file ({status}); {}", order.kind.not_there);
            Err(failed(order, &why).into())
        }
        (status @ 300..=399, _) => {
            let to = answer.headers().get("location").and_then(|v| v.to_str().ok());
            let to = to.map_or_else(String::new, |to| format!(" to {to}"));
            let why = format!("the server sends us on{to} ({status}), where we do not follow");
            Err(failed(order, &why).into())
        }
        (status, _) => Err(failed(order, &format!("the server answers {status}")).into()),
    }
}

/// Asks for the rest of a half, else for something newer than what is there, else for all.
fn ask(
    agent: &Agent,
    order: &Order<'_>,
    begun: Option<&(u64, Version)>,
    whole: Option<&Version>,
) -> Result<Response<Body>, Trouble> {
    let mut request = agent.get(&order.url);
    if let Some((length, version)) = begun {
        request = request.header("Range", format!("bytes={length}-"));
        request = request.header("If-Range", version.strong().unwrap_or_default());
    } else if let Some(version) = whole {
        if let Some(etag) = &version.etag {
            request = request.header("If-None-Match", etag);
        }
        if let Some(modified) = &version.modified {
            request = request.header("If-Modified-Since", modified);
        }
    }
    request.call().map_err(|e| trouble(order, &e))
}

/// A wrong address is not worth a second try; anything else may pass.
fn trouble(order: &Order<'_>, e: &ureq::Error) -> Trouble {
    match e {
        ureq::Error::BadUri(_) | ureq::Error::Http(_) | ureq::Error::TooManyRedirects => {
            failed(order, &e.to_string()).into()
        }
        ureq::Error::Timeout(_) => {
            Trouble::Again(format!("no answer in {} s", order.timeout.as_secs_f64()), None)
        }
        _ => Trouble::Again(e.to_string(), None),
    }
}

fn version_of(headers: &HeaderMap, url: &str) -> Version {
    let text = |name: &str| Some(headers.get(name)?.to_str().ok()?.to_owned());
    Version { url: url.to_owned(), etag: text("etag"), modified: text("last-modified") }
}

fn number(headers: &HeaderMap, name: &str) -> Option<u64> {
    headers.get(name)?.to_str().ok()?.trim().parse().ok()
}

/// Whole length from `Content-Range: bytes have-last/total`; `None` where the answer begins elsewhere.
fn goes_on_at(headers: &HeaderMap, have: u64) -> Option<Option<u64>> {
    let range = headers.get("content-range")?.to_str().ok()?.strip_prefix("bytes ")?;
    let (span, total) = range.split_once('/')?;
    let first: u64 = span.split_once('-')?.0.trim().parse().ok()?;
    (first == have).then(|| total.trim().parse().ok())
}

/// Writes the body behind the `have` bytes that are there.
fn receive(
    answer: Response<Body>,
    mut file: File,
    have: u64,
    total: Option<u64>,
    order: &Order<'_>,
) -> Result<(), Trouble> {
    let too_large =
        || failed(order, &format!("it is larger than {} MB", order.kind.most >> 20)).into();
    if total.is_some_and(|t| t > order.kind.most) {
        return Err(too_large());
    }
    let mut body = answer.into_body().into_with_config().limit(order.kind.most + 1).reader();
    let mut piece = vec![0_u8; 64 * 1024];
    let mut come = have;
    loop {
        let n = match body.read(&mut piece) {
            Ok(0) => break,
            Ok(n) => n,
            Err(e) => return Err(Trouble::Again(format!("the connection was lost ({e})"), None)),
        };
        come += n as u64;
        if come > order.kind.most {
            return Err(too_large());
        }
        let written = file.write_all(piece.get(..n).unwrap_or_default());
        written.map_err(|e| crate::outside::files::unwritable(order.path, &e))?;
    }
    if total.is_some_and(|t| come < t) {
        return Err(Trouble::Again("the connection was lost".into(), None));
    }
    file.sync_all().map_err(|e| crate::outside::files::unwritable(order.path, &e))?;
    Ok(())
}

/// Checks what came and puts it in its place.
fn place(order: &Order<'_>, part: &PartialFile, version: &Version) -> Result<Fetched, Trouble> {
    if let Err(why) = (order.check)(&part.bytes()?) {
        let kept = if order.path.is_file() { "; the older one is kept" } else { "" };
        let why = format!("what came is not {}: {why}{kept}", order.kind.what);
        return Err(failed(order, &why).into());
    }
    part.finish(version)?;
    Ok(Fetched::New)
}
