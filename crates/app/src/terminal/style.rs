//! Colour and weight, on a terminal only. Every colour stands beside a word or a shape.

use engine::finding::Severity;
use std::io::IsTerminal;

/// Whether weight and colour are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Style {
    shown: bool,
}

impl Style {
    /// For the standard output.
    pub(crate) fn for_output() -> Self {
        Self { shown: std::io::stdout().is_terminal() && wanted() }
    }

    /// For the error stream.
    pub(crate) fn for_errors() -> Self {
        Self { shown: std::io::stderr().is_terminal() && wanted() }
    }

    /// No weight and no colour.
    #[cfg(test)]
    pub(crate) const PLAIN: Self = Self { shown: false };

    /// Heavier.
    pub(crate) fn bold(self, text: &str) -> String {
        self.paint("1", text)
    }

    /// Lighter.
    pub(crate) fn faint(self, text: &str) -> String {
        self.paint("2", text)
    }

    /// The word of a severity with its shape: a crossed disc, a triangle, a ring.
    pub(crate) fn severity(self, severity: Severity) -> String {
        let (shape, code) = match severity {
            Severity::Stop => ("⊗", "1;31"),
            Severity::Fix => ("△", "1;33"),
            Severity::Note => ("○", "1"),
        };
        self.paint(code, &format!("{shape} {}", severity.word()))
    }

    /// Whether weight and colour are written.
    pub(crate) const fn is_shown(self) -> bool {
        self.shown
    }

    fn paint(self, code: &str, text: &str) -> String {
        if self.shown { format!("\u{1b}[{code}m{text}\u{1b}[0m") } else { text.to_owned() }
    }
}

/// The reader did not refuse colour, and the terminal knows it.
fn wanted() -> bool {
    let set = |name: &str| std::env::var(name).is_ok_and(|v| !v.is_empty());
    !set("NO_COLOR") && std::env::var("TERM").as_deref() != Ok("dumb")
}

#[cfg(test)]
mod tests {
    use super::Style;
    use engine::finding::Severity;

    #[test]
    fn colour_never_stands_alone() {
        let coloured = Style { shown: true };
        for severity in [Severity::Stop, Severity::Fix, Severity::Note] {
            let plain = Style::PLAIN.severity(severity);
            assert!(plain.contains(severity.word()), "{plain} has its word");
            assert!(coloured.severity(severity).contains(&plain), "the same words in colour");
        }
    }

    #[test]
    fn plain_has_no_escapes() {
        assert_eq!(Style::PLAIN.bold("do"), "do", "bold");
        assert_eq!(Style::PLAIN.faint("do"), "do", "faint");
    }
}
