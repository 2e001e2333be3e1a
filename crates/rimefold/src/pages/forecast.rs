//! Bringing a forecast: a file that was fetched elsewhere is checked and put beside the garden.

use askama::Template;
use axum::extract::{Multipart, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::exit::Failure;
use crate::outside::files;
use crate::pages::App;
use crate::pages::page::{Head, ok, on_to, show, trouble};

#[derive(Template)]
#[template(path = "forecast.html")]
struct Page {
    head: Head,
    fault: Option<String>,
}

/// `GET /forecast`.
pub async fn page(State(app): State<App>) -> Response {
    ok(&Page { head: Head::of(&app, "/", "Bring a forecast"), fault: None })
}

/// `POST /forecast`.
pub async fn bring(State(app): State<App>, parts: Multipart) -> Response {
    let again = |fault: String| {
        let head = Head::of(&app, "/", "Bring a forecast");
        show(StatusCode::UNPROCESSABLE_ENTITY, &Page { head, fault: Some(fault) })
    };
    let bytes = match file(parts).await {
        Ok(bytes) if !bytes.is_empty() => bytes,
        Ok(_) => return again("Choose a file first.".into()),
        Err(fault) => return again(fault),
    };
    if let Err(e) = weather::read(&bytes) {
        return again(format!("This is no forecast that can be read: {e}"));
    }
    match put(&app, &bytes) {
        Ok(()) => {
            app.desk.nudge();
            on_to("/")
        }
        Err(f) => trouble(&app, &f),
    }
}

async fn file(mut parts: Multipart) -> Result<Vec<u8>, String> {
    let lost =
        |e: axum::extract::multipart::MultipartError| format!("The file did not arrive whole: {e}");
    while let Some(part) = parts.next_field().await.map_err(lost)? {
        if part.name() == Some("file") {
            return part.bytes().await.map(|b| b.to_vec()).map_err(lost);
        }
    }
    Ok(Vec::new())
}

/// Puts it where plans look first, in place of the one before.
fn put(app: &App, bytes: &[u8]) -> Result<(), Failure> {
    let first = bytes.iter().find(|b| !b.is_ascii_whitespace());
    let name = if matches!(first, Some(b'{' | b'[')) { "forecast.json" } else { "forecast.csv" };
    files::replace(&app.desk.folder.join(name), bytes)?;
    // Only one may lie there, else the older would be read.
    if name == "forecast.csv" {
        let old = app.desk.folder.join("forecast.json");
        files::set_aside(&old)?;
    }
    Ok(())
}
