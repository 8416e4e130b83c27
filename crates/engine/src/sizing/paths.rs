//! The paths whose drop is limited, and the sharing out of each limit over the leads on it.

use super::SizingInput;
use super::currents::Flows;
use super::drop::{Choice, Path, Problem, STEP_CAP};
use super::rules::Rules;
use super::topology::{Topology, Way, number};
use crate::circuit::paths::Step;
use crate::cite::{Cite, Status};
use crate::model::device::DeviceKind;
use crate::units::Voltage;

/// A path with its limit.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Limit {
    pub(super) device: String,
    /// Leads on it with their currents.
    pub(super) amps: Vec<(usize, f64)>,
    /// Allowed from the bank to the device and back.
    pub(super) allowed: Voltage,
    /// The same as a percentage of the bank's volts, where the rule is one.
    pub(super) percent: Option<f64>,
    /// What the joints on it take.
    pub(super) fixed_v: f64,
    pub(super) cites: Vec<Cite>,
}

/// The limits of every path that carries a known current.
pub(super) fn limits(
    input: &SizingInput<'_>,
    rules: &Rules<'_>,
    topology: &Topology,
    flows: &Flows,
    joints: &dyn Fn(usize) -> f64,
) -> Vec<Limit> {
    let mut all = Vec::new();
    for way in &topology.ways {
        let known = input.currents.iter().find(|c| c.device == way.device);
        let Some(current) = known.map(|c| c.current.steady.as_amps()).filter(|a| *a != 0.0) else {
            continue;
        };
        // Loads run together; a charge source is judged by its own full current, since no bank
        // takes all of them at their full current at once.
        let flow = |n: usize| if 0.0 < current { flows.loads[n] } else { -current };
        let mut amps = Vec::new();
        let mut fixed_v = 0.0;
        for step in way.out.iter().chain(&way.back) {
            // Rule R20 counts conductors and joints: what a fuse or a switch takes is its own.
            if let Step::Lead(id) = step
                && let Some(n) = number(input.wiring, id)
            {
                amps.push((n, flow(n)));
                fixed_v += flow(n) * joints(n);
            }
        }
        let (allowed, percent, cites) = allowed(input, rules, way, current);
        all.push(Limit { device: way.device.clone(), amps, allowed, percent, fixed_v, cites });
    }
    all
}

/// What a path may lose, as volts and as a percentage of the bank's volts.
fn allowed(
    input: &SizingInput<'_>,
    rules: &Rules<'_>,
    way: &Way,
    current: f64,
) -> (Voltage, Option<f64>, Vec<Cite>) {
    if current < 0.0 {
        let row = input.tables.limits.value("drop-charge-path");
        return (Voltage::volts(row.value), None, vec![row.cite]);
    }
    let (percent, cite) = if is_critical(input, way) {
        match input.design.limits.drop {
            Some(own) => (own * 100.0, Cite::new("owner", "limit.drop", Status::Read)),
            None => {
                let row = &rules.settings.drop_critical_percent;
                (row.value, row.cite.clone())
            }
        }
    } else {
        let row = &rules.settings.drop_other_percent;
        (row.value, row.cite.clone())
    };
    (Voltage::volts(rules.nominal_v * percent / 100.0), Some(percent), vec![cite])
}

/// Inverters and panels are critical unless the owner says of a lead on the way that it is not.
fn is_critical(input: &SizingInput<'_>, way: &Way) -> bool {
    let said: Vec<bool> = way
        .out
        .iter()
        .chain(&way.back)
        .filter_map(|s| match s {
            Step::Lead(id) => input.wiring.lead(id)?.stated.critical,
            Step::Device(_) => None,
        })
        .collect();
    if said.contains(&true) {
        return true;
    }
    let kind = input.design.device(&way.device).map(|d| d.kind);
    let usual = matches!(kind, Some(DeviceKind::Inverter | DeviceKind::Panel));
    usual && !said.contains(&false)
}

/// A size that a lead needs for the drop of a path.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Raise {
    pub(super) lead: usize,
    /// The number of the size.
    pub(super) size: usize,
    /// The path that is nearest its limit, with that limit.
    pub(super) device: String,
    pub(super) allowed: Voltage,
    pub(super) percent: Option<f64>,
    pub(super) proven: bool,
    /// No size on sale keeps the path.
    pub(super) hopeless: bool,
    pub(super) cites: Vec<Cite>,
}

/// The sizes the paths ask for.
///
/// `choices` gives copper and resistance of each size of a lead from its floor up. A path that the
/// owner's own sizes have spoilt takes for its other leads the sizes of `free`, found with every
/// size free; without `free`, a path that nothing can serve takes the thickest.
pub(super) fn share_out(
    limits: &[Limit],
    choices: &dyn Fn(usize) -> Vec<(f64, f64)>,
    free: Option<&[usize]>,
    floors: &[usize],
) -> Vec<Raise> {
    let mut leads: Vec<usize> = limits.iter().flat_map(|l| l.amps.iter().map(|a| a.0)).collect();
    leads.sort_unstable();
    leads.dedup();
    let place = |n: usize| leads.iter().position(|l| *l == n);
    let sizes: Vec<Vec<Choice>> = leads
        .iter()
        .map(|n| choices(*n).into_iter().map(|(copper, ohm)| Choice { copper, ohm }).collect())
        .collect();
    let paths = limits
        .iter()
        .map(|l| Path {
            amps: l.amps.iter().filter_map(|(n, a)| Some((place(*n)?, *a))).collect(),
            allowed_v: l.allowed.as_volts() - l.fixed_v,
        })
        .collect();
    let started: Vec<usize> = sizes.iter().map(Vec::len).collect();
    let mut problem = Problem { leads: sizes, paths };
    let hopeless = problem.hopeless();
    let mut raises = Vec::new();
    for p in &hopeless {
        for (n, _) in &limits[*p].amps {
            let last = place(*n).map_or(0, |at| problem.leads[at].len() - 1);
            let size = free.map_or(floors[*n] + last, |f| f[*n]);
            raises.push(raise(&limits[*p], *n, size, (true, free.is_none())));
        }
    }
    // The thicker sizes of the spoilt paths stand in the paths that remain.
    for r in &raises {
        if let Some(at) = place(r.lead) {
            let from = (r.size - floors[r.lead].min(r.size)).min(problem.leads[at].len() - 1);
            problem.leads[at].drain(..from);
        }
    }
    let kept: Vec<usize> = (0..limits.len()).filter(|p| !hopeless.contains(p)).collect();
    problem.paths = kept.iter().map(|p| problem.paths[*p].clone()).collect();
    if let Some(shared) = problem.share_out(STEP_CAP) {
        for (at, n) in leads.iter().enumerate() {
            let drained = started[at] - problem.leads[at].len();
            let size = floors[*n] + drained + shared.sizes[at];
            let tightest = kept
                .iter()
                .enumerate()
                .filter(|(_, p)| limits[**p].amps.iter().any(|a| a.0 == *n))
                .min_by(|a, b| {
                    let spare = |at: usize| {
                        let path = &problem.paths[at];
                        path.allowed_v - problem.drop_v(path, &shared.sizes)
                    };
                    spare(a.0).total_cmp(&spare(b.0))
                });
            if let Some((_, p)) = tightest {
                raises.push(raise(&limits[*p], *n, size, (shared.proven, false)));
            }
        }
    }
    raises
}

fn raise(limit: &Limit, lead: usize, size: usize, state: (bool, bool)) -> Raise {
    Raise {
        lead,
        size,
        device: limit.device.clone(),
        allowed: limit.allowed,
        percent: limit.percent,
        proven: state.0,
        hopeless: state.1,
        cites: limit.cites.clone(),
    }
}
