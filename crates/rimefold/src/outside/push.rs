//! Messages to the browser of a phone through the push service that its maker runs: encrypted for that phone alone (RFC 8291,
//! with the content coding of RFC 8188), signed with the garden's own key (RFC 8292).
//!
//! The addresses of phones let anybody who has them write to those phones: they and the key lie in files that nobody else may
//! read.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::exit::{Exit, Failure};
use crate::outside::secret;

/// Beside `garden.toml`: the phones that asked to be told.
const PHONES: &str = "push-phones";
/// The garden's key, PKCS #8 in base 64.
#[cfg(feature = "fetch")]
const KEY: &str = "push-key";
/// Most phones of one garden.
const MOST: usize = 20;
/// Longest address, characters.
const LONGEST: usize = 1000;

/// A phone that asked to be told, with the words of its browser.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Phone {
    /// What it is called here.
    pub name: String,
    /// Where its push service takes messages for it.
    pub endpoint: String,
    /// Its public key, an uncompressed point of P-256 in base 64 for addresses.
    pub p256dh: String,
    /// Its secret, 16 bytes in base 64 for addresses.
    pub auth: String,
}

/// A message for a phone.
#[cfg_attr(not(feature = "fetch"), expect(dead_code, reason = "only sending reads it"))]
pub struct Push<'a> {
    /// What the phone shows, as JSON.
    pub payload: &'a str,
    /// Of no use after so long, s.
    pub ttl_s: i64,
    /// Whether it may wake the phone.
    pub urgent: bool,
    /// Now, s since 1970.
    pub now: i64,
}

fn file(garden_file: &Path) -> PathBuf {
    garden_file.with_file_name(PHONES)
}

/// The phones of a garden.
pub fn phones(garden_file: &Path) -> Vec<Phone> {
    let text = secret::read_file(&file(garden_file)).unwrap_or_default();
    serde_json::from_str(&text).unwrap_or_default()
}

/// Adds a phone; one that asks again keeps its name.
///
/// # Errors
/// It is none, or there are too many, or it cannot be kept.
pub fn add(garden_file: &Path, endpoint: &str, p256dh: &str, auth: &str) -> Result<(), Failure> {
    let here = ["http://127.0.0.1:", "http://localhost:"];
    let web = endpoint.starts_with("https://") || here.iter().any(|h| endpoint.starts_with(h));
    let short = [endpoint, p256dh, auth].iter().all(|t| !t.is_empty() && t.len() <= LONGEST);
    if !web || !short {
        return Err(Failure::new(Exit::Usage, "that is no phone that can be told"));
    }
    let mut all = phones(garden_file);
    let known = all.iter().position(|p| p.endpoint == endpoint);
    let free = |n: &usize| all.iter().all(|p| p.name != format!("phone {n}"));
    let name = match known {
        Some(n) => all.remove(n).name,
        None => format!("phone {}", (1..).find(free).unwrap_or(1)),
    };
    if all.len() >= MOST {
        return Err(Failure::new(Exit::Usage, format!("{MOST} phones are told already")));
    }
    let [endpoint, p256dh, auth] = [endpoint, p256dh, auth].map(str::to_owned);
    all.push(Phone { name, endpoint, p256dh, auth });
    write(garden_file, &all)
}

/// Tells a phone no more.
///
/// # Errors
/// The rest cannot be kept.
pub fn remove(garden_file: &Path, name: &str) -> Result<(), Failure> {
    let mut all = phones(garden_file);
    let before = all.len();
    all.retain(|p| p.name != name);
    if all.len() == before { Ok(()) } else { write(garden_file, &all) }
}

fn write(garden_file: &Path, all: &[Phone]) -> Result<(), Failure> {
    let text = serde_json::to_string(all).map_err(Failure::bug)?;
    secret::write(&file(garden_file), &text)
}

#[cfg(feature = "fetch")]
mod sealed {
    //! The cryptography: every primitive is the library's.

    use std::path::Path;

    use base64::Engine as _;
    use base64::engine::general_purpose::{STANDARD, URL_SAFE_NO_PAD};
    use ring::aead::{AES_128_GCM, Aad, LessSafeKey, Nonce, UnboundKey};
    use ring::agreement::{ECDH_P256, EphemeralPrivateKey, UnparsedPublicKey, agree_ephemeral};
    use ring::hmac;
    use ring::rand::{SecureRandom as _, SystemRandom};
    use ring::signature::{ECDSA_P256_SHA256_FIXED_SIGNING, EcdsaKeyPair, KeyPair as _};

    use crate::outside::push::Phone;
    use crate::outside::secret;

    /// A record holds the whole message.
    const RECORD: u32 = 4096;
    /// A signature holds so long, s (RFC 8292 allows a day).
    const SIGNED_S: i64 = 12 * 3600;
    /// Whom a push service may write to about us; it must be an address (RFC 8292, 2.1).
    const SUBJECT: &str = "mailto:garden@rimefold.invalid";

    fn mac(key: &[u8], parts: &[&[u8]]) -> Vec<u8> {
        let key = hmac::Key::new(hmac::HMAC_SHA256, key);
        hmac::sign(&key, &parts.concat()).as_ref().to_vec()
    }

    /// Encrypts for one phone. RFC 8291, 3.4, and RFC 8188, 2.
    pub fn encrypted(phone: &Phone, payload: &[u8]) -> Result<Vec<u8>, String> {
        let wrong = |_| "the phone's keys cannot be used".to_owned();
        let theirs =
            URL_SAFE_NO_PAD.decode(&phone.p256dh).map_err(|_| wrong(ring::error::Unspecified))?;
        let auth =
            URL_SAFE_NO_PAD.decode(&phone.auth).map_err(|_| wrong(ring::error::Unspecified))?;
        let random = SystemRandom::new();
        let own = EphemeralPrivateKey::generate(&ECDH_P256, &random).map_err(wrong)?;
        let public = own.compute_public_key().map_err(wrong)?;
        let peer = UnparsedPublicKey::new(&ECDH_P256, &theirs);
        let shared = agree_ephemeral(own, &peer, <[u8]>::to_vec).map_err(wrong)?;
        let mut salt = [0_u8; 16];
        random.fill(&mut salt).map_err(wrong)?;
        let before = mac(&auth, &[&shared]);
        let input = mac(&before, &[b"WebPush: info\0", &theirs, public.as_ref(), &[1]]);
        let key = mac(&salt, &[&input]);
        let content = mac(&key, &[b"Content-Encoding: aes128gcm\0", &[1]]);
        let nonce = mac(&key, &[b"Content-Encoding: nonce\0", &[1]]);
        let content = UnboundKey::new(&AES_128_GCM, content.get(..16).unwrap_or_default());
        let content = LessSafeKey::new(content.map_err(wrong)?);
        let nonce = Nonce::try_assume_unique_for_key(nonce.get(..12).unwrap_or_default());
        // The last record ends with a 2.
        let mut record = [payload, &[2]].concat();
        content
            .seal_in_place_append_tag(nonce.map_err(wrong)?, Aad::empty(), &mut record)
            .map_err(wrong)?;
        let length = [u8::try_from(public.as_ref().len()).unwrap_or(65)];
        Ok([&salt[..], &RECORD.to_be_bytes(), &length, public.as_ref(), &record].concat())
    }

    /// The garden's key, made where there is none.
    fn key(path: &Path) -> Result<EcdsaKeyPair, String> {
        let random = SystemRandom::new();
        let kept = secret::read_file(path).and_then(|t| STANDARD.decode(t.trim()).ok());
        let bytes = match kept {
            Some(bytes) => bytes,
            None => {
                let made = EcdsaKeyPair::generate_pkcs8(&ECDSA_P256_SHA256_FIXED_SIGNING, &random);
                let made = made.map_err(|_| "no key could be made")?.as_ref().to_vec();
                secret::write(path, &STANDARD.encode(&made)).map_err(|f| f.message)?;
                made
            }
        };
        EcdsaKeyPair::from_pkcs8(&ECDSA_P256_SHA256_FIXED_SIGNING, &bytes, &random)
            .map_err(|_| format!("{} holds no key; remove it", path.display()))
    }

    /// The public key, as a browser asks for it.
    pub fn public_key(path: &Path) -> Result<String, String> {
        Ok(URL_SAFE_NO_PAD.encode(key(path)?.public_key().as_ref()))
    }

    /// What the header `Authorization` says to the push service at an address. RFC 8292, 2 and 3.
    pub fn authorization(path: &Path, endpoint: &str, now: i64) -> Result<String, String> {
        let pair = key(path)?;
        let (scheme, rest) = endpoint.split_once("://").ok_or("the phone has no address")?;
        let origin = format!("{scheme}://{}", rest.split('/').next().unwrap_or_default());
        let claims = serde_json::json!({ "aud": origin, "exp": now + SIGNED_S, "sub": SUBJECT });
        let part = |json: String| URL_SAFE_NO_PAD.encode(json);
        let head = part(r#"{"typ":"JWT","alg":"ES256"}"#.to_owned());
        let signed = format!("{head}.{}", part(claims.to_string()));
        let signature = pair
            .sign(&SystemRandom::new(), signed.as_bytes())
            .map_err(|_| "the message could not be signed")?;
        let signature = URL_SAFE_NO_PAD.encode(signature.as_ref());
        let public = URL_SAFE_NO_PAD.encode(pair.public_key().as_ref());
        Ok(format!("vapid t={signed}.{signature}, k={public}"))
    }
}

/// The garden's public key, as a browser asks for it; made where there is none.
///
/// # Errors
/// It cannot be made or kept.
#[cfg(feature = "fetch")]
pub fn public_key(garden_file: &Path) -> Result<String, String> {
    sealed::public_key(&garden_file.with_file_name(KEY))
}

/// Hands a message to a phone's push service; a phone that is not there any more is forgotten.
///
/// Checked by `checks/messages/push.py`, which decrypts it with another library.
///
/// # Errors
/// It was not taken, and why.
#[cfg(feature = "fetch")]
pub fn send(garden_file: &Path, phone: &Phone, push: &Push<'_>) -> Result<(), String> {
    use crate::outside::post;

    let body = sealed::encrypted(phone, push.payload.as_bytes())?;
    let key = garden_file.with_file_name(KEY);
    let authorization = sealed::authorization(&key, &phone.endpoint, push.now)?;
    let answer = post::poster()
        .post(&phone.endpoint)
        .header("authorization", authorization)
        .header("content-encoding", "aes128gcm")
        .header("content-type", "application/octet-stream")
        .header("ttl", push.ttl_s.max(0).to_string())
        .header("urgency", if push.urgent { "high" } else { "normal" })
        .send(&body[..]);
    // An error of the line may name the address, which is a secret.
    let answer = answer.map_err(|_| "the push service does not answer".to_owned())?;
    match answer.status().as_u16() {
        200..=299 => Ok(()),
        404 | 410 => {
            remove(garden_file, &phone.name).map_err(|f| f.message)?;
            Err("the phone wants to be told no more".to_owned())
        }
        status => Err(format!("the push service answers {status}")),
    }
}

/// Says that it was left out.
///
/// # Errors
/// Always.
#[cfg(not(feature = "fetch"))]
pub fn public_key(_: &Path) -> Result<String, String> {
    Err("sending to the web was left out of this build".to_owned())
}

/// Says that it was left out.
///
/// # Errors
/// Always.
#[cfg(not(feature = "fetch"))]
pub fn send(_: &Path, _: &Phone, _: &Push<'_>) -> Result<(), String> {
    Err("sending to the web was left out of this build".to_owned())
}
