//! `start`: a new design file from options, or from a short interview on a terminal.

mod answers;
pub(crate) mod interview;
mod text;

use crate::args::StartArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::json::files::Files;
use crate::terminal::say;
use answers::{Answers, Given};
use std::collections::BTreeMap;
use std::process::ExitCode;

pub(crate) fn run(args: &StartArgs) -> Result<ExitCode, Failure> {
    // Said before the questions, not after ten answers.
    if args.rig.exists() && !args.force {
        return Err(Failure::already_there(&args.rig));
    }
    let given = Given::of([
        ("name", &args.name),
        ("kind", &args.kind),
        ("rules", &args.rules),
        ("volts", &args.volts),
        ("chemistry", &args.chemistry),
        ("block", &args.block),
        ("parallel", &args.parallel),
        ("case", &args.case),
        ("box", &args.inside),
        ("there", &args.there),
    ]);
    let given = interview::completed(given)?;
    let answers = Answers::of(&given)?;
    files::write_whole(&args.rig, text::design(&answers).as_bytes(), args.force)?;
    let path = args.rig.display().to_string();
    if args.json {
        say(&json::text(&Files { files: vec![path], stop_count: None }))?;
    } else {
        say(&format!(
            "Wrote {path}. Lines that begin with # wait for what was not said.\n\
             Next: bankwright check {path}\n"
        ))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// The text of a new design from answers by the name of their question; what is left out or empty is
/// taken as usual.
pub(crate) fn text_of(answers: &BTreeMap<String, String>) -> Result<String, Failure> {
    let mut given = Given::default();
    for question in &interview::QUESTIONS {
        let said =
            answers.get(question.option).map(String::as_str).filter(|a| !a.trim().is_empty());
        if let Some(answer) = said.or(question.usual) {
            given.put(question.option, answer);
        } else if question.needed {
            return Err(Failure::cannot_ask(&[question.asks.to_owned()]));
        }
    }
    Ok(text::design(&Answers::of(&given)?))
}
