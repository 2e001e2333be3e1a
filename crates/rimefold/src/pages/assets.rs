//! The style sheet, the script and the mark, held in the program; the first two at addresses that change with them.

use std::sync::OnceLock;

use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};

use crate::digest::sha256;

const STYLE: &str = include_str!("../../assets/style.css");
const SCRIPT: &str = include_str!("../../assets/comfort.js");

/// What is shown before anybody has signed in.
pub const PUBLIC: [&str; 6] = [
    "/style.css",
    "/comfort.js",
    "/mark.svg",
    "/mark-small.svg",
    "/mark-180.png",
    "/rimefold.webmanifest",
];

/// The mark, a cover over a hoop in section; without its warm core below 24 pixels.
const MARK: &str = include_str!("../../assets/mark.svg");
const SMALL_MARK: &str = include_str!("../../assets/mark-small.svg");
/// The same for a home screen that takes no drawing.
const HOME_SCREEN: &[u8] = include_bytes!("../../assets/mark-180.png");
/// Name and mark for a home screen.
const MANIFEST: &str = include_str!("../../assets/rimefold.webmanifest");

/// Address of the style sheet.
pub fn style() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| format!("/style.css?{}", print(STYLE)))
}

/// Address of the script.
pub fn script() -> &'static str {
    static PATH: OnceLock<String> = OnceLock::new();
    PATH.get_or_init(|| format!("/comfort.js?{}", print(SCRIPT)))
}

fn print(text: &str) -> String {
    sha256(text.as_bytes()).chars().take(8).collect()
}

/// For as long as it does not change, since its address does with it.
const FOR_EVER: &str = "public, max-age=31536000, immutable";
/// What stays at one address.
const A_DAY: &str = "public, max-age=86400";

fn answer(kind: &'static str, keep: &'static str, body: impl IntoResponse) -> Response {
    let mut response = body.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(keep));
    response
}

/// The mark.
pub async fn mark() -> Response {
    answer("image/svg+xml", A_DAY, MARK)
}

/// The mark below 24 pixels.
pub async fn small_mark() -> Response {
    answer("image/svg+xml", A_DAY, SMALL_MARK)
}

/// The mark on a home screen.
pub async fn home_screen() -> Response {
    answer("image/png", A_DAY, HOME_SCREEN)
}

/// The program's name and mark, for a home screen.
pub async fn manifest() -> Response {
    answer("application/manifest+json", A_DAY, MANIFEST)
}

/// The style sheet.
pub async fn style_sheet() -> Response {
    answer("text/css; charset=utf-8", FOR_EVER, STYLE)
}

/// The script.
pub async fn script_file() -> Response {
    answer("text/javascript; charset=utf-8", FOR_EVER, SCRIPT)
}
