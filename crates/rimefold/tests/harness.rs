//! The real program with a frozen clock: what it is asked, and its whole answer compared.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// A question to the program.
pub struct Ask {
    args: Vec<String>,
    input: String,
    env: Vec<(String, String)>,
}

impl Ask {
    /// A verb and its words, 80 columns wide, nothing at its standard input.
    pub fn new(args: &[&str]) -> Self {
        let args = args.iter().map(ToString::to_string).collect();
        Self { args, input: String::new(), env: Vec::new() }.columns(80)
    }

    /// The moment it takes it to be.
    pub fn clock(mut self, at: &str) -> Self {
        self.args.extend(["--at".into(), at.into()]);
        self
    }

    /// Words at its standard input.
    pub fn stdin(mut self, input: &str) -> Self {
        self.input = input.into();
        self
    }

    /// A variable of its environment.
    pub fn env(mut self, name: &str, value: &str) -> Self {
        self.env.push((name.into(), value.into()));
        self
    }

    /// Width of the terminal.
    pub fn columns(self, columns: usize) -> Self {
        self.env("COLUMNS", &columns.to_string())
    }

    pub fn run(self) -> Run {
        let mut child = Command::new(env!("CARGO_BIN_EXE_rimefold"))
            .args(&self.args)
            .current_dir(root())
            .env_remove("CLICOLOR_FORCE")
            .envs(self.env)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        let _ = child.stdin.take().expect("stdin").write_all(self.input.as_bytes());
        let done = child.wait_with_output().expect("it ends");
        let text = |b: Vec<u8>| String::from_utf8(b).expect("text");
        Run {
            asked: self.args.join(" "),
            code: done.status.code().unwrap_or(-1),
            out: text(done.stdout),
            err: text(done.stderr),
        }
    }
}

/// A whole answer.
pub struct Run {
    asked: String,
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Run {
    /// What a program answered that was started in some other way.
    pub fn new(args: &[&str], code: i32, out: String, err: String) -> Self {
        Self { asked: args.join(" "), code, out, err }
    }

    /// Asserts the exit code.
    pub fn code(self, code: i32) -> Self {
        assert_eq!(self.code, code, "rimefold {}: {}", self.asked, self.err);
        self
    }

    /// Asserts all of the standard output.
    pub fn stdout(self, expected: &str) -> Self {
        assert_eq!(self.out, expected, "rimefold {}", self.asked);
        self
    }

    /// Asserts all of the standard error.
    pub fn stderr(self, expected: &str) -> Self {
        assert_eq!(self.err, expected, "rimefold {}", self.asked);
        self
    }

    /// Asserts that the standard output is that of `tests/outputs/NAME.txt`, which RIMEFOLD_RENEW writes anew.
    pub fn stdout_kept(self, name: &str) -> Self {
        let file = root().join(format!("crates/rimefold/tests/outputs/{name}.txt"));
        if std::env::var_os("RIMEFOLD_RENEW").is_some() {
            std::fs::write(&file, &self.out).expect("written");
        }
        let expected = std::fs::read_to_string(&file).unwrap_or_default();
        self.stdout(&expected)
    }
}

/// The repository.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

pub fn rimefold(args: &[&str]) -> Run {
    Ask::new(args).run()
}

/// Runs with words at its standard input and a width.
pub fn answered(args: &[&str], input: &str, columns: &str) -> Run {
    Ask::new(args).stdin(input).env("COLUMNS", columns).run()
}

/// A garden folder of its own: a demonstration garden's file with three invented years of a station beside it.
pub fn with_three_years(demo: &str) -> (tempfile::TempDir, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let garden = root().join("demo").join(demo).join("garden.toml");
    std::fs::copy(garden, folder.path().join("garden.toml")).expect("copied");
    std::fs::write(folder.path().join("station.csv"), three_years()).expect("written");
    let path = folder.path().to_str().expect("text").to_owned();
    (folder, path)
}

/// Three invented years of daily lowest and highest.
pub fn three_years() -> String {
    invented_years(3)
}

/// So many invented years of daily lowest and highest, from 2000 on: a yearly wave with a few days' weather on it.
pub fn invented_years(years: i16) -> String {
    let mut csv = String::from("date,tmin_c,tmax_c\n");
    let mut day = jiff::civil::date(2000, 1, 1);
    for n in 0.. {
        if day.year() == 2000 + years {
            break;
        }
        let wave = -(f64::from(n - 20) / 365.25 * std::f64::consts::TAU).cos();
        let low = 3.0 + 14.0 * wave + 4.0 * (f64::from(n) * 0.9).sin();
        csv += &format!("{day},{low:.1},{:.1}\n", low + 12.0);
        day = day.tomorrow().expect("a day");
    }
    csv
}
