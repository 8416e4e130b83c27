//! `log`: the years of the bank, one word per file.

mod add;
mod due;
mod export;
mod form;
mod import;
mod show;
mod undo;

use crate::args::{LogArgs, LogWord};
use crate::failure::Failure;
use crate::json;
use crate::log::clock::Now;
use crate::log::store::{self, Store};
use crate::rig::Rig;
use crate::terminal::say;
use engine::care::Care;
use engine::study::Study;
use engine::units::show::UnitSystem;
use std::path::PathBuf;
use std::process::ExitCode;

/// A rig with its log, ready for a word.
struct Job<'a> {
    args: &'a LogArgs,
    rig: Rig,
    /// Where the log lies, or will lie.
    path: PathBuf,
    now: Now,
}

impl Job<'_> {
    /// The log, where there is one.
    fn store(&self) -> Result<Option<Store>, Failure> {
        Store::open(&self.path).map_err(|t| t.at(&self.path))
    }

    /// The log; it is begun where there is none.
    fn store_to_write(&self) -> Result<Store, Failure> {
        Store::open_or_make(&self.path).map_err(|t| t.at(&self.path))
    }

    /// What the log says of the bank at the stage that is looked at.
    fn care(&self) -> Result<Care, Failure> {
        let rig = &self.rig;
        let stage = rig.stage_or_present();
        let study = Study::of(&rig.design, stage, &rig.tables, rig.ambient)
            .map_err(|e| Failure::table(&e))?;
        Ok(Care::of(&study, &rig.design, &rig.tables, &rig.evidence))
    }

    /// The day and minute a command is noted under.
    fn made(&self) -> String {
        format!("{} {}", self.now.local.date(), self.now.local.time())
    }

    const fn units(&self) -> UnitSystem {
        self.rig.design.rig.units
    }

    fn is_json(&self) -> bool {
        self.args.rig.json
    }
}

pub(crate) fn run(args: &LogArgs) -> Result<ExitCode, Failure> {
    let now = Now::of(args.rig.today.as_deref())?;
    let path = store::beside(&args.rig.rig);
    let job = Job { args, rig: Rig::open_for_log(&args.rig, now.local.date())?, path, now };
    match &args.word {
        None => show::both(&job)?,
        Some(LogWord::Add(word)) => add::run(&job, word)?,
        Some(LogWord::Show(word)) => show::run(&job, word)?,
        Some(LogWord::Export(word)) => export::run(&job, word)?,
        Some(LogWord::Undo(word)) => undo::run(&job, word)?,
        Some(LogWord::Check) => check(&job)?,
        Some(LogWord::Due(word)) => due::run(&job, word)?,
        Some(LogWord::Import(word)) => import::run(&job, word)?,
    }
    job.rig.close()?;
    Ok(ExitCode::SUCCESS)
}

fn check(job: &Job<'_>) -> Result<(), Failure> {
    let Some(store) = job.store()? else { return say(&no_log(job)) };
    let count = store.check().map_err(|t| t.at(&job.path))?;
    if job.is_json() {
        return say(&json::text(&json::log::CheckedJson { entries: count, sound: true }));
    }
    say(&format!("{} is sound: {count} entries, each as it was kept.\n", job.path.display()))
}

/// What is said where there is no log yet.
fn no_log(job: &Job<'_>) -> String {
    let rig = &job.rig.name;
    format!("There is no log yet. `bankwright log {rig} add` asks for the first readings.\n")
}
