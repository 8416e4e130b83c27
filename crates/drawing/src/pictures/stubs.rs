//! Leads that leave the box for a device whose place is not decided: they end a little way outside the
//! wall, with the lead's name in its ring and the device's name in pencil.

use crate::geometry::{Point, at};
use crate::marks::lead::{RING, ring_width};
use crate::marks::sheet::Area;
use crate::scene::{Anchor, Group, Label};
use crate::style::{Tone, size};
use crate::text::{Weight, text_width_mm, wrapped};

/// Which wall a lead leaves through.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wall {
    /// The wall at the owner's left hand.
    Left,
    /// The wall at the owner's right hand.
    Right,
    /// The far wall.
    Far,
    /// The near wall.
    Near,
}

/// A lead that leaves the box.
#[derive(Clone, Debug, PartialEq)]
pub struct Stub {
    /// The lead's name.
    pub lead: String,
    /// The device's name.
    pub device: String,
    /// The path inside the box, up to where it leaves.
    pub inside: Vec<Point>,
    /// Where it leaves.
    pub wall: Wall,
}

/// Where a stub runs and where its ring stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Run {
    /// From its post to the ring.
    pub points: Vec<Point>,
    /// Middle of the ring.
    pub ring: Point,
}

/// From the wall to the ring [mm].
const REACH: f64 = 7.0;

/// Widest line of a device's name [mm].
const LINE: f64 = 21.0;

/// From base line to base line of a name [mm].
const LEADING: f64 = size::SMALL * 1.2;

/// The device in words, no wider than a stub allows.
#[must_use]
pub fn name_lines(device: &str) -> Vec<String> {
    wrapped(&format!("to\u{a0}{device}"), LINE, size::SMALL, Weight::Regular)
}

/// Width of ring and name together [mm].
#[must_use]
pub fn block_width(lead: &str, device: &str) -> f64 {
    let lines = name_lines(device);
    let names = lines.iter().map(|l| text_width_mm(l, size::SMALL, Weight::Regular));
    names.fold(ring_width(lead), f64::max)
}

fn lines_height(device: &str) -> f64 {
    let lines = u16::try_from(name_lines(device).len()).unwrap_or(u16::MAX);
    f64::from(lines) * LEADING
}

/// What a stub needs beyond a wall at the side [mm].
#[must_use]
pub fn room_beside(lead: &str, device: &str) -> f64 {
    REACH + block_width(lead, device)
}

/// What a stub needs beyond the far or the near wall [mm].
#[must_use]
pub fn room_across(device: &str) -> f64 {
    REACH + 2.0 * RING + lines_height(device) + 1.0
}

/// Where a path leaves an area, with the path up to there; `None` when it never does.
#[must_use]
pub fn leaving(points: &[Point], area: Area) -> Option<(Vec<Point>, Wall)> {
    let (left, top) = (area.corner.x, area.corner.y);
    let (right, low) = (left + area.width, top + area.height);
    let out = |p: Point| p.x < left || right < p.x || p.y < top || low < p.y;
    let end = points.iter().position(|p| out(*p)).filter(|end| 0 < *end)?;
    let (from, to) = (points[end - 1], points[end]);
    let part = |a: f64, b: f64, edge: f64| {
        let within = (edge - a) / (b - a);
        if (b - a).abs() < 1e-9 || within < 0.0 { 1.0 } else { within }
    };
    let across = [left, right].map(|x| part(from.x, to.x, x)).into_iter().fold(1.0, f64::min);
    let along = [top, low].map(|y| part(from.y, to.y, y)).into_iter().fold(1.0, f64::min);
    let wall = match across <= along {
        true if to.x < from.x => Wall::Left,
        true => Wall::Right,
        false if to.y < from.y => Wall::Far,
        false => Wall::Near,
    };
    let mut inside = points[..end].to_vec();
    inside.push(from.towards(to, across.min(along)));
    Some((inside, wall))
}

impl Stub {
    fn leaves_at(&self) -> Point {
        self.inside.last().copied().unwrap_or(at(0.0, 0.0))
    }

    /// Where it would leave, along its wall.
    fn wish(&self) -> f64 {
        match self.wall {
            Wall::Left | Wall::Right => self.leaves_at().y,
            Wall::Far | Wall::Near => self.leaves_at().x,
        }
    }

    /// What it takes along its wall, on either side of its ring [mm].
    fn takes(&self) -> (f64, f64) {
        match self.wall {
            Wall::Left | Wall::Right => (RING + 0.5, RING + lines_height(&self.device) + 0.8),
            Wall::Far | Wall::Near => {
                let half = block_width(&self.lead, &self.device) / 2.0 + 0.8;
                (half, half)
            }
        }
    }

    /// The whole path, with its ring at a place along the wall.
    fn run(&self, along: f64, area: Area) -> Run {
        let gone = self.leaves_at();
        let mut points = self.inside.clone();
        let half = ring_width(&self.lead) / 2.0;
        let (right, low) = (area.corner.x + area.width, area.corner.y + area.height);
        let (bend, end, ring) = match self.wall {
            Wall::Left | Wall::Right => {
                let (edge, out) =
                    if self.wall == Wall::Left { (area.corner.x, -1.0) } else { (right, 1.0) };
                let end = at(edge + out * REACH, along);
                (at(edge + out * REACH * 0.7, along), end, end.moved(out * half, 0.0))
            }
            Wall::Far | Wall::Near => {
                let (edge, out) =
                    if self.wall == Wall::Far { (area.corner.y, -1.0) } else { (low, 1.0) };
                let end = at(along, edge + out * REACH);
                (at(along, edge + out * REACH * 0.5), end, end.moved(0.0, out * RING))
            }
        };
        if 0.3 < (along - self.wish()).abs() {
            // A short lead to the wall slants from its post; a long one turns outside the wall.
            let before = points.len().checked_sub(2).map(|i| points[i]);
            if before.is_some_and(|p| p.distance(gone) < 16.0) {
                points.pop();
            }
            points.push(bend);
        }
        points.push(end);
        Run { points, ring }
    }
}

/// The runs of the stubs, in their order; rings and names on one wall keep clear of each other.
#[must_use]
pub fn spread(stubs: &[Stub], area: Area) -> Vec<Run> {
    let mut runs: Vec<Run> = stubs.iter().map(|s| s.run(s.wish(), area)).collect();
    for wall in [Wall::Left, Wall::Right, Wall::Far, Wall::Near] {
        let mut order: Vec<usize> = (0..stubs.len()).filter(|i| stubs[*i].wall == wall).collect();
        order.sort_by(|a, b| stubs[*a].wish().total_cmp(&stubs[*b].wish()));
        let mut places: Vec<f64> = Vec::new();
        let mut moved = 0.0;
        for (n, i) in order.iter().enumerate() {
            let wish = stubs[*i].wish();
            let least = n.checked_sub(1).map(|before| {
                places[before] + stubs[order[before]].takes().1 + stubs[*i].takes().0
            });
            let place = least.map_or(wish, |least| wish.max(least));
            moved += place - wish;
            places.push(place);
        }
        // All are moved back together by what they gave way on average, so that the fan is even, and then
        // as far as the corners of the box allow.
        let count = f64::from(u16::try_from(order.len().max(1)).unwrap_or(u16::MAX));
        let (low, high) = match wall {
            Wall::Left | Wall::Right => (area.corner.y, area.corner.y + area.height),
            Wall::Far | Wall::Near => (area.corner.x, area.corner.x + area.width),
        };
        let first = places.first().zip(order.first()).map(|(p, i)| p - stubs[*i].takes().0);
        let last = places.last().zip(order.last()).map(|(p, i)| p + stubs[*i].takes().1);
        let back = match (first, last) {
            (Some(first), Some(last)) if 1 < order.len() => {
                (moved / count).max(last - high).min(first - low)
            }
            _ => 0.0,
        };
        for (i, place) in order.iter().zip(places) {
            runs[*i] = stubs[*i].run(place - back, area);
        }
    }
    runs
}

/// The device's name beside the ring of the lead that goes to it.
#[must_use]
pub fn device_name(stub: &Stub, ring: Point) -> Group {
    let device = &stub.device;
    let title = format!("{device}: its place is not decided");
    let mut group = Group::named(&format!("to-{}", stub.lead), "device pencil", &title);
    group.data.push(("device".to_owned(), device.clone()));
    let half = ring_width(&stub.lead) / 2.0;
    let (dx, anchor) = match stub.wall {
        Wall::Left => (half, Anchor::End),
        Wall::Right => (-half, Anchor::Start),
        Wall::Far | Wall::Near => (0.0, Anchor::Middle),
    };
    let first = if stub.wall == Wall::Far {
        -RING - 0.4 - lines_height(device) + LEADING * 0.78
    } else {
        RING + LEADING * 0.85
    };
    let mut place = ring.moved(dx, first);
    for text in &name_lines(device) {
        let label = Label::new(place, text, size::SMALL).tone(Tone::Pencil).anchored(anchor);
        group.items.push(label.into());
        place = place.moved(0.0, LEADING);
    }
    group
}

#[cfg(test)]
mod tests {
    use super::{Stub, Wall, leaving, spread};
    use crate::geometry::at;
    use crate::marks::sheet::Area;

    const BOX: Area = Area { corner: at(10.0, 10.0), width: 80.0, height: 40.0 };

    #[test]
    fn a_lead_leaves_where_it_meets_the_wall() {
        // Hand worked: the right wall stands at 90, and the lead runs level at 20.
        let path = [at(30.0, 40.0), at(30.0, 20.0), at(120.0, 20.0)];
        let (inside, wall) = leaving(&path, BOX).expect("it leaves");
        assert_eq!(wall, Wall::Right, "to the right");
        assert!(inside[2].distance(at(90.0, 20.0)) < 1e-9, "{inside:?}");
        assert_eq!(leaving(&path[..2], BOX), None, "it stays");
    }

    #[test]
    fn names_on_one_wall_keep_clear_of_each_other() {
        let stub = |y: f64| Stub {
            lead: "9".to_owned(),
            device: "shunt".to_owned(),
            inside: vec![at(50.0, y), at(90.0, y)],
            wall: Wall::Right,
        };
        let runs = spread(&[stub(30.0), stub(31.0), stub(29.0)], BOX);
        let mut ends: Vec<f64> = runs.iter().map(|r| r.ring.y).collect();
        ends.sort_by(f64::total_cmp);
        // Half a ring, a line of ten points, its air, and half a ring: 2.6 + 4.236 + 0.8 + 3.1 mm.
        for pair in ends.windows(2) {
            assert!((pair[1] - pair[0] - 10.736).abs() < 1e-9, "{ends:?}");
        }
    }
}
