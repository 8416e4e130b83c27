//! `log due`: what is to be done, the most late first, as a list and as a calendar.

use super::Job;
use crate::args::LogDueArgs;
use crate::failure::Failure;
use crate::json;
use crate::json::log::DueListJson;
use crate::log::calendar;
use crate::terminal::style::Style;
use crate::terminal::wrap::hanging;
use crate::terminal::{findings, say, warn};
use engine::care::Care;
use engine::care::due::Due;

pub(super) fn run(job: &Job<'_>, args: &LogDueArgs) -> Result<(), Failure> {
    let care = job.care()?;
    if let Some(file) = &args.ics {
        let mut store = job.store_to_write()?;
        let count = calendar::write(&mut store, &job.rig, &care.due, job.now, file)?;
        warn(&format!(
            "{}: {count} dates. Take it into your calendar again whenever it is written \
                       anew; nothing doubles.\n",
            file.display()
        ));
        if !job.is_json() {
            return Ok(());
        }
    }
    if job.is_json() {
        return say(&json::text(&DueListJson::of(&care)));
    }
    say(&list(job, &care))
}

/// What is due, the most late first.
pub(super) fn list(job: &Job<'_>, care: &Care) -> String {
    let style = Style::for_output();
    let mut text = style.bold("Due");
    text.push('\n');
    if care.due.is_empty() {
        text.push_str("  Nothing is known to be due.\n");
    }
    for due in &care.due {
        text.push_str(&style.bold(&hanging(&format!("  {}  ", day(due)), &due.what)));
        text.push_str(&hanging("              ", &about(due)));
        let from = findings::sources(std::slice::from_ref(&due.source), &job.rig.tables);
        text.push_str(&hanging("              ", &format!("{} From {from}.", due.why)));
    }
    text
}

fn day(due: &Due) -> String {
    due.due.map_or_else(|| "no date yet".to_owned(), |day| day.to_string())
}

fn about(due: &Due) -> String {
    let mut parts = vec![due.part.clone(), due.how_often.clone()];
    match due.last {
        Some(day) => parts.push(format!("last on {day}")),
        // What is done once was never done before.
        None if due.how_often == "once" => {}
        None => parts.push("not in the log yet".to_owned()),
    }
    match due.late_days {
        Some(1) => parts.push("one day late".to_owned()),
        Some(days) if 1 < days => parts.push(format!("{days} days late")),
        Some(0) => parts.push("today".to_owned()),
        _ => {}
    }
    format!("{}.", parts.join(" · "))
}
