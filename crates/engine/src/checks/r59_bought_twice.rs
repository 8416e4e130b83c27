//! R59: a part of this stage that a later stage will be too much for.

use super::context::{CheckError, Context, Said};
use crate::circuit::paths::{Step, WayMap};
use crate::circuit::wiring::Wiring;
use crate::cite::{Cite, Status};
use crate::facts::device::design_current;
use crate::finding::Severity;
use crate::model::design::Design;
use crate::model::device::{Device, DeviceKind};
use crate::model::part::Part;
use crate::units::{Current, show};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let later = cx.study.stage + 1..cx.whole.stages.len();
    if later.is_empty() || cx.design().stages.get(cx.study.stage).is_none_or(|s| s.done) {
        return Ok(Vec::new());
    }
    let needs: Vec<(usize, Needs)> =
        later.map(|n| (n, Needs::of(cx, &cx.whole.at_stage(n)))).collect();
    let mut said = Vec::new();
    for device in cx.design().devices.iter().filter(|d| carries(d.kind)) {
        let Some(rating) = device.rating.filter(|_| is_bought_now(cx, &device.part)) else {
            continue;
        };
        let name = &device.part.name;
        if let Some((stage, amps)) = outgrown(&needs, rating, |n| n.devices.get(name)) {
            let what = device.kind.word();
            let path = format!("device.{name}.rating");
            said.push(one(cx, (path, name), (rating, amps), (what, stage)));
        }
    }
    for answer in &cx.study.leads {
        let Some(lead) = cx.study.wiring.lead(&answer.id) else {
            continue;
        };
        if lead.role.is_link() || !is_bought_now(cx, &lead.stated.part) {
            continue;
        }
        let carried = answer.ampacity;
        if let Some((stage, amps)) = outgrown(&needs, carried, |n| n.leads.get(&answer.id)) {
            let path = format!("lead.{}.size", answer.id);
            let part = format!("lead {}", answer.id);
            said.push(one(cx, (path, &part), (carried, amps), ("lead", stage)));
        }
    }
    Ok(said)
}

/// What carries the current of others and has a rating for it.
const fn carries(kind: DeviceKind) -> bool {
    matches!(
        kind,
        DeviceKind::Fuse
            | DeviceKind::Breaker
            | DeviceKind::Isolator
            | DeviceKind::Shunt
            | DeviceKind::Busbar
            | DeviceKind::Bms
    )
}

/// Bought at this very stage and meant to stay.
fn is_bought_now(cx: &Context<'_>, part: &Part) -> bool {
    let from = part.stage.as_ref().and_then(|s| cx.whole.stage_index(s)).unwrap_or(0);
    from == cx.study.stage && part.until.is_none() && !part.have
}

/// The first later stage at which a part carries more than it may, and the most it ever carries.
fn outgrown(
    needs: &[(usize, Needs)],
    rating: Current,
    of: impl Fn(&Needs) -> Option<&Through>,
) -> Option<(usize, Current)> {
    let amps = |n: &Needs| of(n).map_or(Current::ZERO, |t| t.loads.max(t.sources));
    let (stage, _) = needs.iter().find(|(_, n)| rating < amps(n))?;
    let most = needs.iter().map(|(_, n)| amps(n)).fold(Current::ZERO, Current::max);
    Some((*stage, most))
}

/// Steady amps through a part: all loads together, and all charge sources together.
#[derive(Clone, Copy)]
struct Through {
    loads: Current,
    sources: Current,
}

/// What flows through every part of a stage.
#[derive(Default)]
struct Needs {
    devices: BTreeMap<String, Through>,
    leads: BTreeMap<String, Through>,
}

impl Needs {
    fn of(cx: &Context<'_>, design: &Design) -> Self {
        let wiring = Wiring::of(design);
        let map = WayMap::of(design, &wiring);
        let mut needs = Self::default();
        for user in &design.devices {
            let Some(current) = design_current(design, cx.tables, user) else {
                continue;
            };
            let ways = [map.out(&user.part.name), map.back(&user.part.name)];
            if ways.iter().any(Option::is_none) {
                continue;
            }
            let (mut devices, mut leads) = (BTreeSet::new(), BTreeSet::new());
            for step in ways.into_iter().flatten().flatten() {
                match step {
                    Step::Device(name) => {
                        devices.insert(name);
                    }
                    Step::Lead(id) => {
                        devices.extend(bars(design, &wiring, &id));
                        leads.insert(id);
                    }
                }
            }
            for name in devices {
                needs.devices.entry(name).or_insert(Through::NONE).add(current.steady);
            }
            for id in leads {
                needs.leads.entry(id).or_insert(Through::NONE).add(current.steady);
            }
        }
        needs
    }
}

impl Through {
    const NONE: Self = Self { loads: Current::ZERO, sources: Current::ZERO };

    fn add(&mut self, amps: Current) {
        if Current::ZERO <= amps {
            self.loads = self.loads + amps;
        } else {
            self.sources = self.sources - amps;
        }
    }
}

/// Busbars at the ends of a lead.
fn bars(design: &Design, wiring: &Wiring, lead: &str) -> Vec<String> {
    let is_bar = |d: &&Device| d.kind == DeviceKind::Busbar;
    let ends = wiring.lead(lead).map(|l| [&l.from, &l.to]);
    ends.into_iter()
        .flatten()
        .filter_map(|t| design.device(t.device()?).filter(is_bar))
        .map(|d| d.part.name.clone())
        .collect()
}

fn one(
    cx: &Context<'_>,
    (path, part): (String, &str),
    (rating, amps): (Current, Current),
    (what, stage): (&str, usize),
) -> Said {
    let stage = cx.whole.stages.get(stage).map_or("", |s| s.name.as_str());
    let amps = show::current(amps);
    Said {
        severity: Severity::Note,
        path,
        part: part.to_owned(),
        says: format!(
            "Buy the {amps} {what} now: {part} carries {}, and the small one is scrap in stage \
             {stage}.",
            show::current(rating)
        ),
        remedy: format!("Buy a {what} for {amps} or more as {part} at this stage."),
        why: "What is bought twice costs twice, and the work is done twice.",
        sources: vec![Cite::new("install-diaries", "parts bought twice", Status::Read)],
        gates: None,
    }
}
