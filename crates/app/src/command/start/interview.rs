//! Asks on a terminal what the options did not say; each question says how to measure.

use super::answers::{Answers, Given};
use crate::failure::Failure;
use crate::terminal::warn;
use std::io::{BufRead, IsTerminal};

/// Tries at one question before the interview gives up: enough for slips, and an end for a pipe
/// that only ever says the same.
const TRIES: u32 = 5;

/// One question.
pub(crate) struct Question {
    /// The option that answers it.
    pub(crate) option: &'static str,
    /// What is asked.
    pub(crate) asks: &'static str,
    /// How to find the answer.
    pub(crate) how: &'static str,
    /// Taken when the answer is left empty; `None` leaves it open.
    pub(crate) usual: Option<&'static str>,
    /// Nothing can be written without it.
    pub(crate) needed: bool,
    /// The answers there are, where there are only a few.
    pub(crate) one_of: &'static [&'static str],
}

/// Every question, in the order of asking.
pub(crate) const QUESTIONS: [Question; 10] = [
    Question {
        option: "name",
        asks: "What is the rig called?",
        how: "Any name; it stands on every sheet.",
        usual: Some("My rig"),
        needed: false,
        one_of: &[],
    },
    Question {
        option: "kind",
        asks: "Is it a trailer, a van, a boat or a cabin?",
        how: "A trailer is towed, a van drives by itself.",
        usual: None,
        needed: true,
        one_of: &["trailer", "van", "boat", "cabin"],
    },
    Question {
        option: "rules",
        asks: "Whose rules hold: those of the US (us) or of Europe (eu)?",
        how: "Where it is registered or stands; this sets tables, colours, distances and units.",
        usual: Some("us"),
        needed: false,
        one_of: &["us", "eu"],
    },
    Question {
        option: "volts",
        asks: "How many volts has the bank: 12 V, 24 V or 48 V?",
        how: "Look at the plates of what hangs on it: lamps, pumps, inverter.",
        usual: Some("12 V"),
        needed: false,
        one_of: &["12 V", "24 V", "48 V"],
    },
    Question {
        option: "chemistry",
        asks: "Are the blocks flooded, AGM, gel or LFP?",
        how: "Caps that open mean flooded; the label names the others.",
        usual: Some("flooded"),
        needed: false,
        one_of: &["flooded", "AGM", "gel", "LFP"],
    },
    Question {
        option: "block",
        asks: "What does one block's label say, such as 6 V, 190 Ah at 20 h?",
        how: "Volts, amp-hours and over how many hours; no hours on it: see the maker's sheet.",
        usual: None,
        needed: true,
        one_of: &[],
    },
    Question {
        option: "parallel",
        asks: "How many strings stand side by side?",
        how: "Count the blocks and divide by how many make the bank's volts: four of 6 V for 12 V are 2.",
        usual: Some("1"),
        needed: false,
        one_of: &[],
    },
    Question {
        option: "case",
        asks: "How large is one block, such as 260 x 181 x 276 mm?",
        how: "Tape: length x width x height, the height over posts and caps.",
        usual: None,
        needed: false,
        one_of: &[],
    },
    Question {
        option: "box",
        asks: "How large is the box inside, such as 860 x 430 x 340 mm?",
        how: "Tape between the inner faces, length along your side; the height up to the lid.",
        usual: None,
        needed: false,
        one_of: &[],
    },
    Question {
        option: "there",
        asks: "What is there already, such as panel 45 A, charger 45 A, inverter 1500 W?",
        how: "Rating plates; a panel counts by its main fuse.",
        usual: None,
        needed: false,
        one_of: &[],
    },
];

/// The answers, with what was missing asked for when there is somebody to ask.
pub(super) fn completed(given: Given) -> Result<Given, Failure> {
    let missing: Vec<&Question> =
        QUESTIONS.iter().filter(|q| given.get(q.option).is_none()).collect();
    if missing.is_empty() {
        return Ok(given);
    }
    if std::io::stdin().is_terminal() && std::io::stderr().is_terminal() {
        return asked(given, &missing);
    }
    let needed: Vec<String> =
        missing.iter().filter(|q| q.needed).map(|q| format!("--{}", q.option)).collect();
    if needed.is_empty() {
        Ok(with_usual(given, &missing))
    } else {
        Err(Failure::cannot_ask(&needed))
    }
}

fn with_usual(mut given: Given, missing: &[&Question]) -> Given {
    for question in missing {
        if let Some(usual) = question.usual {
            given.put(question.option, usual);
        }
    }
    given
}

fn asked(mut given: Given, missing: &[&Question]) -> Result<Given, Failure> {
    let mut lines = std::io::stdin().lock().lines();
    let mut next = || lines.next().and_then(Result::ok).ok_or_else(Failure::no_more_answers);
    for (number, question) in missing.iter().enumerate() {
        let (number, all) = (number + 1, missing.len());
        warn(&format!("\n{number} of {all}  {}\n        {}\n", question.asks, question.how));
        one(&mut given, question, &mut next)?;
    }
    Ok(given)
}

fn one(
    given: &mut Given,
    question: &Question,
    next: &mut impl FnMut() -> Result<String, Failure>,
) -> Result<(), Failure> {
    for _ in 0..TRIES {
        match (question.usual, question.needed) {
            (Some(usual), _) => warn(&format!("        [{usual}] > ")),
            (None, true) => warn("        > "),
            (None, false) => warn("        (empty: not known yet) > "),
        }
        let answer = next()?;
        let answer = match (answer.trim(), question.usual) {
            ("", Some(usual)) => usual,
            ("", None) if !question.needed => return Ok(()),
            (said, _) => said,
        };
        match Answers::understands(question.option, answer) {
            Ok(()) => {
                given.put(question.option, answer);
                return Ok(());
            }
            Err(failure) => warn(&failure.shown()),
        }
    }
    Err(Failure::tries_used(question.option, TRIES))
}

#[cfg(test)]
mod tests {
    use super::QUESTIONS;
    use crate::command::start::answers::Given;

    #[test]
    fn ten_questions_at_most_and_each_has_its_option() {
        assert!(QUESTIONS.len() <= 10, "not more than ten");
        let mut given = Given::default();
        for question in &QUESTIONS {
            given.put(question.option, "x");
            assert_eq!(given.get(question.option), Some("x"), "{}", question.option);
        }
    }
}
