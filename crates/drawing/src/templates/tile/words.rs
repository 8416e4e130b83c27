//! The words of one sheet: whole, or moved until they are.

use super::ink::Bounds;
use crate::geometry::Corners;
use crate::pictures::room::Room;
use crate::scene::{Group, Item, Label};

/// Air between a moved word and the edge of the sheet's window [mm].
const AIR: f64 = 1.0;

/// A word that reaches less far than this into a sheet is not repeated on it [mm].
const REACHES: f64 = 3.0;

/// The words of one sheet.
pub(super) struct Words<'a> {
    /// What shows on the sheet.
    pub(super) window: Bounds,
    /// The windows of every sheet that is printed.
    pub(super) printed: &'a [Bounds],
    /// What a moved word must not lie on.
    pub(super) room: Room,
}

impl<'a> Words<'a> {
    /// A sheet on which these boxes are taken already.
    pub(super) fn new(window: Bounds, printed: &'a [Bounds], taken: Vec<Corners>) -> Self {
        let mut room = Room::default();
        for shape in taken {
            room.take(shape);
        }
        Self { window, printed, room }
    }

    /// The items with the words that belong on this sheet. Groups nest a few deep.
    pub(super) fn kept(&mut self, items: &[Item]) -> Vec<Item> {
        let mut all = Vec::with_capacity(items.len());
        for item in items {
            match item {
                Item::Label(label) => all.extend(self.placed(label).map(Item::from)),
                Item::Group(group) => {
                    let items = self.kept(&group.items);
                    all.push(Group { items, ..group.clone() }.into());
                }
                other => all.push(other.clone()),
            }
        }
        all
    }

    /// A word that is whole on this sheet stays; one that is whole on another is not begun here; one
    /// that every joint cuts is moved into each sheet that it reaches.
    fn placed(&mut self, label: &Label) -> Option<Label> {
        let bounds = label.corners().bounds();
        if holds(self.window, bounds) {
            return Some(label.clone());
        }
        if self.printed.iter().any(|other| holds(*other, bounds)) || !reached(self.window, bounds) {
            return None;
        }
        let into = |low: f64, high: f64, from: f64, to: f64| {
            (from + AIR - low).max(0.0) + (to - AIR - high).min(0.0)
        };
        let [left, top, right, low] = self.window;
        let (dx, dy) =
            (into(bounds[0], bounds[2], left, right), into(bounds[1], bounds[3], top, low));
        let mut candidates = Vec::new();
        for step in 0..14_u8 {
            let off = f64::from(step) * label.size * 0.8;
            for (x, y) in [(0.0, off), (0.0, -off), (off, 0.0), (-off, 0.0)] {
                let mut moved = label.clone();
                moved.place = label.place.moved(dx + x, dy + y);
                if holds(self.window, moved.corners().bounds()) {
                    candidates.push(moved);
                }
            }
        }
        self.room.settle_label(candidates)
    }
}

/// Whether a word reaches far enough into a window to be repeated there.
pub(super) fn reached([l, t, r, b]: Bounds, [left, top, right, low]: Bounds) -> bool {
    let across = right.min(r) - left.max(l);
    let down = low.min(b) - top.max(t);
    // A flat or upright word is thinner than the least reach one way.
    REACHES.min(right - left) <= across && REACHES.min(low - top) <= down
}

/// Whether a box lies wholly in a window.
pub(super) fn holds([left, top, right, low]: Bounds, inner: Bounds) -> bool {
    left <= inner[0] && top <= inner[1] && inner[2] <= right && inner[3] <= low
}
