//! Who is told of the evening, how and when.

use jiff::civil::Time;

use crate::file::table::{Reader, Table, named};
use crate::watch::{Channel, MailServer, Recipient, Security, Watch};

/// No evening is told before.
const NOON: Time = Time::constant(12, 0, 0, 0);

/// When messages are sent, and when they wait.
pub fn watch(r: &mut Reader, t: &Table<'_>) -> Option<Watch> {
    let (evening, quiet, link) = (evening(r, t), quiet(r, t), link(r, t));
    Some(Watch {
        evening: evening?,
        quiet: quiet?,
        wake: t.flag(r, "wake").unwrap_or(false),
        most_a_day: t.count(r, "most_a_day")?,
        blind_after_h: t.number(r, "blind_after_h")?,
        warn_min: t.number(r, "warn_min")?,
        link: link?,
    })
}

fn evening(r: &mut Reader, t: &Table<'_>) -> Option<Time> {
    let evening = time(r, t, "evening")?.unwrap_or(Watch::default().evening);
    if evening < NOON {
        // Until then what is planned is the morning of the night before.
        let message = "the evening is told in the afternoon".to_owned();
        r.fault(t.span_of("evening"), message, "a time from 12:00 on");
        return None;
    }
    Some(evening)
}

/// The quiet hours where there are any; `None` after a fault.
fn quiet(r: &mut Reader, t: &Table<'_>) -> Option<Option<(Time, Time)>> {
    let (from, until) = (time(r, t, "quiet_from"), time(r, t, "quiet_until"));
    match (from?, until?) {
        (Some(from), Some(until)) => Some(Some((from, until))),
        (None, None) => Some(None),
        (from, _) => {
            let has = if from.is_some() { "quiet_from" } else { "quiet_until" };
            let message = "the quiet hours have only one end".to_owned();
            r.fault(t.span_of(has), message, "both quiet_from and quiet_until, or neither");
            None
        }
    }
}

/// The link where there is one; `None` after a fault.
fn link(r: &mut Reader, t: &Table<'_>) -> Option<Option<String>> {
    let link = t.text(r, "link");
    if link.as_deref().is_some_and(|l| !on_the_web(l)) {
        let message = "the link is no address of the web".to_owned();
        r.fault(t.span_of("link"), message, "an address that begins with https:// or http://");
        return None;
    }
    Some(link)
}

/// A time of day where the key is there; `None` after a fault.
fn time(r: &mut Reader, t: &Table<'_>, name: &str) -> Option<Option<Time>> {
    let Some(text) = t.text(r, name) else { return Some(None) };
    let read = Time::strptime("%H:%M", &text).ok();
    if read.is_none() {
        r.fault(t.span_of(name), format!("“{text}” is no time of day"), "a time such as 15:00");
    }
    read.map(Some)
}

fn on_the_web(address: &str) -> bool {
    ["https://", "http://"].iter().any(|s| address.starts_with(s))
}

/// A mail server.
pub fn mail(r: &mut Reader, t: &Table<'_>) -> Option<MailServer> {
    let server = t.text(r, "server");
    let security = t.word(r, "security").unwrap_or(Security::Tls);
    let here = |s: &String| ["localhost", "127.0.0.1", "::1"].contains(&s.as_str());
    if security == Security::None && !server.as_ref().is_some_and(here) {
        let message = "mail would travel unencrypted over the network".to_owned();
        r.fault(t.span_of("security"), message, "tls or starttls; none for localhost alone");
        return None;
    }
    let (port, user) = (t.count(r, "port"), t.text(r, "user"));
    let from = address(r, t, "from");
    let certificate = t.text(r, "certificate");
    let port = u16::try_from(port?).ok()?;
    Some(MailServer { server: server?, port, security, user, from: from?, certificate })
}

fn address(r: &mut Reader, t: &Table<'_>, name: &str) -> Option<String> {
    let text = t.text(r, name)?;
    let parts = text.split_once('@');
    let fine = parts.is_some_and(|(a, b)| {
        !a.is_empty()
            && !b.is_empty()
            && !text.contains(|c: char| c.is_whitespace() || c.is_control())
    });
    if !fine {
        let message = format!("“{text}” is no mail address");
        r.fault(t.span_of(name), message, "an address such as ann@example.org");
        return None;
    }
    Some(text)
}

/// Everybody who is told; `None` when any has a fault.
pub fn recipients(r: &mut Reader, top: &Table<'_>, has_mail: bool) -> Option<Vec<Recipient>> {
    let tables = top.tables(r, "tell");
    let taken = |name: &str| format!("“{name}” is told already");
    named(r, tables, |r, t| recipient(r, t, has_mail), |p| &p.name, taken)
}

fn recipient(r: &mut Reader, t: &Table<'_>, has_mail: bool) -> Option<Recipient> {
    let name = t.text(r, "name");
    let by: Channel = t.word(r, "by")?;
    let to = match by {
        Channel::Mail => address(r, t, "to"),
        Channel::Webhook => t.text(r, "to"),
    }?;
    if by == Channel::Webhook && !on_the_web(&to) {
        let message = "the address is none of the web".to_owned();
        r.fault(t.span_of("to"), message, "an address that begins with https:// or http://");
        return None;
    }
    if by == Channel::Mail && !has_mail {
        let message = "no mail server is named".to_owned();
        r.fault(t.span_of("by"), message, "a table [mail] with server and from");
        return None;
    }
    Some(Recipient { name: name?, by, to, second: t.flag(r, "second").unwrap_or(false) })
}
