//! One entry as an owner says it: `gravity A1.2 1.265 68 F`, `water A1 120 ml`, `rest bank 12.72 V`.
//!
//! The words become the fields of a line of the log, which are then read as every line is.

use super::line;
use super::parts::Parts;
use crate::failure::Failure;
use design_file::log_text::{self, LineFault};
use engine::evidence::log::{Entry, Event, Subject};
use jiff::civil::{Date, DateTime, Time};

/// What an event takes besides its figure: words that begin a field, and the field a bare figure
/// with a unit goes into.
struct Shape {
    word: &'static str,
    /// Without a part it is about the whole bank.
    of_bank: bool,
    /// The figure right after the part has one of these units; none at all for a plain number or
    /// word, and `None` where there is no such figure.
    value: Option<&'static [&'static str]>,
    keys: &'static [&'static str],
    bare: &'static [(&'static str, &'static [&'static str])],
    /// Words that stand for a whole field.
    flags: &'static [(&'static str, &'static str)],
}

const HEAT: &[&str] = &["C", "F", "°C", "°F"];
const TIME: &[&str] = &["h", "hour", "hours", "min", "minutes", "day", "days"];
const VOLTS: &[&str] = &["V", "volt", "volts", "mV"];
const AMPS: &[&str] = &["A", "amp", "amps", "mA"];

const SHAPES: [Shape; 9] = [
    Shape {
        word: "gravity",
        of_bank: false,
        value: Some(&[]),
        keys: &["fluid", "charged", "rested"],
        bare: &[("fluid", HEAT)],
        flags: &[],
    },
    Shape { word: "looked", of_bank: false, value: Some(&[]), keys: &[], bare: &[], flags: &[] },
    Shape {
        word: "water",
        of_bank: true,
        value: Some(&["ml", "cm3", "cm³", "l", "fl", "oz"]),
        keys: &["kind", "before", "after"],
        bare: &[],
        flags: &[("distilled", "kind distilled"), ("tap", "kind tap")],
    },
    Shape {
        word: "rest",
        of_bank: true,
        value: Some(VOLTS),
        keys: &["rested", "at"],
        bare: &[("at", HEAT), ("rested", TIME)],
        flags: &[],
    },
    Shape {
        word: "load",
        of_bank: true,
        value: Some(AMPS),
        keys: &["lasted", "volts"],
        bare: &[("lasted", TIME), ("volts", VOLTS)],
        flags: &[],
    },
    Shape {
        word: "charge",
        of_bank: true,
        value: Some(&["Ah"]),
        keys: &["from", "lasted", "volts", "tail", "end"],
        bare: &[("lasted", TIME), ("volts", VOLTS), ("tail", AMPS)],
        flags: &[("full", "end full"), ("clock", "end clock"), ("broken", "end broken")],
    },
    Shape {
        word: "equalise",
        of_bank: true,
        value: None,
        keys: &["lasted", "volts", "hottest"],
        bare: &[("lasted", TIME), ("volts", VOLTS), ("hottest", HEAT)],
        flags: &[],
    },
    Shape {
        word: "capacity",
        of_bank: true,
        value: Some(AMPS),
        keys: &["lasted", "to", "at"],
        bare: &[("lasted", TIME), ("to", VOLTS), ("at", HEAT)],
        flags: &[],
    },
    Shape {
        word: "joint",
        of_bank: false,
        value: Some(&["mV", "V"]),
        keys: &["current"],
        bare: &[("current", AMPS)],
        flags: &[],
    },
];

/// The entry that some words say, of a part that the bank has.
pub(crate) fn entry(words: &[String], at: DateTime, parts: &Parts) -> Result<Entry, Failure> {
    let said = words.join(" ");
    let fields = fields(words).map_err(|(says, hint)| Failure::log(says, hint))?;
    // A line keeps line ends behind a backslash, so that a backslash itself needs one.
    let plain = |f: &String| f.replace('\\', "\\\\").replace('\n', "\\n").replace('\r', "\\r");
    let fields: Vec<String> = fields.iter().map(plain).collect();
    let fields = line::of_fields(fields.iter().map(String::as_str));
    let line = format!("{} {}, {fields}", at.date(), at.time());
    let read = log_text::entry(&line, 0).map_err(|fault| not_understood(&said, &fault))?;
    possible(read, parts)
}

/// When something was read or done, as an option says it; the time of day may be left out.
pub(crate) fn when(text: &str, now: DateTime) -> Result<DateTime, Failure> {
    let wrong = || Failure::no_day("when", text);
    let (date, time) = text.trim().split_once([' ', 'T']).unwrap_or((text.trim(), ""));
    let date: Date = date.parse().map_err(|_| wrong())?;
    let time: Time = match time.trim() {
        "" if date == now.date() => now.time(),
        "" => jiff::civil::time(12, 0, 0, 0),
        time => time.parse().map_err(|_| wrong())?,
    };
    let at = date.to_datetime(time);
    if now.date() < at.date() { Err(yet_to_come(text, now)) } else { Ok(at) }
}

/// Refuses what cannot be: a part that the bank does not have, a figure that no hydrometer shows.
pub(crate) fn possible(mut entry: Entry, parts: &Parts) -> Result<Entry, Failure> {
    if !parts.have(&entry.subject) {
        return Err(no_part(&entry.subject, parts));
    }
    let of_cell = matches!(entry.subject, Subject::Cell(_));
    match &mut entry.event {
        Event::Gravity { gravity, .. } => {
            if (1000.0..2000.0).contains(gravity) {
                *gravity /= 1000.0;
            }
            if !parts.plausible.has(*gravity) {
                return Err(no_gravity(parts.plausible.says(*gravity)));
            }
            if !of_cell {
                return Err(needs_cell());
            }
        }
        Event::Photo { file } if file.trim().is_empty() => return Err(no_file()),
        Event::Water { volume_cm3: Some(volume), .. } if *volume < 0.0 => return Err(negative()),
        Event::Note if entry.note.trim().is_empty() => return Err(no_words()),
        _ => {}
    }
    Ok(entry)
}

/// The fields after the moment: of what, what, the figure, and the rest.
fn fields(words: &[String]) -> Result<Vec<String>, (String, String)> {
    let all: Vec<&str> = words.iter().flat_map(|w| w.split_whitespace()).collect();
    let Some(event) = all.first().map(|w| w.to_lowercase()) else { return Err(nothing_said()) };
    let event = if event == "equalize" { "equalise".to_owned() } else { event };
    let (subject, mut rest) = subject(&all[1..]);
    let Some(shape) = SHAPES.iter().find(|s| s.word == event) else {
        // Free words stay as they were written, their blanks and line ends included.
        let all_words = words.join(" ");
        let tail = behind(&all_words, all.len() - rest.len());
        let named = (event == "replaced").then(|| tail.strip_prefix("model ")).flatten();
        let tail = named.unwrap_or(tail).to_owned();
        let subject = subject.unwrap_or_else(|| "bank".to_owned());
        return Ok(vec![subject, event, tail]);
    };
    let subject = match subject {
        Some(subject) => subject,
        None if shape.of_bank => "bank".to_owned(),
        None => return Err(no_subject(&event, rest.first().copied())),
    };
    let mut fields = vec![subject, event];
    fields.push(value(shape, &mut rest));
    keyed(shape, &rest, &mut fields)?;
    Ok(fields)
}

/// What stands behind so many words of a text.
fn behind(text: &str, count: usize) -> &str {
    (0..count).fold(text.trim(), |rest, _| {
        rest.split_once(char::is_whitespace).map_or("", |(_, after)| after.trim_start())
    })
}

/// The part at the start of some words, in the form of a line.
fn subject<'a>(words: &'a [&'a str]) -> (Option<String>, Vec<&'a str>) {
    let known = |text: &str| {
        let probe = format!("2000-01-01, {text}, note");
        log_text::entry(&probe, 0).is_ok().then(|| text.to_owned())
    };
    if let [first, second, rest @ ..] = words
        && ["string", "joint"].contains(&first.to_lowercase().as_str())
        && let Some(found) =
            known(&format!("{} {}", first.to_lowercase(), second.to_uppercase_letters()))
    {
        return (Some(found), rest.to_vec());
    }
    if let [first, rest @ ..] = words
        && let Some(found) = known(first).or_else(|| known(&first.to_uppercase()))
    {
        return (Some(found), rest.to_vec());
    }
    (None, words.to_vec())
}

/// Letters of a string may be small; the name of a joint stays as it is.
trait Letters {
    fn to_uppercase_letters(&self) -> String;
}

impl Letters for &str {
    fn to_uppercase_letters(&self) -> String {
        if self.chars().all(char::is_alphabetic) { self.to_uppercase() } else { (*self).to_owned() }
    }
}

/// The figure right after the part, taken from the words; empty where there is none.
fn value(shape: &Shape, rest: &mut Vec<&str>) -> String {
    let Some(units) = shape.value else { return String::new() };
    let Some(first) = rest.first().copied() else { return String::new() };
    if units.is_empty() {
        // "plates bare" is two words; everything else is one.
        let two = first == "plates" && rest.get(1).copied() == Some("bare");
        let taken: Vec<&str> = rest.drain(..if two { 2 } else { 1 }).collect();
        return taken.join(" ");
    }
    let unit = figure_unit(rest);
    if !starts_number(first) || !unit.is_some_and(|u| units.contains(&u)) {
        return String::new();
    }
    let count = figure_words(rest);
    rest.drain(..count).collect::<Vec<_>>().join(" ")
}

/// The fields that begin with a key, and figures whose unit says where they belong.
fn keyed(shape: &Shape, rest: &[&str], fields: &mut Vec<String>) -> Result<(), (String, String)> {
    let mut at = 0;
    while at < rest.len() {
        let word = rest[at];
        if let Some((_, whole)) = shape.flags.iter().find(|f| f.0 == word) {
            fields.push((*whole).to_owned());
            at += 1;
        } else if shape.keys.contains(&word) {
            let ends = |w: &&str| shape.keys.contains(w) || shape.flags.iter().any(|f| f.0 == *w);
            let tail = &rest[at + 1..];
            let mut count = tail.iter().position(ends).unwrap_or(tail.len());
            if tail.first().is_some_and(|w| starts_number(w)) {
                count = figure_words(tail);
            } else if ["end", "kind"].contains(&word) {
                // The word behind them would itself begin a field.
                count = tail.len().min(1);
            }
            fields.push(format!("{word} {}", tail[..count].join(" ")));
            at += 1 + count;
        } else if word == "for" {
            // "for 18 h": the unit of the figure says where it belongs.
            at += 1;
        } else if starts_number(word) {
            let unit = figure_unit(&rest[at..]);
            let home = shape.bare.iter().find(|b| unit.is_some_and(|u| b.1.contains(&u)));
            let count = figure_words(&rest[at..]);
            let figure = rest[at..at + count].join(" ");
            let Some((key, _)) = home else { return Err(no_home(shape, &figure)) };
            fields.push(format!("{key} {figure}"));
            at += count;
        } else {
            return Err(stray(shape, word));
        }
    }
    Ok(())
}

fn starts_number(word: &str) -> bool {
    let bare = word.strip_prefix(['-', '+']).unwrap_or(word);
    bare.starts_with(|c: char| c.is_ascii_digit())
}

/// How many words a figure takes: `68F`, `68 F`, `4 fl oz`.
fn figure_words(words: &[&str]) -> usize {
    let whole = words.first().is_some_and(|w| w.chars().any(char::is_alphabetic));
    match (whole, words.get(1), words.get(2)) {
        (true, ..) | (_, None, _) => 1,
        (_, Some(&"fl"), Some(&"oz")) => 3,
        (_, Some(next), _) if starts_number(next) => 1,
        _ => 2,
    }
}

/// The unit of the figure at the start of some words.
fn figure_unit<'a>(words: &[&'a str]) -> Option<&'a str> {
    let first = words.first()?;
    let unit = first.trim_start_matches(|c: char| c.is_ascii_digit() || "+-.,/".contains(c));
    if unit.is_empty() { words.get(1).copied() } else { Some(unit) }
}

fn not_understood(said: &str, fault: &LineFault) -> Failure {
    Failure::log(format!("\"{said}\": {}", fault.says), fault.write.clone())
}

fn nothing_said() -> (String, String) {
    (
        "There is no entry in these words.".to_owned(),
        "Write it as in `gravity A1.2 1.265 68 F`; `log RIG add --help` lists all.".to_owned(),
    )
}

fn no_subject(event: &str, word: Option<&str>) -> (String, String) {
    let of = match event {
        "joint" => "a joint, such as 5.from",
        _ => "a cell, such as A1.2",
    };
    let says = match word {
        Some(word) => format!("\"{word}\" names no part of the bank."),
        None => format!("It does not say of what the {event} is."),
    };
    (says, format!("Write {event}, then {of}, then the figure."))
}

fn no_home(shape: &Shape, figure: &str) -> (String, String) {
    if !figure.chars().any(char::is_alphabetic) {
        let units: Vec<&str> = shape.value.into_iter().flatten().copied().collect();
        let unit = units.first().map_or(String::new(), |unit| format!(", such as {figure} {unit}"));
        return (format!("\"{figure}\" lacks its unit."), format!("Write it with its unit{unit}."));
    }
    let says = format!("\"{figure}\" has no place in an entry of {}.", shape.word);
    (says, takes(shape))
}

fn stray(shape: &Shape, word: &str) -> (String, String) {
    let says = format!("\"{word}\" is not understood in an entry of {}.", shape.word);
    (says, format!("{} Other words go behind --note.", takes(shape)))
}

fn takes(shape: &Shape) -> String {
    if shape.keys.is_empty() {
        return "It takes one word: plates bare, low, right or over.".to_owned();
    }
    format!("Besides its figure it takes {}, each with its figure and unit.", shape.keys.join(", "))
}

fn yet_to_come(text: &str, now: DateTime) -> Failure {
    let says = format!("--when \"{text}\" is yet to come; today is {}.", now.date());
    Failure::log(says, "Check the year.".to_owned())
}

fn no_part(subject: &Subject, parts: &Parts) -> Failure {
    let says = format!("{} is no part of this bank.", name(subject));
    let cells = parts.blocks.values().max().copied().unwrap_or(0);
    Failure::log(says, format!("Its blocks are {}, with up to {cells} cells each.", parts.names()))
}

fn no_gravity(says: String) -> Failure {
    Failure::log(says, "Read the float again; write 1.265 or 1265.".to_owned())
}

fn needs_cell() -> Failure {
    let says = "A gravity belongs to one cell.".to_owned();
    Failure::log(
        says,
        "Name it, such as A1.2, the second cell of A1 from its plus post.".to_owned(),
    )
}

fn no_file() -> Failure {
    let says = "The photo has no name.".to_owned();
    Failure::log(says, "Write the name of its file, such as photo A1 IMG_2041.jpg.".to_owned())
}

fn negative() -> Failure {
    let says = "Less than no water cannot have gone in.".to_owned();
    Failure::log(says, "Write how much, such as 120 ml or 4 fl oz.".to_owned())
}

fn no_words() -> Failure {
    Failure::log("The note is empty.".to_owned(), "Write note and its words.".to_owned())
}

/// The part that some words name.
pub(crate) fn part(words: &[String], parts: &Parts) -> Result<Option<Subject>, Failure> {
    let all: Vec<&str> = words.iter().flat_map(|w| w.split_whitespace()).collect();
    if all.is_empty() {
        return Ok(None);
    }
    let (found, rest) = subject(&all);
    let line = found.filter(|_| rest.is_empty()).map(|name| format!("2000-01-01, {name}, note"));
    let entry = line.and_then(|line| log_text::entry(&line, 0).ok());
    let Some(entry) = entry else { return Err(names_nothing(&words.join(" "), parts)) };
    if parts.have(&entry.subject) {
        Ok(Some(entry.subject))
    } else {
        Err(no_part(&entry.subject, parts))
    }
}

fn names_nothing(text: &str, parts: &Parts) -> Failure {
    let blocks = parts.names();
    Failure::log(
        format!("\"{text}\" names no part of the bank."),
        format!("Write bank, string A, one of {blocks}, a cell such as A1.2, or joint 5.from."),
    )
}

/// Whether something belongs to a part: the cells of a block to the block, all to the bank.
pub(crate) fn within(subject: &Subject, part: &Subject) -> bool {
    match (subject, part) {
        (_, Subject::Bank) => true,
        (Subject::Cell(cell), Subject::Block(block)) => cell.block == *block,
        (Subject::Cell(cell), Subject::String(string)) => cell.block.string == *string,
        (Subject::Block(block), Subject::String(string)) => block.string == *string,
        _ => subject == part,
    }
}

/// A part by the name the owner knows it by.
pub(crate) fn name(subject: &Subject) -> String {
    match subject {
        Subject::Bank => "bank".to_owned(),
        Subject::String(string) => {
            format!("string {}", engine::model::bank::BlockId::string_letters(*string))
        }
        Subject::Block(block) => block.to_string(),
        Subject::Cell(cell) => cell.to_string(),
        Subject::Joint(name) => name.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::{entry, line, when};
    use crate::log::parts::{Parts, Plausible};
    use engine::model::bank::BlockId;
    use jiff::civil::date;

    fn parts() -> Parts {
        let blocks = ["A1", "A2", "B1", "B2"].map(|b| (BlockId::from_text(b).expect("a block"), 3));
        Parts {
            blocks: blocks.into(),
            flooded: true,
            plausible: Plausible { least: 1.0, most: 1.35, jump: 0.06 },
        }
    }

    fn said(text: &str) -> Result<String, String> {
        let at = date(2026, 5, 3).at(9, 0, 0, 0);
        let words: Vec<String> = text.split('|').map(str::to_owned).collect();
        entry(&words, at, &parts()).map(|e| line::of(&e)).map_err(|f| f.shown())
    }

    #[track_caller]
    fn check(text: &str, line: &str) {
        let got = said(text);
        assert_eq!(got, Ok(format!("2026-05-03 09:00, {line}")), "{text}");
    }

    #[track_caller]
    fn refused(text: &str, part: &str) {
        let got = said(text).expect_err("this is no entry");
        assert!(got.contains(part), "{text}: {got} lacks {part}");
    }

    #[test]
    fn entries_as_they_are_said() {
        check("gravity|A1.2|1.265|20 C", "A1.2, gravity, 1.265, fluid 20 C");
        check("gravity a1.2 1265 rested 4 h 20C", "A1.2, gravity, 1.265, fluid 20 C, rested 4 h");
        check("looked A1.1 plates bare", "A1.1, looked, plates bare");
        check(
            "water A1 120 ml distilled after charge",
            "A1, water, 120 cm3, kind distilled, after charge",
        );
        check("water A1", "A1, water, ");
        check("rest bank 12.72 V 12 h", "bank, rest, 12.72 V, rested 12 h");
        check("rest 12.72V", "bank, rest, 12.72 V");
        check("load bank 20 A 5 h 12.1 V", "bank, load, 20 A, lasted 5 h, volts 12.1 V");
        check(
            "charge 45 Ah from roof panel end full 14.4 V",
            "bank, charge, 45 Ah, from roof panel, volts 14.4 V, end full",
        );
        check("charge tail 2 A full", "bank, charge, , tail 2 A, end full");
        check(
            "equalize string a 3 h 15.5 V 46 C",
            "string A, equalise, , lasted 3 h, volts 15.5 V, hottest 46 C",
        );
        check(
            "capacity bank 9.5 A 18.2 h 10.5 V 20 C",
            "bank, capacity, 9.5 A, lasted 18.2 h, to 10.5 V, at 20 C",
        );
        check("joint 5.from 3.2 mV 60 A", "joint 5.from, joint, 3.2 mV, current 60 A");
        check("replaced|B2", "B2, replaced, ");
        check("replaced|B2|gc6", "B2, replaced, , model gc6");
        check("capacity bank 9.5 A for 18.2 h", "bank, capacity, 9.5 A, lasted 18.2 h");
        check("photo|A1|IMG_2041.jpg", "A1, photo, IMG_2041.jpg");
        check("note|bank|a\\new  line\nand more", "bank, note, a\\\\new  line\\nand more");
        check("note|wet lid, dried it", "bank, note, \"wet lid, dried it\"");
    }

    /// The keys that a line of the log has are words too.
    #[test]
    fn what_a_line_says_can_be_said() {
        for (words, line) in [
            (
                "gravity A1.2 1.265 fluid 20 C charged 3 h",
                "A1.2, gravity, 1.265, fluid 20 C, charged 3 h",
            ),
            (
                "water A1 120 cm3 kind tap before charge",
                "A1, water, 120 cm3, kind tap, before charge",
            ),
            ("water A1 kind distilled", "A1, water, , kind distilled"),
            ("rest bank 12.72 V rested 12 h at 20 C", "bank, rest, 12.72 V, rested 12 h, at 20 C"),
            (
                "load bank 20 A lasted 5 h volts 12.1 V",
                "bank, load, 20 A, lasted 5 h, volts 12.1 V",
            ),
            (
                "charge bank 45 Ah from roof panel lasted 5 h volts 14.4 V tail 2 A end broken",
                "bank, charge, 45 Ah, from roof panel, lasted 5 h, volts 14.4 V, tail 2 A, end broken",
            ),
            (
                "equalise bank lasted 3 h volts 15.5 V hottest 46 C",
                "bank, equalise, , lasted 3 h, volts 15.5 V, hottest 46 C",
            ),
            (
                "capacity bank 9.5 A lasted 18.2 h to 10.5 V at 20 C",
                "bank, capacity, 9.5 A, lasted 18.2 h, to 10.5 V, at 20 C",
            ),
            ("joint 5.from 3.2 mV current 60 A", "joint 5.from, joint, 3.2 mV, current 60 A"),
            ("replaced B2 model gc6", "B2, replaced, , model gc6"),
        ] {
            check(words, line);
        }
    }

    #[test]
    fn slips_are_told() {
        refused("gravty A1.2 1.265", "gravity");
        refused("gravity A1.2 1.9", "cannot be");
        refused("gravity A1.2 1,265", "1,265");
        refused("gravity A1 1.265", "one cell");
        refused("gravity A9.1 1.265", "A1, A2, B1, B2");
        refused("gravity A1.4 1.265", "no part");
        refused("gravity 1.265", "A1.2");
        refused("rest bank 12.72", "12.72 V");
        refused("rest bank 12.72 A", "no place");
        refused("capacity bank 9.5 A", "how long");
        refused("water A1 120 ml hot", "--note");
        refused("note", "empty");
        refused("photo A1", "file");
    }

    #[test]
    fn moments_are_read_and_the_future_is_not() {
        let now = date(2026, 5, 3).at(9, 30, 0, 0);
        let read = |text: &str| when(text, now).map(|at| at.to_string()).map_err(|f| f.shown());
        assert_eq!(read("2026-05-03").as_deref(), Ok("2026-05-03T09:30:00"), "today");
        assert_eq!(read("2026-05-01 18:05").as_deref(), Ok("2026-05-01T18:05:00"), "with a time");
        assert_eq!(read("2026-05-01").as_deref(), Ok("2026-05-01T12:00:00"), "noon of another day");
        assert!(read("3.5.2026").is_err_and(|f| f.contains("2026-05-03")), "the form is told");
        assert!(read("2027-05-01").is_err_and(|f| f.contains("yet to come")), "the future");
    }
}
