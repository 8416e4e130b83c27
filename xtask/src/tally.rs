//! What passed, what failed and what was not tried.

use crate::shell;

/// The sum of all tests, in the order they ran.
#[derive(Default)]
pub(crate) struct Tally {
    /// Tests that passed.
    pub(crate) passed: usize,
    /// Tests that failed.
    pub(crate) failed: usize,
    /// Tests that were not tried.
    pub(crate) skipped: usize,
    notes: Vec<String>,
}

impl Tally {
    /// One check of our own.
    pub(crate) fn check(&mut self, name: &str, done: Result<(), String>) {
        match done {
            Ok(()) => {
                println!("ok   {name}");
                self.passed += 1;
            }
            Err(why) => self.fail(name, &why),
        }
    }

    /// A check that failed.
    pub(crate) fn fail(&mut self, name: &str, why: &str) {
        println!("FAIL {name}: {why}");
        self.notes.push(format!("failed: {name}"));
        self.failed += 1;
    }

    /// Tests that cannot be tried here. In CI that is a failure, because nobody would notice it.
    pub(crate) fn skip(&mut self, names: &[String], why: &str) {
        for name in names {
            if shell::in_ci() {
                self.fail(name, &format!("CI skips nothing, but {why}"));
            } else {
                println!("skip {name}: {why}");
                self.notes.push(format!("skipped: {name}: {why}"));
                self.skipped += 1;
            }
        }
    }

    /// Hears a line of cargo's test output.
    pub(crate) fn hear_cargo(&mut self, line: &str) {
        if let Some(name) = line.strip_prefix("test ").and_then(|l| l.strip_suffix(" ... FAILED")) {
            self.notes.push(format!("failed: {name}"));
        }
        let Some(rest) = line.strip_prefix("test result: ") else {
            return;
        };
        self.passed += count(rest, "passed");
        self.failed += count(rest, "failed");
        self.skipped += count(rest, "ignored");
    }

    /// Hears a line of a script: `ok   NAME` or `FAIL NAME: WHY`.
    pub(crate) fn hear_script(&mut self, line: &str) {
        if line.starts_with("ok ") {
            self.passed += 1;
        } else if let Some(what) = line.strip_prefix("FAIL ") {
            self.failed += 1;
            self.notes.push(format!("failed: {}", what.trim()));
        }
    }

    /// Says by name what failed and what was skipped, then the sum as the last line.
    pub(crate) fn close(&self) -> Result<(), String> {
        for note in &self.notes {
            println!("{note}");
        }
        println!("{self}");
        // The sum is the last line, so the fault is told by the exit code alone.
        if self.failed == 0 { Ok(()) } else { Err(String::new()) }
    }

    /// Reads a sum that `close` printed.
    pub(crate) fn read(line: &str) -> Option<Self> {
        let (passed, rest) = line.trim().split_once(" passed, ")?;
        let (failed, rest) = rest.split_once(" failed, ")?;
        let skipped = rest.strip_suffix(" skipped")?;
        let number = |text: &str| text.parse::<usize>().ok();
        Some(Self {
            passed: number(passed)?,
            failed: number(failed)?,
            skipped: number(skipped)?,
            notes: Vec::new(),
        })
    }
}

impl std::fmt::Display for Tally {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { passed, failed, skipped, .. } = self;
        write!(f, "{passed} passed, {failed} failed, {skipped} skipped")
    }
}

/// The number before a word in `ok. 12 passed; 0 failed; 1 ignored`.
fn count(text: &str, word: &str) -> usize {
    text.split([';', '.'])
        .find_map(|part| part.trim().strip_suffix(word)?.trim().parse().ok())
        .unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::Tally;

    #[test]
    fn a_line_of_cargo_is_counted() {
        // The line as cargo 1.95 prints it.
        let mut tally = Tally::default();
        tally.hear_cargo(
            "test result: FAILED. 12 passed; 3 failed; 1 ignored; 0 measured; 4 filtered out; \
             finished in 0.35s",
        );
        tally.hear_cargo("test tests::no_result ... ok");
        assert_eq!(tally.to_string(), "12 passed, 3 failed, 1 skipped", "all three are counted");
    }

    #[test]
    fn a_sum_is_read_back() {
        let line = "12 passed, 3 failed, 1 skipped";
        let back = Tally::read(line).map(|t| t.to_string());
        assert_eq!(back.as_deref(), Some(line), "what was printed is what is read");
        assert!(Tally::read("12 passed").is_none(), "half a sum is no sum");
    }

    #[test]
    fn a_script_is_counted_by_its_first_word() {
        let mut tally = Tally::default();
        for line in ["ok   A1", "FAIL A2: 3.1 A, 3.0 A printed", "looking at A3"] {
            tally.hear_script(line);
        }
        assert_eq!(tally.to_string(), "1 passed, 1 failed, 0 skipped", "talk is not counted");
    }
}
