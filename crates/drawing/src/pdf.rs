//! Scenes as PDF at true size: what measures 100 mm in a scene measures 100 mm on paper.
//!
//! A browser may scale what it prints; a template may not be scaled, so it is written here. The page
//! boxes are the paper to the point, the file asks the printing program not to scale, and the lettering
//! is embedded with a table of its signs, so that a text can be searched and copied. No date and no
//! random name is written: the same scenes give the same bytes.

mod content;
mod face;

use crate::geometry::Point;
use crate::marks::sheet::Area;
use crate::scene::Scene;
use crate::text::Weight;
use content::Page;
use face::Face;
use pdf_writer::types::{CidFontType, FontFlags, SystemInfo, UnicodeCmap};
use pdf_writer::{Chunk, Filter, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

/// A PDF file: its title and its sheets.
#[derive(Clone, Debug, PartialEq)]
pub struct Document<'a> {
    /// Shown in the window's title.
    pub title: String,
    /// One page each.
    pub sheets: Vec<Sheet<'a>>,
}

/// One page.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet<'a> {
    /// Width of the paper [mm].
    pub width: f64,
    /// Height of the paper [mm].
    pub height: f64,
    /// What lies on it, from back to front.
    pub placed: Vec<Placed<'a>>,
}

/// A scene laid on a page, never scaled.
#[derive(Clone, Debug, PartialEq)]
pub struct Placed<'a> {
    /// The scene.
    pub scene: &'a Scene,
    /// Where its left upper corner lies on the page; it may lie off the page.
    pub corner: Point,
    /// The part of the page that shows it; `None` shows it wherever it lies.
    pub window: Option<Area>,
}

/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;

/// A page of its own size for one scene.
#[must_use]
pub fn single(scene: &Scene) -> Vec<u8> {
    let corner = crate::geometry::at(0.0, 0.0);
    let placed = vec![Placed { scene, corner, window: None }];
    let sheet = Sheet { width: scene.width, height: scene.height, placed };
    pdf(&Document { title: scene.title.clone(), sheets: vec![sheet] })
}

/// The file.
#[must_use]
pub fn pdf(document: &Document<'_>) -> Vec<u8> {
    let mut next = Refs(0);
    let (catalog, tree, info) = (next.take(), next.take(), next.take());
    let mut faces = [Face::new(Weight::Regular), Face::new(Weight::Bold)];
    let fonts = [next.take(), next.take()];
    let mut out = Pdf::new();
    // Asking the printing program not to scale came with 1.6.
    out.set_version(1, 7);
    out.catalog(catalog)
        .pages(tree)
        .lang(TextStr("en"))
        .viewer_preferences()
        .display_doc_title(true)
        .pair(Name(b"PrintScaling"), Name(b"None"));
    out.document_info(info).title(TextStr(&document.title)).producer(TextStr("Bankwright"));
    let mut pages = Vec::new();
    for sheet in &document.sheets {
        let (page, stream) = (next.take(), next.take());
        pages.push(page);
        let (width, height) = (points(sheet.width), points(sheet.height));
        let mut drawn = Page::new(&mut faces, sheet.height);
        for placed in &sheet.placed {
            drawn.place(placed);
        }
        let content = packed(&drawn.finish());
        out.stream(stream, &content).filter(Filter::FlateDecode);
        let paper = Rect::new(0.0, 0.0, width, height);
        let mut page = out.page(page);
        page.parent(tree).media_box(paper).crop_box(paper).trim_box(paper).contents(stream);
        let mut resources = page.resources();
        let mut names = resources.fonts();
        for (font, name) in fonts.iter().zip(content::FONTS) {
            names.pair(Name(name), *font);
        }
    }
    let count = i32::try_from(pages.len()).unwrap_or(i32::MAX);
    out.pages(tree).kids(pages).count(count);
    for (face, font) in faces.iter().zip(fonts) {
        write_face(&mut out, &mut next, face, font);
    }
    out.finish()
}

/// Numbers of the parts of the file, in order.
struct Refs(i32);

impl Refs {
    const fn take(&mut self) -> Ref {
        self.0 += 1;
        Ref::new(self.0)
    }
}

/// One weight of the lettering: the used glyphs, their widths, and which sign each is.
fn write_face(out: &mut Chunk, next: &mut Refs, face: &Face, font: Ref) {
    let (cid, descriptor, file, to_unicode) = (next.take(), next.take(), next.take(), next.take());
    let name = face.name();
    let name = Name(name.as_bytes());
    let system = SystemInfo { registry: Str(b"Adobe"), ordering: Str(b"Identity"), supplement: 0 };
    out.type0_font(font)
        .base_font(name)
        .encoding_predefined(Name(b"Identity-H"))
        .descendant_font(cid)
        .to_unicode(to_unicode);
    let used = face.used();
    let mut written = out.cid_font(cid);
    written
        .subtype(CidFontType::Type2)
        .base_font(name)
        .system_info(system)
        .font_descriptor(descriptor)
        .default_width(0.0)
        .cid_to_gid_map_predefined(Name(b"Identity"));
    let mut widths = written.widths();
    for glyph in &used {
        widths.same(glyph.id, glyph.id, f32::from(glyph.advance));
    }
    widths.finish();
    written.finish();
    let [left, low, right, top] = face.bounds().map(f32::from);
    out.font_descriptor(descriptor)
        .name(name)
        .flags(FontFlags::NON_SYMBOLIC)
        .bbox(Rect::new(left, low, right, top))
        .italic_angle(0.0)
        .ascent(f32::from(face.ascent()))
        .descent(f32::from(face.descent()))
        .cap_height(CAPITALS)
        .stem_v(face.stem())
        .font_file2(file);
    let bytes = face.file();
    let length = i32::try_from(bytes.len()).unwrap_or(i32::MAX);
    let content = packed(&bytes);
    out.stream(file, &content).filter(Filter::FlateDecode).pair(Name(b"Length1"), length);
    let mut map = UnicodeCmap::new(Name(b"Lettering"), system);
    for glyph in &used {
        map.pair(glyph.id, glyph.sign);
    }
    let content = packed(map.finish().as_slice());
    out.stream(to_unicode, &content).filter(Filter::FlateDecode);
}

/// Height of the capitals, in thousandths of the em; see `text::CAPITAL`.
const CAPITALS: f32 = 668.0;

/// Packed as zlib does, at a level that any reader opens and that is quick.
fn packed(bytes: &[u8]) -> Vec<u8> {
    miniz_oxide::deflate::compress_to_vec_zlib(bytes, 6)
}

/// Millimetres as points.
fn points(mm: f64) -> f32 {
    single_precision(mm * POINTS)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "seven digits hold a metre to a ten-thousandth of a millimetre"
)]
const fn single_precision(value: f64) -> f32 {
    value as f32
}

#[cfg(test)]
mod tests {
    use super::single;
    use crate::geometry::at;
    use crate::scene::{Label, Scene};

    fn scene() -> Scene {
        Scene {
            id: "t".to_owned(),
            title: "Template".to_owned(),
            description: String::new(),
            width: 215.9,
            height: 279.4,
            view: None,
            items: vec![Label::new(at(20.0, 20.0), "Ωmega 100 mm", 4.0).bold().into()],
        }
    }

    #[test]
    fn the_page_is_the_paper_and_the_printer_is_asked_not_to_scale() {
        let bytes = single(&scene());
        let text = String::from_utf8_lossy(&bytes);
        // 8 1/2 by 11 inches of 72 points.
        assert!(text.contains("/MediaBox [0 0 612 792]"), "the paper to the point");
        assert!(text.contains("/PrintScaling /None"), "it asks for true size");
        assert!(!text.contains("CreationDate") && !text.contains("/ID"), "no clock, no chance");
        assert_eq!(bytes, single(&scene()), "the same scene, the same bytes");
    }
}
