//! The terminal: width, printing, asking.

use std::io::{BufRead as _, IsTerminal as _, Write as _};
use std::process::ExitCode;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

/// Widest line written, characters.
const WIDEST: usize = 80;

/// Width to write for: `COLUMNS` where set, else 80; at least 32.
pub fn width() -> usize {
    let columns = std::env::var("COLUMNS").ok().and_then(|c| c.parse::<usize>().ok());
    columns.unwrap_or(WIDEST).clamp(32, WIDEST)
}

/// Prints; a reader that has gone away is no failure.
pub fn print(text: &str) -> ExitCode {
    let mut out = anstream::stdout().lock();
    match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
        Err(e) if e.kind() != std::io::ErrorKind::BrokenPipe => ExitCode::from(10),
        _ => ExitCode::SUCCESS,
    }
}

/// A remark beside the answer.
pub fn aside(text: &str) {
    let _ = writeln!(anstream::stderr().lock(), "{text}");
}

/// An error.
pub fn complain(message: &str) {
    aside(message.trim_end());
}

/// Asks one question; `None` when there is nobody to answer.
pub fn ask(question: &str) -> Option<String> {
    let mut out = anstream::stderr().lock();
    let _ = write!(out, "{question} ");
    let _ = out.flush();
    let mut line = String::new();
    let read = std::io::stdin().lock().read_line(&mut line).ok()?;
    (read > 0).then(|| line.trim().to_owned())
}

/// Width of the bar, characters.
const BAR: usize = 30;
/// Work that takes no longer than this shows no bar.
const SOON: Duration = Duration::from_millis(500);

/// Shows how far the work is as a bar that grows on one line, to a terminal only; done, the line is empty again.
pub fn progress(done: usize, of: usize) {
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    let late = BEGUN.get_or_init(Instant::now).elapsed() > SOON;
    let mut out = std::io::stderr().lock();
    if late && out.is_terminal() {
        let full = BAR * done / of.max(1);
        let bar = if done < of {
            format!("{}{} {done} of {of}", "█".repeat(full), "░".repeat(BAR - full.min(BAR)))
        } else {
            String::new()
        };
        let _ = write!(out, "\r\u{1b}[K{bar}");
        let _ = out.flush();
    }
}
