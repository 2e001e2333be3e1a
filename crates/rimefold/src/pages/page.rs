//! The frame of every page, and answers as pages: shown, moved on, or in trouble.

use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Redirect, Response};
use quantities::Moment;

use crate::answers::tonight::wording::PlanWording;
use crate::diary::new_id;
use crate::exit::{Exit, Failure};
use crate::pages::App;
use crate::pages::assets;

/// Every page's place in the list of pages.
pub const PLACES: [(&str, &str); 7] = [
    ("/", "Tonight"),
    ("/nights", "Nights ahead"),
    ("/beds", "Beds"),
    ("/stock", "Stock"),
    ("/year", "Year"),
    ("/diary", "Diary"),
    ("/knows", "How it knows"),
];

/// What stands around a page.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// Its title.
    pub title: String,
    /// Name of the garden.
    pub garden: String,
    /// The place in the list it belongs to.
    pub here: &'static str,
    /// Whether what it shows is being made anew.
    pub working: bool,
    /// Whether there is a garden to go about in.
    pub begun: bool,
    /// Whether somebody has signed in who may sign out.
    pub sign_out: bool,
    /// What is damaged in the diary.
    pub damage: Option<String>,
    /// How old the plan is that the page shows, s, and when it was made: a phone that keeps the page tells it.
    pub plan: Option<(i64, String)>,
}

impl Head {
    /// The head of a page of this garden.
    pub fn new(app: &App, here: &'static str, title: impl Into<String>) -> Self {
        let evening = app.planner.evening();
        let garden = evening.garden.as_ref().map(|g| g.name.clone());
        Self {
            title: title.into(),
            begun: garden.is_some()
                || evening.trouble.as_ref().is_some_and(|t| t.code != Exit::Missing)
                || app.garden_is_there(),
            garden: garden.unwrap_or_else(|| "Rimefold".into()),
            here,
            sign_out: app.auth.locked(),
            damage: app.writer.damage(),
            ..Self::default()
        }
    }

    /// The head of a page that shows a plan.
    pub fn of_plan(self, told: &PlanWording<'_>, now: Moment) -> Self {
        let made = told.report.asked_at;
        let words = format!("{}, {}", told.words.date(made), told.words.time(made));
        Self { plan: Some(((now.0 - made.0).max(0), words)), ..self }
    }

    /// The list of pages.
    pub fn places(&self) -> &'static [(&'static str, &'static str)] {
        &PLACES
    }

    /// Address of the style sheet.
    pub fn style(&self) -> &'static str {
        assets::style()
    }

    /// Address of the script.
    pub fn script(&self) -> &'static str {
        assets::script()
    }

    /// Address of the script for a phone without a connection.
    pub fn phone(&self) -> &'static str {
        assets::phone()
    }
}

/// A page that is shown, with its status.
pub fn show(status: StatusCode, page: &impl Template) -> Response {
    match page.render() {
        Ok(html) => (status, Html(html)).into_response(),
        Err(e) => (StatusCode::INTERNAL_SERVER_ERROR, e.to_string()).into_response(),
    }
}

/// A page, or a part of one, as text; the fault where it cannot be written.
pub fn rendered(page: &impl Template) -> String {
    page.render().unwrap_or_else(|e| e.to_string())
}

/// A page that is shown.
pub fn ok(page: &impl Template) -> Response {
    show(StatusCode::OK, page)
}

/// On to another page after something was done, so that going back or afresh does not do it again.
pub fn on_to(path: &str) -> Response {
    // Only our own places, never a foreign address that came in a form; browsers drop tabs and line ends and read a
    // backslash as a slash.
    let plain = path.bytes().all(|b| b.is_ascii_graphic() && b != b'\\');
    let own = plain && path.starts_with('/') && !path.starts_with("//");
    let mut response = Redirect::to(if own { path } else { "/" }).into_response();
    response
        .headers_mut()
        .insert(header::CACHE_CONTROL, header::HeaderValue::from_static("no-store"));
    response
}

/// Something that cannot be done, with ways on.
#[derive(Template)]
#[template(path = "trouble.html")]
pub struct TroublePage {
    head: Head,
    lines: Vec<String>,
    exact: Option<String>,
    ways: Vec<(&'static str, &'static str)>,
    /// Whether a forecast for another place can be accepted here.
    asks_place: bool,
}

impl TroublePage {
    /// A page of words, what was said exactly, and ways on.
    pub fn new(
        head: Head,
        lines: &[&str],
        exact: Option<String>,
        ways: &[(&'static str, &'static str)],
    ) -> Self {
        let lines = lines.iter().map(|l| (*l).to_owned()).collect();
        Self { head, lines, exact, ways: ways.to_vec(), asks_place: false }
    }
}

impl TroublePage {
    /// The same, with the way to accept a forecast for another place where `asks`.
    pub fn asking_for_the_place(self, asks: bool) -> Self {
        Self { asks_place: asks, ..self }
    }
}

/// A failure as a page.
pub fn trouble(app: &App, failure: &Failure) -> Response {
    let (status, title, line) = match failure.code {
        Exit::Write => (
            StatusCode::INSUFFICIENT_STORAGE,
            "Not saved",
            "Nothing was changed, and nothing that was kept before is lost.",
        ),
        Exit::Bug => (
            StatusCode::INTERNAL_SERVER_ERROR,
            "A fault of ours",
            "This is no fault of yours. Please report it with your garden folder.",
        ),
        Exit::Missing => {
            (StatusCode::NOT_FOUND, "Not there", "Something that is needed is not there.")
        }
        Exit::Usage => {
            (StatusCode::UNPROCESSABLE_ENTITY, "Not understood", "Please look at it again.")
        }
        _ => (
            StatusCode::UNPROCESSABLE_ENTITY,
            "This cannot be shown",
            "Something in the garden folder has to be mended first.",
        ),
    };
    let head = Head::new(app, "", title);
    let page = TroublePage::new(
        head,
        &[line],
        Some(failure.message.clone()),
        &[("/", "Tonight"), ("/diary", "Diary")],
    );
    show(status, &page)
}

/// What was made for an address that may be nowhere.
pub fn found(app: &App, made: Result<Option<Response>, Failure>) -> Response {
    match made {
        Ok(Some(response)) => response,
        Ok(None) => nothing_here(app),
        Err(f) => trouble(app, &f),
    }
}

/// A page that is not there.
pub fn nothing_here(app: &App) -> Response {
    let head = Head::new(app, "", "No such page");
    show(
        StatusCode::NOT_FOUND,
        &TroublePage::new(head, &["There is no such page here."], None, &[("/", "Tonight")]),
    )
}

/// A name for an entry that a form will make, so that the form sent twice makes it once; empty where chance fails.
pub fn fresh() -> String {
    new_id().map(String::from).unwrap_or_default()
}
