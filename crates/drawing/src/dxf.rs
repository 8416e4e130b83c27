//! Scenes as DXF for a shop that cuts: release 12, millimetres, one layer for each kind of work.
//!
//! Lines, arcs, circles and one-line texts, nothing else: every machine that reads DXF reads these. A
//! group of class `cut` or `drill` puts what is in it on that layer; all the rest is for the
//! eye and lies on the layer MARK. Surfaces and line weights are left out, because a machine would cut
//! them.

use crate::geometry::{Point, Step, at, outline};
use crate::scene::{Anchor, Item, Label, Scene};
use crate::svg::number as plain;
use engine::number;
use std::fmt::Write;

/// What is to be done along a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// Cut through.
    Cut,
    /// Drill a hole of the circle's diameter, at its middle.
    Drill,
    /// Nothing: for the eye.
    Mark,
}

impl Layer {
    /// Every layer.
    pub const ALL: [Self; 3] = [Self::Cut, Self::Drill, Self::Mark];

    /// Its name in the file.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Cut => "CUT",
            Self::Drill => "DRILL",
            Self::Mark => "MARK",
        }
    }

    /// The class of a group whose items lie on it.
    #[must_use]
    pub const fn class(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Drill => "drill",
            Self::Mark => "mark",
        }
    }

    /// Its colour by the numbers that every program knows: red, blue, and the colour of the ground
    /// turned over.
    const fn colour(self) -> u8 {
        match self {
            Self::Cut => 1,
            Self::Drill => 5,
            Self::Mark => 7,
        }
    }

    fn of(class: Option<&str>, around: Self) -> Self {
        let class = class.unwrap_or("");
        Self::ALL.into_iter().find(|l| l.class() == class).unwrap_or(around)
    }
}

/// The scene as a file. One unit is one millimetre; x to the right and y up, from the left lower
/// corner of the scene.
#[must_use]
pub fn dxf(scene: &Scene) -> String {
    let mut out = Tags(String::new());
    out.header(scene);
    out.layers();
    out.tag(0, "SECTION");
    out.tag(2, "ENTITIES");
    let mut file = Writer { out, height: scene.height };
    let mut waiting: Vec<(Layer, &Item)> =
        scene.items.iter().rev().map(|item| (Layer::Mark, item)).collect();
    while let Some((layer, item)) = waiting.pop() {
        if let Item::Group(group) = item {
            let layer = Layer::of(group.class.as_deref(), layer);
            waiting.extend(group.items.iter().rev().map(|item| (layer, item)));
        } else {
            file.item(layer, item);
        }
    }
    file.out.tag(0, "ENDSEC");
    file.out.tag(0, "EOF");
    file.out.0
}

/// Pairs of a number and a value, each on a line of its own.
struct Tags(String);

impl Tags {
    fn tag(&mut self, code: u8, value: &str) {
        // Writing into a String cannot fail.
        let _ = write!(self.0, "{code}\n{value}\n");
    }

    fn number(&mut self, code: u8, value: f64) {
        let text = plain(value);
        // A whole number is written with its point, because it is a real to the reader.
        let point = if text.contains('.') { "" } else { ".0" };
        self.tag(code, &format!("{text}{point}"));
    }

    fn header(&mut self, scene: &Scene) {
        self.tag(0, "SECTION");
        self.tag(2, "HEADER");
        self.tag(9, "$ACADVER");
        self.tag(1, "AC1009");
        for (name, x, y) in [("$EXTMIN", 0.0, 0.0), ("$EXTMAX", scene.width, scene.height)] {
            self.tag(9, name);
            self.number(10, x);
            self.number(20, y);
            self.number(30, 0.0);
        }
        // Metric measures; release 12 does not know the unit by itself.
        self.tag(9, "$MEASUREMENT");
        self.tag(70, "1");
        self.tag(0, "ENDSEC");
    }

    fn layers(&mut self) {
        self.tag(0, "SECTION");
        self.tag(2, "TABLES");
        self.tag(0, "TABLE");
        self.tag(2, "LTYPE");
        self.tag(70, "1");
        self.tag(0, "LTYPE");
        self.tag(2, "CONTINUOUS");
        self.tag(70, "0");
        self.tag(3, "Solid line");
        self.tag(72, "65");
        self.tag(73, "0");
        self.number(40, 0.0);
        self.tag(0, "ENDTAB");
        self.tag(0, "TABLE");
        self.tag(2, "LAYER");
        self.tag(70, &Layer::ALL.len().to_string());
        for layer in Layer::ALL {
            self.tag(0, "LAYER");
            self.tag(2, layer.name());
            self.tag(70, "0");
            self.tag(62, &layer.colour().to_string());
            self.tag(6, "CONTINUOUS");
        }
        self.tag(0, "ENDTAB");
        self.tag(0, "ENDSEC");
    }
}

struct Writer {
    out: Tags,
    height: f64,
}

impl Writer {
    fn item(&mut self, layer: Layer, item: &Item) {
        match item {
            // A surface without a line is a tone for the eye.
            Item::Path(p) if p.stroke.is_some() => {
                self.strokes(layer, &outline(&p.points, p.closed, p.corner));
            }
            Item::Circle(c) if c.stroke.is_some() => self.circle(layer, c.centre, c.radius),
            Item::Rect(r) if r.stroke.is_some() => {
                let c = r.corner;
                let (w, h) = (r.width, r.height);
                let points = [c, c.moved(w, 0.0), c.moved(w, h), c.moved(0.0, h)];
                self.strokes(layer, &outline(&points, true, r.round));
            }
            Item::Arc(a) => {
                // Clockwise on the sheet; the file counts the other way, from the right, y up.
                self.arc(layer, a.centre, a.radius, (-a.start - a.sweep, -a.start));
            }
            Item::Label(label) => self.text(layer, label),
            _ => {}
        }
    }

    fn strokes(&mut self, layer: Layer, steps: &[Step]) {
        let mut here = at(0.0, 0.0);
        let mut first = here;
        for step in steps {
            match *step {
                Step::Move(p) => {
                    here = p;
                    first = p;
                }
                Step::Line(p) => {
                    self.line(layer, here, p);
                    here = p;
                }
                Step::Arc { to, radius, clockwise } => {
                    self.bend(layer, here, to, (radius, clockwise));
                    here = to;
                }
                Step::Close => {
                    self.line(layer, here, first);
                    here = first;
                }
            }
        }
    }

    fn begin(&mut self, kind: &str, layer: Layer) {
        self.out.tag(0, kind);
        self.out.tag(8, layer.name());
    }

    fn place(&mut self, group: u8, p: Point) {
        self.out.number(group, p.x);
        self.out.number(group + 10, self.height - p.y);
        self.out.number(group + 20, 0.0);
    }

    fn line(&mut self, layer: Layer, from: Point, to: Point) {
        // Shorter than the last decimal, it is a point.
        if from.distance(to) < 1e-3 {
            return;
        }
        self.begin("LINE", layer);
        self.place(10, from);
        self.place(11, to);
    }

    fn circle(&mut self, layer: Layer, centre: Point, radius: f64) {
        self.begin("CIRCLE", layer);
        self.place(10, centre);
        self.out.number(40, radius);
    }

    /// Counter-clockwise from one angle to another, as the file counts [degrees].
    fn arc(&mut self, layer: Layer, centre: Point, radius: f64, (start, end): (f64, f64)) {
        self.begin("ARC", layer);
        self.place(10, centre);
        self.out.number(40, radius);
        for (code, angle) in [(50, start), (51, end)] {
            // A hair below nothing is nothing, not a full turn.
            let turn = angle.rem_euclid(360.0);
            self.out.number(code, if 360.0 - 1e-3 < turn { 0.0 } else { turn });
        }
    }

    /// A bend the short way from one place to another.
    fn bend(&mut self, layer: Layer, from: Point, to: Point, (radius, clockwise): (f64, bool)) {
        let chord = from.distance(to);
        if chord < 1e-3 {
            return;
        }
        let (ux, uy) = ((to.x - from.x) / chord, (to.y - from.y) / chord);
        let off = (radius * radius - chord * chord / 4.0).max(0.0).sqrt();
        // The middle lies to the right of the way where the bend is clockwise on the sheet.
        let side = if clockwise { 1.0 } else { -1.0 };
        let centre = from.towards(to, 0.5).moved(-uy * off * side, ux * off * side);
        let angle = |p: Point| number::atan2(centre.y - p.y, p.x - centre.x).to_degrees();
        let (a, b) = (angle(from), angle(to));
        self.arc(layer, centre, radius, if clockwise { (b, a) } else { (a, b) });
    }

    fn text(&mut self, layer: Layer, label: &Label) {
        self.begin("TEXT", layer);
        self.place(10, label.place);
        // A text is as high as its capitals.
        self.out.number(40, label.size * crate::text::CAPITAL);
        self.out.tag(1, &signs(&label.text));
        self.out.number(50, -label.turn);
        let anchor = match label.anchor {
            Anchor::Start => return,
            Anchor::Middle => "1",
            Anchor::End => "2",
        };
        self.out.tag(72, anchor);
        self.place(11, label.place);
    }
}

/// The text in the signs of release 12: no line ends, and what is beyond them in its long form.
fn signs(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for sign in text.chars() {
        match sign {
            '\u{a0}' => out.push(' '),
            '×' => out.push('x'),
            '−' | '–' => out.push('-'),
            'Ø' => out.push_str("%%c"),
            '°' => out.push_str("%%d"),
            ' '..='~' => out.push(sign),
            c if c.is_control() => out.push(' '),
            other => {
                let _ = write!(out, "\\U+{:04X}", u32::from(other));
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::dxf;
    use crate::geometry::at;
    use crate::scene::{Circle, Fill, Group, Item, Label, Path, Scene, Stroke};
    use crate::style::Tone;

    #[test]
    fn a_hole_lies_on_its_layer_with_y_up() {
        let stroke = Stroke::solid(Tone::Ink, 0.2);
        let hole =
            Circle { centre: at(20.0, 10.0), radius: 3.25, stroke: Some(stroke), fill: Fill::Open };
        let mut edge = Path::line(&[at(0.0, 0.0), at(50.0, 0.0), at(50.0, 30.0)], stroke);
        edge.corner = 4.0;
        let scene = Scene {
            id: "t".to_owned(),
            title: "t".to_owned(),
            description: String::new(),
            width: 50.0,
            height: 30.0,
            view: None,
            items: vec![
                Group::of("drill", vec![hole.into()]).into(),
                Group::of("cut", vec![edge.into()]).into(),
                Item::from(Label::new(at(1.0, 29.0), "6.5\u{a0}mm × 2\n", 4.0)),
            ],
        };
        let text = dxf(&scene);
        // Hand worked: 10 from the top of 30 is 20 from the bottom.
        let hole = "0\nCIRCLE\n8\nDRILL\n10\n20.0\n20\n20.0\n30\n0.0\n40\n3.25\n";
        assert!(text.contains(hole), "{text}");
        // The bend of 4 at the right upper corner is centred 4 in and 4 down: 46, 26; from 0 to 90 degrees.
        let bend = "0\nARC\n8\nCUT\n10\n46.0\n20\n26.0\n30\n0.0\n40\n4.0\n50\n0.0\n51\n90.0\n";
        assert!(text.contains(bend), "{text}");
        assert!(text.contains("\n1\n6.5 mm x 2 \n"), "{text}");
        assert!(text.ends_with("0\nENDSEC\n0\nEOF\n"), "the file is closed");
    }
}
