//! What every request passes: whose name the server is called by, and what a browser may do with a page.

use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};

/// What a page may load: its own style sheet, script and pictures, and nothing from anywhere else.
const POLICY: &str = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; \
                      connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; \
                      frame-ancestors 'none'";

/// Names the server may be called by, beside addresses and `localhost`.
#[derive(Clone, Debug, Default)]
pub struct Names(pub Vec<String>);

/// Turns away a request for a name that is not ours: a foreign page that has its name point here must not read ours.
pub async fn require_known_host(
    State(names): State<Names>,
    request: Request,
    next: Next,
) -> Response {
    let host = request
        .uri()
        .authority()
        .map(|a| a.as_str().to_owned())
        .or_else(|| Some(request.headers().get(header::HOST)?.to_str().ok()?.to_owned()));
    match host {
        Some(host) if names.hold(&host) => next.run(request).await,
        _ => {
            let text = "This name is not one of this garden's. Call it by its address, or start it with --name.\n";
            (StatusCode::MISDIRECTED_REQUEST, text).into_response()
        }
    }
}

impl Names {
    /// Whether a `Host`, with or without a port, is an address, `localhost` or one of the names.
    pub fn hold(&self, host: &str) -> bool {
        if let Some(inner) = host.strip_prefix('[') {
            return inner
                .split_once(']')
                .is_some_and(|(a, _)| crate::outside::listen::is_address(a));
        }
        let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
        name.eq_ignore_ascii_case("localhost")
            || crate::outside::listen::is_address(name)
            || self.0.iter().any(|n| n.eq_ignore_ascii_case(name))
    }
}

/// Writes the rules of a page into every answer.
pub async fn answer_headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let set: [(HeaderName, &'static str); 6] = [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "same-origin"),
        (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
        (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (
            HeaderName::from_static("permissions-policy"),
            "camera=(), microphone=(), geolocation=(self)",
        ),
    ];
    let headers = response.headers_mut();
    for (name, value) in set {
        headers.insert(name, HeaderValue::from_static(value));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}
