//! `check --json`.

use super::FaultJson;
use crate::command::assumed_once;
use crate::rig::Rig;
use engine::cite::Cite;
use engine::finding::{Assumed, Finding, Gate, Severity};
use engine::report::Report;
use serde::Serialize;

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct Check {
    rig: String,
    practice: &'static str,
    stages: Vec<String>,
    stop_count: usize,
    fix_count: usize,
    note_count: usize,
    findings: Vec<FindingJson>,
    held: Vec<Held>,
    assumed: Vec<AssumedJson>,
    faults: Vec<FaultJson>,
}

#[derive(Debug, Serialize)]
struct FindingJson {
    code: String,
    severity: &'static str,
    blocks: Vec<&'static str>,
    stage: Option<String>,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
    why: String,
    line: usize,
    part: String,
    path: String,
    sources: Vec<SourceJson>,
}

/// Where a figure comes from.
#[derive(Debug, Serialize)]
pub(crate) struct SourceJson {
    key: String,
    #[serde(rename = "where")]
    place: String,
    status: &'static str,
    status_says: &'static str,
}

impl SourceJson {
    /// A source as JSON says it.
    pub(crate) fn of(cite: &Cite) -> Self {
        Self {
            key: cite.key.clone(),
            place: cite.place.clone(),
            status: cite.status.word(),
            status_says: cite.status.says(),
        }
    }
}

/// A gate and the rules that hold it.
#[derive(Debug, Serialize)]
struct Held {
    gate: &'static str,
    codes: Vec<String>,
}

#[derive(Debug, Serialize)]
pub(crate) struct AssumedJson {
    path: String,
    value: String,
    how_to_measure: String,
    matters: String,
    line: usize,
    source: SourceJson,
}

impl Check {
    /// What `check` says of these stages.
    pub(crate) fn of(rig: &Rig, reports: &[Report]) -> Self {
        let all: Vec<&Finding> = reports.iter().flat_map(|r| &r.findings).collect();
        let count = |s: Severity| all.iter().filter(|f| f.severity == s).count();
        Self {
            rig: rig.design.rig.name.clone(),
            practice: rig.design.rig.practice.word(),
            stages: reports.iter().map(|r| r.stage.clone()).collect(),
            stop_count: count(Severity::Stop),
            fix_count: count(Severity::Fix),
            note_count: count(Severity::Note),
            findings: all.iter().map(|f| FindingJson::of(f, rig)).collect(),
            held: Gate::ALL.iter().filter_map(|gate| Held::of(*gate, &all)).collect(),
            assumed: assumed_once(reports).iter().map(|a| AssumedJson::of(a, rig)).collect(),
            faults: FaultJson::all(rig.faults()),
        }
    }
}

impl FindingJson {
    fn of(finding: &Finding, rig: &Rig) -> Self {
        Self {
            code: finding.code.to_string(),
            severity: finding.severity.word(),
            blocks: finding.blocks.iter().map(|g| g.word()).collect(),
            stage: finding.stage.clone(),
            says: finding.says.clone(),
            remedy: finding.remedy.clone(),
            why: finding.why.clone(),
            line: rig.line_of(&finding.path),
            part: finding.part.clone(),
            path: finding.path.clone(),
            sources: finding.sources.iter().map(SourceJson::of).collect(),
        }
    }
}

impl Held {
    fn of(gate: Gate, all: &[&Finding]) -> Option<Self> {
        let mut codes: Vec<String> =
            all.iter().filter(|f| f.blocks.contains(&gate)).map(|f| f.code.to_string()).collect();
        codes.sort();
        codes.dedup();
        (!codes.is_empty()).then_some(Self { gate: gate.word(), codes })
    }
}

impl AssumedJson {
    pub(crate) fn of(item: &Assumed, rig: &Rig) -> Self {
        Self {
            path: item.path.clone(),
            value: item.value.clone(),
            how_to_measure: item.how_to_measure.clone(),
            matters: item.matters.clone(),
            line: rig.line_of(&item.path),
            source: SourceJson::of(&item.cite),
        }
    }
}
