//! Every sentence about a file of readings, one constructor each.

use crate::fault::Trouble;
use crate::nearest;
use crate::schema::Kind;
use crate::words::quoted;
use engine::units::reading::Quantity;

pub(super) fn nothing_read() -> Trouble {
    let says = "The file holds no reading.".to_owned();
    Trouble::error(says, "Write at least one, such as A1 = \"6.31 V\".".to_owned())
}

pub(super) fn unknown_reading(name: &str, meant: Option<String>) -> Trouble {
    let says = format!("{} is no reading of this rig at this stage.", quoted(name));
    let write = match &meant {
        Some(meant) => format!("Did you mean \"{meant}\"?"),
        None => "`bankwright prove RIG` without readings lists every name.".to_owned(),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(super) fn twice(id: &str, first: usize) -> Trouble {
    let says = format!("\"{id}\" stands twice, first on line {first}; the second is not read.");
    Trouble::error(says, "Keep the one you trust.".to_owned())
}

pub(super) fn overload(subject: &str) -> Trouble {
    let says = format!("{subject}: the meter was out of its range and shows no figure.");
    Trouble::error(says, "Set the next higher range and read again.".to_owned())
}

pub(super) fn no_unit(subject: &str, number: &str, known: Option<Quantity>) -> Trouble {
    let says = format!("{subject}: {number} does not say its unit.");
    let write = match known {
        Some(quantity) => format!("Write \"{number} {}\", in quotes.", quantity.unit()),
        None => format!("Write \"{number} V\", \"{number} mV\" or \"{number} A\", in quotes."),
    };
    Trouble::error(says, write)
}

pub(super) fn other_kind(subject: &str, text: &str, kind: Kind) -> Trouble {
    let (unit, write) = match kind {
        Kind::Current => ("amps", "Write what the clamp showed, such as \"16.7 A\"."),
        Kind::Mass => ("kilograms or pounds", "Write what the scale showed, such as \"60 kg\"."),
        _ => ("volts", "Write what the meter showed between its tips, such as \"6.31 V\"."),
    };
    Trouble::error(format!("{subject} is read in {unit}; {} is not.", quoted(text)), write.into())
}

pub(super) fn beyond(subject: &str, text: &str, most: f64, unit: &str) -> Trouble {
    let says = format!("{subject}: {} cannot be meant.", quoted(text));
    Trouble::error(says, format!("Write a figure from -{most} to {most} {unit}."))
}

pub(super) fn no_date(text: &str) -> Trouble {
    let says = format!("day, date: {} is no date.", quoted(text));
    Trouble::error(says, "Write year, month and day: 2026-05-03.".to_owned())
}

pub(super) fn unknown_key(subject: &str, key: &str, known: &[&str]) -> Trouble {
    let meant = nearest::word(key, known.iter().copied());
    let says = format!("{subject}: {} is no key here.", quoted(key));
    let write = match &meant {
        Some(meant) => format!("Did you mean {meant}?"),
        None => format!("The keys are {}.", known.join(", ")),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(super) fn unknown_table(key: &str) -> Trouble {
    let known = ["day", "read", "post"];
    let meant = nearest::word(key, known);
    let says = format!("[{key}] is no table of a file of readings.");
    let write = match &meant {
        Some(meant) => format!("Did you mean [{meant}]?"),
        None => "The tables are [day], [read] and [post.\"A1 +\"].".to_owned(),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(super) fn not_a_figure(subject: &str) -> Trouble {
    let says = format!("{subject}: here stands neither a figure nor a figure with its amps.");
    let write = "Write \"6.31 V\", or { value = \"6 mV\", amps = \"49.5 A\" }.";
    Trouble::error(says, write.to_owned())
}

pub(super) fn table_wanted(key: &str) -> Trouble {
    let says = format!("\"{key}\" is a table, not a single value.");
    Trouble::error(says, format!("Write [{key}] on a line of its own and its lines below."))
}

pub(super) fn no_post(name: &str) -> Trouble {
    let says = format!("[post] {} names no post and no stud.", quoted(name));
    Trouble::error(says, "Write [post.\"A1 +\"].".to_owned())
}

pub(super) fn unknown_column(name: &str, known: &[&str]) -> Trouble {
    let meant = nearest::word(name, known.iter().copied());
    let says = format!("The column {} is not known; it is not read.", quoted(name));
    let write = match &meant {
        Some(meant) => format!("Did you mean {meant}?"),
        None => format!("The columns are {}.", known.join(", ")),
    };
    Trouble::error(says, write).meaning(meant)
}

pub(super) fn missing_column(name: &str) -> Trouble {
    let says = format!("No column is named {name}.");
    Trouble::error(says, "Begin with reading,value,unit,amps,note.".to_owned())
}

pub(super) fn decimal_comma(subject: &str, value: &str, more: &str) -> Trouble {
    let says = format!("{subject}: a comma inside {value},{more} parts two cells.");
    let write = format!(
        "Write {value}.{more}, put \"{value},{more}\" in quotes, or part the cells by semicolons."
    );
    Trouble::error(says, write)
}

pub(super) fn other_unit(subject: &str, unit: &str) -> Trouble {
    let says = format!("{subject}: {} is no unit of a reading.", quoted(unit));
    Trouble::error(says, "Write V, mV, A, kg or lb.".to_owned())
}

pub(super) fn too_many_cells(subject: &str) -> Trouble {
    let says = format!("{subject}: more cells stand on this line than there are columns.");
    Trouble::error(says, "Put a text that holds the parting sign in quotes.".to_owned())
}

pub(super) fn quote_open(subject: &str) -> Trouble {
    let says = format!("{subject}: a quote opened on this line is not closed.");
    Trouble::error(says, "Close it, or take it out.".to_owned())
}

pub(super) fn no_value(subject: &str) -> Trouble {
    let says = format!("{subject}: amps or a unit stand here without a figure.");
    Trouble::error(says, "Write the figure, or take the line out.".to_owned())
}

pub(super) fn other_format(text: &str) -> Trouble {
    let says = format!("This file says format {text}; only format 1 is known.");
    Trouble::error(says, "Write format = 1, or use a newer program for this file.".to_owned())
}
