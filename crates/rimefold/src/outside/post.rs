//! What is posted to others: named, never sent on elsewhere, given up after a while.

use std::time::Duration;

/// Longest wait for an answer.
const TIMEOUT: Duration = Duration::from_secs(20);

/// What posts messages; an answer of any status is an answer.
pub fn poster() -> ureq::Agent {
    ureq::Agent::config_builder()
        .user_agent(crate::outside::fetch::named("a garden's message"))
        .http_status_as_error(false)
        .max_redirects(0)
        .max_redirects_will_error(false)
        .timeout_global(Some(TIMEOUT))
        .build()
        .into()
}
