//! A message as an alert of the Common Alerting Protocol 1.2 (OASIS standard, 1 July 2010), for programs that pass alerts on.

use diary::messages::{Message, MessageKind};
use diary::night;
use garden::Garden;
use jiff::tz::TimeZone;
use quantities::Moment;

/// The alert; elements in the order of the standard's schema (section 3.4).
///
/// Checked by `watch::the_pages_tell_show_what_was_told_and_take_an_answer`.
pub fn alert(message: &Message, garden: &Garden) -> String {
    let zone = TimeZone::get(&garden.zone).unwrap_or(TimeZone::UTC);
    let time = |m: Moment| time(m, &zone);
    // Plants alone are in danger: nobody outside the garden is asked to do anything.
    let (urgency, severity, response) = match message.kind {
        _ if message.urgent => ("Immediate", "Moderate", "Execute"),
        MessageKind::AllClear | MessageKind::SeesAgain => ("Past", "Minor", "AllClear"),
        MessageKind::Blind | MessageKind::NoPlan => ("Expected", "Unknown", "Monitor"),
        _ => ("Expected", "Minor", "Prepare"),
    };
    let lines: Vec<&str> = message.text.lines().collect();
    let (headline, description) = lines.split_first().unwrap_or((&"", &[]));
    let place = garden.place;
    let fields = [
        ("identifier", message.id.as_str().to_owned()),
        ("sender", "rimefold.invalid".to_owned()),
        ("sent", time(message.at)),
        ("status", "Actual".to_owned()),
        ("msgType", "Alert".to_owned()),
        ("scope", "Private".to_owned()),
        ("addresses", quoted(&garden.name)),
    ];
    let info = [
        ("language", "en".to_owned()),
        ("category", "Met".to_owned()),
        ("event", diary::keyword::Keyword::keyword(message.kind).to_owned()),
        ("responseType", response.to_owned()),
        ("urgency", urgency.to_owned()),
        ("severity", severity.to_owned()),
        ("certainty", "Likely".to_owned()),
        ("expires", time(message.until)),
        ("headline", (*headline).to_owned()),
        ("description", description.join("\n")),
    ];
    let area = [
        ("areaDesc", garden.name.clone()),
        ("circle", format!("{},{} 0", place.latitude_deg, place.longitude_deg)),
    ];
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<alert xmlns=\"urn:oasis:names:tc:emergency:cap:1.2\">\n{}<info>\n{}<area>\n{}</area>\n</info>\n</alert>\n",
        elements(&fields),
        elements(&info),
        elements(&area)
    )
}

/// A moment in the standard's form: local, with its offset, never `Z` (3.3.2).
fn time(at: Moment, zone: &TimeZone) -> String {
    night::local(at, zone).strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

/// A name of several words in quotes (3.2.1, addresses).
fn quoted(name: &str) -> String {
    format!("\"{}\"", name.replace('"', "'"))
}

fn elements(fields: &[(&str, String)]) -> String {
    fields.iter().map(|(name, text)| format!("<{name}>{}</{name}>\n", escaped(text))).collect()
}

/// Text without what XML 1.0 does not take, its marks escaped.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '\n' | '\t' => out.push(c),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => {}
            c => out.push(c),
        }
    }
    out
}
