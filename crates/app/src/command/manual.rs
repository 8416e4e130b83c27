//! The manual page and the shell completions, both made from the same words as `--help`.

use crate::args::CommandLine;
use crate::failure::Failure;
use crate::terminal::say;
use clap::{Command, CommandFactory};
use clap_complete::Shell;
use clap_mangen::Man;
use std::io::Write;
use std::process::ExitCode;

pub(crate) fn completions(shell: Shell) -> Result<ExitCode, Failure> {
    let mut bytes = Vec::new();
    clap_complete::generate(shell, &mut CommandLine::command(), "bankwright", &mut bytes);
    say(&String::from_utf8_lossy(&bytes))?;
    Ok(ExitCode::SUCCESS)
}

/// The page of the program with one section for every word.
pub(crate) fn man() -> Result<ExitCode, Failure> {
    let mut command = CommandLine::command();
    command.build();
    let page = Man::new(command.clone()).section("1");
    let mut text = part(|w| page.render_title(w))?;
    text.push_str(&part(|w| page.render_name_section(w))?);
    text.push_str(&part(|w| page.render_synopsis_section(w))?);
    text.push_str(&part(|w| page.render_description_section(w))?);
    for word in command.get_subcommands().filter(|w| !w.is_hide_set()) {
        text.push_str(&section(word, &word.get_name().to_uppercase())?);
        for inner in word.get_subcommands().filter(|w| !w.is_hide_set() && w.get_name() != "help") {
            let name = format!("{} {}", word.get_name(), inner.get_name()).to_uppercase();
            text.push_str(&section(inner, &name)?);
        }
    }
    let common = part(|w| page.render_extra_section(w))?;
    text.push_str(&common.replace(".SH EXTRA", ".SH EXIT STATUS"));
    say(&text)?;
    Ok(ExitCode::SUCCESS)
}

/// The section of one word.
fn section(word: &Command, name: &str) -> Result<String, Failure> {
    let page = Man::new(word.clone());
    let about = part(|w| page.render_description_section(w))?;
    let usage = part(|w| page.render_synopsis_section(w))?;
    let options = part(|w| page.render_options_section(w))?;
    let mut text = about.replace(".SH DESCRIPTION", &format!(".SH {name}"));
    text.push_str(&usage.replace(".SH SYNOPSIS", ".PP"));
    text.push_str(&options.replace(".SH OPTIONS\n", ""));
    Ok(text)
}

/// One part of the page, without the lines that define an apostrophe anew each time.
fn part(render: impl Fn(&mut dyn Write) -> std::io::Result<()>) -> Result<String, Failure> {
    let mut bytes = Vec::new();
    render(&mut bytes).map_err(|e| Failure::not_printed(&e))?;
    let text = String::from_utf8_lossy(&bytes);
    let repeated = |line: &&str| !line.starts_with(".ie ") && !line.starts_with(".el ");
    let mut kept: String = text.lines().filter(repeated).fold(String::new(), |mut all, line| {
        all.push_str(line);
        all.push('\n');
        all
    });
    // Without its definition the typewriter apostrophe is written as it is.
    kept = kept.replace("\\*(Aq", "'");
    Ok(kept)
}
