//! Paths pulled taut, on hand-worked keep-outs.

use super::{Bar, End, Keep, Spot, Yard, shortest};

fn yard(keeps: Vec<Keep>, radius: f64) -> Yard {
    let (low, high) = (Spot::at(-1e4, -1e4), Spot::at(1e4, 1e4));
    Yard { keeps, bars: Vec::new(), low, high, radius, tries: 240 }
}

const fn end(x: f64, y: f64) -> End {
    End { at: Spot::at(x, y), reach: 0.0, exit: None }
}

fn keep(x: f64, y: f64, radius: f64) -> Keep {
    Keep { centre: Spot::at(x, y), radius }
}

#[track_caller]
fn check(yard: &Yard, ends: [End; 2], want: f64) {
    let got = shortest(yard, ends, &|_, long| long).map_or(f64::NAN, |(_, long)| long);
    // A thousandth of a millimetre, well above the step at which wheels are left alone.
    assert!((got - want).abs() < 0.001, "{got} mm, not {want} mm");
}

#[test]
fn nothing_in_the_way_is_a_straight_line() {
    check(&yard(vec![keep(50.0, 160.0, 30.0)], 70.0), [end(0.0, 0.0), end(300.0, 400.0)], 500.0);
}

#[test]
fn a_string_round_a_circle_by_hand() {
    // Hand worked: a circle of 50 half way along 200 mm. From 100 mm away the tangent is
    // sqrt(100^2 - 50^2) = 86.603 mm; the arc is 2 asin(50 / 100) = pi / 3, 52.360 mm.
    let circle = vec![keep(100.0, 0.0, 50.0)];
    check(&yard(circle, 0.0), [end(0.0, 0.0), end(200.0, 0.0)], 2.0 * 86.6025 + 52.3599);
}

#[test]
fn a_stiff_cable_turns_on_a_wheel_that_holds_the_post() {
    // Hand worked: a post of 50 kept off, bent to 130: the wheel's middle lies 80 mm across. From
    // 150 mm away: 170 mm to the middle, tangent sqrt(170^2 - 130^2) = 109.545; either straight
    // turns asin(130 / 170) - atan(80 / 150) = 0.870585 - 0.489957 = 0.380627 off the line between
    // the ends, so the arc is 2 * 0.380627 * 130 = 98.963.
    let post = vec![keep(150.0, 0.0, 50.0)];
    check(&yard(post, 130.0), [end(0.0, 0.0), end(300.0, 0.0)], 2.0 * 109.5445 + 98.9631);
}

#[test]
fn the_shorter_side_is_taken() {
    // The circle lies 20 mm to the left of the line, so the path passes on the right.
    let (corners, _) = shortest(
        &yard(vec![keep(150.0, 20.0, 50.0)], 60.0),
        [end(0.0, 0.0), end(300.0, 0.0)],
        &|_, l| l,
    )
    .expect("there is a way");
    assert!(corners.iter().all(|c| c.at.y <= 0.0), "{corners:?}");
}

#[test]
fn a_body_is_passed_round_its_corners() {
    // Hand worked: a body from 100 to 200 mm that reaches 30 mm to either side, kept off by
    // nothing, a cable without stiffness: 2 * hypot(100, 30) + 100.
    let mut yard = yard(Vec::new(), 0.0);
    let (low, high) = (Spot::at(100.0, -30.0), Spot::at(200.0, 40.0));
    yard.bars.push(Bar { low, high, off: 0.1, crossable: false, only: None });
    let got =
        shortest(&yard, [end(0.0, 0.0), end(300.0, 0.0)], &|_, l| l).map_or(f64::NAN, |p| p.1);
    assert!((got - 2.0 * 104.403 - 100.0).abs() < 0.3, "{got} mm");
}

#[test]
fn a_stated_way_out_is_kept() {
    // Hand worked: leaving away from the other end, 40 mm straight, half a turn on 50 mm, then
    // back past the start: the last straight is hypot-free only if the ends are level with it:
    // the other end lies 100 mm to the left, so 40 + 50 pi + 40 + 300.
    let mut from = end(0.0, 0.0);
    (from.exit, from.reach) = (Some(Spot::at(-1.0, 0.0)), 40.0);
    check(&yard(Vec::new(), 50.0), [from, end(300.0, -100.0)], 40.0 + 157.0796 + 340.0);
}
