//! The style sheet and the script, held in the program, each at an address that changes with it.

use std::sync::OnceLock;

use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse as _, Response};

use crate::digest::sha256;

const STYLE: &str = include_str!("../../assets/style.css");
const SCRIPT: &str = include_str!("../../assets/comfort.js");

/// Address of the style sheet.
pub fn style() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| format!("/style.css?{}", mark(STYLE)))
}

/// Address of the script.
pub fn script() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| format!("/comfort.js?{}", mark(SCRIPT)))
}

fn mark(text: &str) -> String {
    sha256(text.as_bytes()).chars().take(8).collect()
}

fn answer(kind: &'static str, text: &'static str) -> Response {
    let mut response = text.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    let keep = HeaderValue::from_static("public, max-age=31536000, immutable");
    headers.insert(header::CACHE_CONTROL, keep);
    response
}

/// The style sheet.
pub async fn style_sheet() -> Response {
    answer("text/css; charset=utf-8", STYLE)
}

/// The script.
pub async fn script_file() -> Response {
    answer("text/javascript; charset=utf-8", SCRIPT)
}
