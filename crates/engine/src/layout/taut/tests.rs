//! Paths pulled taut, on hand-worked keep-outs.

use super::{Bar, Corner, End, Keep, Spot, TOUCH_MM, Yard, measured, shortest};

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
    let got = shortest(yard, ends, &|_, long| long, &|_| {}).map_or(f64::NAN, |(_, long)| long);
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
        &|_| {},
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
    let got = shortest(&yard, [end(0.0, 0.0), end(300.0, 0.0)], &|_, l| l, &|_| {})
        .map_or(f64::NAN, |p| p.1);
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

/// A yard without keep-outs.
fn bare(bars: Vec<Bar>) -> Yard {
    let (low, high) = (Spot::at(-1e3, -1e3), Spot::at(1e3, 1e3));
    Yard { keeps: Vec::new(), bars, low, high, radius: 20.0, tries: 0 }
}

#[test]
fn a_square_corner_measures_its_legs_less_what_its_arc_saves_and_tells_what_a_lug_lacks() {
    let end = |x, y, reach| End { at: Spot::at(x, y), reach, exit: None };
    let corner = |x, y, radius| Corner { at: Spot::at(x, y), radius };
    let path = [corner(0.0, 0.0, 0.0), corner(100.0, 0.0, 20.0), corner(100.0, 30.0, 0.0)];
    let of =
        |reach| measured(&bare(Vec::new()), [end(0.0, 0.0, 20.0), end(100.0, 30.0, reach)], &path);
    // 100 + 30, less twice 20, and a quarter turn of 20: 121.416, by hand; ten are left for the lug.
    let (lacks, long) = of(10.0);
    assert!(lacks.abs() < 1e-9 && (long - 121.416).abs() < 1e-3, "{lacks} {long}");
    assert!((of(17.0).0 - (7.0 - TOUCH_MM)).abs() < 1e-6, "{}", of(17.0).0);
    // Two corners on one place would turn for nothing.
    let twice = [path[0], path[1], path[1], path[2]];
    let ends = [end(0.0, 0.0, 0.0), end(100.0, 30.0, 0.0)];
    assert!(0.5 < measured(&bare(Vec::new()), ends, &twice).0);
}

#[test]
fn what_runs_through_a_body_lacks_the_way_out_of_it() {
    let bar = Bar {
        low: Spot::at(40.0, -30.0),
        high: Spot::at(60.0, 10.0),
        off: 2.0,
        crossable: false,
        only: None,
    };
    let end = |x| End { at: Spot::at(x, 0.0), reach: 0.0, exit: None };
    let corner = |x| Corner { at: Spot::at(x, 0.0), radius: 0.0 };
    let lacks =
        |bar| measured(&bare(vec![bar]), [end(0.0), end(100.0)], &[corner(0.0), corner(100.0)]).0;
    // Ten up and the clearance of two; only downwards it is thirty.
    assert!((lacks(bar) - 12.0).abs() < 1e-9, "{}", lacks(bar));
    let only = |side| Bar {
        low: Spot::at(20.0, -30.0),
        high: Spot::at(80.0, 10.0),
        only: Some(side),
        ..bar
    };
    assert!((lacks(only(-1.0)) - 12.0).abs() < 1e-9, "{}", lacks(only(-1.0)));
    assert!((lacks(only(1.0)) - 32.0).abs() < 1e-9, "{}", lacks(only(1.0)));
    assert!(lacks(Bar { crossable: true, ..bar }).abs() < 1e-9);
}
