//! The text of a new design file: what was said as keys, what was not as comments that say how to
//! measure it.

use super::answers::{Answers, Size, There};
use std::fmt::Write;

/// The whole file.
pub(super) fn design(answers: &Answers) -> String {
    let mut text = String::from(
        "# Lines that begin with # are not read. Take the # away when you know.\nformat = 1\n\n",
    );
    text.push_str(&rig(answers));
    text.push_str(&block(answers));
    text.push_str(&bank(answers));
    text.push_str(&inside(answers));
    text.push_str(MAIN);
    for there in &answers.there {
        text.push_str(&device(there));
    }
    text
}

/// The main leads with the fuse, the isolator and the bars that every rig needs. Ratings and sizes
/// are left open: `leads` proposes them.
const MAIN: &str = r##"
# The main leads: bank, fuse, isolator, bars. `bankwright leads` proposes sizes and the fuse.
[lead.plus]
from = "bank +"
to = "main in"
# length = "400 mm"               # lay a string along the real route, then the tape

[device.main]
kind = "fuse"

[lead."plus 2"]
from = "main out"
to = "isolator in"

[device.isolator]
kind = "isolator"
reachable = true

[lead."plus 3"]
from = "isolator out"
to = "plus bar"

[lead.minus]
from = "bank -"
to = "minus bar"

[device."plus bar"]
kind = "busbar"

[device."minus bar"]
kind = "busbar"
"##;

fn rig(answers: &Answers) -> String {
    format!(
        "[rig]\nname = {}\nkind = \"{}\"\npractice = \"{}\"\n\n\
         [place]\n\
         # coldest = \"-8 C\"               # the coldest the bank sees\n\
         # warmest = \"34 C\"               # the warmest\n\n",
        quoted(&answers.name),
        answers.kind.word(),
        answers.practice.word()
    )
}

fn block(answers: &Answers) -> String {
    let mut text = format!("# One case as bought.\n[block.{}]\n", block_name(answers));
    let chemistry = answers.chemistry.word();
    put(&mut text, "chemistry", chemistry);
    put(&mut text, "volts", &answers.block_volts);
    put(&mut text, "rating", &answers.rating);
    push_size(
        &mut text,
        answers.case.as_ref(),
        "tape over the case; the height over posts and caps",
    );
    text.push_str(
        "# mass = \"27 kg\"                # bathroom scale, or the label\n\
         # stud = \"5/16 in\"              # calliper, or the shank of a drill bit\n\
         # short_circuit = \"2000 A\"      # ask the maker; it sets what the fuse must break\n\n",
    );
    text
}

/// A name for the block model that reads well in a sentence, such as `agm12`.
fn block_name(answers: &Answers) -> String {
    let volts: String = answers.block_volts.chars().take_while(char::is_ascii_digit).collect();
    format!("{}{volts}", answers.chemistry.word().to_lowercase())
}

fn bank(answers: &Answers) -> String {
    let mut text = format!(
        "[bank]\nblock = \"{}\"\nseries = {}\nparallel = {}\n",
        block_name(answers),
        answers.series,
        answers.parallel
    );
    let takeoff = if answers.parallel > 1 { "opposite corners" } else { "same end" };
    put(&mut text, "takeoff", takeoff);
    text.push_str(
        "# link_length = \"318 mm\"        # stud to stud; the plan works it out otherwise\n\n",
    );
    text
}

fn inside(answers: &Answers) -> String {
    let mut text = String::from("[box]\n");
    push_size(
        &mut text,
        answers.inside.as_ref(),
        "tape between the inner faces; the height up to the lid",
    );
    text.push_str(
        "# inside = true                 # does it adjoin the living space?\n\
         # sealed = true                 # is it sealed from it?\n\
         # vent_low = \"100 cm2\"          # free area of the low opening to outside\n\
         # vent_high = \"100 cm2\"         # and of the high one\n",
    );
    text
}

fn device(there: &There) -> String {
    let name = quoted(&there.name);
    let mut text = format!("\n[device.{name}]\nkind = \"{}\"\nhave = true\n", there.kind);
    put(&mut text, there.key, &there.figure);
    let plus = quoted(&format!("{} plus", there.name));
    let minus = quoted(&format!("{} minus", there.name));
    let written = write!(
        text,
        "\n[lead.{plus}]\nfrom = \"plus bar\"\nto = {}\n\
         \n[lead.{minus}]\nfrom = {}\nto = \"minus bar\"\n",
        quoted(&format!("{} +", there.name)),
        quoted(&format!("{} -", there.name)),
    );
    debug_assert!(written.is_ok(), "a string takes every line");
    text
}

fn push_size(text: &mut String, size: Option<&Size>, how: &str) {
    match size {
        Some([length, width, height]) => {
            put(text, "length", length);
            put(text, "width", width);
            put(text, "height", height);
        }
        None => {
            for key in ["length", "width", "height"] {
                text.push_str(&format!("# {key} = \"... mm\"  # {how}\n"));
            }
        }
    }
}

fn put(text: &mut String, key: &str, value: &str) {
    text.push_str(&format!("{key} = {}\n", quoted(value)));
}

/// A TOML text: quotes and backslashes escaped, control characters left out.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for c in text.chars().filter(|c| !c.is_control()) {
        if matches!(c, '"' | '\\') {
            quoted.push('\\');
        }
        quoted.push(c);
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::design;
    use crate::command::start::answers::{Answers, Given};
    use design_file::read::read;

    fn check(options: &[(&'static str, &str)]) {
        let mut given = Given::default();
        for (option, answer) in options {
            given.put(option, answer);
        }
        let answers = Answers::of(&given).unwrap_or_else(|f| panic!("{}", f.shown()));
        let text = design(&answers);
        let read = read(&text);
        assert!(
            read.faults.is_empty(),
            "the reader understands all of it: {:?}\n{text}",
            read.faults
        );
        let design = read.design.expect("a design without faults is there");
        assert_eq!(design.rig.name, answers.name, "the name comes back");
        assert_eq!(design.devices.len(), 4 + answers.there.len(), "every device is there");
    }

    #[test]
    fn what_start_writes_is_understood_without_a_fault() {
        check(&[
            ("name", "Say \"hi\" \\ there"),
            ("kind", "trailer"),
            ("rules", "us"),
            ("volts", "12 V"),
            ("chemistry", "flooded"),
            ("block", "6 V, 190 Ah at 20 h"),
            ("parallel", "3"),
            ("case", "260 x 181 x 276 mm"),
            ("box", "860 x 430 x 340 mm"),
            ("there", "panel 45 A, charger 45 A, charger 10 A, inverter 1500 W"),
        ]);
        check(&[
            ("name", "Hut"),
            ("kind", "cabin"),
            ("rules", "eu"),
            ("volts", "48"),
            ("chemistry", "lfp"),
            ("block", "51.2 V, 100 Ah at 5 h"),
            ("parallel", "1"),
            ("there", "solar controller 30 A"),
        ]);
    }
}
