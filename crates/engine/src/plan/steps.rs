//! The build book of one stage as data.

use super::bench::State;
use super::build::Build;
use super::fit::Hands;
use super::job::Job;
use super::pages::{dead, energise, feed, finish, join, make, old, place, prove, ready, trouble};
use super::proving::Proving;
use super::tools::needed;
use crate::circuit::error::SolveError;
use crate::study::Study;
use crate::tables::Tables;

/// The build of a stage: what is new at it compared with the stage before.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn build(study: &Study, before: Option<&Study>, tables: &Tables) -> Result<Build, SolveError> {
    write(&Job::of(study, before, tables))
}

/// Writes the pages of a job in the order of hands.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn write(job: &Job<'_>) -> Result<Build, SolveError> {
    let mut hands = Hands::new(job);
    ready::survey(&mut hands);
    if job.nothing_is_new() {
        // The stage as found: there is nothing to build, only to write down.
        let pages = hands.writer.finish(trouble::TITLE);
        let tools = needed(&pages, job);
        return Ok(Build { stage: job.stage.clone(), pages, tools });
    }
    ready::stand(&mut hands);
    dead::make_dead(&mut hands);
    old::take_out(&mut hands);
    old::take_out_parts(&mut hands);
    place::box_in(&mut hands);
    place::blocks_in(&mut hands);
    make::leads(&mut hands);
    join::strings(&mut hands)?;
    feed::string_devices(&mut hands);
    join::strings_joined(&mut hands)?;
    feed::devices(&mut hands);
    feed::leads(&mut hands)?;
    energise::energise(&mut hands)?;
    if job.design.bank().is_some() {
        let proving = Proving::of(job)?;
        prove::prove(&mut hands, &proving);
    }
    finish::cover_up(&mut hands);
    finish::charging(&mut hands);
    finish::away(&mut hands);
    finish::mains(&mut hands);
    trouble::page(&mut hands);
    let pages = hands.writer.finish(trouble::TITLE);
    let tools = needed(&pages, job);
    Ok(Build { stage: job.stage.clone(), pages, tools })
}

/// What is bolted before the first line of a build, for walking it again.
#[must_use]
pub fn start(job: &Job<'_>) -> State {
    job.start()
}
