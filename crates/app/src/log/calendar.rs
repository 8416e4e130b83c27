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

/// A calendar file, and what it tells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Made {
    /// The file.
    pub(crate) text: String,
    /// The events in it that are to be done.
    pub(crate) published: Vec<Published>,
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
    let title = format!("{}: care of the bank", rig.design.rig.name);
    let made = Source { title: &title, log: &log, before: &before, now }.calendar(due);
    files::write_whole(file, made.text.as_bytes(), true)?;
    // Only what was written is remembered; a file that is lost is written again with a new number.
    store.publish(&made.published).map_err(at)?;
    Ok(made.published.len())
}

/// What a calendar is made from.
pub(crate) struct Source<'a> {
    /// What the calendar is called.
    pub(crate) title: &'a str,
    /// The name of the log, part of every event's name.
    pub(crate) log: &'a str,
    /// What earlier files told.
    pub(crate) before: &'a [Published],
    /// Now.
    pub(crate) now: Now,
}

impl Source<'_> {
    /// The calendar of what is due. What is late stands at today.
    pub(crate) fn calendar(&self, due: &[Due]) -> Made {
        let sequence = sequence(self.before, self.now);
        let today = self.now.local.date();
        let dated: Vec<(&Due, Date)> =
            due.iter().filter_map(|d| Some((d, d.due?.max(today)))).collect();
        let mut calendar = Calendar::empty();
        for (key, value) in [
            ("VERSION", "2.0"),
            ("PRODID", "-//Bankwright//what is due//EN"),
            ("CALSCALE", "GREGORIAN"),
            ("METHOD", "PUBLISH"),
            ("X-WR-CALNAME", self.title),
        ] {
            calendar.append_property(Property::new(key, value));
        }
        let stamp = Stamp { log: self.log, sequence, now: self.now };
        for (due, day) in &dated {
            calendar.push(stamp.event(due, *day));
        }
        let gone = self.before.iter().filter(|p| dated.iter().all(|(d, _)| d.id != p.id));
        for old in gone.filter(|p| p.sequence != 0) {
            calendar.push(stamp.cancelled(old));
        }
        let published = |(due, day): &(&Due, Date)| Published {
            id: due.id.clone(),
            what: due.what.clone(),
            day: day.to_string(),
            sequence,
        };
        Made {
            text: without_stamps(&calendar.to_string()),
            published: dated.iter().map(published).collect(),
        }
    }
}

/// The text without the clock's own stamp in every alarm: an alarm has none (RFC 5545, 3.6.6).
fn without_stamps(text: &str) -> String {
    let mut in_alarm = false;
    let mut kept = String::with_capacity(text.len());
    for line in text.split_inclusive('\n') {
        in_alarm =
            (in_alarm || line.starts_with("BEGIN:VALARM")) && !line.starts_with("END:VALARM");
        if !(in_alarm && line.starts_with("DTSTAMP")) {
            kept.push_str(line);
        }
    }
    kept
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
            let mut alarm = Alarm::display(&due.what, nine);
            alarm.add_property("UID", format!("{}.alarm.{}@bankwright", due.id, self.log));
            event.alarm(alarm);
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

#[cfg(test)]
mod tests {
    use super::{Due, Made, Now, Published, Source};
    use engine::cite::{Cite, Status};
    use ical::parser::ical::component::{IcalCalendar, IcalEvent};
    use jiff::civil::{Date, date};
    use std::collections::BTreeMap;

    fn due(id: &str, what: &str, day: Date) -> Due {
        Due {
            id: id.to_owned(),
            what: what.to_owned(),
            how_often: "each month in summer".to_owned(),
            last: None,
            due: Some(day),
            late_days: Some(0),
            why: "Bare plates are lost; acid stays, water goes.".to_owned(),
            part: "the bank".to_owned(),
            source: Cite { key: "x".to_owned(), place: String::new(), status: Status::Practice },
        }
    }

    fn now(day: &str) -> Now {
        Now::of(Some(day)).expect("a day")
    }

    fn made(before: &[Published], day: &str, all: &[Due]) -> Made {
        Source { title: "Hut: care of the bank", log: "7f", before, now: now(day) }.calendar(all)
    }

    /// What an outside parser makes of a file; nothing in it may be left unread.
    fn parsed(text: &str) -> IcalCalendar {
        for line in text.split_terminator("\r\n") {
            // RFC 5545, 3.1: lines end in CRLF and are not longer than 75 octets.
            assert!(line.len() <= 75 && !line.contains(['\r', '\n']), "a line of its own: {line}");
        }
        assert!(text.ends_with("END:VCALENDAR\r\n"), "the last line ends too");
        let mut all: Vec<IcalCalendar> = ical::IcalParser::new(text.as_bytes())
            .collect::<Result<_, _>>()
            .expect("the parser takes it");
        assert_eq!(all.len(), 1, "one calendar");
        all.remove(0)
    }

    fn one<'a>(event: &'a IcalEvent, name: &str) -> &'a str {
        let all: Vec<&str> = event
            .properties
            .iter()
            .filter(|p| p.name == name)
            .filter_map(|p| p.value.as_deref())
            .collect();
        assert_eq!(all.len(), 1, "exactly one {name}: {all:?}");
        all[0]
    }

    /// A calendar as RFC 5545, 3.8.7.4 lets it be kept: by name, the larger number wins.
    #[derive(Default)]
    struct Kept(BTreeMap<String, (i64, String, String)>);

    impl Kept {
        fn take(&mut self, text: &str) {
            for event in parsed(text).events {
                let sequence: i64 = one(&event, "SEQUENCE").parse().expect("a number");
                let told =
                    (sequence, one(&event, "DTSTART").to_owned(), one(&event, "STATUS").to_owned());
                let place = self.0.entry(one(&event, "UID").to_owned());
                let old = place.or_insert_with(|| told.clone());
                if old.0 < sequence {
                    *old = told;
                }
            }
        }

        fn days(&self) -> Vec<(&str, &str)> {
            let live = self.0.iter().filter(|(_, told)| told.2 == "CONFIRMED");
            live.map(|(uid, told)| (uid.as_str(), told.1.as_str())).collect()
        }
    }

    #[test]
    fn a_strict_parser_takes_it_and_everything_needed_is_there() {
        let long = "Look at the fluid of every cell, top it up; never before the charge, \
                    unless plates stand bare: then just over them";
        let text = made(&[], "2026-05-03", &[due("water.bank", long, date(2026, 6, 1))]).text;
        let calendar = parsed(&text);
        let of = |name: &str| calendar.properties.iter().find(|p| p.name == name);
        for (name, value) in [("VERSION", "2.0"), ("METHOD", "PUBLISH"), ("CALSCALE", "GREGORIAN")]
        {
            let found = of(name).and_then(|p| p.value.as_deref());
            assert_eq!(found, Some(value), "{name}");
        }
        assert!(of("PRODID").is_some(), "who made it");
        let event = &calendar.events[0];
        assert_eq!(one(event, "UID"), "water.bank.7f@bankwright", "its name");
        assert_eq!(
            (one(event, "DTSTART"), one(event, "DTEND")),
            ("20260601", "20260602"),
            "a whole day"
        );
        assert_eq!(one(event, "DTSTAMP"), "20260503T120000Z", "in world time");
        assert_eq!(one(event, "LAST-MODIFIED"), "20260503T120000Z", "in world time");
        let summary = one(event, "SUMMARY").replace("\\,", ",").replace("\\;", ";");
        assert_eq!(summary, long, "commas and semicolons are escaped, long lines are folded");
        assert!(one(event, "SUMMARY").contains("\\;"), "RFC 5545, 3.3.11");
        let alarm = &event.alarms[0];
        let names: Vec<&str> = alarm.properties.iter().map(|p| p.name.as_str()).collect();
        for name in ["ACTION", "TRIGGER", "DESCRIPTION"] {
            assert!(names.contains(&name), "RFC 5545, 3.6.6 asks for {name}");
        }
        assert!(!names.contains(&"DTSTAMP"), "and knows no stamp: {names:?}");
        let again = made(&[], "2026-05-03", &[due("water.bank", long, date(2026, 6, 1))]).text;
        assert_eq!(text, again, "the same moment gives the same bytes");
    }

    #[test]
    fn taken_in_again_it_moves_events_and_doubles_none() {
        let mut kept = Kept::default();
        let first = made(
            &[],
            "2026-05-03",
            &[
                due("water.bank", "Water", date(2026, 6, 1)),
                due("torque.bank", "Torque", date(2026, 9, 1)),
            ],
        );
        kept.take(&first.text);
        assert_eq!(kept.days().len(), 2, "two events");
        // The water went in, the torque was never asked for again, and frost is near.
        let second = made(
            &first.published,
            "2026-05-03",
            &[
                due("water.bank", "Water", date(2026, 7, 1)),
                due("frost.bank", "Frost", date(2026, 4, 1)),
            ],
        );
        kept.take(&second.text);
        let want =
            [("frost.bank.7f@bankwright", "20260503"), ("water.bank.7f@bankwright", "20260701")];
        assert_eq!(kept.days(), want, "one moved, one new and late, one gone");
        kept.take(&first.text);
        assert_eq!(kept.days(), want, "an old file changes nothing");
    }
}
