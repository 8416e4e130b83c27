//! What a picture is made of: a few kinds of marks in millimetres on paper, in named groups.
//!
//! Pictures build scenes; the SVG writer and the others turn them into files. A scene knows nothing of
//! batteries. Everything is in millimetres on paper; [`View`] maps the rig to it, so that lettering and
//! line weights keep their printed size at every scale.

use crate::geometry::{Corners, Point, View, at};
use crate::style::Tone;
use crate::text::{CAPITAL, TAIL, Weight, text_width_mm};

/// One picture.
#[derive(Clone, Debug, PartialEq)]
pub struct Scene {
    /// Stem of every id in it; two pictures in one book have different ids.
    pub id: String,
    /// Its name, read out by a screen reader.
    pub title: String,
    /// What it shows, in a sentence or two.
    pub description: String,
    /// Width on paper [mm].
    pub width: f64,
    /// Height on paper [mm].
    pub height: f64,
    /// How the rig is laid on the paper; `None` for a picture without a scale.
    pub view: Option<View>,
    /// What is drawn, from back to front.
    pub items: Vec<Item>,
}

/// One thing in a picture.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A named part.
    Group(Group),
    /// A line through points.
    Path(Path),
    /// A circle.
    Circle(Circle),
    /// An upright rectangle.
    Rect(Rect),
    /// Part of a circle.
    Arc(Arc),
    /// One line of lettering.
    Label(Label),
}

/// Things that belong together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Group {
    /// Unique in the picture; the scene's id is put before it.
    pub id: Option<String>,
    /// For style sheets and for the page to find it by.
    pub class: Option<String>,
    /// Read out by a screen reader and shown when pointed at.
    pub title: Option<String>,
    /// Read out after the title.
    pub description: Option<String>,
    /// What the page needs to know about it, as `data-` names and values.
    pub data: Vec<(String, String)>,
    /// From back to front.
    pub items: Vec<Item>,
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Its tone.
    pub tone: Tone,
    /// Its width [mm].
    pub width: f64,
    /// Whether it is broken.
    pub dash: Dash,
}

/// Whether a line is broken.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dash {
    /// Whole.
    Solid,
    /// A wish: strokes of this length with gaps two thirds as long [mm].
    Dashed(f64),
    /// Round beads, this far from middle to middle [mm].
    Beads(f64),
}

/// How a surface is filled.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Fill {
    /// Nothing: what is behind shows.
    Open,
    /// One tone.
    Flat(Tone),
    /// Slanting lines of a tone, this far apart [mm].
    Hatch(Tone, f64),
}

/// A line through points.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    /// The points.
    pub points: Vec<Point>,
    /// Back to the first point at the end.
    pub closed: bool,
    /// Radius of its bends [mm].
    pub corner: f64,
    /// The line, if it is drawn.
    pub stroke: Option<Stroke>,
    /// The surface.
    pub fill: Fill,
}

/// A circle.
#[derive(Clone, Debug, PartialEq)]
pub struct Circle {
    /// Its middle.
    pub centre: Point,
    /// Its radius [mm].
    pub radius: f64,
    /// The line, if it is drawn.
    pub stroke: Option<Stroke>,
    /// The surface.
    pub fill: Fill,
}

/// An upright rectangle.
#[derive(Clone, Debug, PartialEq)]
pub struct Rect {
    /// Left upper corner.
    pub corner: Point,
    /// Width [mm].
    pub width: f64,
    /// Height [mm].
    pub height: f64,
    /// Radius of its corners [mm].
    pub round: f64,
    /// The line, if it is drawn.
    pub stroke: Option<Stroke>,
    /// The surface.
    pub fill: Fill,
}

/// Part of a circle, clockwise as seen on the sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct Arc {
    /// Middle of the circle.
    pub centre: Point,
    /// Its radius [mm].
    pub radius: f64,
    /// Where it starts, from the right, clockwise [degrees].
    pub start: f64,
    /// How far it runs, less than a full turn [degrees].
    pub sweep: f64,
    /// The line.
    pub stroke: Stroke,
}

/// Which part of the lettering stands at the given place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// One line of lettering.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Where it stands, on the base line.
    pub place: Point,
    /// What it says.
    pub text: String,
    /// Height of the em [mm].
    pub size: f64,
    /// How heavy.
    pub weight: Weight,
    /// Which part of it stands at the place.
    pub anchor: Anchor,
    /// Turned about its place, clockwise [degrees].
    pub turn: f64,
    /// Its tone.
    pub tone: Tone,
    /// A rim in this tone around the letters, so that they read over lines.
    pub rim: Option<Tone>,
}

impl Label {
    /// Regular ink that starts at a place.
    #[must_use]
    pub fn new(place: Point, text: &str, size: f64) -> Self {
        Self {
            place,
            text: text.to_owned(),
            size,
            weight: Weight::Regular,
            anchor: Anchor::Start,
            turn: 0.0,
            tone: Tone::Ink,
            rim: None,
        }
    }

    /// The same in bold.
    #[must_use]
    pub fn bold(mut self) -> Self {
        self.weight = Weight::Bold;
        self
    }

    /// The same in another tone.
    #[must_use]
    pub fn tone(mut self, tone: Tone) -> Self {
        self.tone = tone;
        self
    }

    /// The same with another part of it at its place.
    #[must_use]
    pub fn anchored(mut self, anchor: Anchor) -> Self {
        self.anchor = anchor;
        self
    }

    /// The same turned about its place, clockwise [degrees].
    #[must_use]
    pub fn turned(mut self, degrees: f64) -> Self {
        self.turn = degrees;
        self
    }

    /// The same with a rim, so that it reads over lines.
    #[must_use]
    pub fn rimmed(mut self, tone: Tone) -> Self {
        self.rim = Some(tone);
        self
    }

    /// The same with the middle of its capitals, not the base line, at the height of its place.
    #[must_use]
    pub fn levelled(mut self) -> Self {
        let down = at(0.0, self.size * CAPITAL / 2.0).turned(at(0.0, 0.0), self.turn);
        self.place = self.place.moved(down.x, down.y);
        self
    }

    /// Its width [mm].
    #[must_use]
    pub fn width(&self) -> f64 {
        text_width_mm(&self.text, self.size, self.weight)
    }

    /// The box around it, from the top of the capitals to the tails.
    #[must_use]
    pub fn corners(&self) -> Corners {
        let width = self.width();
        let left = match self.anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => -width / 2.0,
            Anchor::End => -width,
        };
        let (top, low) = (-self.size * CAPITAL, self.size * TAIL);
        let corner = |dx: f64, dy: f64| self.place.moved(dx, dy).turned(self.place, self.turn);
        Corners([
            corner(left, top),
            corner(left + width, top),
            corner(left + width, low),
            corner(left, low),
        ])
    }
}

impl Stroke {
    /// A whole line.
    #[must_use]
    pub const fn solid(tone: Tone, width: f64) -> Self {
        Self { tone, width, dash: Dash::Solid }
    }

    /// A wish.
    #[must_use]
    pub const fn dashed(tone: Tone, width: f64, dash: f64) -> Self {
        Self { tone, width, dash: Dash::Dashed(dash) }
    }
}

impl Path {
    /// An open line without bends rounded.
    #[must_use]
    pub fn line(points: &[Point], stroke: Stroke) -> Self {
        Self {
            points: points.to_vec(),
            closed: false,
            corner: 0.0,
            stroke: Some(stroke),
            fill: Fill::Open,
        }
    }

    /// A closed shape without corners rounded.
    #[must_use]
    pub fn shape(points: &[Point], stroke: Option<Stroke>, fill: Fill) -> Self {
        Self { points: points.to_vec(), closed: true, corner: 0.0, stroke, fill }
    }
}

impl Group {
    /// A group that the page and screen readers find by name.
    #[must_use]
    pub fn named(id: &str, class: &str, title: &str) -> Self {
        Self {
            id: Some(id.to_owned()),
            class: Some(class.to_owned()),
            title: Some(title.to_owned()),
            ..Self::default()
        }
    }

    /// A group without a name of its own.
    #[must_use]
    pub fn of(class: &str, items: Vec<Item>) -> Self {
        Self { class: Some(class.to_owned()), items, ..Self::default() }
    }
}

impl From<Group> for Item {
    fn from(it: Group) -> Self {
        Self::Group(it)
    }
}

impl From<Path> for Item {
    fn from(it: Path) -> Self {
        Self::Path(it)
    }
}

impl From<Circle> for Item {
    fn from(it: Circle) -> Self {
        Self::Circle(it)
    }
}

impl From<Rect> for Item {
    fn from(it: Rect) -> Self {
        Self::Rect(it)
    }
}

impl From<Arc> for Item {
    fn from(it: Arc) -> Self {
        Self::Arc(it)
    }
}

impl From<Label> for Item {
    fn from(it: Label) -> Self {
        Self::Label(it)
    }
}

impl Scene {
    /// Every line of lettering, in drawing order.
    #[must_use]
    pub fn labels(&self) -> Vec<&Label> {
        let mut found = Vec::new();
        let mut waiting: Vec<&Item> = self.items.iter().rev().collect();
        while let Some(item) = waiting.pop() {
            match item {
                Item::Label(label) => found.push(label),
                Item::Group(group) => waiting.extend(group.items.iter().rev()),
                _ => {}
            }
        }
        found
    }

    /// Every line of lettering with the box around it.
    #[must_use]
    pub fn text_boxes(&self) -> Vec<(&str, Corners)> {
        self.labels().into_iter().map(|l| (l.text.as_str(), l.corners())).collect()
    }
}
