//! Scenes as SVG text: the same scene gives the same bytes on every system.

use crate::geometry::{Step, outline};
use crate::pictures::Setting as Sheet;
use crate::scene::{
    Anchor, Arc, Circle, Dash, Fill, Group, Item, Label, Path, Rect, Scene, Stroke,
};
use crate::style::Tone;
use crate::text::{FAMILY, font_face_css};
use std::fmt::Write;

/// Where the picture will stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Inside a book or page that brings the face itself.
    Inline,
    /// A file of its own, which carries the face in itself.
    Standalone,
    /// On a page that can be taken hold of: its size in screen pixels, and every part that has a name
    /// of its own can be reached by the keyboard and is announced as a button.
    Held,
}

/// The picture as SVG. One unit is one millimetre on paper.
#[must_use]
pub fn svg(scene: &Scene, setting: Setting) -> String {
    parted(scene, setting).0
}

/// A part of a picture that has a name of its own: its id and where it stands in the SVG.
pub type Part = (String, std::ops::Range<usize>);

/// The picture as SVG, and its description and named parts in the order in which they stand, so that one
/// of them can be put in its place without the others.
#[must_use]
pub fn parted(scene: &Scene, setting: Setting) -> (String, Vec<Part>) {
    let (mut out, mut parts) = (String::new(), Vec::new());
    let (w, h) = (number(scene.width), number(scene.height));
    let id = escaped(&scene.id);
    let size = match setting {
        Setting::Inline => String::new(),
        Setting::Standalone => format!(" width=\"{w}mm\" height=\"{h}mm\""),
        Setting::Held => format!(
            " width=\"{}\" height=\"{}\"",
            number(scene.width * Sheet::PIXELS_PER_MM),
            number(scene.height * Sheet::PIXELS_PER_MM)
        ),
    };
    let scale = scene.view.map_or(String::new(), |v| {
        let (x, y) = (number(v.origin.x), number(v.origin.y));
        format!(" data-scale=\"{}\" data-origin=\"{x} {y}\"", fine_number(v.scale))
    });
    put(
        &mut out,
        format_args!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" id=\"{id}\"{size} viewBox=\"0 0 {w} {h}\" \
             role=\"group\" aria-labelledby=\"{id}-title\" aria-describedby=\"{id}-desc\" \
             font-family=\"'{FAMILY}',sans-serif\" fill=\"none\" stroke-linejoin=\"round\" \
             stroke-linecap=\"round\"{scale}>\n\
             <title id=\"{id}-title\">{}</title>\n",
            escaped(&scene.title),
        ),
    );
    let begins = out.len();
    let description = escaped(&description(scene));
    put(&mut out, format_args!("<desc id=\"{id}-desc\">{description}</desc>\n"));
    parts.push((format!("{}-desc", scene.id), begins..out.len()));
    if setting == Setting::Standalone {
        put(&mut out, format_args!("<style>{}</style>\n", font_face_css()));
    }
    hatches(&mut out, scene);
    let pen = Pen { scene: &scene.id, held: setting == Setting::Held };
    for item in &scene.items {
        let begins = out.len();
        write_item(&mut out, pen, item);
        if let Item::Group(Group { id: Some(id), .. }) = item {
            parts.push((format!("{}-{id}", scene.id), begins..out.len()));
        }
    }
    out.push_str("</svg>\n");
    (out, parts)
}

/// A number with at most three decimals, no trailing zeros and no minus before zero.
#[must_use]
pub fn number(value: f64) -> String {
    decimals(value, 3)
}

/// Six decimals, for a scale that the page multiplies with.
fn fine_number(value: f64) -> String {
    decimals(value, 6)
}

fn decimals(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

/// Text that cannot end the element or attribute it stands in.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // Signs below the space are not allowed in XML; a name that holds one loses it.
            '\u{0}'..='\u{1f}' => out.push(' '),
            other => out.push(other),
        }
    }
    out
}

fn description(scene: &Scene) -> String {
    let scale = scene.view.map_or(String::new(), |v| format!(" Scale {}.", v.says()));
    format!("{}{scale}", scene.description)
}

fn put(out: &mut String, args: std::fmt::Arguments<'_>) {
    // Writing into a String cannot fail.
    let _ = out.write_fmt(args);
}

/// Every hatch used, once, in drawing order.
fn hatches(out: &mut String, scene: &Scene) {
    let mut known: Vec<(Tone, String)> = Vec::new();
    let mut waiting: Vec<&Item> = scene.items.iter().rev().collect();
    while let Some(item) = waiting.pop() {
        let fill = match item {
            Item::Group(group) => {
                waiting.extend(group.items.iter().rev());
                continue;
            }
            Item::Path(path) => path.fill,
            Item::Circle(circle) => circle.fill,
            Item::Rect(rect) => rect.fill,
            Item::Arc(_) | Item::Label(_) => continue,
        };
        if let Fill::Hatch(tone, apart) = fill {
            let entry = (tone, number(apart));
            if !known.contains(&entry) {
                known.push(entry);
            }
        }
    }
    for (tone, apart) in known {
        put(
            out,
            format_args!(
                "<pattern id=\"{}\" width=\"{apart}\" height=\"{apart}\" \
                 patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
                 <path d=\"M0 0V{apart}\" stroke=\"{}\" stroke-width=\"0.25\"/></pattern>\n",
                hatch_id(&scene.id, tone, &apart),
                tone.hex()
            ),
        );
    }
}

fn hatch_id(scene: &str, tone: Tone, apart: &str) -> String {
    format!("{}-hatch-{}-{}", escaped(scene), tone.name(), apart.replace('.', "_"))
}

/// What every mark of a picture is written with.
#[derive(Clone, Copy)]
struct Pen<'a> {
    /// The stem of every id.
    scene: &'a str,
    /// Parts can be taken hold of.
    held: bool,
}

/// Groups nest a few deep and are built by our own pictures, so the call stack stays shallow.
fn write_item(out: &mut String, pen: Pen<'_>, item: &Item) {
    match item {
        Item::Group(group) => write_group(out, pen, group),
        Item::Path(path) => write_path(out, pen.scene, path),
        Item::Circle(circle) => write_circle(out, pen.scene, circle),
        Item::Rect(rect) => write_rect(out, pen.scene, rect),
        Item::Arc(arc) => write_arc(out, arc),
        Item::Label(label) => write_label(out, label),
    }
}

fn write_group(out: &mut String, pen: Pen<'_>, group: &Group) {
    out.push_str("<g");
    if let Some(id) = &group.id {
        put(out, format_args!(" id=\"{}-{}\"", escaped(pen.scene), escaped(id)));
    }
    if let Some(class) = &group.class {
        put(out, format_args!(" class=\"{}\"", escaped(class)));
    }
    for (name, value) in &group.data {
        put(out, format_args!(" data-{}=\"{}\"", escaped(name), escaped(value)));
    }
    if pen.held && group.title.is_some() && !group.data.is_empty() {
        out.push_str(" role=\"button\" tabindex=\"0\"");
    } else if pen.held && group.title.is_some() && holds_parts(&group.items) {
        // Nothing that can be worked may stand inside a picture that is read out as one.
        out.push_str(" role=\"group\"");
    } else if group.title.is_some() {
        // A named part is read out by its title; the signs and figures in it need not be spelled.
        out.push_str(" role=\"img\"");
    }
    out.push('>');
    if let Some(title) = &group.title {
        put(out, format_args!("<title>{}</title>", escaped(title)));
    }
    if let Some(description) = &group.description {
        put(out, format_args!("<desc>{}</desc>", escaped(description)));
    }
    out.push('\n');
    for item in &group.items {
        write_item(out, pen, item);
    }
    out.push_str("</g>\n");
}

/// Whether something among them, at any depth, can be taken hold of.
fn holds_parts(items: &[Item]) -> bool {
    items.iter().any(|item| match item {
        Item::Group(g) => (g.title.is_some() && !g.data.is_empty()) || holds_parts(&g.items),
        _ => false,
    })
}

fn write_path(out: &mut String, scene: &str, path: &Path) {
    let d = steps_text(&outline(&path.points, path.closed, path.corner));
    let paint = paint(scene, path.stroke, path.fill);
    put(out, format_args!("<path d=\"{d}\"{paint}/>\n"));
}

fn steps_text(steps: &[Step]) -> String {
    let mut d = String::new();
    let mut last: Option<(String, String)> = None;
    for step in steps {
        let to = match step {
            Step::Move(p) | Step::Line(p) => p,
            Step::Arc { to, .. } => to,
            Step::Close => {
                d.push('Z');
                continue;
            }
        };
        let (x, y) = (number(to.x), number(to.y));
        let (same_x, same_y) = last.as_ref().map_or((false, false), |(a, b)| (*a == x, *b == y));
        match step {
            Step::Arc { radius, clockwise, .. } => {
                let (r, flag) = (number(*radius), u8::from(*clockwise));
                put(&mut d, format_args!("A{r} {r} 0 0 {flag} {x} {y}"));
            }
            Step::Line(_) if same_y => put(&mut d, format_args!("H{x}")),
            Step::Line(_) if same_x => put(&mut d, format_args!("V{y}")),
            Step::Line(_) => put(&mut d, format_args!("L{x} {y}")),
            Step::Move(_) | Step::Close => put(&mut d, format_args!("M{x} {y}")),
        }
        last = Some((x, y));
    }
    d
}

fn write_circle(out: &mut String, scene: &str, circle: &Circle) {
    let (x, y, r) = (number(circle.centre.x), number(circle.centre.y), number(circle.radius));
    let paint = paint(scene, circle.stroke, circle.fill);
    put(out, format_args!("<circle cx=\"{x}\" cy=\"{y}\" r=\"{r}\"{paint}/>\n"));
}

fn write_rect(out: &mut String, scene: &str, rect: &Rect) {
    let (x, y) = (number(rect.corner.x), number(rect.corner.y));
    let (w, h) = (number(rect.width), number(rect.height));
    let round =
        if 0.0 < rect.round { format!(" rx=\"{}\"", number(rect.round)) } else { String::new() };
    let paint = paint(scene, rect.stroke, rect.fill);
    put(
        out,
        format_args!("<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\"{round}{paint}/>\n"),
    );
}

fn write_arc(out: &mut String, arc: &Arc) {
    let start = arc.centre.moved(arc.radius, 0.0);
    let from = start.turned(arc.centre, arc.start);
    let to = start.turned(arc.centre, arc.start + arc.sweep);
    let (r, large) = (number(arc.radius), u8::from(180.0 < arc.sweep));
    let paint = paint("", Some(arc.stroke), Fill::Open);
    put(
        out,
        format_args!(
            "<path d=\"M{} {}A{r} {r} 0 {large} 1 {} {}\"{paint}/>\n",
            number(from.x),
            number(from.y),
            number(to.x),
            number(to.y)
        ),
    );
}

fn paint(scene: &str, stroke: Option<Stroke>, fill: Fill) -> String {
    let mut out = match fill {
        // The picture as a whole is unfilled, with round ends and bends; only what differs says so.
        Fill::Open => String::new(),
        Fill::Flat(tone) => format!(" fill=\"{}\"", tone.hex()),
        Fill::Hatch(tone, apart) => {
            format!(" fill=\"url(#{})\"", hatch_id(scene, tone, &number(apart)))
        }
    };
    let Some(stroke) = stroke else { return out };
    put(
        &mut out,
        format_args!(" stroke=\"{}\" stroke-width=\"{}\"", stroke.tone.hex(), number(stroke.width)),
    );
    match stroke.dash {
        Dash::Solid => {}
        Dash::Dashed(on) => {
            put(
                &mut out,
                format_args!(
                    " stroke-dasharray=\"{} {}\" stroke-linecap=\"butt\"",
                    number(on),
                    number(on / 1.5)
                ),
            );
        }
        Dash::Beads(apart) => {
            put(&mut out, format_args!(" stroke-dasharray=\"0 {}\"", number(apart)));
        }
    }
    out
}

fn write_label(out: &mut String, label: &Label) {
    let (x, y) = (number(label.place.x), number(label.place.y));
    put(
        out,
        format_args!(
            "<text x=\"{x}\" y=\"{y}\" font-size=\"{}\" fill=\"{}\"",
            number(label.size),
            label.tone.hex()
        ),
    );
    match label.anchor {
        Anchor::Start => {}
        Anchor::Middle => out.push_str(" text-anchor=\"middle\""),
        Anchor::End => out.push_str(" text-anchor=\"end\""),
    }
    if label.weight != crate::text::Weight::Regular {
        put(out, format_args!(" font-weight=\"{}\"", label.weight.number()));
    }
    if 1e-9 < label.turn.abs() {
        put(out, format_args!(" transform=\"rotate({} {x} {y})\"", number(label.turn)));
    }
    if let Some(rim) = label.rim {
        // The rim is drawn under the letters, a fifth of the em wide in all.
        let width = number(label.size / 5.0);
        put(
            out,
            format_args!(
                " stroke=\"{}\" stroke-width=\"{width}\" stroke-linejoin=\"round\" paint-order=\"stroke\"",
                rim.hex()
            ),
        );
    }
    put(out, format_args!(">{}</text>\n", escaped(&label.text)));
}

#[cfg(test)]
mod tests {
    use super::{Setting, escaped, number, parted, svg};
    use crate::geometry::at;
    use crate::scene::{Fill, Group, Label, Rect, Scene};
    use crate::style::Tone;

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (-0.0004, "0"),
            (-0.0006, "-0.001"),
            (1.0, "1"),
            (12.3456, "12.346"),
            (100.0, "100"),
            (0.5, "0.5"),
        ] {
            assert_eq!(number(value), text, "of {value}");
        }
    }

    #[test]
    fn names_cannot_break_out_of_the_picture() {
        assert_eq!(escaped("a<b & \"c\">\u{7}"), "a&lt;b &amp; &quot;c&quot;&gt; ", "all five");
    }

    #[test]
    fn hatches_are_defined_once_and_ids_carry_the_scene() {
        let rect = Rect {
            corner: at(1.0, 1.0),
            width: 5.0,
            height: 5.0,
            round: 0.0,
            stroke: None,
            fill: Fill::Hatch(Tone::Pencil, 1.5),
        };
        let mut group = Group::named("a1", "block", "Block A1");
        group.items = vec![rect.clone().into(), rect.into()];
        group.items.push(Label::new(at(2.0, 8.0), "A1 <new>", 4.0).into());
        let scene = Scene {
            id: "plan".to_owned(),
            title: "Plan".to_owned(),
            description: "Two.".to_owned(),
            width: 10.0,
            height: 10.0,
            view: None,
            items: vec![group.into()],
        };
        let text = svg(&scene, Setting::Inline);
        assert_eq!(text.matches("<pattern").count(), 1, "one pattern for both");
        assert!(text.contains("id=\"plan-a1\""), "{text}");
        assert!(text.contains("A1 &lt;new&gt;"), "{text}");
        assert!(!text.contains("@font-face"), "the page brings the face");
        assert!(svg(&scene, Setting::Standalone).contains("@font-face"), "a file carries it");
        let (whole, parts) = parted(&scene, Setting::Inline);
        assert_eq!(whole, text, "the same picture");
        let [(desc, _), (id, range)] = parts.as_slice() else {
            panic!("two have names: {parts:?}")
        };
        assert_eq!([desc.as_str(), id], ["plan-desc", "plan-a1"], "as they stand in the picture");
        let part = &whole[range.clone()];
        assert!(part.starts_with("<g id=\"plan-a1\"") && part.ends_with("</g>\n"), "{part}");
    }

    #[test]
    fn a_held_picture_offers_its_parts_to_the_keyboard() {
        let mut block = Group::named("block-A1", "block", "Block A1");
        block.data.push(("block".to_owned(), "A1".to_owned()));
        let walls = Group::named("box", "box", "Battery box");
        let scene = Scene {
            id: "plan".to_owned(),
            title: "Plan".to_owned(),
            description: "One.".to_owned(),
            width: 10.0,
            height: 20.0,
            view: None,
            items: vec![walls.into(), block.into()],
        };
        let text = svg(&scene, Setting::Held);
        assert!(text.contains("data-block=\"A1\" role=\"button\" tabindex=\"0\""), "{text}");
        assert_eq!(text.matches("tabindex").count(), 1, "the box is only looked at: {text}");
        // 10 and 20 mm at 3.4 pixels each.
        assert!(text.contains(" width=\"34\" height=\"68\""), "{text}");
        assert!(!svg(&scene, Setting::Inline).contains("tabindex"), "a book is not taken hold of");
    }
}
