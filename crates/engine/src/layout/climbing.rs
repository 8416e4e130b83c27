//! Heights of a lead that finds no room for its bends, drawn as it would have to lie, and of a pencil
//! line, which has none to judge.

use super::path::{self, Measured, SAME_MM};
use super::route::{Job, Rise, Way};
use crate::number;
use crate::units::Length;

/// The heights of a lead that finds no room for its bends: up beside its first lug, along its run, and
/// down beside its last, each in an S of two arcs.
pub(super) fn climbing(job: &Job, way: &Way, measured: &Measured, run: Length) -> Vec<Rise> {
    let track = way.track(&measured.fits_mm);
    let radius = job.radius.map_or(0.0, Length::as_mm);
    let rise = |along: f64, height: Length, radius: f64| Rise {
        along: Length::mm(along),
        height,
        radius: Length::mm(radius),
    };
    let mut all = vec![rise(0.0, job.from.height, 0.0)];
    let ends = [(job.from.height, run), (run, job.to.height)];
    for (n, (low, high)) in ends.into_iter().enumerate() {
        let by = (high - low).as_mm().abs();
        if by < SAME_MM {
            continue;
        }
        // A cable of which no radius is known climbs upright at its stud.
        let (from, to) = measured.climbs[n].map_or_else(
            || if n == 0 { (0.0, 0.0) } else { (track.long(), track.long()) },
            |climb| {
                let from =
                    track.begins(climb.leg) + climb.from_mm - taken(way, measured, climb.leg);
                (from, from + climb.span_mm)
            },
        );
        let cos = (1.0 - by / (2.0 * radius.max(1e-9))).max(0.0);
        let angle = number::atan2((1.0 - cos * cos).sqrt(), cos);
        let takes = radius * path::half_tangent(angle);
        all.push(rise(from + takes, low, radius));
        all.push(rise(to - takes, high, radius));
    }
    all.push(rise(track.long(), job.to.height, 0.0));
    if all.windows(2).all(|w| w[0].along <= w[1].along) {
        return all;
    }
    // Climbs that run into one another are drawn upright at either stud.
    let long = track.long();
    let corners = [(0.0, job.from.height), (0.0, run), (long, run), (long, job.to.height)];
    corners.map(|(along, height)| rise(along, height, 0.0)).to_vec()
}

/// What the corner before a leg takes of it.
fn taken(way: &Way, measured: &Measured, leg: usize) -> f64 {
    let Some(before) = leg.checked_sub(1) else {
        return 0.0;
    };
    let corner = way.points.get(before..before + 3);
    let turn = corner.map_or(0.0, |c| path::turn_at(c[0], c[1], c[2]));
    measured.fits_mm.get(before).map_or(0.0, |r| r * path::half_tangent(turn))
}
