//! How much may be sent, and how much of all that is sent may be under way at once.

use std::sync::Arc;

use axum::extract::{DefaultBodyLimit, Request, State};
use axum::http::{HeaderValue, Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use tokio::sync::Semaphore;

/// Largest file, bytes: a century of a station's record.
pub const LARGEST_FILE: usize = 32 * 1024 * 1024;
/// Largest form, bytes: a garden of hundreds of sheets.
const LARGEST_FORM: usize = 256 * 1024;
/// All bodies under way at once, bytes.
const AT_ONCE: usize = 64 * 1024 * 1024;
/// What room is counted in, bytes.
const PIECE: usize = 1024;

/// The room that bodies under way share.
#[derive(Clone)]
pub struct Room(Arc<Semaphore>);

impl Default for Room {
    fn default() -> Self {
        Self(Arc::new(Semaphore::new(AT_ONCE / PIECE)))
    }
}

/// Lets a body in where it is not too large and there is room; the room is free again once it is answered.
pub async fn limit(State(room): State<Room>, mut request: Request, next: Next) -> Response {
    if request.method() != Method::POST {
        return next.run(request).await;
    }
    let file = matches!(request.uri().path(), "/forecast" | "/station");
    let most = if file { LARGEST_FILE } else { LARGEST_FORM };
    let told = request.headers().get(header::CONTENT_LENGTH);
    let told = told.and_then(|n| n.to_str().ok()?.parse::<usize>().ok());
    let length = told.unwrap_or(most);
    if length > most {
        let text = format!("More than {} kB cannot be taken here.\n", most / 1024);
        return (StatusCode::PAYLOAD_TOO_LARGE, text).into_response();
    }
    let Ok(_held) = room.0.try_acquire_many((length / PIECE + 1) as u32) else {
        let text = "Others are sending files just now; try again in a moment.\n";
        let again = [(header::RETRY_AFTER, HeaderValue::from_static("5"))];
        return (StatusCode::SERVICE_UNAVAILABLE, again, text).into_response();
    };
    // The smaller limit of a stranger stands.
    if request.extensions().get::<super::auth::Stranger>().is_none() {
        DefaultBodyLimit::max(most).apply(&mut request);
    }
    next.run(request).await
}
