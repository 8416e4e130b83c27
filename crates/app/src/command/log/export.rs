//! `log export`: the whole log as CSV, without loss.

use super::{Job, no_log};
use crate::args::LogExportArgs;
use crate::failure::Failure;
use crate::files;
use crate::log::copy;
use crate::terminal::{say, warn};

pub(super) fn run(job: &Job<'_>, args: &LogExportArgs) -> Result<(), Failure> {
    let Some(store) = job.store()? else { return say(&no_log(job)) };
    let all = store.stored().map_err(|t| t.at(&job.path))?;
    let text = copy::text(&all);
    let Some(file) = &args.file else { return say(&text) };
    files::write_whole(file, text.as_bytes(), args.force)?;
    warn(&format!("{}: {} entries.\n", file.display(), all.len()));
    Ok(())
}
