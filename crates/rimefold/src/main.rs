//! `rimefold`: what to cover tonight, with what, by when, and why.

mod answers;
mod cli;
mod columns;
mod diary;
mod digest;
mod exit;
mod format;
mod machines;
mod outside;
mod pages;
mod paragraphs;

use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let args = cli::Cli::parse();
    match cli::run(args) {
        Ok(out) => {
            for line in &out.aside {
                outside::terminal::aside(line);
            }
            outside::terminal::print(&out.text)
        }
        Err(failure) => {
            outside::terminal::complain(&failure.message);
            ExitCode::from(failure.code.number())
        }
    }
}
