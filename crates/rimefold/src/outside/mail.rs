//! A message by mail. It can be left out of a build with `--no-default-features`.

use std::path::Path;

use garden::watch::MailServer;

#[cfg(feature = "mail")]
use crate::outside::secret;

/// Stands for the password of the mail server.
#[cfg(feature = "mail")]
const PASSWORD: &str = "RIMEFOLD_MAIL_PASSWORD";
/// The same as a file beside `garden.toml`.
#[cfg(feature = "mail")]
const PASSWORD_FILE: &str = "mail-password";

/// A mail.
#[cfg_attr(not(feature = "mail"), expect(dead_code, reason = "only sending reads it"))]
pub struct Letter<'a> {
    /// Its name: one that comes twice has the same.
    pub id: &'a str,
    /// To whom.
    pub to: &'a str,
    /// First line.
    pub subject: &'a str,
    /// All of it.
    pub text: &'a str,
    /// When it was written, s since 1970.
    pub at: i64,
}

/// The password of the mail server, where there is one.
///
/// # Errors
/// Others can read its file.
#[cfg(feature = "mail")]
fn password(garden_file: &Path) -> Result<Option<String>, String> {
    let file = garden_file.with_file_name(PASSWORD_FILE);
    let found = secret::read_own(PASSWORD, &file)?;
    Ok(found.map(|p| p.trim_end_matches(['\r', '\n']).to_owned()))
}

/// Hands a mail to the server of the garden file.
///
/// # Errors
/// It was not taken, and why.
#[cfg(feature = "mail")]
pub fn send(server: &MailServer, garden_file: &Path, letter: &Letter<'_>) -> Result<(), String> {
    use std::time::{Duration, SystemTime};

    use garden::watch::Security;
    use lettre::message::header::ContentType;
    use lettre::transport::smtp::authentication::Credentials;
    use lettre::transport::smtp::client::{Certificate, Tls, TlsParameters};
    use lettre::{Message, SmtpTransport, Transport as _};

    /// Longest wait for the server, s.
    const TIMEOUT: Duration = Duration::from_secs(20);
    let words = |e: &dyn std::fmt::Display| e.to_string();
    let written = SystemTime::UNIX_EPOCH + Duration::from_secs(letter.at.max(0).unsigned_abs());
    let domain = server.from.rsplit('@').next().unwrap_or("rimefold.invalid");
    let mail = Message::builder()
        .message_id(Some(format!("<{}@{domain}>", letter.id)))
        .date(written)
        .from(server.from.parse().map_err(|e| words(&e))?)
        .to(letter.to.parse().map_err(|e| words(&e))?)
        .subject(letter.subject)
        .header(ContentType::TEXT_PLAIN)
        .body(letter.text.to_owned())
        .map_err(|e| words(&e))?;
    let tls = || -> Result<TlsParameters, String> {
        let mut tls = TlsParameters::builder(server.server.clone());
        if let Some(name) = &server.certificate {
            let path = garden_file.with_file_name(name);
            let pem = std::fs::read(&path).map_err(|e| format!("{}: {e}", path.display()))?;
            tls = tls.add_root_certificate(Certificate::from_pem(&pem).map_err(|e| words(&e))?);
        }
        tls.build().map_err(|e| words(&e))
    };
    let tls = match server.security {
        Security::Tls => Tls::Wrapper(tls()?),
        Security::StartTls => Tls::Required(tls()?),
        Security::None => Tls::None,
    };
    let mut transport = SmtpTransport::builder_dangerous(&server.server)
        .port(server.port)
        .timeout(Some(TIMEOUT))
        .tls(tls);
    if let Some(user) = &server.user {
        let Some(password) = password(garden_file)? else {
            return Err(format!(
                "the mail server asks for a password: put it into the file {PASSWORD_FILE} beside garden.toml, or into {PASSWORD}"
            ));
        };
        transport = transport.credentials(Credentials::new(user.clone(), password));
    }
    transport.build().send(&mail).map(drop).map_err(|e| {
        let mut why = e.to_string();
        let mut cause: Option<&dyn std::error::Error> = std::error::Error::source(&e);
        while let Some(c) = cause {
            let more = c.to_string();
            if !why.contains(&more) {
                why = format!("{why}: {more}");
            }
            cause = c.source();
        }
        why
    })
}

/// Says that mail was left out.
///
/// # Errors
/// Always.
#[cfg(not(feature = "mail"))]
pub fn send(_: &MailServer, _: &Path, _: &Letter<'_>) -> Result<(), String> {
    Err("mail was left out of this build".to_owned())
}
