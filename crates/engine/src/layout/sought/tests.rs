//! The grid in rooms whose shortest ways are known.

use super::{Ball, Care, Place, Room, Solid, Stud, way};
use crate::layout::shortened::Wire;

const NONE: Care = Care { more: 0.0, level: 0.0 };

/// A room 400 by 200 by 200 with studs at one height on either side, and what stands in it.
fn room(solids: Vec<Solid>, balls: Vec<Ball>) -> Room {
    let stud = |x: f64| Stud { at: [x, 100.0, 100.0], reach: 20.0 };
    let ends = [stud(40.0), stud(360.0)];
    Room::of((Vec::new(), solids, balls), (5.0, 40.0), ends, [[0.0; 3], [400.0, 200.0, 200.0]])
}

/// A wall across the middle, from one side and up to a height.
fn wall(from: f64, to: f64, top: f64) -> Solid {
    Solid { low: [190.0, from, -1.0], high: [210.0, to, top] }
}

fn found(room: &Room, care: Care) -> Option<(Wire, f64)> {
    way(room, care, 2000.0, 40.0)
}

#[test]
fn nothing_in_the_way_is_a_straight_line() {
    let (wire, long) = found(&room(Vec::new(), Vec::new()), NONE).expect("it is open");
    assert_eq!(wire.corners.len(), 2);
    assert!((long - 320.0).abs() < 1e-6, "{long}");
}

#[test]
fn a_high_wall_is_gone_round_and_a_low_one_over() {
    let round =
        found(&room(vec![wall(-1.0, 130.0, 1e5)], Vec::new()), NONE).expect("a gap is left");
    assert!(round.0.corners.iter().any(|c| 134.0 < c.at.y), "{:?}", round.0);
    // Two legs to 35 mm aside, by hand 2 * hypot(150, 35) + 20: no chain of cells is shorter.
    assert!((327.0..350.0).contains(&round.1), "{}", round.1);
    let over = found(&room(vec![wall(-1.0, 201.0, 120.0)], Vec::new()), NONE).expect("it is low");
    assert!(over.0.bends.iter().any(|b| 124.0 < b.height), "{:?}", over.0);
    assert!(over.0.corners.iter().all(|c| (c.at.y - 100.0).abs() < 8.0), "{:?}", over.0);
}

#[test]
fn where_nothing_is_open_there_is_no_way_and_a_length_too_short_is_none_either() {
    assert!(found(&room(vec![wall(-1.0, 201.0, 1e5)], Vec::new()), NONE).is_none());
    let gap = room(vec![wall(-1.0, 130.0, 1e5)], Vec::new());
    assert!(way(&gap, NONE, 322.0, 40.0).is_none());
}

#[test]
fn more_care_keeps_further_off() {
    let lead = |n: u32| -> Place { [200.0, 10.0 + f64::from(n) * 5.0, 100.0] };
    let balls = (0..22).map(|n| Ball { at: lead(n), radius: 10.0 }).collect();
    let room = room(vec![wall(-1.0, 201.0, 60.0)], balls);
    let long = |more: f64| found(&room, Care { more, level: 0.0 }).map(|(_, long)| long);
    let (near, far) = (long(0.0).expect("open"), long(16.0).expect("open"));
    assert!(320.0 < near && near < far, "{near} {far}");
}
