//! What stops a word from doing its work, in words; there is one constructor per message.

use engine::circuit::error::SolveError;
use engine::tables::error::TableError;
use engine::units::parse::ParseError;
use std::path::Path;

/// Exit code when the input cannot be used.
pub(crate) const BAD_INPUT: u8 = 2;

/// How the message about a file that is there already ends.
const STAYS: &str = "is there already and stays as it is.";

/// Why a word could not do its work, ready to print.
#[derive(Debug)]
pub(crate) struct Failure {
    /// Lines that stand before the message, such as the faults of the design file.
    above: String,
    says: String,
    hint: String,
}

impl Failure {
    fn new(says: String, hint: impl Into<String>) -> Self {
        Self { above: String::new(), says, hint: hint.into() }
    }

    /// The text for the error stream; empty when everything was said already.
    pub(crate) fn shown(&self) -> String {
        let mut text = self.above.clone();
        if !self.says.is_empty() {
            text.push_str("error: ");
            text.push_str(&self.says);
            text.push('\n');
        }
        if !self.hint.is_empty() {
            text.push_str("  do: ");
            text.push_str(&self.hint);
            text.push('\n');
        }
        text
    }

    /// The text when the work goes on without what failed, and what that means.
    pub(crate) fn beside(&self, means: &str) -> String {
        let text = self.shown().replacen("error: ", "warning: ", 1);
        format!("{text}  {means}\n")
    }

    /// What is and what to do, on one line.
    pub(crate) fn one_line(&self) -> String {
        format!("{} {}", self.says, self.hint).trim().to_owned()
    }

    /// The same, with what the design file says wrongly above it: that is mostly the cause.
    pub(crate) fn below(mut self, faults: &str) -> Self {
        self.above.insert_str(0, faults);
        self
    }

    /// The file cannot be read.
    pub(crate) fn unreadable(path: &Path, error: &std::io::Error) -> Self {
        let hint = match error.kind() {
            std::io::ErrorKind::NotFound => {
                format!(
                    "Check the name, or write a new one with `bankwright start {}`.",
                    path.display()
                )
            }
            std::io::ErrorKind::InvalidData => "Save it as UTF-8 text.".to_owned(),
            _ => "Check that it is a file and that you may read it.".to_owned(),
        };
        let why = match error.kind() {
            std::io::ErrorKind::NotFound => "it is not there".to_owned(),
            std::io::ErrorKind::InvalidData => "it is not text".to_owned(),
            _ => in_words(error),
        };
        Self::new(format!("{} cannot be read: {why}.", path.display()), hint)
    }

    /// The file of readings cannot be read.
    pub(crate) fn no_readings(path: &Path, error: &std::io::Error) -> Self {
        let Self { above, says, hint } = Self::unreadable(path, error);
        let hint = if error.kind() == std::io::ErrorKind::NotFound {
            format!(
                "Check the name, or write one to fill in with `bankwright prove RIG --blank {}`.",
                path.display()
            )
        } else {
            hint
        };
        Self { above, says, hint }
    }

    /// The file of readings has errors; everything understood was still judged.
    pub(crate) fn readings_with_errors(faults: String, count: usize) -> Self {
        let says = if count == 1 {
            "One error in the readings; what was understood is judged.".to_owned()
        } else {
            format!("{count} errors in the readings; what was understood is judged.")
        };
        let hint = "Mend them before you go by the verdict.".to_owned();
        Self { above: faults, says, hint }
    }

    /// A file that is there and was not printed by this word.
    pub(crate) fn not_ours(path: &Path, what: &str) -> Self {
        let says = format!("{} is there and is no {what}; it stays as it is.", path.display());
        Self::new(says, "Give another name.")
    }

    /// A file to fill in that is there already: it may hold what somebody measured.
    pub(crate) fn filled_in_already(path: &Path) -> Self {
        let says = format!("{} is there and may hold readings; it stays as it is.", path.display());
        Self::new(says, "Give another name, or move the old one away.")
    }

    /// The file cannot be written.
    pub(crate) fn unwritable(path: &Path, error: &std::io::Error) -> Self {
        let says = format!("{} cannot be written: {}.", path.display(), in_words(error));
        Self::new(says, "Choose a folder that is there and that you may write to.")
    }

    /// The page cannot be served.
    pub(crate) fn not_served(error: &std::io::Error) -> Self {
        let says = match error.kind() {
            std::io::ErrorKind::AddrInUse => {
                "The page cannot be served: another program has that port.".to_owned()
            }
            _ => format!("The page cannot be served: {}.", in_words(error)),
        };
        Self::new(says, "Leave --port out, and a free one is taken.")
    }

    /// The system gave no random bytes for the key of the page.
    pub(crate) fn no_secret(error: &str) -> Self {
        Self::new(format!("The system gave no random bytes for the page's key: {error}."), "")
    }

    /// Nothing is written, as was asked.
    pub(crate) fn only_read(path: &Path) -> Self {
        let says = format!("{} was opened to be read only.", path.display());
        Self::new(says, "Start `bankwright open` without --read-only to save.")
    }

    /// Whether it is that the file is there already.
    pub(crate) fn is_already_there(&self) -> bool {
        self.says.ends_with(STAYS)
    }

    /// The file to be written is there already.
    pub(crate) fn already_there(path: &Path) -> Self {
        let says = format!("{} {STAYS}", path.display());
        Self::new(says, "Give another name, or add --force to overwrite it.")
    }

    /// The printed text could not leave.
    pub(crate) fn not_printed(error: &std::io::Error) -> Self {
        Self::new(format!("The answer could not be printed: {error}."), "")
    }

    /// The design cannot be worked with; the faults were rendered.
    pub(crate) fn no_design(faults: String) -> Self {
        let says = "The design cannot be worked out until these are mended.".to_owned();
        Self { above: faults, says, hint: String::new() }
    }

    /// The design has errors; everything understood was still reported.
    pub(crate) fn with_errors(faults: String, count: usize) -> Self {
        let says = if count == 1 {
            "One error in the design file; what was understood is reported.".to_owned()
        } else {
            format!("{count} errors in the design file; what was understood is reported.")
        };
        Self { above: faults, says, hint: "Mend them before you build from this.".to_owned() }
    }

    /// A `--set` without an equals sign.
    pub(crate) fn set_without_value(text: &str) -> Self {
        let says = format!("--set {text} names no value.");
        Self::new(says, "Write PATH=VALUE, such as --set bank.parallel=3.")
    }

    /// A `--set` that the design refuses.
    pub(crate) fn set_refused(text: &str, says: &str, write: &str) -> Self {
        Self::new(format!("--set {text}: {says}"), write)
    }

    /// A stage that the design does not have.
    pub(crate) fn no_stage(name: &str, stages: &[String]) -> Self {
        let says = format!("The design has no stage \"{name}\".");
        Self::new(says, format!("Its stages are {}.", listed(stages)))
    }

    /// An option's text is not the quantity that belongs there.
    pub(crate) fn option(option: &str, error: &ParseError) -> Self {
        let says = format!("--{option} \"{}\" is not {}. {}", error.text, error.wanted, error.says);
        Self::new(says, format!("Write {}.", error.write))
    }

    /// An option is outside what it can be.
    pub(crate) fn out_of_range(option: &str, text: &str, limits: &str) -> Self {
        Self::new(format!("--{option} \"{text}\" is out of range."), format!("Give {limits}."))
    }

    /// A stage or place for which there are no nights to tell.
    pub(crate) fn no_nights(error: &engine::sim::nights::NightsError) -> Self {
        let says = error.to_string();
        // The first sentence says what is, the rest what to write.
        let (what, write) = says.split_once(". ").unwrap_or((says.as_str(), ""));
        let mut what = what.trim_end_matches('.').to_owned();
        if let Some(first) = what.get(..1) {
            what = format!("{}{}", first.to_uppercase(), &what[1..]);
        }
        Self::new(format!("{what}."), write)
    }

    /// The owner's weather file cannot be used.
    pub(crate) fn weather_file(path: &Path, faults: &[design_file::fault::Fault]) -> Self {
        let name = path.display();
        let lines: Vec<String> = faults
            .iter()
            .map(|f| format!("{name}, line {}: {} {}", f.line, f.says, f.write))
            .collect();
        Self::new(
            format!("The weather file cannot be used.\n{}", lines.join("\n")),
            "Mend it, or take place.weather out to use the built-in climate.",
        )
    }

    /// A word that is none of a list.
    pub(crate) fn not_one_of(option: &str, text: &str, words: &[String]) -> Self {
        let says = format!("--{option} \"{text}\" is not a word used here.");
        Self::new(says, format!("Write {}.", listed_or(words)))
    }

    /// `start` without a terminal and without enough options.
    pub(crate) fn cannot_ask(missing: &[String]) -> Self {
        let says = "There is no terminal to ask on.".to_owned();
        Self::new(says, format!("Give {} as well.", listed(missing)))
    }

    /// The answer that ended the interview.
    pub(crate) fn no_more_answers() -> Self {
        Self::new("The answers ended before the last question; nothing was written.".to_owned(), "")
    }

    /// One question without an answer that can be used.
    pub(crate) fn tries_used(option: &str, tries: u32) -> Self {
        let says = format!("{tries} answers that cannot be used; nothing was written.");
        let hint = format!(
            "Start again and give it on the command line as --{option}; `bankwright start --help` \
             shows how it is written."
        );
        Self::new(says, hint)
    }

    /// A label that gives amp-hours but not over how many hours.
    pub(crate) fn no_hours(amp_hours: &str) -> Self {
        let says = format!("\"{amp_hours}\" does not say over how many hours.");
        let hint = format!(
            "Look for C20, 20 h or 20 HR on the label or in its sheet, then write \
             \"{amp_hours} at 20 h\" with the hours it gives."
        );
        Self::new(says, hint)
    }

    /// A block's label that is not volts and a rating.
    pub(crate) fn no_label(text: &str) -> Self {
        let says = format!("--block \"{text}\" does not give volts and amp-hours.");
        Self::new(says, "Write both, such as \"6 V, 190 Ah at 20 h\".")
    }

    /// Blocks that do not make the bank's volts.
    pub(crate) fn no_series(block: &str, bank: u32) -> Self {
        let says = format!("No number of {block} blocks in a row makes {bank} V.");
        Self::new(says, "Check --volts and the volts in --block.")
    }

    /// A size that is not three lengths.
    pub(crate) fn no_size(option: &str, text: &str) -> Self {
        let says = format!("--{option} \"{text}\" is not length x width x height.");
        Self::new(says, "Write three lengths, such as \"260 x 181 x 276 mm\".")
    }

    /// The network has no answer.
    pub(crate) fn unsolved(error: &SolveError) -> Self {
        let hint = match error {
            SolveError::NoBank => {
                "Write [bank] for this stage, or name a later stage with --stage."
            }
            SolveError::AcrossIslands { .. } => {
                "Follow its leads in the design, part by part: one way must end at the plus of the \
                 bank, the other at its minus."
            }
            _ => "Look at that part in the design: both ends of its leads, and its resistance.",
        };
        Self::new(error.to_string(), hint)
    }

    /// Something about the log; `log::trouble` and `log::words` say what.
    pub(crate) fn log(says: String, hint: String) -> Self {
        Self::new(says, hint)
    }

    /// An option that should be a day.
    pub(crate) fn no_day(option: &str, text: &str) -> Self {
        let says = format!("--{option} \"{text}\" is no day.");
        Self::new(says, "Write the year first, such as 2026-05-03.")
    }

    /// A published table lacks a row.
    pub(crate) fn table(error: &TableError) -> Self {
        let hint = "State the value in the design file, or choose a size that is in the tables.";
        Self::new(error.to_string(), hint)
    }

    /// A subject that is neither a rule nor a trade word.
    pub(crate) fn no_subject(subject: &str, near: &[String]) -> Self {
        let says = format!("\"{subject}\" is neither a rule nor a word known here.");
        let hint = if near.is_empty() {
            "`bankwright explain` lists every rule.".to_owned()
        } else {
            format!("Did you mean {}?", listed_or(near))
        };
        Self::new(says, hint)
    }
}

/// What the disk said, without the numbers and hidden names that a system adds.
fn in_words(error: &std::io::Error) -> String {
    use std::io::ErrorKind;
    match error.kind() {
        ErrorKind::NotFound => "the folder is not there".to_owned(),
        ErrorKind::PermissionDenied => "this is not allowed here".to_owned(),
        ErrorKind::AlreadyExists => "a file of that name is there".to_owned(),
        ErrorKind::NotADirectory => "a file stands where a folder should".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk can only be read".to_owned(),
        _ => error.to_string(),
    }
}

/// `a, b and c`.
pub(crate) fn listed(items: &[String]) -> String {
    joined(items, "and")
}

fn listed_or(items: &[String]) -> String {
    joined(items, "or")
}

fn joined(items: &[String], word: &str) -> String {
    match items {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} {word} {last}", first.join(", ")),
    }
}
