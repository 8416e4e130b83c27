//! Where on the sheet there is still room for a word or a ring.

use crate::geometry::{Corners, Point, at};
use crate::scene::Label;

/// What is already taken on the sheet.
#[derive(Clone, Debug, Default)]
pub struct Room {
    taken: Vec<Corners>,
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
        self.taken.push(shape);
    }

    /// Marks a line through points as taken.
    pub fn take_line(&mut self, points: &[Point], width: f64) {
        self.taken.extend(points.windows(2).map(|p| bar(p[0], p[1], width)));
    }

    /// Frees boxes that were taken.
    pub fn forget(&mut self, shapes: &[Corners]) {
        self.taken.retain(|taken| !shapes.contains(taken));
    }

    /// How many of the taken boxes a shape would touch.
    #[must_use]
    pub fn touched(&self, shape: &Corners) -> usize {
        self.taken.iter().filter(|t| t.overlaps(shape, -AIR)).count()
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
    use super::{Room, around};
    use crate::geometry::at;

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
