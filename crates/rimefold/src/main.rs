//! `rimefold`: what to cover tonight, with what, by when, and why.

mod cli;
mod diary;
mod digest;
mod draw;
mod exit;
mod format;
mod ics;
mod json;
mod outside;
mod pages;
mod paper;
mod sentences;
mod text;

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
