//! Bankwright on the command line: it reads the design file, asks the engine, and prints.
//!
//! Nothing is computed here. What a word prints is what the engine's report holds.
#![expect(
    clippy::disallowed_methods,
    reason = "this crate is the one that reads files and the environment"
)]

mod args;
mod rig;
mod files;
mod failure;
mod glossary;
mod json;
mod terminal;
mod log;
mod proving;
mod out;
mod web;
mod command;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let asked = args::CommandLine::parse();
    match command::run(&asked.word) {
        Ok(code) => code,
        Err(failure) => {
            terminal::warn(&failure.shown());
            ExitCode::from(failure::BAD_INPUT)
        }
    }
}
