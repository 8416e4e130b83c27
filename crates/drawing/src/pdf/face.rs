//! The lettering as a PDF carries it: only the glyphs that are used, under the numbers they have.
//!
//! A glyph that is not used keeps its number and loses its outline, so that nothing else in the file
//! has to change.

use crate::text::Weight;
use std::collections::BTreeMap;
use ttf_parser::{GlyphId, Tag};

const REGULAR: &[u8] = include_bytes!("../../fonts/lettering-400.ttf");
const BOLD: &[u8] = include_bytes!("../../fonts/lettering-700.ttf");

/// A glyph in use.
pub(super) struct Glyph {
    /// Its number in the face.
    pub(super) id: u16,
    /// Its advance in thousandths of the em.
    pub(super) advance: u16,
    /// The sign it stands for.
    pub(super) sign: char,
}

/// One weight, with what has been written in it so far.
pub(super) struct Face {
    weight: Weight,
    face: ttf_parser::Face<'static>,
    /// Number of a glyph, and the first sign that called for it.
    used: BTreeMap<u16, char>,
}

impl Face {
    pub(super) fn new(weight: Weight) -> Self {
        let file = match weight {
            Weight::Regular => REGULAR,
            Weight::Bold => BOLD,
        };
        let face = ttf_parser::Face::parse(file, 0);
        // Both files are part of this program, and a test opens both.
        let face = face.unwrap_or_else(|fault| unreachable!("the lettering is whole: {fault}"));
        Self { weight, face, used: BTreeMap::new() }
    }

    /// The text as glyph numbers, two bytes each; a sign that the face lacks is its empty box.
    pub(super) fn written(&mut self, text: &str) -> Vec<u8> {
        let mut out = Vec::with_capacity(text.len() * 2);
        for sign in text.chars() {
            let id = self.face.glyph_index(sign).map_or(0, |g| g.0);
            self.used.entry(id).or_insert(sign);
            out.extend(id.to_be_bytes());
        }
        out
    }

    /// What has been written, by number.
    pub(super) fn used(&self) -> Vec<Glyph> {
        let advance = |id: u16| self.face.glyph_hor_advance(GlyphId(id)).unwrap_or(0);
        // The face is drawn on an em of a thousand, as PDF counts widths.
        self.used
            .iter()
            .map(|(id, sign)| Glyph { id: *id, advance: advance(*id), sign: *sign })
            .collect()
    }

    /// The name of a part of a face: six letters before it, here made from what is used.
    pub(super) fn name(&self) -> String {
        // A sum over the numbers in order tells one choice of glyphs from another; the same choice has
        // the same name.
        let mut sum: u64 = 5381;
        for id in self.used.keys() {
            sum = sum.wrapping_mul(33) ^ u64::from(*id);
        }
        let mut letters = String::new();
        for _ in 0..6 {
            let letter = u8::try_from(sum % 26).unwrap_or(0);
            letters.push(char::from(b'A' + letter));
            sum /= 26;
        }
        let style = match self.weight {
            Weight::Regular => "Regular",
            Weight::Bold => "Bold",
        };
        format!("{letters}+BankwrightLettering-{style}")
    }

    /// Left, low, right and top of all glyphs.
    pub(super) fn bounds(&self) -> [i16; 4] {
        let all = self.face.global_bounding_box();
        [all.x_min, all.y_min, all.x_max, all.y_max]
    }

    pub(super) fn ascent(&self) -> i16 {
        self.face.ascender()
    }

    pub(super) fn descent(&self) -> i16 {
        self.face.descender()
    }

    /// Width of an upright stroke, which readers use only where they have to replace the face.
    pub(super) const fn stem(&self) -> f32 {
        match self.weight {
            Weight::Regular => 80.0,
            Weight::Bold => 140.0,
        }
    }

    /// The face as a file with only the outlines in use.
    pub(super) fn file(&self) -> Vec<u8> {
        let raw = self.face.raw_face();
        let table = |name: &[u8; 4]| raw.table(Tag::from_bytes(name)).unwrap_or(&[]);
        let (glyf, loca) = self.outlines(table(b"glyf"), table(b"loca"));
        let mut head = table(b"head").to_vec();
        // Long offsets, as the new table of places has them; bytes 50 and 51 say so.
        if let Some(format) = head.get_mut(50..52) {
            format.copy_from_slice(&1_u16.to_be_bytes());
        }
        let parts: [(&[u8; 4], Vec<u8>); 6] = [
            (b"glyf", glyf),
            (b"head", head),
            (b"hhea", table(b"hhea").to_vec()),
            (b"hmtx", table(b"hmtx").to_vec()),
            (b"loca", loca),
            (b"maxp", table(b"maxp").to_vec()),
        ];
        bound(&parts)
    }

    /// The outlines in use, and where each begins.
    fn outlines(&self, glyf: &[u8], loca: &[u8]) -> (Vec<u8>, Vec<u8>) {
        let count = usize::from(self.face.number_of_glyphs());
        let long = loca.len() == (count + 1) * 4;
        let start = |glyph: usize| {
            if long {
                word(loca, glyph * 4) << 16 | word(loca, glyph * 4 + 2)
            } else {
                word(loca, glyph * 2) * 2
            }
        };
        let outline = |glyph: usize| glyf.get(start(glyph)..start(glyph + 1)).unwrap_or(&[]);
        let mut keep = vec![false; count];
        let mut waiting: Vec<usize> = self.used.keys().map(|id| usize::from(*id)).collect();
        waiting.push(0);
        while let Some(glyph) = waiting.pop() {
            if glyph < count && !keep[glyph] {
                keep[glyph] = true;
                waiting.extend(parts_of(outline(glyph)));
            }
        }
        let (mut kept, mut places) = (Vec::new(), Vec::with_capacity((count + 1) * 4));
        for (glyph, keep) in keep.iter().enumerate() {
            places.extend(place(kept.len()));
            if *keep {
                kept.extend_from_slice(outline(glyph));
                kept.resize(kept.len().next_multiple_of(4), 0);
            }
        }
        places.extend(place(kept.len()));
        (kept, places)
    }
}

/// A place in the file, in four bytes.
fn place(at: usize) -> [u8; 4] {
    // The whole face is far smaller than four thousand million bytes.
    u32::try_from(at).unwrap_or(u32::MAX).to_be_bytes()
}

/// Two bytes as a number; nothing past the end.
fn word(bytes: &[u8], at: usize) -> usize {
    let byte = |i: usize| usize::from(bytes.get(i).copied().unwrap_or(0));
    byte(at) << 8 | byte(at + 1)
}

/// The glyphs that a glyph is put together from, as an accented letter is.
fn parts_of(outline: &[u8]) -> Vec<usize> {
    // A negative number of contours marks one that is put together.
    if outline.len() < 12 || word(outline, 0) < 0x8000 {
        return Vec::new();
    }
    const WORDS: usize = 0x1;
    const SCALE: usize = 0x8;
    const MORE: usize = 0x20;
    const TWO_SCALES: usize = 0x40;
    const MATRIX: usize = 0x80;
    let (mut found, mut at) = (Vec::new(), 10);
    while at + 4 <= outline.len() {
        let flags = word(outline, at);
        found.push(word(outline, at + 2));
        at += if flags & WORDS == 0 { 6 } else { 8 };
        at += match flags & (SCALE | TWO_SCALES | MATRIX) {
            SCALE => 2,
            TWO_SCALES => 4,
            MATRIX => 8,
            _ => 0,
        };
        if flags & MORE == 0 {
            break;
        }
    }
    found
}

/// The tables as one file, in the order of their names.
fn bound(parts: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    let count = u16::try_from(parts.len()).unwrap_or(0);
    let steps = count.max(1).ilog2();
    let range = 16_u16 << steps;
    let mut out = Vec::new();
    out.extend(0x0001_0000_u32.to_be_bytes());
    for half in [count, range, u16::try_from(steps).unwrap_or(0), count * 16 - range] {
        out.extend(half.to_be_bytes());
    }
    let mut at = 12 + parts.len() * 16;
    for (name, bytes) in parts {
        out.extend_from_slice(*name);
        out.extend(sum(bytes).to_be_bytes());
        out.extend(place(at));
        out.extend(place(bytes.len()));
        at += bytes.len().next_multiple_of(4);
    }
    for (_, bytes) in parts {
        out.extend_from_slice(bytes);
        out.resize(out.len().next_multiple_of(4), 0);
    }
    out
}

/// The check sum of a table: its words of four bytes added up.
fn sum(bytes: &[u8]) -> u32 {
    bytes.chunks(4).fold(0, |sum, chunk| {
        let byte = |i: usize| u32::from(chunk.get(i).copied().unwrap_or(0));
        let word = byte(0) << 24 | byte(1) << 16 | byte(2) << 8 | byte(3);
        sum.wrapping_add(word)
    })
}

#[cfg(test)]
mod tests {
    use super::Face;
    use crate::text::{Weight, text_width_mm};

    #[test]
    fn a_part_of_the_face_is_a_face_with_the_same_widths() {
        for weight in [Weight::Regular, Weight::Bold] {
            let mut face = Face::new(weight);
            let text = "Fünf Ω 0.1 mm";
            let codes = face.written(text);
            assert_eq!(codes.len(), text.chars().count() * 2, "two bytes a sign");
            let file = face.file();
            assert!(file.len() < 20_000, "{} bytes", file.len());
            let read = ttf_parser::Face::parse(&file, 0).expect("it is a face");
            let mut outlines = 0;
            for glyph in face.used() {
                let wide = read.glyph_hor_advance(ttf_parser::GlyphId(glyph.id));
                assert_eq!(wide, Some(glyph.advance), "{}", glyph.sign);
                let table = text_width_mm(&glyph.sign.to_string(), 1000.0, weight);
                assert!((f64::from(glyph.advance) - table).abs() < 0.5, "{}", glyph.sign);
                let bounds = read.glyph_bounding_box(ttf_parser::GlyphId(glyph.id));
                outlines += usize::from(bounds.is_some());
            }
            // Every sign of the text but the spaces has an outline: F ü n f Ω 0 . 1 m.
            assert_eq!(outlines, 9, "what is used is kept, with the parts of an accented letter");
        }
    }
}
