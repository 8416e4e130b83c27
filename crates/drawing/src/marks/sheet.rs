//! The sheet itself: ground, squares, frame, title block and boxes to tick.

use crate::geometry::{Point, at};
use crate::scene::{Fill, Group, Item, Label, Path, Rect, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, text_width_mm};

/// A box on the sheet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Left upper corner.
    pub corner: Point,
    /// Width [mm].
    pub width: f64,
    /// Height [mm].
    pub height: f64,
}

impl Area {
    fn rect(self, stroke: Option<Stroke>, fill: Fill) -> Rect {
        let Self { corner, width, height } = self;
        Rect { corner, width, height, round: 0.0, stroke, fill }
    }
}

/// The ground in the tone of the paper.
#[must_use]
pub fn ground(area: Area) -> Item {
    area.rect(None, Fill::Flat(Tone::Paper)).into()
}

/// The thin frame.
#[must_use]
pub fn frame(area: Area) -> Item {
    area.rect(Some(Stroke::solid(Tone::Ink, line::THIN)), Fill::Open).into()
}

/// The squares of the board, this far apart.
#[must_use]
pub fn squares(area: Area, apart: f64) -> Group {
    // Each direction is one line that runs to and fro, which keeps the file small; its turns lie on the
    // outermost lines of the other direction.
    let stroke = Stroke::solid(Tone::Grid, line::HAIR);
    let (columns, rows) = (whole(area.width, apart), whole(area.height, apart));
    let (left, top) = (area.corner.x, area.corner.y);
    let (right, low) = (left + f64::from(columns) * apart, top + f64::from(rows) * apart);
    let mut down: Vec<Point> = Vec::new();
    for i in 0..=columns {
        let x = left + f64::from(i) * apart;
        let ends = if i % 2 == 0 { [top, low] } else { [low, top] };
        down.extend(ends.map(|y| at(x, y)));
    }
    let mut across: Vec<Point> = Vec::new();
    for i in 0..=rows {
        let y = top + f64::from(i) * apart;
        let ends = if i % 2 == 0 { [left, right] } else { [right, left] };
        across.extend(ends.map(|x| at(x, y)));
    }
    let items = vec![Path::line(&down, stroke).into(), Path::line(&across, stroke).into()];
    Group::of("squares", items)
}

/// Whole squares in a length, counted up so that no cast is needed; at most a thousand.
fn whole(length: f64, apart: f64) -> u16 {
    (1..=1000_u16).take_while(|&i| f64::from(i) * apart <= length + 1e-9).last().unwrap_or(0)
}

/// Height of a row of the title block [mm].
const ROW: f64 = 10.6;

/// The title block: two columns of small names with their values; also the height it takes.
///
/// A value too long for its cell is shortened with an ellipsis, so that it never leaves the cell.
#[must_use]
pub fn title_block(corner: Point, width: f64, cells: &[(&str, &str)]) -> (Group, f64) {
    let stroke = Stroke::solid(Tone::Ink, line::THIN);
    let column = width / 2.0;
    let mut items: Vec<Item> = Vec::new();
    let mut y = corner.y;
    for row in cells.chunks(2) {
        for (x, (name, value)) in [corner.x, corner.x + column].into_iter().zip(row) {
            let cell = Area { corner: at(x, y), width: column, height: ROW };
            items.push(cell.rect(Some(stroke), Fill::Flat(Tone::Light)).into());
            let inner = column - 3.0;
            let name = Label::new(at(x + 1.5, y + 4.0), name, size::SMALL).tone(Tone::Pencil);
            items.push(name.into());
            let value = shortened(value, inner, size::LABEL);
            items.push(Label::new(at(x + 1.5, y + 8.8), &value, size::LABEL).into());
        }
        y += ROW;
    }
    (Group::of("title-block", items), y - corner.y)
}

/// The text, or as much of it as fits before an ellipsis.
#[must_use]
pub fn shortened(text: &str, width: f64, size: f64) -> String {
    let fits = |t: &str| text_width_mm(t, size, Weight::Regular) <= width;
    if fits(text) {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let candidate = format!("{}…", kept.trim_end());
        if fits(&candidate) {
            return candidate;
        }
    }
    String::new()
}

/// An empty box to tick, by its left upper corner.
#[must_use]
pub fn tick_box(corner: Point, side: f64) -> Item {
    let area = Area { corner, width: side, height: side };
    area.rect(Some(Stroke::solid(Tone::Ink, line::NORMAL)), Fill::Flat(Tone::Light)).into()
}

#[cfg(test)]
mod tests {
    use super::shortened;
    use crate::text::{Weight, text_width_mm};

    #[test]
    fn a_long_name_stays_in_its_cell() {
        let name = "Alder Fen with the long grey awning";
        let got = shortened(name, 30.0, 4.0);
        assert!(got.ends_with('…') && got.starts_with("Alder"), "{got}");
        assert!(text_width_mm(&got, 4.0, Weight::Regular) <= 30.0, "{got}");
        assert_eq!(shortened("Alder Fen", 30.0, 4.0), "Alder Fen", "a short one is left alone");
    }
}
