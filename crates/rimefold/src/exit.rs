//! Exit codes, one for each cause. Documented in `docs/exit-codes.md`, which a test compares with this list.

/// Why the program stopped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// The garden file has faults.
    Garden,
    /// The forecast cannot be read.
    Forecast,
    /// A file is not there or cannot be opened.
    Missing,
    /// The forecast is readable but does not serve tonight.
    Unsuitable,
    /// Something could not be fetched, or what came is not what was asked for.
    Fetch,
    /// The diary, or a file to take into it, cannot be read.
    Diary,
    /// The pages cannot be served.
    Serve,
    /// Something cannot be written, or would be overwritten.
    Write,
    /// A word on the command line that clap could not judge: a time, a zone.
    Usage,
    /// Our bug.
    Bug,
}

/// Every cause with its number and meaning.
pub const ALL: [(Exit, u8, &str); 10] = [
    (Exit::Usage, 2, "the command line is wrong"),
    (Exit::Garden, 3, "the garden file has faults; each is shown with its place"),
    (Exit::Forecast, 4, "a forecast, a past or a station record cannot be read"),
    (Exit::Missing, 5, "a file is not there or cannot be opened"),
    (Exit::Unsuitable, 6, "the forecast or the record does not hold what the question needs"),
    (Exit::Fetch, 7, "something could not be fetched, or is not what was asked for"),
    (
        Exit::Diary,
        8,
        "a diary, or a file to take into one, cannot be read; each fault is shown with its place",
    ),
    (Exit::Serve, 9, "the pages cannot be served: the port is taken, or the network refuses"),
    (Exit::Write, 10, "a file cannot be written, or would be overwritten"),
    (Exit::Bug, 70, "a bug of ours; please report it"),
];

impl Exit {
    /// The number given to the shell.
    pub fn number(self) -> u8 {
        ALL.iter().find(|c| c.0 == self).map_or(70, |c| c.1)
    }
}

/// What went wrong, in words for the person who must act.
#[derive(Debug)]
pub struct Failure {
    /// Cause.
    pub code: Exit,
    /// Words.
    pub message: String,
}

/// Longest line of a message and most lines, whatever a file puts into it.
const LONGEST_LINE: usize = 1000;
const MOST_LINES: usize = 500;

/// A message that a person can read to its end.
fn cut(message: String) -> String {
    let long = |line: &str| line.len() > LONGEST_LINE && line.chars().nth(LONGEST_LINE).is_some();
    if message.lines().nth(MOST_LINES).is_none() && !message.lines().any(long) {
        return message;
    }
    let short = |line: &str| match line.char_indices().nth(LONGEST_LINE) {
        Some((end, _)) => format!("{}…", &line[..end]),
        None => line.to_owned(),
    };
    let mut lines: Vec<String> = message.lines().take(MOST_LINES).map(short).collect();
    if message.lines().nth(MOST_LINES).is_some() {
        lines.push("…".to_owned());
    }
    lines.join("\n")
}

impl Failure {
    /// A failure in words.
    pub fn new(code: Exit, message: impl Into<String>) -> Self {
        Self { code, message: cut(message.into()) }
    }

    /// A bug of ours, or what the grower can mend, which exits with `code`.
    pub fn from_fault(error: &impl quantities::Fault, code: Exit) -> Self {
        if error.is_bug() { Self::bug(error) } else { Self::new(code, error.to_string()) }
    }

    /// A fault of ours.
    pub fn bug(error: impl std::fmt::Display) -> Self {
        let words = "this is a bug of Rimefold, not yours; please report it with your files";
        Self::new(Exit::Bug, format!("{words}:\n{error}"))
    }
}
