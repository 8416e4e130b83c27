//! How wide lettering is, where it may break, and the face itself.

use std::sync::LazyLock;

/// Advance of each sign in thousandths of the em: code, regular, bold.
const WIDTHS: &str = include_str!("../fonts/widths.csv");
const REGULAR: &[u8] = include_bytes!("../fonts/lettering-400.woff2");
const BOLD: &[u8] = include_bytes!("../fonts/lettering-700.woff2");

/// Name of the face in style sheets.
pub const FAMILY: &str = "Bankwright Lettering";

/// Height of capitals and figures, in parts of the em; from the face's own table.
pub const CAPITAL: f64 = 0.668;

/// Reach below the line that letters with a tail need, in parts of the em.
pub const TAIL: f64 = 0.21;

/// A sign that the face lacks is counted as wide as a capital M, so that a label is never cut.
const UNKNOWN: u16 = 900;

/// Joins a sign to its post, or a figure to its unit, so that neither stands alone on a line.
pub const NO_BREAK: char = '\u{a0}';

/// How heavy the lettering is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// 400.
    Regular,
    /// 700.
    Bold,
}

impl Weight {
    /// The number used in style sheets.
    #[must_use]
    pub const fn number(self) -> u16 {
        match self {
            Self::Regular => 400,
            Self::Bold => 700,
        }
    }
}

struct Advance {
    code: u32,
    regular: u16,
    bold: u16,
}

/// The table, sorted by code as the file is; a test holds it to that.
static ADVANCES: LazyLock<Vec<Advance>> = LazyLock::new(|| {
    let row = |line: &str| {
        let mut cells = line.split(',');
        let code = u32::from_str_radix(cells.next()?, 16).ok()?;
        let regular = cells.next()?.parse().ok()?;
        let bold = cells.next()?.parse().ok()?;
        Some(Advance { code, regular, bold })
    };
    WIDTHS.lines().skip(1).filter_map(row).collect()
});

fn advance(sign: char, weight: Weight) -> Option<u16> {
    let code = u32::from(sign);
    let at = ADVANCES.binary_search_by_key(&code, |a| a.code).ok()?;
    let found = &ADVANCES[at];
    Some(match weight {
        Weight::Regular => found.regular,
        Weight::Bold => found.bold,
    })
}

/// True when the face has this sign.
#[must_use]
pub fn has_sign(sign: char) -> bool {
    advance(sign, Weight::Regular).is_some()
}

/// Width of one line of lettering [mm], from the face's own advances, without kerning.
#[must_use]
pub fn text_width_mm(text: &str, size_mm: f64, weight: Weight) -> f64 {
    in_mm(thousandths(text, weight), size_mm)
}

/// The advances of a line added up, in thousandths of the em: whole numbers, so that a line may be
/// measured word by word.
fn thousandths(text: &str, weight: Weight) -> u32 {
    text.chars().map(|c| u32::from(advance(c, weight).unwrap_or(UNKNOWN))).sum()
}

fn in_mm(thousandths: u32, size_mm: f64) -> f64 {
    f64::from(thousandths) * size_mm / 1000.0
}

/// Breaks a text into lines no wider than given; never at a no-break space.
///
/// A single word that is wider stands on a line of its own.
#[must_use]
pub fn wrapped(text: &str, width_mm: f64, size_mm: f64, weight: Weight) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let blank = thousandths(" ", weight);
    let mut taken = 0;
    for word in text.split([' ', '\n']).filter(|w| !w.is_empty()) {
        let own = thousandths(word, weight);
        let longer = taken + blank + own;
        match lines.last_mut() {
            Some(line) if in_mm(longer, size_mm) <= width_mm => {
                line.push(' ');
                line.push_str(word);
                taken = longer;
            }
            _ => {
                lines.push(word.to_owned());
                taken = own;
            }
        }
    }
    lines
}

/// A post by its block and sign, held together: "A1 +", "C2 −".
#[must_use]
pub fn post_name(block: &str, sign: &str) -> String {
    format!("{block}{NO_BREAK}{sign}")
}

/// A figure and its unit, held together.
#[must_use]
pub fn with_unit(figure: &str, unit: &str) -> String {
    format!("{figure}{NO_BREAK}{unit}")
}

/// The face as a style rule that carries the files in itself, so that a book or picture needs no other file.
#[must_use]
pub fn font_face_css() -> String {
    let face = |weight: Weight, file: &[u8]| {
        format!(
            "@font-face{{font-family:'{FAMILY}';font-weight:{};font-style:normal;\
             src:url(data:font/woff2;base64,{}) format('woff2')}}",
            weight.number(),
            base64(file)
        )
    };
    face(Weight::Regular, REGULAR) + &face(Weight::Bold, BOLD)
}

/// Base 64 of RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const SIGNS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let group = byte(0) << 16 | byte(1) << 8 | byte(2);
        for place in 0..4 {
            if place <= chunk.len() {
                // Six bits are below 64, so the index is within the signs.
                let six = (group >> (18 - 6 * place)) & 63;
                out.push(char::from(SIGNS[six as usize]));
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{
        ADVANCES, BOLD, REGULAR, Weight, base64, font_face_css, has_sign, post_name, text_width_mm,
        wrapped,
    };

    #[test]
    fn the_table_is_whole_and_sorted() {
        assert!(ADVANCES.len() > 300, "Latin and extended Latin: {}", ADVANCES.len());
        assert!(ADVANCES.is_sorted_by(|a, b| a.code < b.code), "looked up by halving");
        for sign in "AZaz09 +−±×°µΩ²½¼¾≤≥→←↑↓–—’“”•✓äéŁž\u{a0}".chars()
        {
            assert!(has_sign(sign), "the face has {sign:?}");
        }
        assert!(REGULAR.len() < 40_000 && BOLD.len() < 40_000, "the book stays small");
    }

    #[test]
    fn widths_are_the_sums_of_the_advances() {
        // The face's own table: zero 648 and one 402 per mille of the em, bold zero 652.
        for (text, weight, per_mille) in [
            ("0", Weight::Regular, 648.0),
            ("01", Weight::Regular, 1050.0),
            ("0", Weight::Bold, 652.0),
        ] {
            let got = text_width_mm(text, 10.0, weight);
            assert!((got - per_mille / 100.0).abs() < 1e-9, "{text}: {got} mm");
        }
    }

    #[test]
    fn a_sign_stays_with_its_post() {
        let text =
            format!("Move lead 9 from {} to {}.", post_name("A2", "−"), post_name("C2", "−"));
        for width in 10..60 {
            for line in wrapped(&text, f64::from(width), 4.0, Weight::Bold) {
                assert!(!line.starts_with('−'), "a lone sign begins a line {width} mm wide");
            }
        }
    }

    #[test]
    fn no_line_is_wider_than_asked() {
        let text = "The red lead 8 runs 410 mm from the battery before anything can stop a short.";
        for line in wrapped(text, 40.0, 4.0, Weight::Regular) {
            assert!(text_width_mm(&line, 4.0, Weight::Regular) <= 40.0, "{line}");
        }
    }

    #[test]
    fn base_64_follows_the_published_vectors() {
        // RFC 4648, section 10.
        for (plain, coded) in
            [("", ""), ("f", "Zg=="), ("fo", "Zm8="), ("foo", "Zm9v"), ("foobar", "Zm9vYmFy")]
        {
            assert_eq!(base64(plain.as_bytes()), coded, "of {plain:?}");
        }
        assert_eq!(font_face_css().matches("@font-face").count(), 2, "regular and bold");
    }
}
