//! A garden file read: the garden with its warnings, or every fault at its place.

pub mod text;

use std::path::Path;

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet};
use garden::Garden;
use garden::file::{Fault, Reading};

use crate::exit::{Exit, Failure};
use crate::format::count;
use crate::outside::files;

/// A garden without faults and its warnings as text, or all its faults.
pub fn load_garden(path: &Path) -> Result<(Garden, Vec<String>), Failure> {
    let bytes = files::read(path)?;
    let shown = path.display().to_string();
    let text = String::from_utf8(bytes).map_err(|e| {
        let at = e.utf8_error().valid_up_to();
        Failure::new(
            Exit::Garden,
            format!("{shown}: byte {at} is not text; a garden file is TOML in UTF-8"),
        )
    })?;
    let Reading { garden, faults, warnings } = garden::file::read(&text);
    let show = |f: &Fault, level| render(&shown, &text, f, level);
    let Some(mut garden) = garden.filter(|_| faults.is_empty()) else {
        let mut message: Vec<String> = faults.iter().map(|f| show(f, Level::ERROR)).collect();
        message.push(format!("{shown}: {}", count(faults.len(), "fault")));
        return Err(Failure::new(Exit::Garden, message.join("\n\n")));
    };
    if jiff::tz::TimeZone::get(&garden.zone).is_err() {
        let start = text.find(&format!("\"{}\"", garden.zone)).unwrap_or(0);
        let fault = Fault {
            span: start..start + garden.zone.len() + 2,
            message: format!("`{}` is not a time zone", garden.zone),
            expected: "an IANA name such as America/Chicago or Europe/Paris".into(),
            nearest: None,
        };
        let message = format!("{}\n\n{shown}: 1 fault", show(&fault, Level::ERROR));
        return Err(Failure::new(Exit::Garden, message));
    }
    garden.zone = garden.zone.trim().to_owned();
    Ok((garden, warnings.iter().map(|w| show(w, Level::WARNING)).collect()))
}

fn render(path: &str, text: &str, fault: &Fault, level: Level<'_>) -> String {
    let end = fault.span.end.min(text.len());
    let mut start = fault.span.start.min(end);
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = end.max(start);
    while !text.is_char_boundary(end) {
        end += 1;
    }
    let help = match &fault.nearest {
        Some(word) => format!("expected {}; did you mean `{word}`?", fault.expected),
        None => format!("expected {}", fault.expected),
    };
    let snippet =
        Snippet::source(text).path(path).annotation(AnnotationKind::Primary.span(start..end));
    let report = [level
        .primary_title(fault.message.as_str())
        .element(snippet)
        .element(Level::HELP.message(help))];
    Renderer::plain().render(&report)
}
