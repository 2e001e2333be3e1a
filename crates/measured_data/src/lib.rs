//! For tests and examples only: where the measured data are, what is said when they are not there, the page that tells
//! what they showed ([`page`]), and files damaged at random ([`mutations`]).
//!
//! The data are too large for the repository. They lie in `../shared/data` beside it. Every test that needs them asks
//! here. Without them a test ends early, and that is told twice: on the terminal, past the capture of test output, and
//! as a line of `target/skipped-tests.txt`, which `./check` counts at its end. Under `CI=true` the test fails instead.

pub mod mutations;
pub mod page;

use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};

/// A folder of the measured data, such as `stations`, or all of them for an empty name; `None` after telling.
///
/// # Panics
/// Where the folder is absent and the environment says `CI=true`.
#[must_use]
pub fn folder(name: &str) -> Option<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let must = std::env::var("CI").is_ok_and(|ci| ci == "true");
    find(&root.join("../shared/data"), name, must, &root.join("target/skipped-tests.txt"))
}

/// A file of the measured data, unpacked where its name ends in `.gz`; `None` after telling where the folder is absent.
///
/// # Panics
/// As [`folder`], and where the folder is there and the file is not, or does not unpack.
#[must_use]
#[expect(clippy::expect_used, reason = "a test says what went wrong by failing")]
pub fn file(name: &str) -> Option<Vec<u8>> {
    let bytes = std::fs::read(folder("")?.join(name)).expect("the file is in the folder");
    if !name.ends_with(".gz") {
        return Some(bytes);
    }
    let mut out = Vec::new();
    flate2::read::GzDecoder::new(&bytes[..]).read_to_end(&mut out).expect("the file unpacks");
    Some(out)
}

/// `name` inside `data`; where it is absent, `None` after telling, on the terminal and as a line of the file `list`.
///
/// # Panics
/// Where it is absent and `must` be there.
#[must_use]
pub fn find(data: &Path, name: &str, must: bool, list: &Path) -> Option<PathBuf> {
    let path = data.join(name);
    if path.is_dir() {
        return Some(path);
    }
    skipped(&format!("the measured data (../shared/data/{name})"), must, list);
    None
}

/// Tells that the test that runs lacks something this machine does not have, on the terminal and as a line of
/// `target/skipped-tests.txt`.
///
/// # Panics
/// Where the environment says `CI=true`.
pub fn lacks(what: &str) {
    let must = std::env::var("CI").is_ok_and(|ci| ci == "true");
    let list = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../target/skipped-tests.txt");
    skipped(what, must, &list);
}

fn skipped(what: &str, must: bool, list: &Path) {
    let thread = std::thread::current();
    let test = thread.name().unwrap_or("a program");
    let line = format!("SKIPPED: {test} needs {what}");
    assert!(!must, "{line}");
    // Written to the handle itself, because the test harness captures what `eprintln!` prints. That a notice cannot be
    // written must not fail a test.
    let _ = writeln!(std::io::stderr(), "{line}");
    let file = std::fs::OpenOptions::new().create(true).append(true).open(list);
    let _ = file.and_then(|mut f| writeln!(f, "{line}"));
}
