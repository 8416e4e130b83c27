//! From understood tables to the design. What could not be understood is simply not said.

mod bank;
pub(crate) mod device;
mod hold;
pub(crate) mod rig;
mod take;

use crate::walk::{Node, Walk};
use engine::model::design::{Design, Stage};
use engine::model::lead::Lead;

/// Builds the design of a file; `None` when too little is known of the rig.
pub(crate) fn design(walk: &mut Walk<'_>, root: &Node) -> Option<Design> {
    let rig = rig::rig(walk, root)?;
    let stages = stages(root);
    let banks = bank::banks(walk, root, &stages);
    Some(Design {
        rig,
        place: rig::place(root),
        stages,
        blocks: root.of("block.*").map(bank::block).collect(),
        banks,
        enclosure: root.of("box").map(device::enclosure).next(),
        obstacles: root.of("obstacle.*").filter_map(device::obstacle).collect(),
        holds: root.of("hold.*").map(hold::hold).collect(),
        leads: leads(root),
        devices: root.of("device.*").map(device::device).collect(),
        arrays: root.of("array.*").map(device::array).collect(),
        loads: root.of("load.*").map(rig::load).collect(),
        trips: root.of("trip.*").map(rig::trip).collect(),
        storage: root.of("storage").map(rig::storage).next(),
        mains: root.of("mains").map(rig::mains).next(),
        vehicle: root.of("vehicle").map(rig::vehicle).next(),
        stock: root.of("stock").map(rig::stock).next().unwrap_or_default(),
        limits: root.of("limit").map(rig::limits).next().unwrap_or_default(),
        as_built: root.of("as_built").map(rig::as_built).next().unwrap_or_default(),
    })
}

/// The stages in file order; a file that names none has one.
fn stages(root: &Node) -> Vec<Stage> {
    let mut stages: Vec<Stage> = root
        .of("stage.*")
        .map(|node| Stage {
            name: node.name.clone(),
            note: node.text("note"),
            done: node.flag("done").unwrap_or(false),
            budget: node.number("budget"),
        })
        .collect();
    if stages.is_empty() {
        let name = "now".to_owned();
        stages.push(Stage { name, note: None, done: false, budget: None });
    }
    stages
}

/// The leads, with what the joint tables say of them; a joint of a link makes the link a lead.
fn leads(root: &Node) -> Vec<Lead> {
    let mut leads: Vec<Lead> = root.of("lead.*").map(device::lead).collect();
    for node in root.of("joint.*") {
        let at = leads.iter().position(|l| l.part.name == node.name).unwrap_or_else(|| {
            leads.push(Lead::named(&node.name));
            leads.len() - 1
        });
        leads[at].from_end.joint = node.resistance("from");
        leads[at].to_end.joint = node.resistance("to");
    }
    leads
}
