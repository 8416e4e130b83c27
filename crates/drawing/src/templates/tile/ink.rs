//! Which sheets of a template have a hole or a line on them; the others are not printed.

use crate::geometry::{Point, at};
use crate::scene::{Fill, Item};

/// An upright box: left, top, right and bottom [mm].
pub(super) type Bounds = [f64; 4];

/// Whether any hole or line of the items passes through a box. Words do not count: they follow what
/// they name. Groups nest a few deep.
pub(super) fn inked(items: &[Item], on: Bounds) -> bool {
    items.iter().any(|item| match item {
        Item::Label(_) => false,
        Item::Group(group) => inked(&group.items, on),
        Item::Path(path) => {
            let filled = path.fill != Fill::Open && meets(bounds(&path.points), on);
            let last = if path.closed { path.points.first() } else { None };
            let next = path.points.iter().skip(1).chain(last);
            filled || path.points.iter().zip(next).any(|(a, b)| crosses(*a, *b, on))
        }
        Item::Rect(rect) => {
            let far = rect.corner.moved(rect.width, rect.height);
            let box_ = [rect.corner.x, rect.corner.y, far.x, far.y];
            meets(box_, on) && (rect.fill != Fill::Open || !within(on, box_))
        }
        Item::Circle(circle) => {
            let r = circle.radius;
            let box_ = around(circle.centre, r);
            // A window that lies wholly inside a ring shows none of it.
            let corners = [at(on[0], on[1]), at(on[2], on[1]), at(on[0], on[3]), at(on[2], on[3])];
            let inside = corners.iter().all(|c| c.distance(circle.centre) < r);
            meets(box_, on) && (circle.fill != Fill::Open || !inside)
        }
        Item::Arc(arc) => meets(around(arc.centre, arc.radius), on),
    })
}

fn around(centre: Point, r: f64) -> Bounds {
    [centre.x - r, centre.y - r, centre.x + r, centre.y + r]
}

fn bounds(points: &[Point]) -> Bounds {
    let fold = |f: fn(f64, f64) -> f64, of: fn(&Point) -> f64| {
        points.iter().map(of).reduce(f).unwrap_or(0.0)
    };
    [
        fold(f64::min, |p| p.x),
        fold(f64::min, |p| p.y),
        fold(f64::max, |p| p.x),
        fold(f64::max, |p| p.y),
    ]
}

fn meets(a: Bounds, b: Bounds) -> bool {
    a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3]
}

/// Whether the first box lies wholly inside the second.
fn within(a: Bounds, b: Bounds) -> bool {
    b[0] < a[0] && b[1] < a[1] && a[2] < b[2] && a[3] < b[3]
}

/// Whether a stroke passes through a box: what is left of it between the sides is not empty.
fn crosses(a: Point, b: Point, [left, top, right, low]: Bounds) -> bool {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (start, step, least, most) in [(a.x, b.x - a.x, left, right), (a.y, b.y - a.y, top, low)] {
        if step.abs() < 1e-12 {
            if start < least || most < start {
                return false;
            }
            continue;
        }
        let (one, other) = ((least - start) / step, (most - start) / step);
        from = from.max(one.min(other));
        to = to.min(one.max(other));
    }
    from <= to
}

/// Which of the sheets are printed: those with ink, and the blank ones without which the others
/// would no longer lie side by side in one piece.
pub(super) fn printed(inked: &[bool], columns: usize) -> Vec<bool> {
    let mut printed = vec![true; inked.len()];
    for n in 0..inked.len() {
        if !inked[n] {
            printed[n] = false;
            printed[n] = !in_one_piece(&printed, columns);
        }
    }
    printed
}

fn in_one_piece(printed: &[bool], columns: usize) -> bool {
    let Some(first) = printed.iter().position(|p| *p) else {
        return false;
    };
    let mut seen = vec![false; printed.len()];
    let mut waiting = vec![first];
    while let Some(n) = waiting.pop() {
        if std::mem::replace(&mut seen[n], true) {
            continue;
        }
        let column = n % columns;
        let left = (0 < column).then(|| n.wrapping_sub(1));
        let right = (column + 1 < columns).then_some(n + 1);
        let beside = [left, right, n.checked_sub(columns), Some(n + columns)];
        waiting.extend(beside.into_iter().flatten().filter(|n| printed.get(*n) == Some(&true)));
    }
    seen == printed
}

#[cfg(test)]
mod tests {
    use super::{crosses, printed};
    use crate::geometry::at;

    #[test]
    fn a_stroke_past_a_corner_is_not_on_the_sheet() {
        let on = [0.0, 0.0, 10.0, 10.0];
        assert!(crosses(at(-5.0, 5.0), at(15.0, 5.0), on), "right through");
        assert!(crosses(at(4.0, 4.0), at(6.0, 6.0), on), "wholly inside");
        assert!(!crosses(at(-5.0, 8.0), at(3.0, 20.0), on), "past the corner");
        assert!(!crosses(at(12.0, -5.0), at(12.0, 15.0), on), "beside it");
    }

    #[test]
    fn a_blank_middle_is_left_out_and_a_bridge_is_kept() {
        // A frame of eight round a blank middle; then two inked corners that only blank sheets join.
        let frame = [true, true, true, true, false, true, true, true, true];
        assert_eq!(printed(&frame, 3), frame.to_vec(), "the middle is not printed");
        let corners = [true, false, false, true];
        let kept = printed(&corners, 2);
        assert_eq!(kept.iter().filter(|p| **p).count(), 3, "one blank sheet joins them: {kept:?}");
    }
}
