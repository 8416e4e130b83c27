//! What each column of a spreadsheet holds: said by the owner, remembered, or guessed from its name
//! and from what stands in it.

use super::dates::{self, Order};
use super::table::Table;
use crate::log::parts::Parts;
use crate::log::words;
use design_file::log_text;
use engine::evidence::log::Subject;
use engine::model::bank::BlockId;
use engine::units::show::UnitSystem;

/// A scale of temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Heat {
    /// Celsius.
    C,
    /// Fahrenheit.
    F,
}

/// A measure of water.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cup {
    /// Millilitres.
    Ml,
    /// US fluid ounces.
    FlOz,
}

/// What a column holds. Without a part, the row's own column of parts says of what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// The day, with or without the time.
    When(Order),
    /// The time of day.
    Time,
    /// Of what the row speaks.
    Part,
    /// Gravity of a cell.
    Gravity(Option<Subject>),
    /// Temperature of the fluid.
    Fluid(Heat),
    /// Water put in.
    Water(Option<Subject>, Cup),
    /// Volts at rest.
    Rest(Option<Subject>),
    /// Words.
    Note,
    /// Nothing for the log.
    LeaveOut,
}

/// A column with what it holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Column {
    /// Its name.
    pub(crate) header: String,
    /// What it holds.
    pub(crate) meaning: Meaning,
    /// What was taken for granted, to be told.
    pub(crate) doubt: Option<String>,
}

impl Meaning {
    /// As it is written behind `--map COLUMN=`.
    pub(crate) fn words(&self) -> String {
        let of = |word: &str, part: &Option<Subject>| {
            part.as_ref().map_or(word.to_owned(), |p| format!("{word} {}", words::name(p)))
        };
        match self {
            Self::When(Order::DayFirst) => "when day-first".to_owned(),
            Self::When(Order::MonthFirst) => "when month-first".to_owned(),
            Self::Time => "time".to_owned(),
            Self::Part => "part".to_owned(),
            Self::Gravity(part) => of("gravity", part),
            Self::Fluid(Heat::C) => "fluid C".to_owned(),
            Self::Fluid(Heat::F) => "fluid F".to_owned(),
            Self::Water(part, Cup::Ml) => format!("{} ml", of("water", part)),
            Self::Water(part, Cup::FlOz) => format!("{} fl oz", of("water", part)),
            Self::Rest(part) => of("rest", part),
            Self::Note => "note".to_owned(),
            Self::LeaveOut => "leave out".to_owned(),
        }
    }

    /// Reads what stands behind `--map COLUMN=`.
    pub(crate) fn from_words(text: &str, units: UnitSystem) -> Option<Self> {
        let (first, rest) = text.trim().split_once(' ').unwrap_or((text.trim(), ""));
        let rest = rest.trim();
        let part = |text: &str| match text {
            "" => Some(None),
            text => part_named(text).map(Some),
        };
        match first.to_lowercase().as_str() {
            "when" => match rest {
                "month-first" => Some(Self::When(Order::MonthFirst)),
                "day-first" => Some(Self::When(Order::DayFirst)),
                "" if units == UnitSystem::Us => Some(Self::When(Order::MonthFirst)),
                "" => Some(Self::When(Order::DayFirst)),
                _ => None,
            },
            "time" => Some(Self::Time),
            "part" => Some(Self::Part),
            "gravity" => part(rest).map(Self::Gravity),
            "fluid" => match rest {
                "F" | "°F" => Some(Self::Fluid(Heat::F)),
                "C" | "°C" => Some(Self::Fluid(Heat::C)),
                "" => Some(Self::Fluid(usual_heat(units))),
                _ => None,
            },
            "water" => {
                let (of, cup) = match rest.strip_suffix("fl oz") {
                    Some(of) => (of, Cup::FlOz),
                    None => (rest.strip_suffix("ml").unwrap_or(rest), Cup::Ml),
                };
                part(of.trim()).map(|part| Self::Water(part, cup))
            }
            "rest" => part(rest).map(Self::Rest),
            "note" => Some(Self::Note),
            "leave" => Some(Self::LeaveOut),
            _ => None,
        }
    }
}

const fn usual_heat(units: UnitSystem) -> Heat {
    match units {
        UnitSystem::Us => Heat::F,
        UnitSystem::Metric => Heat::C,
    }
}

/// A part by its name, as every entry names it.
pub(crate) fn part_named(text: &str) -> Option<Subject> {
    let read = |text: &str| log_text::entry(&format!("2000-01-01, {text}, note"), 0).ok();
    let plain = text.trim().trim_start_matches('#');
    read(plain).or_else(|| read(&plain.to_uppercase())).map(|e| e.subject)
}

/// Words that name a kind of column, in the languages of our rigs. Longer words come first where one
/// holds another.
const KINDS: [(Kind, &[&str]); 8] = [
    (
        Kind::Note,
        &[
            "note",
            "notes",
            "remark",
            "remarks",
            "comment",
            "comments",
            "bemerkung",
            "bemerkungen",
            "anmerkung",
            "kommentar",
            "remarque",
            "remarques",
            "notas",
        ],
    ),
    (Kind::Water, &["water", "wasser", "eau", "agua", "nachgefüllt", "h2o", "added"]),
    (
        Kind::Fluid,
        &[
            "temp",
            "temperature",
            "temperatur",
            "température",
            "temperatura",
            "fluid",
            "säuretemperatur",
            "fahrenheit",
            "°c",
            "°f",
            "celsius",
            "degf",
            "degc",
        ],
    ),
    (
        Kind::Gravity,
        &[
            "gravity",
            "sg",
            "dichte",
            "säuredichte",
            "density",
            "densité",
            "densidad",
            "specific",
            "hydrometer",
        ],
    ),
    (Kind::Rest, &["volt", "volts", "voltage", "spannung", "ruhespannung", "tension", "v", "rest"]),
    (Kind::When, &["date", "datum", "day", "tag", "fecha", "jour", "when", "dato", "data"]),
    (Kind::Time, &["time", "zeit", "uhrzeit", "heure", "hora", "tijd", "hour"]),
    (
        Kind::Part,
        &[
            "cell", "zelle", "cellule", "celda", "part", "block", "battery", "batterie", "teil",
            "batería",
        ],
    ),
];

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Note,
    Water,
    Fluid,
    Gravity,
    Rest,
    When,
    Time,
    Part,
}

/// What every column seems to hold.
pub(crate) fn guessed(table: &Table, parts: &Parts, units: UnitSystem) -> Vec<Column> {
    let mut columns: Vec<Column> = (0..table.headers.len())
        .map(|at| {
            let header = table.headers[at].clone();
            let (meaning, doubt) = guess(table, at, parts, units);
            Column { header, meaning, doubt }
        })
        .collect();
    // A table without any column of days by name may have one by what stands in it.
    let dated = columns.iter().any(|c| matches!(c.meaning, Meaning::When(_)));
    let free = (0..columns.len()).find(|at| {
        columns[*at].meaning == Meaning::LeaveOut
            && 0 < table.column(*at).count()
            && table.column(*at).all(|t| dates::date(t, Order::DayFirst).is_some())
    });
    if let Some(at) = free.filter(|_| !dated) {
        let (meaning, doubt) = days(table, at, units);
        columns[at] = Column { header: columns[at].header.clone(), meaning, doubt };
    }
    columns
}

type Guess = (Meaning, Option<String>);

fn guess(table: &Table, at: usize, parts: &Parts, units: UnitSystem) -> Guess {
    let header = table.headers[at].as_str();
    let tokens = tokens(header);
    let part = part_in(&tokens, parts);
    let kind = KINDS
        .iter()
        .find(|(_, words)| tokens.iter().any(|t| words.contains(&t.to_lowercase().as_str())))
        .map(|k| k.0);
    let named = part.is_some();
    match kind {
        Some(Kind::Note) => (Meaning::Note, None),
        Some(Kind::Water) => water(header, part, units),
        Some(Kind::Fluid) => heat(table, at, header, units),
        Some(Kind::Gravity) => (Meaning::Gravity(part), None),
        Some(Kind::Rest) if !looks_like_gravity(table, at, parts) => (Meaning::Rest(part), None),
        Some(Kind::When) => days(table, at, units),
        Some(Kind::Time) => (Meaning::Time, None),
        Some(Kind::Part) if !named => (Meaning::Part, None),
        _ => match part {
            Some(Subject::Cell(_)) if looks_like_gravity(table, at, parts) => {
                (Meaning::Gravity(part), None)
            }
            Some(_) if looks_like_volts(table, at) => (Meaning::Rest(part), None),
            _ => (Meaning::LeaveOut, None),
        },
    }
}

fn water(header: &str, part: Option<Subject>, units: UnitSystem) -> Guess {
    let lower = header.to_lowercase();
    let said = if lower.contains("oz") {
        Some(Cup::FlOz)
    } else if ["ml", "cm3", "cm³", "cc"].iter().any(|u| lower.contains(u)) {
        Some(Cup::Ml)
    } else {
        None
    };
    match said {
        Some(cup) => (Meaning::Water(part, cup), None),
        None if units == UnitSystem::Us => {
            let doubt = "figures without a unit are taken as fl oz".to_owned();
            (Meaning::Water(part, Cup::FlOz), Some(doubt))
        }
        None => {
            let doubt = "figures without a unit are taken as ml".to_owned();
            (Meaning::Water(part, Cup::Ml), Some(doubt))
        }
    }
}

/// Above this no fluid is ever in degrees Celsius; below it either may be meant.
const SURELY_FAHRENHEIT: f64 = 55.0;

fn heat(table: &Table, at: usize, header: &str, units: UnitSystem) -> Guess {
    let tokens: Vec<String> = tokens(header).iter().map(|t| t.to_lowercase()).collect();
    let says = |words: &[&str]| tokens.iter().any(|t| words.contains(&t.as_str()));
    if says(&["f", "°f", "fahrenheit", "degf"]) {
        return (Meaning::Fluid(Heat::F), None);
    }
    if says(&["c", "°c", "celsius", "degc"]) {
        return (Meaning::Fluid(Heat::C), None);
    }
    let figures: Vec<f64> = table.column(at).filter_map(number).collect();
    if figures.iter().any(|v| SURELY_FAHRENHEIT < *v) {
        return (Meaning::Fluid(Heat::F), None);
    }
    let heat = usual_heat(units);
    let doubt = match heat {
        Heat::F => "figures without a unit are taken as °F",
        Heat::C => "figures without a unit are taken as °C",
    };
    let own = table.column(at).all(|t| t.ends_with(['C', 'F']));
    (Meaning::Fluid(heat), (!own).then(|| doubt.to_owned()))
}

fn days(table: &Table, at: usize, units: UnitSystem) -> Guess {
    let usual = match units {
        UnitSystem::Us => Order::MonthFirst,
        UnitSystem::Metric => Order::DayFirst,
    };
    let figures_only = table.column(at).any(|t| {
        let head = t.split_whitespace().next().unwrap_or("");
        head.split(['/', '-', '.']).next().is_some_and(|p| p.len() <= 2) && head.len() <= 10
    });
    match dates::order(table.column(at)) {
        Ok(Some(order)) => (Meaning::When(order), None),
        Ok(None) if !figures_only => (Meaning::When(usual), None),
        Ok(None) => {
            let doubt = match usual {
                Order::DayFirst => "both could be: taken as day first",
                Order::MonthFirst => "both could be: taken as month first",
            };
            (Meaning::When(usual), Some(doubt.to_owned()))
        }
        Err(()) => {
            let doubt = "some rows have the day first, others the month".to_owned();
            (Meaning::When(usual), Some(doubt))
        }
    }
}

/// A number with a point or a comma as its decimal; a unit behind it does not matter.
pub(crate) fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    let end = text
        .char_indices()
        .find(|(at, c)| {
            !(c.is_ascii_digit() || ".,".contains(*c) || (*at == 0 && "+-".contains(*c)))
        })
        .map_or(text.len(), |(at, _)| at);
    let digits = &text[..end];
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    if 1 < points + commas {
        return None;
    }
    digits.replace(',', ".").parse().ok().filter(|v: &f64| v.is_finite())
}

/// A gravity, in points or not.
pub(crate) fn gravity(value: f64) -> f64 {
    if (1000.0..2000.0).contains(&value) { value / 1000.0 } else { value }
}

fn looks_like_gravity(table: &Table, at: usize, parts: &Parts) -> bool {
    let figures: Vec<f64> = table.column(at).filter_map(number).map(gravity).collect();
    let fit = figures.iter().filter(|v| parts.plausible.has(**v)).count();
    !figures.is_empty() && figures.len() < 2 * fit
}

fn looks_like_volts(table: &Table, at: usize) -> bool {
    let figures: Vec<f64> = table.column(at).filter_map(number).collect();
    let fit = figures.iter().filter(|v| (1.5..65.0).contains(*v)).count();
    !figures.is_empty() && figures.len() < 2 * fit
}

/// The words of a header; a point inside a name stays.
fn tokens(header: &str) -> Vec<String> {
    let apart = |c: char| !(c.is_alphanumeric() || c == '.' || c == '°' || c == '³');
    let words = header.split(apart).map(|t| t.trim_matches('.'));
    words.filter(|t| !t.is_empty()).map(str::to_owned).collect()
}

/// The part that a header names: `A1.2`, `A1 2`, `cell 7`, `battery 3`, or a plain number of a cell.
fn part_in(tokens: &[String], parts: &Parts) -> Option<Subject> {
    let named = tokens.iter().find_map(|t| cell_named(t)).filter(|s| parts.have(s));
    if named.is_some() {
        return named;
    }
    let number = |t: &String| t.parse::<usize>().ok().filter(|n| 0 < *n);
    for pair in tokens.windows(2) {
        let [first, second] = pair else { continue };
        let Some(count) = number(second) else { continue };
        let word = first.to_lowercase();
        if let Some(block) = BlockId::from_text(&first.to_uppercase()) {
            let cell = part_named(&format!("{block}.{count}"));
            if cell.as_ref().is_some_and(|c| parts.have(c)) {
                return cell;
            }
        }
        if ["cell", "zelle", "cellule", "celda", "z"].contains(&word.as_str()) {
            return nth_cell(parts, count);
        }
        if ["battery", "batterie", "block", "batería"].contains(&word.as_str()) {
            return parts.blocks.keys().nth(count - 1).copied().map(Subject::Block);
        }
    }
    if let Some(block) = tokens.iter().find_map(|t| BlockId::from_text(&t.to_uppercase())) {
        let of = Subject::Block(block);
        if parts.have(&of) {
            return Some(of);
        }
    }
    if tokens.iter().any(|t| t.eq_ignore_ascii_case("bank")) {
        return Some(Subject::Bank);
    }
    match tokens {
        [only] => number(only).and_then(|count| nth_cell(parts, count)),
        _ => None,
    }
}

fn cell_named(token: &str) -> Option<Subject> {
    part_named(token).filter(|s| matches!(s, Subject::Cell(_)))
}

/// Cells counted through by name: A1.1, A1.2 and so on.
fn nth_cell(parts: &Parts, count: usize) -> Option<Subject> {
    parts.cells().get(count - 1).copied().map(Subject::Cell)
}

/// A row's own part: `A1.2`, `cell 7`, `bank`.
pub(crate) fn part_of_row(text: &str, parts: &Parts) -> Option<Subject> {
    part_named(text).filter(|s| parts.have(s)).or_else(|| part_in(&tokens(text), parts))
}

/// A mapping as the store keeps it: one column a line.
pub(crate) fn kept(columns: &[Column]) -> String {
    columns.iter().map(|c| format!("{}\n", c.meaning.words())).collect()
}

/// Takes a kept mapping back; `None` where it does not fit the table.
pub(crate) fn taken(kept: &str, table: &Table, units: UnitSystem) -> Option<Vec<Column>> {
    let meanings: Vec<Meaning> =
        kept.lines().map(|l| Meaning::from_words(l, units)).collect::<Option<_>>()?;
    let fits = meanings.len() == table.headers.len();
    let column = |(header, meaning): (&String, Meaning)| Column {
        header: header.clone(),
        meaning,
        doubt: None,
    };
    fits.then(|| table.headers.iter().zip(meanings).map(column).collect())
}

#[cfg(test)]
mod tests {
    use super::{Meaning, guessed, number};
    use crate::log::parts::{Parts, Plausible};
    use crate::log::sheet::table::Table;
    use engine::model::bank::BlockId;
    use engine::units::show::UnitSystem;
    use std::path::Path;

    fn parts() -> Parts {
        let blocks = ["A1", "A2"].map(|b| (BlockId::from_text(b).expect("a block"), 3));
        Parts {
            blocks: blocks.into(),
            flooded: true,
            plausible: Plausible { least: 1.0, most: 1.35, jump: 0.06 },
        }
    }

    #[track_caller]
    fn check(text: &str, units: UnitSystem, meant: &[&str]) {
        let table = Table::read(Path::new("x.csv"), text).expect("a table");
        let columns = guessed(&table, &parts(), units);
        let got: Vec<String> = columns.iter().map(|c| c.meaning.words()).collect();
        assert_eq!(got, meant, "{text}");
        for column in &columns {
            let back = Meaning::from_words(&column.meaning.words(), units);
            assert_eq!(back.as_ref(), Some(&column.meaning), "its words come back");
        }
    }

    #[test]
    fn headers_of_many_hands() {
        check(
            "Datum;Zelle 1;Zelle 4;Säuretemperatur °C;Wasser A1 (ml);Bemerkung\n25.5.2026;1,265;1,260;20;100;gut\n",
            UnitSystem::Metric,
            &["when day-first", "gravity A1.1", "gravity A2.1", "fluid C", "water A1 ml", "note"],
        );
        check(
            "date,A1.1,A1-2,A1 3,temp,A1 volts,bank volts\n5/25/2026,1265,1260,1255,68,6.31,12.65\n",
            UnitSystem::Us,
            &[
                "when month-first",
                "gravity A1.1",
                "gravity A1.2",
                "gravity A1.3",
                "fluid F",
                "rest A1",
                "rest bank",
            ],
        );
        check(
            "Day,Time,Cell,SG,Temp (F),Remarks\n2026-05-25,9:30,A1.1,1.265,68,\n",
            UnitSystem::Us,
            &["when month-first", "time", "part", "gravity", "fluid F", "note"],
        );
        check(
            "read on,1,2,moon\n25.5.26,1.265,1.260,full\n",
            UnitSystem::Metric,
            &["when day-first", "gravity A1.1", "gravity A1.2", "leave out"],
        );
    }

    #[test]
    fn what_could_be_either_is_told() {
        let text = "date,A1.1,temp,water A1\n03/05/2026,1.265,20,4\n";
        let table = Table::read(Path::new("x.csv"), text).expect("a table");
        let doubts: Vec<bool> =
            guessed(&table, &parts(), UnitSystem::Us).iter().map(|c| c.doubt.is_some()).collect();
        assert_eq!(doubts, [true, false, true, true], "date, temperature and water");
    }

    #[test]
    fn numbers_with_points_and_commas() {
        for (text, want) in
            [("1,265", 1.265), ("1.265", 1.265), ("68 F", 68.0), ("-4°C", -4.0), ("12,7V", 12.7)]
        {
            let got = number(text);
            assert!(got.is_some_and(|v| (v - want).abs() < 1e-12), "{text}: {got:?}");
        }
        for text in ["", "full", "1.265,5", "1,2,3", "."] {
            assert_eq!(number(text), None, "{text}");
        }
    }
}
