//! Paper, pencil, ink: the few tones, line weights and type sizes of every picture.
//!
//! Ink is decided. Pencil is measured, construction or, when dashed, a wish. Wash is quantity. One red is
//! kept for the positive side and for STOP. No meaning rests on a tone alone.

/// A tone on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Tone {
    /// The ground of the sheet.
    Paper,
    /// Lighter than the ground: the inside of a case, the ground of a ring.
    Light,
    /// Decided.
    Ink,
    /// Measured, construction, not yet decided.
    Pencil,
    /// The faint squares of the board.
    Grid,
    /// Quantity.
    Wash,
    /// The positive side and STOP.
    Red,
    /// FIX.
    Amber,
}

impl Tone {
    /// Every tone.
    pub const ALL: [Self; 8] = [
        Self::Paper,
        Self::Light,
        Self::Ink,
        Self::Pencil,
        Self::Grid,
        Self::Wash,
        Self::Red,
        Self::Amber,
    ];

    /// Red, green and blue.
    ///
    /// Ink, pencil, red and amber keep a contrast of at least 4.5 to 1 against paper and light, so that
    /// small lettering reads; a test holds them to it.
    #[must_use]
    pub const fn rgb(self) -> [u8; 3] {
        match self {
            Self::Paper => [0xf6, 0xf2, 0xe7],
            Self::Light => [0xff, 0xfd, 0xf8],
            Self::Ink => [0x1d, 0x27, 0x30],
            Self::Pencil => [0x66, 0x6a, 0x6e],
            Self::Grid => [0xe2, 0xe2, 0xd6],
            Self::Wash => [0xe6, 0xd7, 0xae],
            Self::Red => [0xa5, 0x25, 0x1c],
            Self::Amber => [0x85, 0x55, 0x00],
        }
    }

    /// As written in SVG and CSS.
    #[must_use]
    pub fn hex(self) -> String {
        let [r, g, b] = self.rgb();
        format!("#{r:02x}{g:02x}{b:02x}")
    }

    /// Its name as a CSS custom property, without the dashes in front.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Paper => "paper",
            Self::Light => "light",
            Self::Ink => "ink",
            Self::Pencil => "pencil",
            Self::Grid => "grid",
            Self::Wash => "wash",
            Self::Red => "red",
            Self::Amber => "amber",
        }
    }
}

/// Line weights on paper [mm].
pub mod line {
    /// The squares of the board.
    pub const HAIR: f64 = 0.13;
    /// Construction and dimension lines.
    pub const THIN: f64 = 0.18;
    /// What is drawn.
    pub const NORMAL: f64 = 0.35;
    /// What is cut or stands in front.
    pub const HEAVY: f64 = 0.55;
}

/// Type sizes on paper, as the height of the em [mm].
pub mod size {
    /// Ten points, the smallest that is printed: 10 x 25.4 / 72 = 3.53 mm.
    pub const SMALL: f64 = 3.53;
    /// Labels of posts and leads.
    pub const LABEL: f64 = 4.0;
    /// Names of blocks and parts.
    pub const NAME: f64 = 5.0;
    /// Titles of pictures.
    pub const TITLE: f64 = 7.0;
}

/// Every tone as a CSS custom property, for sheets that set pictures among text.
#[must_use]
pub fn tones_css() -> String {
    let list: String = Tone::ALL.iter().map(|t| format!("--{}:{};", t.name(), t.hex())).collect();
    format!(":root{{{list}}}")
}

#[cfg(test)]
mod tests {
    use super::Tone;
    use engine::number;

    /// Relative luminance as the accessibility guidelines define it (WCAG 2.2, "relative luminance").
    fn luminance(tone: Tone) -> f64 {
        let channel = |c: u8| {
            let v = f64::from(c) / 255.0;
            if v <= 0.04045 { v / 12.92 } else { number::pow((v + 0.055) / 1.055, 2.4) }
        };
        let [r, g, b] = tone.rgb().map(channel);
        0.2126 * r + 0.7152 * g + 0.0722 * b
    }

    fn contrast(a: Tone, b: Tone) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn lettering_tones_read_on_every_ground() {
        // 4.5 to 1 is the least contrast for text in WCAG 2.2, success criterion 1.4.3.
        for ground in [Tone::Paper, Tone::Light] {
            for tone in [Tone::Ink, Tone::Pencil, Tone::Red, Tone::Amber] {
                let got = contrast(tone, ground);
                assert!(got >= 4.5, "{tone:?} on {ground:?} has {got:.2}");
            }
        }
        assert!(contrast(Tone::Ink, Tone::Wash) >= 7.0, "names stand on the wash");
    }
}
