//! The reference page of the design file, written from the schema.

use crate::measure;
use crate::schema::{self, Field, Kind, Table};
use crate::words;
use engine::units::parse;
use std::fmt::Write as _;

/// The whole reference as Markdown.
#[must_use]
pub fn reference_markdown() -> String {
    let mut page = String::from(
        "# The design file\n\n\
         Plain TOML. Quantities are texts with their unit, counts are numbers, and yes and no are \
         `true` and `false`. Everything that is not marked *needed* may be left out.\n\n\
         The path of a key is its table and its name: `lead.8.size`. The same path is used by \
         `--set`.\n",
    );
    quantities(&mut page);
    for table in schema::tables() {
        page.push('\n');
        section(&mut page, table);
    }
    page
}

/// How each kind of quantity is written, in the words of the parser itself.
fn quantities(page: &mut String) {
    page.push_str("\n## Quantities\n\n| value | write |\n|---|---|\n");
    let kinds = [
        parse::length("").err(),
        parse::area("").err(),
        parse::current("").err(),
        parse::voltage("").err(),
        parse::resistance("").err(),
        parse::power("").err(),
        parse::energy("").err(),
        parse::mass("").err(),
        parse::torque("").err(),
        parse::duration("").err(),
        parse::angle("").err(),
        parse::share("").err(),
        parse::temperature("").err(),
        parse::rating("").err(),
        parse::conductor_size("").err(),
    ];
    for kind in kinds.into_iter().flatten() {
        let name = kind.wanted.trim_start_matches("a ").trim_start_matches("an ");
        let _ = writeln!(page, "| {name} | {} |", kind.write);
    }
}

/// Keys whose example says more than the middle of what can be meant.
const EXAMPLES: [(&str, &str); 68] = [
    ("name", "\"Grey Heron\""),
    ("purpose", "\"weekends away from the hook-up\""),
    ("mains_by", "\"a licensed electrician\""),
    ("shop_distance", "\"31 km\""),
    ("revision", "\"B\""),
    ("latitude", "45.2"),
    ("longitude", "-93.1"),
    ("coldest", "\"-10 F\""),
    ("warmest", "\"35 C\""),
    ("note", "\"bought used\""),
    ("budget", "1200"),
    ("price", "12.5"),
    ("case", "\"GC2\""),
    ("terminal", "\"stud\""),
    ("resistance", "\"3 mohm\""),
    ("short_circuit", "\"2.5 kA\""),
    ("cranking", "\"650 A\""),
    ("height", "\"276 mm\""),
    ("width", "\"181 mm\""),
    ("torque", "\"11 Nm\""),
    ("discharge_max", "\"150 A\""),
    ("charge_max", "\"40 A\""),
    ("join_within", "\"50 mV\""),
    ("age", "\"5 years\""),
    ("cycles", "120"),
    ("link_length", "\"318 mm\""),
    ("joint", "\"0.2 mohm\""),
    ("soc", "\"80 %\""),
    ("discharge", "\"147 A\""),
    ("rest", "\"6.3 V\""),
    ("wall", "\"12 mm\""),
    ("gap", "\"12 mm\""),
    ("margin", "\"10 mm\""),
    ("seen_from", "\"the kerb side\""),
    ("far_side", "\"the jack\""),
    ("vent_low", "\"11 cm2\""),
    ("vent_high", "\"11 cm2\""),
    ("behind_ball", "\"0.6 m\""),
    ("colour", "\"red\""),
    ("family", "\"class T\""),
    ("interrupt", "\"20 kA\""),
    ("efficiency", "\"90 %\""),
    ("idle", "\"10 W\""),
    ("surge_time", "\"5 s\""),
    ("distance", "\"7 m\""),
    ("nights", "3"),
    ("daily", "\"8 h\""),
    ("energy", "\"461 Wh\""),
    ("tools", "[\"meter\", \"spanner\"]"),
    ("ticks", "[\"first link\"]"),
    ("stack", "[\"lug 4\", \"flat washer\", \"nut\"]"),
    ("volts_max", "\"58 V\""),
    ("working_volts", "\"18 V\""),
    ("open_volts", "\"22 V\""),
    ("short_amps", "\"6 A\""),
    ("working_amps", "\"5.6 A\""),
    ("noct", "\"45 C\""),
    ("amps_per_kelvin", "\"0.05 %\""),
    ("air_behind", "\"1 in\""),
    ("tilt", "\"30 deg\""),
    ("facing", "\"180 deg\""),
    ("drop", "\"3 %\""),
    ("size", "\"2 AWG\""),
    ("link", "\"2 AWG\""),
    ("grade", "\"grade 5\""),
    ("over", "[\"A1\", \"B1\"]"),
    ("apart", "[\"780 mm\", \"340 mm\"]"),
    ("vent_drill", "\"76 mm\""),
];

fn section(page: &mut String, table: &Table) {
    let heading = match table.path {
        "" => "Top of the file".to_owned(),
        path => format!("`[{}]`", path.replace('*', "NAME")),
    };
    // Writing to a text cannot fail.
    let _ = writeln!(page, "## {heading}\n\n{}\n", table.meaning);
    page.push_str("| key | value | example | meaning |\n|---|---|---|---|\n");
    for field in table.all_fields() {
        let needed = if field.required { " *Needed.*" } else { "" };
        let only = owners(field);
        let key = if field.key == "*" { "NAME" } else { field.key };
        let _ = writeln!(
            page,
            "| `{key}` | {} | `{}` | {}{needed}{only} |",
            described(field),
            example(field).replace('|', "\\|"),
            field.meaning
        );
    }
}

fn owners(field: &Field) -> String {
    let words: Vec<&str> = field.only.iter().map(|k| k.word()).collect();
    if words.is_empty() { String::new() } else { format!(" For: {}.", words.join(", ")) }
}

/// What a value may be, in words, with its bounds where it has any.
fn described(field: &Field) -> String {
    let bounds = || {
        let (low, high) =
            (measure::bound(field.kind, field.low), measure::bound(field.kind, field.high));
        format!("{low} to {high}")
    };
    match field.kind {
        Kind::Text => "text".to_owned(),
        Kind::Word(known) => known.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>().join(", "),
        Kind::Words(known) => format!("list of {}", words::either(known)),
        Kind::Texts => "list of texts".to_owned(),
        Kind::Number if field.high >= 1e9 => "number from 0".to_owned(),
        Kind::Number => format!("number, {}", bounds()),
        Kind::Whole => format!("whole number, {}", bounds()),
        Kind::Flag => "`true` or `false`".to_owned(),
        Kind::Months => "twelve numbers".to_owned(),
        Kind::Month => "month".to_owned(),
        Kind::Stretch => format!("from {} to {}", field.low, field.high),
        Kind::Rating => "battery rating".to_owned(),
        Kind::Ratings => "list of battery ratings".to_owned(),
        Kind::Size => "conductor size".to_owned(),
        Kind::Turn => "quarter turn".to_owned(),
        Kind::Point => "two lengths".to_owned(),
        Kind::Route => "list of points".to_owned(),
        Kind::Terminal => "post or stud".to_owned(),
        Kind::TakeOff => "take-off".to_owned(),
        Kind::Name(_) => "name".to_owned(),
        Kind::Loads => "list of loads".to_owned(),
        kind => format!("{}, {}", noun(kind), bounds()),
    }
}

const fn noun(kind: Kind) -> &'static str {
    match kind {
        Kind::Length => "length",
        Kind::Area => "area",
        Kind::Current => "current",
        Kind::Voltage => "voltage",
        Kind::Resistance => "resistance",
        Kind::Power => "power",
        Kind::Energy => "energy",
        Kind::Mass => "mass",
        Kind::Torque => "torque",
        Kind::Duration => "time",
        Kind::Angle => "angle",
        Kind::Share => "share",
        Kind::Temperature => "temperature",
        Kind::Moment => "sideways moment",
        _ => "value",
    }
}

/// A value that the key accepts, as it stands in a file.
pub(crate) fn example(field: &Field) -> String {
    let told = EXAMPLES.iter().find(|e| e.0 == field.key);
    if let Some((_, told)) =
        told.filter(|_| !matches!(field.kind, Kind::Flag | Kind::Name(_) | Kind::Point))
    {
        return (*told).to_owned();
    }
    // The middle of what can be meant lies within the bounds of every key.
    let middle = |unit: &str, scale: f64| {
        let usual = [12.0, 120.0, 1200.0, 1.2, 0.12, 25.0, 60.0, 0.0];
        let inside = |v: &f64| field.low <= *v * scale && *v * scale <= field.high;
        let value = usual.into_iter().find(inside).unwrap_or(field.low / scale);
        format!("\"{value} {unit}\"")
    };
    match field.kind {
        Kind::Text | Kind::Name(_) => "\"name\"".to_owned(),
        Kind::Word(known) => format!("\"{}\"", known.first().copied().unwrap_or("")),
        Kind::Words(known) => format!("[\"{}\"]", known.first().copied().unwrap_or("")),
        Kind::Texts | Kind::Loads => "[\"one\", \"two\"]".to_owned(),
        Kind::Number => "12.5".to_owned(),
        Kind::Whole => if field.low <= 2.0 && 2.0 <= field.high { "2" } else { "1" }.to_owned(),
        Kind::Flag => "true".to_owned(),
        Kind::Months => "[1, 2, 3, 4, 5, 6, 6, 5, 4, 3, 2, 1]".to_owned(),
        Kind::Month => "10".to_owned(),
        Kind::Stretch => "\"11 to 3\"".to_owned(),
        Kind::Length if field.low <= 1200.0 && 1200.0 <= field.high => "\"1.2 m\"".to_owned(),
        Kind::Length if field.low >= 100.0 || field.high >= 1000.0 => middle("mm", 1.0),
        Kind::Length => "\"10 mm\"".to_owned(),
        Kind::Area => middle("cm2", 100.0),
        Kind::Current => middle("A", 1.0),
        Kind::Voltage if field.high < 10.0 => "\"30 mV\"".to_owned(),
        Kind::Voltage => middle("V", 1.0),
        Kind::Resistance => middle("mohm", 0.001),
        Kind::Power => middle("W", 1.0),
        Kind::Energy => middle("Wh", 1.0),
        Kind::Mass => middle("kg", 1.0),
        Kind::Torque => middle("Nm", 1.0),
        Kind::Duration => middle("h", 1.0),
        Kind::Angle => middle("deg", 1.0),
        Kind::Share if field.low < 0.0 => "\"-0.3 %\"".to_owned(),
        Kind::Share => middle("%", 0.01),
        Kind::Temperature if field.low > 12.0 => "\"90 C\"".to_owned(),
        Kind::Temperature => middle("C", 1.0),
        Kind::Moment => "\"12 kg m\"".to_owned(),
        Kind::Rating => "\"190 Ah at 20 h\"".to_owned(),
        Kind::Ratings => "[\"155 Ah at 10 h\", \"145 Ah at 5 h\"]".to_owned(),
        Kind::Size => "\"35 mm2\"".to_owned(),
        Kind::Turn => "\"90 deg\"".to_owned(),
        Kind::Point => "[\"20 mm\", \"35 mm\"]".to_owned(),
        Kind::Route => "[[\"20 mm\", \"35 mm\"]]".to_owned(),
        Kind::Terminal => "\"A1 +\"".to_owned(),
        Kind::TakeOff => "\"opposite corners\"".to_owned(),
    }
}
