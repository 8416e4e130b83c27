//! What is due as an iCalendar file that ordinary calendars take in, and update when it comes again.
//!
//! An event is known by its name, which never changes; its number rises with every file, so that the
//! calendar keeps the newest. What is no longer due is sent once more as cancelled.

use super::clock::Now;
use super::store::Store;
use super::trouble::Trouble;
use crate::failure::Failure;
use crate::files;
use crate::rig::Rig;
use engine::care::due::Due;
use icalendar::{Alarm, Calendar, Component, Event, EventLike, Property, Trigger};
use jiff::civil::Date;
use std::path::Path;

/// An event of an earlier file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Published {
    /// Its name.
    pub(crate) id: String,
    /// What it said.
    pub(crate) what: String,
    /// Its day.
    pub(crate) day: String,
    /// Its number; 0 where it was cancelled since.
    pub(crate) sequence: i64,
}

/// Writes the file; how many dates stand in it.
pub(crate) fn write(
    store: &mut Store,
    rig: &Rig,
    due: &[Due],
    now: Now,
    file: &Path,
) -> Result<usize, Failure> {
    let at = |t: Trouble| t.at(&super::store::beside(Path::new(&rig.name)));
    let log = store.name().map_err(at)?;
    let before = store.published().map_err(at)?;
    let sequence = sequence(&before, now);
    let dated: Vec<(&Due, Date)> =
        due.iter().filter_map(|d| Some((d, d.due?.max(now.local.date())))).collect();
    let gone = before.iter().filter(|p| dated.iter().all(|(d, _)| d.id != p.id));
    let mut calendar = Calendar::empty();
    for (key, value) in [
        ("VERSION", "2.0"),
        ("PRODID", "-//Bankwright//what is due//EN"),
        ("CALSCALE", "GREGORIAN"),
        ("METHOD", "PUBLISH"),
    ] {
        calendar.append_property(Property::new(key, value));
    }
    calendar.name(&format!("{}: care of the bank", rig.design.rig.name));
    let stamp = Stamp { log: &log, sequence, now };
    for (due, day) in &dated {
        calendar.push(stamp.event(due, *day));
    }
    for old in gone.filter(|p| p.sequence != 0) {
        calendar.push(stamp.cancelled(old));
    }
    files::write_whole(file, calendar.to_string().as_bytes(), true)?;
    // Only what was written is remembered; a file that is lost is written again with a new number.
    let published: Vec<Published> = dated
        .iter()
        .map(|(due, day)| Published {
            id: due.id.clone(),
            what: due.what.clone(),
            day: day.to_string(),
            sequence,
        })
        .collect();
    store.publish(&published).map_err(at)?;
    Ok(dated.len())
}

/// Rises with every file, also where two are written in the same second or the clock was set back.
fn sequence(before: &[Published], now: Now) -> i64 {
    /// The start of 2020: numbers of a calendar end at 2^31, which leaves sixty years.
    const START: i64 = 1_577_836_800;
    let last = before.iter().map(|p| p.sequence).max().unwrap_or(0);
    (now.utc.as_second() - START).max(last + 1)
}

/// What all events of one file share.
struct Stamp<'a> {
    log: &'a str,
    sequence: i64,
    now: Now,
}

impl Stamp<'_> {
    fn event(&self, due: &Due, day: Date) -> Event {
        let mut event = self.begun(&due.id, &due.what, day);
        let late = match due.late_days {
            Some(days) if 0 < days => format!(" It was due {days} days before."),
            _ => String::new(),
        };
        let last = due.last.map(|day| format!(" Last on {day}.")).unwrap_or_default();
        let words = format!("{}, {}.{last}{late} {}", due.part, due.how_often, due.why);
        event.description(&words);
        event.add_property("STATUS", "CONFIRMED");
        if let Ok(nine) = Trigger::try_from(&Property::new("TRIGGER", "PT9H")) {
            event.alarm(Alarm::display(&due.what, nine));
        }
        event.done()
    }

    fn cancelled(&self, old: &Published) -> Event {
        let day = old.day.parse().unwrap_or_else(|_| self.now.local.date());
        let mut event = self.begun(&old.id, &old.what, day);
        event.add_property("STATUS", "CANCELLED");
        event.done()
    }

    fn begun(&self, id: &str, what: &str, day: Date) -> Event {
        let stamp = self.now.utc.strftime("%Y%m%dT%H%M%SZ").to_string();
        let next = day.tomorrow().unwrap_or(day);
        let mut event = Event::new();
        event.uid(&format!("{id}.{}@bankwright", self.log));
        event.summary(what);
        event.add_property("DTSTAMP", &stamp);
        event.add_property("LAST-MODIFIED", &stamp);
        event.add_property("SEQUENCE", self.sequence.to_string());
        event.add_property("TRANSP", "TRANSPARENT");
        for (key, day) in [("DTSTART", day), ("DTEND", next)] {
            let mut property = Property::new(key, day.strftime("%Y%m%d").to_string());
            property.add_parameter("VALUE", "DATE");
            event.append_property(property);
        }
        event
    }
}
