//! The tables of `docs/limits.md` that programs write, each between two marks of its own.

use std::error::Error;
use std::path::Path;

/// Keeps the tables between the marks true: with `--write` among the program's words they are written into the page, else
/// compared with it. Whether the page now says what `tables` do; where it does not, that is told with what to do.
///
/// # Errors
/// The page cannot be read or written, or lacks the marks.
pub fn keep(begin: &str, end: &str, tables: &str) -> Result<bool, Box<dyn Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../docs/limits.md");
    let page = std::fs::read_to_string(&path)?;
    let now = with_tables(&page, (begin, end), tables).ok_or("docs/limits.md lacks the marks")?;
    if std::env::args().any(|a| a == "--write") {
        std::fs::write(&path, now)?;
        return Ok(true);
    }
    if now != page {
        eprintln!("docs/limits.md says otherwise; run again with -- --write and read what changed");
    }
    Ok(now == page)
}

/// The page with `tables` between its marks; `None` where a mark is missing.
#[must_use]
pub fn with_tables(page: &str, (begin, end): (&str, &str), tables: &str) -> Option<String> {
    let from = page.find(begin)? + begin.len();
    let to = from + page[from..].find(end)?;
    Some(format!("{}\n{tables}\n{}", &page[..from], &page[to..]))
}
