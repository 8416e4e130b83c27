//! The paths of the leads on the plan, each from its post to its post or out through a wall.

use crate::geometry::Point;
use crate::marks::lead::{Lead, Standing};
use crate::pictures::Subject;
use crate::pictures::board::{Board, polarity, standing};
use crate::pictures::stubs::{Stub, leaving, spread};
use engine::circuit::wiring::WiredLead;
use engine::model::lead::Terminal;

/// A lead of the plan, before its ring is placed.
pub(super) struct Trace {
    pub(super) drawn: Lead,
    /// How it leaves the box, when the device at its other end has no decided place.
    pub(super) open: Option<Stub>,
}

/// The undecided device at one end of a lead whose other end has its place, and whether that is the
/// first end.
pub(super) fn open_device(subject: &Subject<'_>, lead: &WiredLead) -> Option<(String, bool)> {
    let undecided = |end: &Terminal| {
        let name = end.device()?;
        let placed = subject.layout.plan.devices.iter().find(|d| d.name == name)?;
        (!placed.decided).then(|| name.to_owned())
    };
    match (undecided(&lead.from), undecided(&lead.to)) {
        (Some(name), None) => Some((name, true)),
        (None, Some(name)) => Some((name, false)),
        _ => None,
    }
}

/// The paths of all leads that have at least one end on the plan.
pub(super) fn traces(subject: &Subject<'_>, board: &Board<'_>) -> Vec<Trace> {
    let mut traces: Vec<Trace> = Vec::new();
    for (wired, path) in subject.wiring.leads.iter().zip(&subject.layout.leads) {
        let mut points = board.path(path);
        if points.len() < 2 {
            continue;
        }
        let open = open_device(subject, wired);
        let undecided = |end: &Terminal| {
            end.device().is_some_and(|d| {
                subject.layout.plan.devices.iter().any(|p| p.name == d && !p.decided)
            })
        };
        if open.is_none() && undecided(&wired.from) && undecided(&wired.to) {
            continue;
        }
        let open = match open {
            None => None,
            Some((device, first)) => {
                if first {
                    points.reverse();
                }
                square(&mut points);
                let Some((inside, wall)) = leaving(&points, board.outer()) else {
                    continue;
                };
                Some(Stub { lead: wired.id.clone(), device, inside, wall })
            }
        };
        let drawn = Lead {
            number: wired.id.clone(),
            points,
            polarity: polarity(wired),
            width: board.lead_width(path),
            standing: if path.route.as_ref().is_some_and(|r| r.sketched) {
                Standing::Sketch
            } else {
                standing(subject, wired)
            },
            ring: None,
        };
        traces.push(Trace { drawn, open });
    }
    let stubs: Vec<Stub> = traces.iter().filter_map(|t| t.open.clone()).collect();
    let runs = spread(&stubs, board.outer());
    for (trace, run) in traces.iter_mut().filter(|t| t.open.is_some()).zip(runs) {
        trace.drawn.points = run.points;
        trace.drawn.ring = Some(run.ring);
    }
    traces
}

/// A straight path that almost runs along the sheet's edge is drawn along it: the place of a device that
/// is not decided is worth no slant.
pub(super) fn square(points: &mut [Point]) {
    const SLANT: f64 = 0.2;
    if let [from, to] = points {
        let (dx, dy) = ((to.x - from.x).abs(), (to.y - from.y).abs());
        if dy < SLANT * dx {
            to.y = from.y;
        } else if dx < SLANT * dy {
            to.x = from.x;
        }
    }
}
