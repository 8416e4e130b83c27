//! `prove --json`.

use super::FaultJson;
use crate::command::Proved;
use engine::prove::{Estimate, ExpectIf, Expected, Judged, Next, Suspect};
use engine::units::show;
use serde::Serialize;

/// The whole answer.
#[derive(Debug, Serialize)]
pub(crate) struct ProveJson {
    rig: String,
    stage: String,
    verdict: String,
    read_count: usize,
    from_design_count: usize,
    sound_probability: f64,
    readings: Vec<ReadingJson>,
    suspects: Vec<SuspectJson>,
    next_reading: Option<NextJson>,
    expected: Vec<ExpectedJson>,
    not_judged: Vec<AsideJson>,
    unknown: Vec<UnknownJson>,
    rests_on: Vec<String>,
    files: Vec<String>,
    stop_count: usize,
    readings_faults: Vec<FaultJson>,
    design_faults: Vec<FaultJson>,
}

#[derive(Debug, Serialize)]
struct ReadingJson {
    id: String,
    test: &'static str,
    unit: &'static str,
    expected: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    measured: f64,
    verdict: &'static str,
    says: String,
    line: Option<usize>,
}

#[derive(Debug, Serialize)]
struct SuspectJson {
    part: String,
    or_in: Option<String>,
    kind: &'static str,
    probability: f64,
    sure: &'static str,
    estimate: Option<EstimateJson>,
    says: String,
    #[serde(rename = "do")]
    remedy: String,
    stops: bool,
}

#[derive(Debug, Serialize)]
struct EstimateJson {
    value: f64,
    low: f64,
    high: f64,
    unit: &'static str,
}

#[derive(Debug, Serialize)]
struct NextJson {
    id: String,
    test: &'static str,
    unit: &'static str,
    probes: String,
    range: String,
    expect_if: Vec<IfJson>,
    gain_bits: f64,
    why: String,
}

#[derive(Debug, Serialize)]
struct IfJson {
    part: Option<String>,
    kind: Option<&'static str>,
    says: String,
    value: f64,
}

#[derive(Debug, Serialize)]
struct ExpectedJson {
    id: String,
    test: &'static str,
    unit: &'static str,
    expected: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    range: String,
    probes: String,
    moves: bool,
    needs_amps: Option<f64>,
    note: Option<String>,
}

#[derive(Debug, Serialize)]
struct AsideJson {
    id: String,
    unit: &'static str,
    measured: f64,
}

#[derive(Debug, Serialize)]
struct UnknownJson {
    id: String,
    nearest: Option<String>,
    line: Option<usize>,
}

impl ProveJson {
    /// What `prove` says.
    pub(crate) fn of(proved: &Proved<'_>, files: &[String]) -> Self {
        let proof = proved.proof;
        let unknown = proof.unknown.iter().map(|u| UnknownJson {
            id: u.what.clone(),
            nearest: u.nearest.clone(),
            line: u.line,
        });
        let aside = proved.aside.iter().map(|t| AsideJson {
            id: t.what.clone(),
            unit: t.quantity.unit(),
            measured: t.value,
        });
        Self {
            rig: proved.rig.design.rig.name.clone(),
            stage: proved.report.stage.clone(),
            verdict: proof.verdict.says(),
            read_count: proved.readings.taken.len(),
            from_design_count: proved.from_design,
            sound_probability: proof.sound,
            readings: proof.readings.iter().map(ReadingJson::of).collect(),
            suspects: proof.suspects.iter().map(SuspectJson::of).collect(),
            next_reading: proof.next.as_ref().map(NextJson::of),
            expected: proved.expected.iter().map(ExpectedJson::of).collect(),
            not_judged: aside.collect(),
            unknown: unknown.collect(),
            rests_on: proof.rests_on.clone(),
            files: files.to_vec(),
            stop_count: proved.report.stops(),
            readings_faults: FaultJson::all(proved.faults),
            design_faults: FaultJson::all(proved.rig.faults()),
        }
    }
}

impl ReadingJson {
    fn of(judged: &Judged) -> Self {
        Self {
            id: judged.id.clone(),
            test: judged.test.word(),
            unit: judged.quantity.unit(),
            expected: judged.expected,
            low: judged.low,
            high: judged.high,
            measured: judged.measured,
            verdict: judged.verdict.word(),
            says: judged.says.clone(),
            line: judged.line,
        }
    }
}

impl SuspectJson {
    fn of(suspect: &Suspect) -> Self {
        let estimate =
            |e: &Estimate| EstimateJson { value: e.value, low: e.low, high: e.high, unit: e.unit };
        Self {
            part: suspect.part.to_string(),
            or_in: suspect.or_in.as_ref().map(ToString::to_string),
            kind: suspect.kind.word(),
            probability: suspect.probability,
            sure: show::sure(suspect.probability),
            estimate: suspect.estimate.as_ref().map(estimate),
            says: suspect.says.clone(),
            remedy: suspect.do_.clone(),
            stops: suspect.gate,
        }
    }
}

impl NextJson {
    fn of(next: &Next) -> Self {
        let shows = |e: &ExpectIf| IfJson {
            part: e.suspect.as_ref().map(|(part, _)| part.to_string()),
            kind: e.suspect.as_ref().map(|(_, kind)| kind.word()),
            says: e.says.clone(),
            value: e.value,
        };
        Self {
            id: next.id.clone(),
            test: next.test.word(),
            unit: next.quantity.unit(),
            probes: next.probes.clone(),
            range: next.range.clone(),
            expect_if: next.expect_if.iter().map(shows).collect(),
            gain_bits: next.gain_bits,
            why: next.why.clone(),
        }
    }
}

impl ExpectedJson {
    fn of(expected: &Expected) -> Self {
        Self {
            id: expected.id.clone(),
            test: expected.test.word(),
            unit: expected.quantity.unit(),
            expected: expected.expect,
            low: expected.low,
            high: expected.high,
            range: expected.range.clone(),
            probes: expected.probes.clone(),
            moves: expected.moves,
            needs_amps: expected.needs_amps,
            note: expected.note.clone(),
        }
    }
}
