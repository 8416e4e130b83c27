//! What every chart is made of: a plot with two scales, words that wrap, and the sheet around it.

use super::{Foot, Setting};
use crate::geometry::{Point, at};
use crate::marks::sheet::{Area, frame, ground, title_block};
use crate::scene::{Anchor, Fill, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, wrapped};

/// From the edge of the sheet to whatever is drawn [mm].
pub const EDGE: f64 = 4.0;

/// From base line to base line of words [mm].
pub const LEADING: f64 = size::SMALL * 1.3;

/// A rectangle of paper with a scale each way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plot {
    /// Where it lies.
    pub area: Area,
    /// Values at its left and right edge.
    pub across: (f64, f64),
    /// Values at its lower and upper edge.
    pub up: (f64, f64),
}

impl Plot {
    /// From the left edge [mm].
    #[must_use]
    pub fn x(&self, value: f64) -> f64 {
        let span = (self.across.1 - self.across.0).max(1e-9);
        self.area.corner.x + (value - self.across.0) / span * self.area.width
    }

    /// From the top of the sheet [mm].
    #[must_use]
    pub fn y(&self, value: f64) -> f64 {
        let span = (self.up.1 - self.up.0).max(1e-9);
        self.low() - (value - self.up.0) / span * self.area.height
    }

    /// A place by its two values.
    #[must_use]
    pub fn place(&self, across: f64, up: f64) -> Point {
        at(self.x(across), self.y(up))
    }

    /// Its lower edge [mm].
    #[must_use]
    pub fn low(&self) -> f64 {
        self.area.corner.y + self.area.height
    }

    /// Its right edge [mm].
    #[must_use]
    pub fn right(&self) -> f64 {
        self.area.corner.x + self.area.width
    }

    /// Its ground.
    #[must_use]
    pub fn ground(&self) -> Item {
        let Area { corner, width, height } = self.area;
        let fill = Fill::Flat(Tone::Light);
        Rect { corner, width, height, round: 0.0, stroke: None, fill }.into()
    }

    /// Its left and lower edge, drawn over what is in it.
    #[must_use]
    pub fn axes(&self) -> Item {
        let corner = self.area.corner;
        let points = [corner, at(corner.x, self.low()), at(self.right(), self.low())];
        Path::line(&points, Stroke::solid(Tone::Ink, line::THIN)).into()
    }

    /// A level line through the whole plot.
    #[must_use]
    pub fn level(&self, value: f64, stroke: Stroke) -> Item {
        let y = self.y(value);
        Path::line(&[at(self.area.corner.x, y), at(self.right(), y)], stroke).into()
    }

    /// An upright line through the whole plot.
    #[must_use]
    pub fn upright(&self, value: f64, stroke: Stroke) -> Item {
        let x = self.x(value);
        Path::line(&[at(x, self.area.corner.y), at(x, self.low())], stroke).into()
    }

    /// A figure left of the plot, level with its value.
    #[must_use]
    pub fn beside(&self, value: f64, text: &str) -> Item {
        let place = at(self.area.corner.x - 1.5, self.y(value));
        let label = Label::new(place, text, size::SMALL).tone(Tone::Pencil);
        label.anchored(Anchor::End).levelled().into()
    }

    /// A figure under the plot.
    #[must_use]
    pub fn under(&self, value: f64, text: &str) -> Item {
        let place = at(self.x(value), self.low() + size::SMALL * 1.1);
        let label = Label::new(place, text, size::SMALL).tone(Tone::Pencil);
        label.anchored(Anchor::Middle).into()
    }

    /// The surface under a line, down to the lower edge.
    #[must_use]
    pub fn wash(&self, points: &[Point]) -> Option<Item> {
        let (first, last) = (points.first()?, points.last()?);
        let mut shape = vec![at(first.x, self.low())];
        shape.extend_from_slice(points);
        shape.push(at(last.x, self.low()));
        Some(Path::shape(&shape, None, Fill::Flat(Tone::Wash)).into())
    }
}

/// The faint lines of a scale.
#[must_use]
pub const fn faint() -> Stroke {
    Stroke::solid(Tone::Grid, line::THIN)
}

/// Steps of a scale: as many whole ones as do not crowd it, from 1, 2 and 5 and their tens.
#[must_use]
pub fn step(span: f64, most: f64) -> f64 {
    let mut tens = 0.001;
    for _ in 0..8 {
        for part in [1.0, 2.0, 5.0] {
            if span / (part * tens) <= most {
                return part * tens;
            }
        }
        tens *= 10.0;
    }
    tens
}

/// The steps of a scale within two values, both among them where they lie on one.
#[must_use]
pub fn steps(from: f64, to: f64, step: f64) -> Vec<f64> {
    let first = (from / step - 1e-9).ceil();
    let on = |n: u8| (first + f64::from(n)) * step;
    (0..=60).map(on).take_while(|v| *v <= to + 1e-9).collect()
}

/// Words that wrap, from the top of their first line; also where they end.
#[must_use]
pub fn words(corner: Point, width: f64, text: &str, bold: bool) -> (Vec<Item>, f64) {
    let (em, weight) =
        if bold { (size::LABEL, Weight::Bold) } else { (size::SMALL, Weight::Regular) };
    let mut items: Vec<Item> = Vec::new();
    let mut base = corner.y + em * 0.75;
    for text in wrapped(text, width, em, weight) {
        let label = Label { weight, ..Label::new(at(corner.x, base), &text, em) };
        items.push(label.into());
        base += em * 1.3;
    }
    (items, base - em * 0.75)
}

/// What a chart says of itself.
#[derive(Clone, Debug)]
pub struct Names<'a> {
    /// The rig.
    pub rig: &'a str,
    /// The stage.
    pub stage: &'a str,
    /// The kind of sheet.
    pub sheet: &'a str,
    /// The chart in a sentence or two, for a reader who cannot see it.
    pub description: String,
}

/// The sheet around what was drawn down to a place.
#[must_use]
pub fn sheet(setting: &Setting, names: &Names<'_>, mut items: Vec<Item>, low: f64) -> Scene {
    let mut height = low + EDGE;
    if setting.foot == Foot::TitleBlock {
        let width = (setting.width - 2.0 * EDGE).min(97.0);
        let corner = at(setting.width - EDGE - width, low + 3.0);
        let cells = [("rig", names.rig), ("sheet", names.sheet), ("stage", names.stage)];
        let (block, tall) = title_block(corner, width, &cells);
        items.push(block.into());
        height = corner.y + tall + EDGE;
    }
    let whole = Area { corner: at(0.0, 0.0), width: setting.width, height };
    let inner = Area { corner: at(1.0, 1.0), width: setting.width - 2.0, height: height - 2.0 };
    items.splice(0..0, [ground(whole), frame(inner)]);
    Scene {
        id: setting.id.clone(),
        title: format!("{}, {}", names.sheet, names.rig),
        description: names.description.clone(),
        width: setting.width,
        height,
        view: None,
        items,
    }
}

/// A minus sign as lettering has it.
#[must_use]
pub fn signed(text: &str) -> String {
    text.replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::{step, steps};

    #[test]
    fn a_scale_has_whole_steps_that_do_not_crowd() {
        // Hand worked: 7.3 hours in at most eight steps are hours; 23 in eight are fives; 2.1 V in
        // five are half volts.
        for (span, most, want) in [(7.3, 8.0, 1.0), (23.0, 8.0, 5.0), (2.1, 5.0, 0.5)] {
            assert!((step(span, most) - want).abs() < 1e-9, "{span} in {most}");
        }
        let found = steps(0.0, 2.0, 0.5);
        assert_eq!(found.len(), 5, "both ends are among them: {found:?}");
    }
}
