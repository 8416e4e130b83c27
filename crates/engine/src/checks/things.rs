//! The things on the plan that a finding speaks of, so that a line can be drawn to them.

use super::context::post_path;
use super::r31_bare_posts::booted;
use crate::model::bank::{Bank, BlockId};
use crate::model::lead::Terminal;
use crate::study::Study;
use std::collections::BTreeSet;

/// A thing on the plan.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// A block.
    Block(BlockId),
    /// A post of a block.
    Post(Terminal),
    /// A lead, by name.
    Lead(String),
    /// A device, by name.
    Device(String),
}

/// The things that a path of the design file speaks of at a stage; none where it speaks of the rig, the
/// box, papers or tools.
///
/// With a device that has no place on the plan come the leads that go to it.
#[must_use]
pub fn spoken_of(study: &Study, path: &str) -> Vec<Thing> {
    let pieces = pieces(path);
    let piece = |n: usize| pieces.get(n).map_or("", String::as_str);
    match (piece(0), piece(1)) {
        ("lead" | "joint", name) => vec![Thing::Lead(name.to_owned())],
        ("device", name) => device(study, name),
        ("bank", _) => bank(study, &pieces),
        ("block", model) => {
            let placed = study.layout.plan.blocks.iter().filter(|b| b.model == model);
            placed.map(|b| Thing::Block(b.id)).collect()
        }
        ("as_built", "volts") => {
            study.layout.plan.blocks.iter().map(|b| Thing::Block(b.id)).collect()
        }
        ("as_built", "post") => posts(study, path, piece(2)),
        _ => Vec::new(),
    }
}

fn device(study: &Study, name: &str) -> Vec<Thing> {
    let mut things = vec![Thing::Device(name.to_owned())];
    let placed = study.layout.plan.devices.iter().any(|d| d.name == name && d.decided);
    if !placed {
        let leads = study.wiring.leads.iter();
        let to_it = leads.filter(|l| [&l.from, &l.to].iter().any(|t| t.device() == Some(name)));
        things.extend(to_it.map(|l| Thing::Lead(l.id.clone())));
    }
    things
}

fn bank(study: &Study, pieces: &[String]) -> Vec<Thing> {
    let block = pieces.iter().skip(1).find_map(|p| BlockId::from_text(p));
    if let Some(block) = block {
        return vec![Thing::Block(block)];
    }
    let Some(bank) = study.design.bank() else {
        return Vec::new();
    };
    match pieces.last().map(String::as_str) {
        // Where the strings come together.
        Some("parallel") => (0..bank.parallel).map(|s| Thing::Post(Bank::string_plus(s))).collect(),
        Some("takeoff") => {
            let (plus, minus) = crate::circuit::wiring::take_off_terminals(bank);
            vec![Thing::Post(plus), Thing::Post(minus)]
        }
        _ => Vec::new(),
    }
}

/// One post by its name, or those that a column of the records lacks.
fn posts(study: &Study, path: &str, name: &str) -> Vec<Thing> {
    let records = &study.design.as_built.posts;
    let with_lugs = posts_with_lugs(study);
    let lacks = |post: &Terminal| {
        let record = records.iter().find(|r| r.terminal == *post);
        match name {
            "stack" => record.is_none_or(|r| r.stack.is_empty()),
            "torque" => record.is_none_or(|r| r.torque.is_none()),
            "boot" => matches!(post, Terminal::Post { plus: true, .. }) && !booted(study, post),
            _ => path.starts_with(&post_path(post)),
        }
    };
    with_lugs.into_iter().filter(lacks).map(Thing::Post).collect()
}

/// Posts of blocks that a lead bolts to, in order.
pub(super) fn posts_with_lugs(study: &Study) -> BTreeSet<Terminal> {
    let ends = study.wiring.leads.iter().flat_map(|l| [&l.from, &l.to]);
    ends.filter(|t| t.block().is_some()).cloned().collect()
}

/// The pieces of a dotted path; a piece in quotes may hold dots.
fn pieces(path: &str) -> Vec<String> {
    let (mut all, mut quoted) = (vec![String::new()], false);
    for c in path.chars() {
        match c {
            '"' => quoted = !quoted,
            '.' if !quoted => all.push(String::new()),
            c => {
                if let Some(last) = all.last_mut() {
                    last.push(c);
                }
            }
        }
    }
    all
}
