//! The real program with a frozen clock.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// The repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

pub fn rimefold(args: &[&str]) -> Run {
    answered(args, "", "80")
}

/// Runs with words at its standard input and a width.
pub fn answered(args: &[&str], input: &str, columns: &str) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_rimefold"))
        .args(args)
        .current_dir(root())
        .env("COLUMNS", columns)
        .env_remove("CLICOLOR_FORCE")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it starts");
    let _ = child.stdin.take().expect("stdin").write_all(input.as_bytes());
    let done = child.wait_with_output().expect("it ends");
    let text = |b: Vec<u8>| String::from_utf8(b).expect("text");
    Run { code: done.status.code().unwrap_or(-1), out: text(done.stdout), err: text(done.stderr) }
}

/// Three invented years of daily lowest and highest: a yearly wave with a few days' weather on it.
pub fn three_years() -> String {
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    let mut day = jiff::civil::date(2000, 1, 1);
    for n in 0..3 * 365 + 1 {
        let wave = -(f64::from(n - 20) / 365.25 * std::f64::consts::TAU).cos();
        let low = 3.0 + 14.0 * wave + 4.0 * (f64::from(n) * 0.9).sin();
        csv += &format!("{day},{low:.1},{:.1}\n", low + 12.0);
        day = day.tomorrow().expect("a day");
    }
    csv
}
