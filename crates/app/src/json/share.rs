//! `share --json`. Amps above zero leave the bank.

use super::FaultJson;
use crate::rig::Rig;
use engine::circuit::share::{BlockShare, Fault, JointShare, LeadShare, Share, StringShare};
use engine::draws::JudgedPath;
use engine::model::bank::BlockId;
use engine::report::Report;
use serde::Serialize;

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct ShareJson {
    rig: String,
    stage: String,
    state: State,
    says: String,
    bank_volts: f64,
    total_amps: f64,
    spread_percent: f64,
    faults: Vec<ShortJson>,
    paths: Vec<PathJson>,
    strings: Vec<StringJson>,
    blocks: Vec<BlockJson>,
    leads: Vec<LeadJson>,
    joints: Vec<JointJson>,
    short_circuit_amps: f64,
    balance_residual: f64,
    temperature_c: f64,
    stop_count: usize,
    design_faults: Vec<FaultJson>,
}

/// What became of the draw: one word, and the same in one sentence.
#[derive(Debug, Serialize)]
struct State {
    is: &'static str,
    says: String,
}

#[derive(Debug, Serialize)]
struct ShortJson {
    node: String,
    amps: f64,
    status: &'static str,
}

#[derive(Debug, Serialize)]
struct PathJson {
    id: String,
    leads: Vec<String>,
    amps: f64,
    drop_mv: f64,
    devices_mv: f64,
    percent: f64,
    limit_percent: f64,
    governed_by: String,
    within: Option<bool>,
}

#[derive(Debug, Serialize)]
struct StringJson {
    id: String,
    amps: f64,
}

#[derive(Debug, Serialize)]
struct BlockJson {
    id: String,
    string: String,
    amps: f64,
    volts: f64,
}

#[derive(Debug, Serialize)]
struct LeadJson {
    id: String,
    from: String,
    to: String,
    amps: f64,
    drop_mv: f64,
    watts: f64,
}

#[derive(Debug, Serialize)]
struct JointJson {
    id: String,
    post: String,
    amps: f64,
    micro_ohm: f64,
    drop_mv: f64,
}

impl ShareJson {
    /// What `share` says.
    pub(crate) fn of(rig: &Rig, report: &Report, share: &Share, paths: &[JudgedPath]) -> Self {
        Self {
            rig: rig.design.rig.name.clone(),
            stage: report.stage.clone(),
            state: State { is: share.state.word(), says: share.says.clone() },
            says: share.says.clone(),
            bank_volts: share.bank_volts,
            total_amps: share.total_amps,
            spread_percent: share.spread_percent,
            faults: share.faults.iter().map(ShortJson::of).collect(),
            paths: paths.iter().map(PathJson::of).collect(),
            strings: share.strings.iter().map(StringJson::of).collect(),
            blocks: share.blocks.iter().map(BlockJson::of).collect(),
            leads: share.leads.iter().map(LeadJson::of).collect(),
            joints: share.joints.iter().map(JointJson::of).collect(),
            short_circuit_amps: share.short_circuit_amps,
            balance_residual: share.balance_residual,
            temperature_c: report.study.ambient.temperature.as_celsius(),
            stop_count: report.stops(),
            design_faults: FaultJson::all(rig.faults()),
        }
    }
}

impl ShortJson {
    fn of(fault: &Fault) -> Self {
        Self { node: plain(&fault.node), amps: fault.amps, status: fault.status.word() }
    }
}

impl PathJson {
    fn of(path: &JudgedPath) -> Self {
        Self {
            id: path.share.id.clone(),
            leads: path.share.leads.clone(),
            amps: path.share.amps,
            drop_mv: path.share.drop_mv,
            devices_mv: path.share.devices_mv,
            percent: path.percent,
            limit_percent: path.limit_percent,
            governed_by: path.governed_by.clone(),
            within: path.within,
        }
    }
}

impl StringJson {
    fn of(string: &StringShare) -> Self {
        Self { id: string.id.clone(), amps: string.amps }
    }
}

impl BlockJson {
    fn of(block: &BlockShare) -> Self {
        Self {
            id: block.id.to_string(),
            string: BlockId::string_letters(block.id.string),
            amps: block.amps,
            volts: block.volts,
        }
    }
}

impl LeadJson {
    fn of(lead: &LeadShare) -> Self {
        Self {
            id: lead.id.clone(),
            from: plain(&lead.from),
            to: plain(&lead.to),
            amps: lead.amps,
            drop_mv: lead.drop_mv,
            watts: lead.watts,
        }
    }
}

impl JointJson {
    fn of(joint: &JointShare) -> Self {
        Self {
            id: joint.id.clone(),
            post: plain(&joint.terminal),
            amps: joint.amps,
            micro_ohm: joint.micro_ohm,
            drop_mv: joint.drop_mv,
        }
    }
}

/// A post or stud as the design file writes it: a plain space and a plain minus.
pub(crate) fn plain(terminal: &impl ToString) -> String {
    terminal.to_string().replace('\u{a0}', " ").replace('−', "-")
}
