//! A page that is sent while its work is done: what stands around it at once, a bar each time the work has moved, and at last
//! the page itself. It needs no script: the style sheet shows the last bar, and none once the page is there.

use std::time::Duration;

use axum::body::{Body, Bytes};
use axum::http::header;
use axum::response::{IntoResponse as _, Response};
use http_body_util::Channel;
use tokio::time::{Instant, sleep};

/// Where in a page its main part will stand.
pub const HERE: &str = "<!--here-->";
/// How often the work is looked at.
const LOOK_EVERY: Duration = Duration::from_millis(200);
/// The page ends after this long, before its connection is closed, and offers to look again.
const LONGEST: Duration = Duration::from_secs(100);
/// Into how many parts a bar is divided.
const PARTS: usize = 100;

/// How far a work is.
pub enum Work {
    /// So many of so many steps are done.
    Moving(usize, usize),
    /// It is done: the main part of the page.
    Done(String),
}

/// Sends `page`, which holds [`HERE`], with `why` and bars in that place until `look` gives its main part.
pub fn send(page: &str, why: &str, look: impl Fn() -> Work + Send + 'static) -> Response {
    let (before, after) = page.split_once(HERE).unwrap_or((page, ""));
    let begin = format!("{before}<div class=\"meanwhile\"><p class=\"note\">{why}</p>\n");
    let after = after.to_owned();
    let (mut sent, body) = Channel::<Bytes>::new(1);
    tokio::spawn(async move {
        let (begun, mut shown) = (Instant::now(), None);
        let mut chunk = begin;
        loop {
            match look() {
                Work::Done(body) => {
                    chunk += &format!("</div>\n{body}{after}");
                    break;
                }
                Work::Moving(done, of) => {
                    let part = PARTS * done / of.max(1);
                    if shown.replace(part) != Some(part) {
                        chunk += &bar(part);
                    }
                }
            }
            if begun.elapsed() > LONGEST {
                chunk += &format!("<p><a href=\"\">Look again</a></p></div>{after}");
                break;
            }
            // Nobody is there any more: the work goes on.
            if !chunk.is_empty() && sent.send_data(chunk.into()).await.is_err() {
                return;
            }
            chunk = String::new();
            sleep(LOOK_EVERY).await;
        }
        let _ = sent.send_data(chunk.into()).await;
    });
    ([(header::CONTENT_TYPE, "text/html; charset=utf-8")], Body::new(body)).into_response()
}

fn bar(part: usize) -> String {
    format!("<progress max=\"{PARTS}\" value=\"{part}\" aria-label=\"How far it is\"></progress>\n")
}
