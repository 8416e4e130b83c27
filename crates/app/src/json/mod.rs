//! The JSON contract of the command line, described in `docs/json.md`. Keys are added, never
//! renamed; SI units stand in their names.

pub(crate) mod check;
pub(crate) mod share;
pub(crate) mod leads;
pub(crate) mod fit;
pub(crate) mod nights;
pub(crate) mod prove;
pub(crate) mod files;
pub(crate) mod log;
pub(crate) mod explain;

use design_file::fault::Fault;
use serde::Serialize;

/// A value as indented JSON, with a line end.
pub(crate) fn text(value: &impl Serialize) -> String {
    // The structs hold texts, finite numbers, lists and options, all of which JSON can say.
    let text = serde_json::to_string_pretty(value).unwrap_or_default();
    format!("{text}\n")
}

/// Something in the design file that was not understood.
#[derive(Debug, Serialize)]
pub(crate) struct FaultJson {
    severity: &'static str,
    path: String,
    line: Option<usize>,
    column: Option<usize>,
    says: String,
    #[serde(rename = "do")]
    write: String,
}

impl FaultJson {
    /// Everything that was not understood.
    pub(crate) fn all(faults: &[Fault]) -> Vec<Self> {
        let counted = |n: usize| (n > 0).then_some(n);
        faults
            .iter()
            .map(|fault| Self {
                severity: fault.severity.word(),
                path: fault.path.clone(),
                line: counted(fault.line),
                column: counted(fault.column),
                says: fault.says.clone(),
                write: fault.write.clone(),
            })
            .collect()
    }
}

/// The answer of every word when the design says too little to be worked out.
#[derive(Debug, Serialize)]
pub(crate) struct NoDesign {
    /// Everything that was not understood.
    pub(crate) faults: Vec<FaultJson>,
}
