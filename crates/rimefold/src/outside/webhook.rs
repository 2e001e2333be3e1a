//! A signed JSON message to an address of the web, as the open Standard Webhooks specification 1.0 writes it: `webhook-id`,
//! `webhook-timestamp` and `webhook-signature: v1,` with the HMAC-SHA256 of `id.timestamp.body` in base 64.

/// Posts a message; `secret` signs it.
///
/// Checked by `watch::a_webhook_is_signed_and_sent_once`.
///
/// # Errors
/// It was not taken, and why.
#[cfg(feature = "fetch")]
pub fn send(url: &str, secret: &str, id: &str, at: i64, body: &str) -> Result<(), String> {
    use base64::Engine as _;
    use base64::engine::general_purpose::STANDARD;

    use crate::outside::post;

    let key = ring::hmac::Key::new(ring::hmac::HMAC_SHA256, secret.as_bytes());
    let signed = ring::hmac::sign(&key, format!("{id}.{at}.{body}").as_bytes());
    let answer = post::poster()
        .post(url)
        .header("content-type", "application/json")
        .header("webhook-id", id)
        .header("webhook-timestamp", at.to_string())
        .header("webhook-signature", format!("v1,{}", STANDARD.encode(signed.as_ref())))
        .send(body.as_bytes());
    match answer {
        Ok(answer) if answer.status().is_success() => Ok(()),
        Ok(answer) => Err(format!("the address answers {}", answer.status().as_u16())),
        Err(e) => Err(format!("the address does not answer ({e})")),
    }
}

/// Says that it was left out.
///
/// # Errors
/// Always.
#[cfg(not(feature = "fetch"))]
pub fn send(_: &str, _: &str, _: &str, _: i64, _: &str) -> Result<(), String> {
    Err("sending to the web was left out of this build".to_owned())
}
