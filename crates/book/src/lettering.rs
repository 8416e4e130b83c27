//! The sizes of lettering on paper, and how many lines a text takes.
//!
//! The style sheet uses the same sizes and line heights in the same units, so that a height worked
//! out here is the height on paper.

use drawing::text::{Weight, text_width_mm, wrapped};

/// A size of lettering.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Size {
    /// What the hands do: 14 pt.
    Step,
    /// Headings inside a page: 14 pt bold.
    Heading,
    /// Readings to expect: 12 pt.
    Reading,
    /// Running text: 11 pt.
    Body,
    /// Tables and remarks: 10 pt, the smallest that is printed.
    Small,
}

impl Size {
    /// Height of the em [pt].
    pub(crate) const fn points(self) -> f64 {
        match self {
            Self::Step | Self::Heading => 14.0,
            Self::Reading => 12.0,
            Self::Body => 11.0,
            Self::Small => 10.0,
        }
    }

    /// Height of the em [mm].
    pub(crate) fn em_mm(self) -> f64 {
        self.points() * 25.4 / 72.0
    }

    /// Height of a line [mm].
    pub(crate) const fn line_mm(self) -> f64 {
        match self {
            Self::Step => 6.4,
            Self::Heading => 7.0,
            Self::Reading => 5.6,
            Self::Body => 5.2,
            Self::Small => 4.6,
        }
    }

    /// Height of a text set this wide [mm]. Bold lettering is counted, so that a bold word inside
    /// never makes a line more.
    pub(crate) fn height(self, text: &str, width_mm: f64) -> f64 {
        f64::from(u32::try_from(self.lines(text, width_mm)).unwrap_or(u32::MAX)) * self.line_mm()
    }

    /// Lines that a text takes at this width; an empty text takes none.
    pub(crate) fn lines(self, text: &str, width_mm: f64) -> usize {
        // Browsers break a line at the last hundredth of a millimetre; a hundredth part of the
        // width is held back for kerning and rounding.
        let width = width_mm * 0.985;
        let drawn = text.replace(BLANK, BLANK_DRAWN);
        wrapped(&drawn, width, self.em_mm(), Weight::Bold)
            .iter()
            .map(|line| over(text_width_mm(line, self.em_mm(), Weight::Bold), width))
            .sum()
    }
}

/// What the engine writes where a hand is to write.
pub(crate) const BLANK: &str = "______";

/// As wide as the blank that is printed for it.
const BLANK_DRAWN: &str = "____________";

/// A single word wider than its column is broken anywhere; it takes this many lines.
fn over(word_mm: f64, width_mm: f64) -> usize {
    let mut lines = 1;
    let mut left = word_mm - width_mm;
    while left > 0.0 && lines < 20 {
        lines += 1;
        left -= width_mm;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::Size;

    #[test]
    fn a_text_takes_the_lines_its_words_need() {
        assert_eq!(Size::Body.lines("", 100.0), 0, "nothing takes no line");
        assert_eq!(Size::Body.lines("short", 100.0), 1, "one word");
        assert!(Size::Step.lines("Fit lead 4 from A1 + to B1 +.", 40.0) >= 2, "14 pt in 40 mm");
        let long = "a".repeat(100);
        assert!(Size::Small.lines(&long, 50.0) >= 4, "a long word is broken: 100 x 2 mm in 50 mm");
    }

    #[test]
    fn nothing_is_printed_under_ten_points() {
        for size in [Size::Step, Size::Heading, Size::Reading, Size::Body, Size::Small] {
            assert!(size.points() >= 10.0, "{size:?}");
            assert!(size.line_mm() >= 1.2 * size.em_mm(), "{size:?} has air between its lines");
        }
        assert!(Size::Step.points() >= 14.0, "steps are read at arm's length");
    }
}
