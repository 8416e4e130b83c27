//! One word of the command line per file.

pub(crate) mod start;
mod check;
mod share;
pub(crate) mod leads;
mod fit;
pub(crate) mod nights;
pub(crate) mod prove;
mod book;
mod log;
mod explain;
mod open;
mod manual;

pub(crate) use check::assumed_once;
pub(crate) use prove::Proved;

use crate::args::Word;
use crate::failure::Failure;
use std::process::ExitCode;

/// Does what a word asks.
pub(crate) fn run(word: &Word) -> Result<ExitCode, Failure> {
    match word {
        Word::Start(args) => start::run(args),
        Word::Check(args) => check::run(args),
        Word::Share(args) => share::run(args),
        Word::Leads(args) => leads::run(args),
        Word::Fit(args) => fit::run(args),
        Word::Nights(args) => nights::run(args),
        Word::Prove(args) => prove::run(args),
        Word::Book(args) => book::run(args),
        Word::Log(args) => log::run(args),
        Word::Open(args) => open::run(args),
        Word::Explain(args) => explain::run(args),
        Word::Completions { shell } => manual::completions(*shell),
        Word::Man => manual::man(),
    }
}
