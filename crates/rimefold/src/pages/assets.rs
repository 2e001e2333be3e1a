//! The style sheet, the scripts, the manifest and the mark, held in the program; style sheet and scripts at addresses
//! that change with them.

use std::sync::LazyLock;

use axum::Router;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use crate::digest::sha256;

/// What this phone keeps: part of the script for a phone without a connection, and of the one that works beside the pages.
const KEPT: &str = include_str!("../../assets/kept.js");
static STYLE: LazyLock<Text> = LazyLock::new(|| {
    let text = include_str!("../../assets/style.css").replace(": ", ":").replace("; ", ";");
    Text::new("/style.css", &text)
});
static SCRIPT: LazyLock<Text> =
    LazyLock::new(|| Text::new("/comfort.js", include_str!("../../assets/comfort.js")));
static PHONE: LazyLock<Text> = LazyLock::new(|| {
    Text::new(
        "/phone.js",
        concat!(include_str!("../../assets/kept.js"), include_str!("../../assets/phone.js")),
    )
});
/// The script that works beside the pages, told what a page needs without a connection; other bytes with each version.
static OFFLINE: LazyLock<Text> = LazyLock::new(|| {
    let names = format!(
        "const STYLE = '{}';\nconst FILES = [STYLE, '{}', '{}', '/mark.svg', '/mark-small.svg'];\n",
        style(),
        script(),
        phone()
    );
    Text::new(BESIDE, &[KEPT, &names, include_str!("../../assets/offline.js")].concat())
});
static TELL: LazyLock<Text> =
    LazyLock::new(|| Text::new("/tell.js", include_str!("../../assets/tell.js")));
/// By its place it may answer for every page.
const BESIDE: &str = "/offline.js";

/// A text that is served, and an address that changes with it.
struct Text {
    text: String,
    address: String,
}

impl Text {
    /// Without what only its reader in the repository needs: indents and lines that are comments.
    fn new(path: &str, text: &str) -> Self {
        let comment = |l: &&str| l.starts_with("//") || (l.starts_with("/*") && l.ends_with("*/"));
        let lines = text.lines().map(str::trim_start).filter(|l| !l.is_empty() && !comment(l));
        let text: String = lines.flat_map(|l| [l, "\n"]).collect();
        let print: String = sha256(text.as_bytes()).chars().take(8).collect();
        Self { address: format!("{path}?{print}"), text }
    }
}

/// For as long as it does not change, since its address does with it.
const FOR_EVER: &str = "public, max-age=31536000, immutable";
/// What stays at one address.
const A_DAY: &str = "public, max-age=86400";
/// What is asked for anew every time.
const NEVER: &str = "no-cache";

/// A file that is shown before anybody has signed in.
struct File {
    path: &'static str,
    kind: &'static str,
    keep: &'static str,
    bytes: fn() -> &'static [u8],
}

/// A file of the folder `assets` that stays at one address.
macro_rules! mark {
    ($kind:literal, $name:literal) => {
        File {
            path: concat!("/", $name),
            kind: $kind,
            keep: A_DAY,
            bytes: || include_bytes!(concat!("../../assets/", $name)),
        }
    };
}

/// The mark is a cover over a hoop in section, without its warm core below 24 pixels; as pictures for home screens that
/// take no drawing, with a wide margin where they cut a shape of their own.
static FILES: [File; 12] = [
    File { path: "/style.css", kind: CSS, keep: FOR_EVER, bytes: || STYLE.text.as_bytes() },
    File { path: "/comfort.js", kind: SCRIPTS, keep: FOR_EVER, bytes: || SCRIPT.text.as_bytes() },
    File { path: "/phone.js", kind: SCRIPTS, keep: FOR_EVER, bytes: || PHONE.text.as_bytes() },
    File { path: "/tell.js", kind: SCRIPTS, keep: FOR_EVER, bytes: || TELL.text.as_bytes() },
    File { path: BESIDE, kind: SCRIPTS, keep: NEVER, bytes: || OFFLINE.text.as_bytes() },
    mark!("application/manifest+json", "rimefold.webmanifest"),
    mark!("image/svg+xml", "mark.svg"),
    mark!("image/svg+xml", "mark-small.svg"),
    mark!("image/png", "mark-180.png"),
    mark!("image/png", "mark-192.png"),
    mark!("image/png", "mark-512.png"),
    mark!("image/png", "mark-512-wide.png"),
];
const CSS: &str = "text/css; charset=utf-8";
const SCRIPTS: &str = "text/javascript; charset=utf-8";

/// Whether an address is shown before anybody has signed in.
pub fn is_public(path: &str) -> bool {
    FILES.iter().any(|f| f.path == path)
}

/// Every file at its address.
pub fn router<S: Clone + Send + Sync + 'static>() -> Router<S> {
    FILES.iter().fold(Router::new(), |router, f| {
        router.route(f.path, get(move || async { answer(f.kind, f.keep, (f.bytes)()) }))
    })
}

/// Address of the style sheet.
pub fn style() -> &'static str {
    &STYLE.address
}

/// Address of the script.
pub fn script() -> &'static str {
    &SCRIPT.address
}

/// Address of the script for a phone without a connection.
pub fn phone() -> &'static str {
    &PHONE.address
}

/// Address of the script by which a phone asks to be told.
pub fn tell() -> &'static str {
    &TELL.address
}

fn answer(kind: &'static str, keep: &'static str, body: &'static [u8]) -> Response {
    let mut response = body.into_response();
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_TYPE, HeaderValue::from_static(kind));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(keep));
    response
}
