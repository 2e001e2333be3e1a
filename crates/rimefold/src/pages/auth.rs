//! The password of a server that others on the network can reach, and who has come in with it.
//!
//! The password is kept as an argon2id hash, a visit as the SHA-256 of its random token: neither can be read back.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

use argon2::password_hash::phc::PasswordHash;
use argon2::{Argon2, PasswordHasher as _, PasswordVerifier as _};
use askama::Template;
use axum::extract::{DefaultBodyLimit, Form, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use diary::Diary;
use quantities::Moment;
use serde::Deserialize;

use crate::digest::{hex, sha256};
use crate::exit::Failure;
use crate::outside::places::{Household, Peer};
use crate::outside::random;
use crate::pages::App;
use crate::pages::assets;
use crate::pages::page::{Head, on_to, show, trouble};
use crate::pages::{calendar, readings};

/// A visit ends after this long, s.
pub const VISIT_S: i64 = 30 * 86_400;
/// Wrong passwords in a row before a pause, and the pause, s.
const TRIES: u32 = 5;
const PAUSE_S: i64 = 60;
const COOKIE: &str = "rimefold_visit";
/// Least length of a password, characters.
pub const LEAST: usize = 8;

/// Whether a password is asked for, and who has given it.
#[derive(Clone, Default)]
pub struct Auth(Option<Arc<Lock>>);

/// Marks the request of somebody who has not shown the password.
#[derive(Clone, Copy)]
pub struct Stranger;

/// Largest body that is taken of somebody unknown, bytes.
const LARGEST_UNKNOWN: usize = 64 * 1024;

struct Lock {
    hash: String,
    /// Digests of the tokens of every visit, with its end; the diary keeps them for the next start. What a stranger
    /// makes up is never looked up there.
    known: Mutex<HashMap<String, Moment>>,
    household: Household,
    wrong: Mutex<(u32, Moment)>,
    /// Passwords are tried one after another, so that many at once are no way round the pause.
    turn: tokio::sync::Mutex<()>,
}

/// An argon2id hash of a password, in the usual text form.
///
/// # Errors
/// A bug: the parameters are our own.
pub fn hash(password: &str) -> Result<String, Failure> {
    let hash = Argon2::default().hash_password(password.as_bytes()).map_err(Failure::bug)?;
    Ok(hash.to_string())
}

impl Auth {
    /// An auth that asks for the password with this hash, but not of those whose visits go on.
    pub fn with(hash: String, visits: Vec<(String, Moment)>) -> Self {
        let wrong = Mutex::new((0, Moment(0)));
        let (known, turn) =
            (Mutex::new(visits.into_iter().collect()), tokio::sync::Mutex::default());
        let household = Household::behind_a_password();
        Self(Some(Arc::new(Lock { hash, known, household, wrong, turn })))
    }

    /// Whose connections come before those of strangers.
    pub fn household(&self) -> Household {
        self.0.as_ref().map(|lock| lock.household.clone()).unwrap_or_default()
    }

    /// Whether a password is asked for.
    pub fn locked(&self) -> bool {
        self.0.is_some()
    }
}

/// Whether a password is the one with this hash.
pub fn fits(password: &str, hash: &str) -> bool {
    let Ok(parsed) = PasswordHash::new(hash) else { return false };
    Argon2::default().verify_password(password.as_bytes(), &parsed).is_ok()
}

impl Lock {
    /// Whether a request comes with a visit that lasts.
    fn knows(&self, headers: &HeaderMap, now: Moment) -> bool {
        let Some(token) = token(headers) else { return false };
        let visit = sha256(token.as_bytes());
        let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.get(&visit).is_some_and(|until| *until > now)
    }

    /// Seconds to wait before the next try.
    fn pause_s(&self, now: Moment) -> i64 {
        let wrong = self.wrong.lock().unwrap_or_else(PoisonError::into_inner);
        let since = now.0 - wrong.1.0;
        // A clock that was set back must not make the pause longer.
        if wrong.0 < TRIES || since < 0 { 0 } else { (PAUSE_S - since).max(0) }
    }

    fn count(&self, right: bool, now: Moment) {
        let mut wrong = self.wrong.lock().unwrap_or_else(PoisonError::into_inner);
        *wrong = if right { (0, now) } else { (wrong.0.saturating_add(1), now) };
    }

    fn remember(&self, visit: String, until: Moment) {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).insert(visit, until);
    }

    fn forget_all(&self) {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).clear();
        self.household.forget();
    }
}

fn token(headers: &HeaderMap) -> Option<String> {
    let cookies = headers.get_all(header::COOKIE).iter().filter_map(|c| c.to_str().ok());
    let mut each = cookies.flat_map(|c| c.split(';'));
    let found = each.find_map(|c| c.trim().strip_prefix(COOKIE)?.strip_prefix('='))?;
    Some(found.to_owned())
}

/// Lets in who has given the password; sends the others to the page that asks for it.
pub async fn require_login(State(app): State<App>, mut request: Request, next: Next) -> Response {
    let Some(lock) = &app.auth.0 else { return next.run(request).await };
    if lock.knows(request.headers(), app.planner.clock.now()) {
        if let Some(peer) = request.extensions().get::<Peer>() {
            lock.household.remember(*peer);
        }
        return next.run(request).await;
    }
    let path = request.uri().path();
    if path == "/enter"
        || path == readings::PATH
        || path == calendar::PATH
        || assets::is_public(path)
    {
        DefaultBodyLimit::max(LARGEST_UNKNOWN).apply(&mut request);
        request.extensions_mut().insert(Stranger);
        return next.run(request).await;
    }
    on_to("/enter")
}

#[derive(Template)]
#[template(path = "enter.html")]
struct Page {
    head: Head,
    fault: Option<String>,
}

/// `GET /enter`.
pub async fn page(State(app): State<App>) -> Response {
    ask(&app, StatusCode::OK, None)
}

fn ask(app: &App, status: StatusCode, fault: Option<String>) -> Response {
    let head = Head {
        begun: false,
        sign_out: false,
        damage: None,
        garden: "Rimefold".into(),
        ..Head::new(app, "", "Password")
    };
    show(status, &Page { head, fault })
}

/// What the page that asks sends.
#[derive(Deserialize)]
pub struct Given {
    password: String,
}

/// `POST /enter`.
pub async fn enter(State(app): State<App>, Form(given): Form<Given>) -> Response {
    let Some(lock) = app.auth.0.clone() else { return on_to("/") };
    let turn = lock.turn.lock().await;
    let now = app.planner.clock.now();
    let pause = lock.pause_s(now);
    if pause > 0 {
        let fault = format!("Too many wrong passwords. Wait {pause} seconds.");
        return ask(&app, StatusCode::TOO_MANY_REQUESTS, Some(fault));
    }
    let asked = Arc::clone(&lock);
    let right = tokio::task::spawn_blocking(move || fits(&given.password, &asked.hash)).await;
    let right = right.unwrap_or(false);
    lock.count(right, now);
    drop(turn);
    if !right {
        return ask(&app, StatusCode::FORBIDDEN, Some("That is not the password.".into()));
    }
    let (Ok(a), Ok(b)) = (random::sixteen_bytes(), random::sixteen_bytes()) else {
        return trouble(&app, &Failure::bug("the system gives no random bytes"));
    };
    let token = hex(&[a, b].concat());
    let (visit, until) = (sha256(token.as_bytes()), now.plus_seconds(VISIT_S));
    let kept = visit.clone();
    if let Err(f) = app.writer.ask(move |d| d.begin_visit(&kept, now, until)).await {
        return trouble(&app, &f);
    }
    lock.remember(visit, until);
    with_cookie(on_to("/"), &format!("{token}; Max-Age={VISIT_S}"))
}

/// `POST /leave`.
pub async fn leave(State(app): State<App>, headers: HeaderMap) -> Response {
    if let (Some(lock), Some(token)) = (&app.auth.0, token(&headers)) {
        let visit = sha256(token.as_bytes());
        lock.known.lock().unwrap_or_else(PoisonError::into_inner).remove(&visit);
        if let Err(f) = app.writer.ask(move |d| d.end_visit(&visit)).await {
            return trouble(&app, &f);
        }
    }
    with_cookie(on_to("/enter"), "gone; Max-Age=0")
}

/// `POST /leave/everywhere`: every visit ends, on every machine.
pub async fn leave_everywhere(State(app): State<App>) -> Response {
    if let Some(lock) = &app.auth.0 {
        lock.forget_all();
        if let Err(f) = app.writer.ask(Diary::end_visits).await {
            return trouble(&app, &f);
        }
    }
    with_cookie(on_to("/enter"), "gone; Max-Age=0")
}

fn with_cookie(mut response: Response, value: &str) -> Response {
    let cookie = format!("{COOKIE}={value}; Path=/; HttpOnly; SameSite=Strict");
    match HeaderValue::from_str(&cookie) {
        Ok(cookie) => {
            response.headers_mut().insert(header::SET_COOKIE, cookie);
            response
        }
        Err(_) => StatusCode::INTERNAL_SERVER_ERROR.into_response(),
    }
}
