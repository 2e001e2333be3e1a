//! The pages: the whole job in a browser, phone first, without script if need be. They call answers, never the command line.
//!
//! | module | holds |
//! |---|---|
//! | [`planner`] | the plan, made in the background and kept; no page waits for it |
//! | [`hands`] | other people or minutes than usual, for tonight |
//! | [`diary_writer`] | the one thread that writes the diary |
//! | [`host_check`], [`auth`], [`bodies`] | whose name, what a page may load; password and visits; how much may be sent |
//! | [`page`], [`assets`], `meanwhile` | the frame of every page; style sheet, scripts, mark; a page sent while its work is done |
//! | [`tonight`], [`nights`], [`beds`], [`stock`], [`place`], [`diary`], [`about`] | one page each |
//! | [`learn`] | what was learned from the thermometer |
//! | [`teller`], [`messages`] | people told in time; what was told |
//! | [`calendar`] | the evening for a phone's calendar |
//! | [`fetcher`] | the forecast fetched by itself |
//! | [`machines`], [`readings`] | automatic thermometers: folders and messages; what is sent, how each is |
//! | [`edit`] | changing `garden.toml` by forms |
//! | [`year`], [`paper`] | the year, worked out once; sheets to print |
//! | [`notes`], `note_form` | what pages write into the diary |
//! | [`new_garden`], [`upload`] | a first garden; bringing a forecast or a record |
//! | [`folder`], [`clock`] | the garden folder; the time |

pub mod about;
pub mod assets;
pub mod auth;
pub mod beds;
pub mod bodies;
pub mod calendar;
pub mod clock;
#[cfg(test)]
mod damaged_forms;
pub mod diary;
pub mod diary_writer;
pub mod edit;
pub mod fetcher;
pub mod folder;
pub mod hands;
pub mod host_check;
pub mod learn;
pub mod machines;
mod meanwhile;
pub mod messages;
pub mod new_garden;
pub mod nights;
mod note_form;
pub mod notes;
pub mod page;
pub mod paper;
pub mod place;
pub mod planner;
pub mod readings;
pub mod stock;
pub mod teller;
#[cfg(test)]
mod tests;
pub mod tonight;
pub mod upload;
pub mod year;

use std::sync::Arc;
use std::time::Duration;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use axum::routing::{get, post};
use axum::{Router, middleware};
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::csrf::CsrfLayer;
use tower_http::limit::RequestBodyLimitLayer;
use tower_http::timeout::TimeoutLayer;

use auth::Auth;
use diary_writer::DiaryWriter;
use host_check::Names;
use planner::Planner;

/// A request that takes longer is given up.
const LONGEST: Duration = Duration::from_secs(20);

/// What every page knows.
#[derive(Clone)]
pub struct App {
    /// The evening and its plan.
    pub planner: Arc<Planner>,
    /// The diary.
    pub writer: DiaryWriter,
    /// The password.
    pub auth: Auth,
    /// The year.
    pub year: year::YearCache,
    /// What fetches the forecast.
    pub fetcher: fetcher::Fetcher,
    /// Readings of machines.
    pub machines: machines::Machines,
    /// What tells people.
    pub teller: teller::Teller,
    /// Wrong tokens of machines.
    pub wrong: readings::Wrong,
}

impl App {
    /// Pages of a garden; nothing is listened to yet.
    pub fn new(planner: Arc<Planner>, writer: DiaryWriter, auth: Auth) -> Self {
        let machines = machines::Machines::new(Arc::clone(&planner), writer.clone());
        let (year, wrong) = (year::YearCache::default(), readings::Wrong::default());
        let fetcher = fetcher::Fetcher::new(Arc::clone(&planner));
        let teller = teller::Teller::default();
        Self { planner, writer, auth, year, fetcher, machines, teller, wrong }
    }

    /// Starts what runs beside the pages: forecasts fetched, machines listened to, people told.
    pub fn keep(&self) {
        self.machines.keep();
        self.fetcher.keep();
        self.teller.keep(self);
    }

    /// Whether the folder holds a garden file, readable or not.
    pub fn garden_is_there(&self) -> bool {
        crate::outside::files::stamp(&folder::garden_file(&self.planner.folder)).is_some()
    }
}

/// Every page at its address, behind what guards them.
pub fn router(app: App, names: Names) -> Router {
    let pages = Router::new()
        .route("/", get(tonight::page))
        .route("/night/{bed}", get(tonight::night::page))
        .route("/hands", post(hands::say))
        .route("/cover", post(notes::cover))
        .route("/undo", post(notes::undo))
        .route("/nights", get(nights::page))
        .route("/beds", get(beds::all))
        .route("/beds/{bed}", get(beds::one).post(beds::save))
        .route("/garden", get(place::page).post(place::save))
        .route("/stock", get(stock::all).post(stock::save_all))
        .route("/stock/{sheet}", get(stock::one).post(stock::save))
        .route("/year", get(year::page))
        .route("/print/night", get(paper::night))
        .route("/print/cuts", get(paper::cuts))
        .route("/diary", get(diary::page).post(notes::note))
        .route("/learn", get(learn::page).post(learn::say))
        .route("/messages", get(messages::page).post(messages::see))
        .route("/messages/{id}", get(messages::alert))
        .route("/phones", post(messages::phone))
        .route("/calendar", get(calendar::page))
        .route(calendar::PATH, get(calendar::evening))
        .route("/sensors", get(readings::page))
        .route(readings::PATH, get(readings::take).post(readings::take))
        .route("/diary.csv", get(diary::csv))
        .route("/diary.json", get(diary::json))
        .route("/knows", get(about::page))
        .route("/begin", get(new_garden::page).post(new_garden::make))
        .route("/forecast", get(upload::forecast).post(upload::take_forecast))
        .route("/forecast/place", post(upload::accept_place))
        .route("/station", get(upload::record).post(upload::take_record))
        .route("/standing", get(standing))
        .route("/enter", get(auth::page).post(auth::enter))
        .route("/leave", post(auth::leave))
        .route("/leave/everywhere", post(auth::leave_everywhere))
        .merge(assets::router())
        .fallback(nothing_here)
        .with_state(app.clone());
    guarded(pages, app, names)
}

/// Pages behind what guards them; what is named last is passed first.
fn guarded(pages: Router, app: App, names: Names) -> Router {
    pages
        .layer(middleware::from_fn_with_state(bodies::Room::default(), bodies::limit))
        .layer(middleware::from_fn_with_state(app, auth::require_login))
        .layer(CsrfLayer::new())
        .layer(middleware::from_fn_with_state(names, host_check::require_known_host))
        .layer(RequestBodyLimitLayer::new(bodies::LARGEST_FILE))
        .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, LONGEST))
        .layer(CatchPanicLayer::new())
        .layer(middleware::from_fn(host_check::answer_headers))
}

/// `GET /standing`: whether the plan is being made.
async fn standing(State(app): State<App>) -> String {
    let working = app.planner.evening().working;
    if working { "working\n".to_owned() } else { "ready\n".to_owned() }
}

async fn nothing_here(State(app): State<App>) -> Response {
    page::nothing_here(&app)
}
