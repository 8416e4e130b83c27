//! Where on the sheet there is still room for a word or a ring.

use crate::geometry::{Corners, Point, at};
use crate::scene::Label;

/// What is already taken on the sheet.
#[derive(Clone, Debug, Default)]
pub struct Room {
    taken: Vec<Taken>,
}

/// A box that is taken, with its upright bounds: they tell of most boxes that they are far away.
#[derive(Clone, Copy, Debug)]
struct Taken {
    shape: Corners,
    bounds: [f64; 4],
}

impl Taken {
    fn of(shape: Corners) -> Self {
        Self { shape, bounds: shape.bounds() }
    }

    /// True when its bounds are apart from others by more than the air and any rounding.
    fn is_far_from(&self, [left, top, right, low]: [f64; 4]) -> bool {
        const FAR: f64 = AIR + 0.01;
        let [l, t, r, b] = self.bounds;
        FAR < l - right || FAR < left - r || FAR < t - low || FAR < top - b
    }
}

/// Air kept between lettering and anything else [mm].
const AIR: f64 = 0.4;

/// An upright box around a middle.
#[must_use]
pub fn around(middle: Point, width: f64, height: f64) -> Corners {
    let (w, h) = (width / 2.0, height / 2.0);
    Corners([middle.moved(-w, -h), middle.moved(w, -h), middle.moved(w, h), middle.moved(-w, h)])
}

/// The box of a straight stroke.
#[must_use]
pub fn bar(from: Point, to: Point, width: f64) -> Corners {
    let length = from.distance(to).max(1e-9);
    let side = at((to.y - from.y) / length * width / 2.0, (from.x - to.x) / length * width / 2.0);
    Corners([
        from.moved(side.x, side.y),
        to.moved(side.x, side.y),
        to.moved(-side.x, -side.y),
        from.moved(-side.x, -side.y),
    ])
}

impl Room {
    /// Marks a box as taken.
    pub fn take(&mut self, shape: Corners) {
        self.taken.push(Taken::of(shape));
    }

    /// Marks a line through points as taken.
    pub fn take_line(&mut self, points: &[Point], width: f64) {
        self.taken.extend(points.windows(2).map(|p| Taken::of(bar(p[0], p[1], width))));
    }

    /// Frees boxes that were taken.
    pub fn forget(&mut self, shapes: &[Corners]) {
        self.taken.retain(|taken| !shapes.contains(&taken.shape));
    }

    /// How many of the taken boxes a shape would touch.
    #[must_use]
    pub fn touched(&self, shape: &Corners) -> usize {
        let (bounds, upright) = (shape.bounds(), shape.is_upright());
        let near = self.taken.iter().filter(|t| !(upright && t.is_far_from(bounds)));
        near.filter(|t| t.shape.overlaps(shape, -AIR)).count()
    }

    /// Takes the first candidate that touches nothing, or else the one that touches least.
    pub fn settle<T>(&mut self, candidates: Vec<T>, shape: impl Fn(&T) -> Corners) -> Option<T> {
        let mut best: Option<(usize, T)> = None;
        for candidate in candidates {
            let touched = self.touched(&shape(&candidate));
            if best.as_ref().is_none_or(|(least, _)| touched < *least) {
                best = Some((touched, candidate));
            }
            if touched == 0 {
                break;
            }
        }
        let (_, chosen) = best?;
        self.take(shape(&chosen));
        Some(chosen)
    }

    /// Takes the room of the first label that touches nothing, or else of the one that touches least.
    pub fn settle_label(&mut self, candidates: Vec<Label>) -> Option<Label> {
        self.settle(candidates, Label::corners)
    }
}

#[cfg(test)]
mod tests {
    use super::{AIR, Room, around, bar};
    use crate::geometry::{Corners, at};

    #[test]
    fn what_is_passed_over_for_being_far_away_is_not_touched() {
        let turned = bar(at(0.0, 0.0), at(7.0, 5.0), 2.0);
        let shapes = [around(at(0.0, 0.0), 4.0, 3.0), turned];
        let mut close = 0;
        for taken in shapes {
            let mut room = Room::default();
            room.take(taken);
            for shape in shapes {
                for (x, y) in (0..900).map(|n| (f64::from(n % 30), f64::from(n / 30))) {
                    let by = |v: f64| v * 0.73 - 11.0;
                    let moved = Corners(shape.0.map(|p| p.moved(by(x), by(y))));
                    let touched = usize::from(taken.overlaps(&moved, -AIR));
                    assert_eq!(room.touched(&moved), touched, "at {x}, {y}");
                    close += touched;
                }
            }
        }
        assert!((200..2000).contains(&close), "some touch and some do not: {close}");
    }

    #[test]
    fn the_first_free_place_is_taken_once() {
        let mut room = Room::default();
        let places = || vec![at(0.0, 0.0), at(10.0, 0.0), at(20.0, 0.0)];
        let size = |p: &crate::geometry::Point| around(*p, 4.0, 4.0);
        let got: Vec<f64> =
            (0..3).filter_map(|_| room.settle(places(), size)).map(|p| p.x).collect();
        assert_eq!(
            got.iter().map(|x| x.round()).sum::<f64>().to_bits(),
            30.0_f64.to_bits(),
            "each once: {got:?}"
        );
    }
}
