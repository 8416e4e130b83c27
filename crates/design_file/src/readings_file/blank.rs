//! A file of readings to fill in: every name with what to expect and where the tips go.

use std::fmt::Write;

/// One reading to take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Blank {
    /// Under which heading it stands: the test it belongs to.
    pub test: String,
    /// Its name.
    pub id: String,
    /// Its unit.
    pub unit: &'static str,
    /// What to expect, in words.
    pub expect: String,
    /// Where the tips go.
    pub probes: String,
    /// Range of the meter.
    pub range: String,
}

/// The file, with the rig and stage at its head. Filled in nowhere it reads as nothing read.
#[must_use]
pub fn blank(rig: &str, stage: &str, readings: &[Blank]) -> String {
    let mut text = String::new();
    let mut line = |words: &str| {
        text.push_str(words.trim_end());
        text.push('\n');
    };
    line(&comment(&format!("Readings of {rig}, stage \"{stage}\".")));
    line(
        "# Write the figure before its unit, signed as the meter showed it: \" V\" becomes \"6.31 V\".",
    );
    line(
        "# Leave blank what was not read. The order of the tests is the order of the work: do not go",
    );
    line("# on to the next while a reading is outside what is expected.");
    line("format = 1\n");
    line("[day]");
    for (key, says) in [
        ("date", "as 2026-05-03"),
        ("by", "who read"),
        ("meter", "which meter and clamp"),
        ("temperature", "of the blocks, such as 14 C or 57 F"),
        ("rested", "how long with nothing drawn and nothing charging, such as 5 h"),
        ("test", "the test load, such as 50 A"),
        ("charge", "the charge, such as 30 A"),
        (
            "volts_error",
            "error of the meter at 12 V by its sheet, such as 0.02 V; blank: the usual",
        ),
        ("millivolts_error", "the same on millivolts, such as 0.5 mV"),
        ("clamp_error", "the same of the clamp, such as 2 %"),
        ("clamp_zero", "what the clamp may show with nothing in its jaw, such as 0.2 A"),
    ] {
        line(&format!("{:<24}# {says}", format!("{key} = \"\"")));
    }
    line("\n[read]");
    let mut test = "";
    for reading in readings {
        if reading.test != test {
            test = &reading.test;
            line(&format!("\n# --- {}", one_line(test)));
        }
        line(&comment(&format!("{}: {}; {}.", reading.id, reading.probes, reading.range)));
        let entry = format!("{} = \" {}\"", key(&reading.id), reading.unit);
        line(&format!("{entry:<31} # expect {}", one_line(&reading.expect)));
    }
    text
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A comment, broken where it would be wider than a page.
fn comment(text: &str) -> String {
    const WIDE: usize = 96;
    let mut out = String::from("#");
    let mut at = 1;
    for word in text.split_whitespace() {
        let wide = word.chars().count();
        if 1 < at && WIDE < at + 1 + wide {
            out.push_str("\n#  ");
            at = 3;
        }
        let written = write!(out, " {word}");
        debug_assert!(written.is_ok(), "a string takes every word");
        at += 1 + wide;
    }
    out
}

/// A name as a key: always in quotes, for most names hold a space or a point.
fn key(id: &str) -> String {
    toml_edit::Value::from(id).decorated("", "").to_string()
}

#[cfg(test)]
mod tests {
    use super::{Blank, blank};
    use crate::readings_file::{Known, read_readings};
    use engine::units::reading::Quantity;

    #[test]
    fn a_blank_file_reads_as_nothing_and_a_filled_one_as_what_was_filled_in() {
        let one = |id: &str, unit| Blank {
            test: "Blocks apart".to_owned(),
            id: id.to_owned(),
            unit,
            expect: "6.20 to 6.40 V".to_owned(),
            probes: "red on A1 +, black on A1 -".to_owned(),
            range: "20 V DC".to_owned(),
        };
        let text = blank("Alder Fen", "bank", &[one("A1", "V"), one("5.from", "mV")]);
        let known = [("A1", Quantity::Volts), ("5.from", Quantity::Millivolts)]
            .map(|(id, quantity)| Known { id: id.to_owned(), quantity });
        let empty = read_readings(&text, &known);
        assert_eq!(empty.readings.taken, [], "nothing was filled in");
        let says: Vec<&str> = empty.faults.iter().map(|f| f.says.as_str()).collect();
        assert_eq!(says, ["The file holds no reading."], "and that is told, and nothing else");
        let filled = text.replace("\"5.from\" = \" mV\"", "\"5.from\" = \"6.1 mV\"");
        let read = read_readings(&filled, &known);
        assert_eq!(read.faults, [], "a filled file has no fault");
        assert_eq!(read.readings.taken.len(), 1, "one reading");
        assert!((read.readings.taken[0].value - 6.1).abs() < 1e-12, "in millivolts");
    }
}
