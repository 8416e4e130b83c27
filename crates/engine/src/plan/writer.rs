//! Puts steps on pages: at most twelve lines and one gate on each.

use super::build::{Caution, GateBar, IfNot, Page, Step};

/// Most lines of a page; more cannot be read in a driveway.
pub const LINES_MAX: usize = 12;

/// Lines a gate bar takes.
const GATE_LINES: usize = 3;

/// What stands at the head of a page.
#[derive(Clone, Debug, Default)]
pub struct Head {
    /// Title.
    pub title: String,
    /// Sentence or two before the steps.
    pub intro: String,
    /// Cautions.
    pub cautions: Vec<Caution>,
}

impl Head {
    /// A head without cautions.
    #[must_use]
    pub fn new(title: &str, intro: &str) -> Self {
        Self { title: title.to_owned(), intro: intro.to_owned(), cautions: Vec::new() }
    }

    /// With a caution.
    #[must_use]
    pub fn caution(mut self, caution: Caution) -> Self {
        self.cautions.push(caution);
        self
    }
}

/// The page on which wrong readings are looked into, until its number is known.
const TROUBLE: IfNot = IfNot { page: 0, title: String::new() };

/// Pages as they are written.
#[derive(Debug, Default)]
pub struct Writer {
    pages: Vec<Page>,
    head: Head,
}

impl Writer {
    /// Starts a page.
    pub fn page(&mut self, head: Head) {
        self.push_page(&head, &head.title);
        self.head = head;
    }

    fn push_page(&mut self, head: &Head, title: &str) {
        // A page nobody wrote on gives way to the next one.
        if self.pages.last().is_some_and(|p| p.steps.is_empty() && p.gate.is_none()) {
            self.pages.pop();
        }
        self.pages.push(Page {
            number: 0,
            title: title.to_owned(),
            people: 1,
            cautions: head.cautions.clone(),
            intro: head.intro.clone(),
            steps: Vec::new(),
            gate: None,
        });
    }

    fn turn_over(&mut self) {
        let head = Head { intro: String::new(), ..self.head.clone() };
        let title = format!("{}, continued", head.title);
        self.push_page(&head, &title);
    }

    /// A gate never stands on a side of its own: the last two steps go over with it.
    fn turn_over_with_last_steps(&mut self) {
        let moved = self.pages.last_mut().map_or_else(Vec::new, |p| {
            let keep = p.steps.len().saturating_sub(2).max(1).min(p.steps.len());
            p.steps.split_off(keep)
        });
        self.turn_over();
        for step in moved {
            self.step(step);
        }
    }

    fn lines(&self) -> usize {
        self.pages.last().map_or(LINES_MAX, |p| {
            let steps: usize = p.steps.iter().map(Step::lines).sum();
            steps + if p.gate.is_some() { GATE_LINES } else { 0 }
        })
    }

    /// Writes a step; a full page is turned over first.
    pub fn step(&mut self, mut step: Step) {
        if self.lines() + step.lines() > LINES_MAX {
            self.turn_over();
        }
        if !step.readings.is_empty() {
            step.if_not = Some(TROUBLE);
        }
        let Some(page) = self.pages.last_mut() else {
            return;
        };
        step.number = u32::try_from(page.steps.len() + 1).unwrap_or(u32::MAX);
        page.people = page.people.max(step.people);
        page.steps.push(step);
    }

    /// Writes a gate after the steps so far.
    pub fn gate(&mut self, mut gate: GateBar) {
        let taken = self.pages.last().is_none_or(|p| p.gate.is_some());
        if taken {
            self.turn_over();
        } else if self.lines() + GATE_LINES > LINES_MAX {
            self.turn_over_with_last_steps();
        }
        let Some(page) = self.pages.last_mut() else {
            return;
        };
        gate.after = page.steps.len();
        gate.if_not = Some(TROUBLE);
        page.gate = Some(gate);
    }

    /// The pages, numbered, with every "if it is not this" pointing at the page of that title.
    #[must_use]
    pub fn finish(mut self, trouble_title: &str) -> Vec<Page> {
        self.pages.retain(|p| !p.steps.is_empty() || p.gate.is_some());
        for (index, page) in self.pages.iter_mut().enumerate() {
            page.number = u32::try_from(index + 1).unwrap_or(u32::MAX);
        }
        let found = self.pages.iter().find(|p| p.title == trouble_title);
        let trouble = found.map(|p| IfNot { page: p.number, title: p.title.clone() });
        for page in &mut self.pages {
            for step in page.steps.iter_mut().filter(|s| s.if_not.is_some()) {
                step.if_not.clone_from(&trouble);
            }
            if let Some(gate) = &mut page.gate {
                gate.if_not.clone_from(&trouble);
            }
        }
        self.pages
    }
}

#[cfg(test)]
mod tests {
    use super::{Head, LINES_MAX, Writer};
    use crate::plan::build::{GateMark, Step};
    use crate::plan::fit::bar;

    #[test]
    fn a_gate_takes_the_last_steps_along() {
        let mut writer = Writer::default();
        writer.page(Head::new("Measure", ""));
        for number in 0..LINES_MAX {
            writer.step(Step::new("Measure", &format!("block {number}.")));
        }
        writer.gate(bar(GateMark::Blocks, "all is well."));
        let pages = writer.finish("none");
        let sizes: Vec<usize> = pages.iter().map(|p| p.steps.len()).collect();
        assert_eq!(sizes, [LINES_MAX - 2, 2], "two steps go over");
        let after = pages[1].gate.as_ref().map(|g| g.after);
        assert_eq!(after, Some(2), "the gate stands below them");
    }

    #[test]
    fn a_full_page_turns_over_and_keeps_its_cautions() {
        let mut writer = Writer::default();
        writer.page(Head::new("Join", "Read first."));
        for number in 0..=LINES_MAX {
            writer.step(Step::new("Fit", &format!("lead {number}.")));
        }
        let pages = writer.finish("none");
        let sizes: Vec<usize> = pages.iter().map(|p| p.steps.len()).collect();
        assert_eq!(sizes, [LINES_MAX, 1], "one line over");
        assert_eq!(pages[1].title, "Join, continued", "the second side says so");
        assert_eq!(pages[1].steps[0].number, 1, "each side counts from one");
    }
}
