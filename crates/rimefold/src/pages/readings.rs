//! `/readings`: where machines send what they read; and the page that tells how each sensor is.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use ::diary::series::{self, Series};
use askama::Template;
use axum::body::Bytes;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, Uri, header};
use axum::response::{IntoResponse as _, Response};
use sensors::{Reading, single};

use crate::answers::sensors::{Told, told};
use crate::exit::Failure;
use crate::format::GardenFormat;
use crate::machines::{state, token};
use crate::pages::App;
use crate::pages::folder::garden_file;
use crate::pages::page::{Head, ok, on_to, trouble};

/// Where machines send.
pub const PATH: &str = "/readings";
/// A sensor is heard this often at most.
const LEAST_BETWEEN: Duration = Duration::from_secs(5);
/// Wrong tokens on end that are answered as such, and after how long they are forgotten.
const TRIES: u32 = 10;
const PAUSE: Duration = Duration::from_secs(60);

/// Wrong tokens on end, and when the last came.
#[derive(Clone, Default)]
pub struct Wrong(Arc<Mutex<(u32, Option<Instant>)>>);

impl Wrong {
    /// Counts one more; whether there were too many within a minute.
    fn one_more(&self) -> bool {
        let mut held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let recent = held.1.is_some_and(|at| at.elapsed() < PAUSE);
        *held = (if recent { held.0.saturating_add(1) } else { 1 }, Some(Instant::now()));
        held.0 > TRIES
    }
}

type Fields = HashMap<String, String>;

/// `GET` or `POST /readings`: fields in the address or the form, or JSON; answered in a line.
pub async fn take(State(app): State<App>, uri: Uri, headers: HeaderMap, body: Bytes) -> Response {
    match taken(&app, &uri, &headers, &body).await {
        Ok(line) => (StatusCode::OK, line).into_response(),
        Err((status, line)) => {
            let mut response = (status, format!("{line}\n")).into_response();
            if status == StatusCode::TOO_MANY_REQUESTS {
                let wait = header::HeaderValue::from_static("60");
                response.headers_mut().insert(header::RETRY_AFTER, wait);
            }
            response
        }
    }
}

type Refused = (StatusCode, String);

async fn taken(app: &App, uri: &Uri, headers: &HeaderMap, body: &[u8]) -> Result<String, Refused> {
    let refuse = |status, line: &str| Err((status, line.to_owned()));
    let kind = headers.get(header::CONTENT_TYPE).and_then(|v| v.to_str().ok()).unwrap_or_default();
    let json = kind.starts_with("application/json");
    let mut fields = pairs(uri);
    if !json && !body.is_empty() {
        let form = std::str::from_utf8(body).ok();
        let address =
            form.and_then(|f| Uri::builder().path_and_query(format!("/?{f}")).build().ok());
        let Some(address) = address else {
            return refuse(StatusCode::UNPROCESSABLE_ENTITY, "the form cannot be read");
        };
        fields.extend(pairs(&address));
    }
    require_token(app, &fields, headers)?;
    let evening = app.planner.evening();
    let Some(garden) = evening.garden else {
        return refuse(StatusCode::CONFLICT, "there is no garden to send to");
    };
    let named = fields.get("sensor").or_else(|| fields.get("ID"));
    let sensor = match (named, garden.sensors.as_slice()) {
        (None, [one]) => Some(one),
        (Some(name), all) => all.iter().find(|s| s.name.eq_ignore_ascii_case(name)),
        (None, _) => None,
    };
    let Some(sensor) = sensor.map(|s| s.name.clone()) else {
        let line = "say which sensor of the garden file it is: sensor=NAME";
        return refuse(StatusCode::NOT_FOUND, line);
    };
    let now = app.planner.clock.now();
    let field = |name: &str| fields.get(name).map(String::as_str);
    let read: Result<Vec<Reading>, _> = if json {
        single::from_json(body, now)
    } else {
        single::from_fields(field, now).map(|r| vec![r])
    };
    let readings = read.map_err(|e| (StatusCode::UNPROCESSABLE_ENTITY, e.to_string()))?;
    let wait = app.machines.wait_s(&sensor, LEAST_BETWEEN);
    if wait > 0 {
        let line = format!("too soon after the last one; wait {wait} seconds");
        return Err((StatusCode::TOO_MANY_REQUESTS, line));
    }
    let machines = app.machines.clone();
    let job = tokio::task::spawn_blocking(move || machines.take(&sensor, &readings)).await;
    let fault = |f: &Failure| (StatusCode::INSUFFICIENT_STORAGE, f.message.clone());
    let taken =
        job.map_err(|_| fault(&Failure::bug("the reading was lost")))?.map_err(|f| fault(&f))?;
    let refused = taken.impossible + taken.jumped + taken.ahead + taken.old;
    Ok(format!("taken {}, there already {}, not believed {refused}\n", taken.believed, taken.known))
}

fn pairs(uri: &Uri) -> Fields {
    Query::<Fields>::try_from_uri(uri).map(|q| q.0).unwrap_or_default()
}

/// The token in the field `token` or `PASSWORD`, or in the header `Authorization: Bearer`.
fn require_token(app: &App, fields: &Fields, headers: &HeaderMap) -> Result<(), Refused> {
    let own = token::of(&garden_file(&app.planner.folder));
    let own = own.map_err(|f| (StatusCode::CONFLICT, f.message))?;
    let Some(own) = own else {
        let line = "no machine may send here yet; make a token with `rimefold sensor token`";
        return Err((StatusCode::FORBIDDEN, line.to_owned()));
    };
    let bearer = headers.get(header::AUTHORIZATION).and_then(|v| v.to_str().ok());
    let bearer = bearer.and_then(|v| v.strip_prefix("Bearer "));
    let field = fields.get("token").or_else(|| fields.get("PASSWORD")).map(String::as_str);
    let shown = bearer.or(field).unwrap_or_default();
    let right = token::same(&own, shown);
    if right {
        // A right one is heard whatever strangers send meanwhile.
        return Ok(());
    }
    if app.wrong.one_more() {
        return Err((
            StatusCode::TOO_MANY_REQUESTS,
            "too many wrong tokens; wait a minute".to_owned(),
        ));
    }
    Err((StatusCode::FORBIDDEN, "that is not the token".to_owned()))
}

#[derive(Template)]
#[template(path = "sensors.html")]
struct Page {
    head: Head,
    sensors: Vec<Told>,
    faults: Vec<String>,
    not_noted: Vec<String>,
}

/// `GET /sensors`.
pub async fn page(State(app): State<App>) -> Response {
    let Some(garden) = app.planner.evening().garden else { return on_to("/") };
    let words = GardenFormat::new(garden.units, &garden.zone);
    let (now, entries) = (app.planner.clock.now(), app.writer.entries());
    let of = Arc::clone(&garden);
    // The series by itself: the page stands also where the diary is damaged.
    let path = series::beside(&::diary::beside(&garden_file(&app.planner.folder)));
    let asked = tokio::task::spawn_blocking(move || {
        let series = Series::open_read_only(&path)?;
        state::state(&of, series.as_ref(), &entries, now)
    });
    let asked = asked.await.unwrap_or_else(|e| Err(Failure::bug(e)));
    match asked {
        Ok(state) => {
            let faults = state
                .faults
                .iter()
                .map(|f| format!("{}: {}", f.name, f.fault.as_deref().unwrap_or_default()));
            ok(&Page {
                head: Head::new(&app, "/diary", "Sensors"),
                sensors: told(&state, &words, now),
                faults: faults.collect(),
                not_noted: app.machines.not_noted(),
            })
        }
        Err(f) => trouble(&app, &f),
    }
}
