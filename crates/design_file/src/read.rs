//! From the text of a design file to the design, with every fault at once.

use crate::build;
use crate::fault::{Fault, Severity};
use crate::refs;
use crate::spans::{Lines, Spans};
use crate::syntax;
use crate::walk::{Node, Walk};
use engine::model::design::Design;

/// What was understood of a design file.
#[derive(Clone, Debug)]
pub struct ReadResult {
    /// The design; `None` when the file says too little about the rig.
    pub design: Option<Design>,
    /// Everything that was not understood, in file order.
    pub faults: Vec<Fault>,
    /// Where each part stands.
    pub spans: Spans,
}

impl ReadResult {
    /// Whether something the owner wrote is missing from the design.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.faults.iter().any(|f| f.severity == Severity::Error)
    }
}

/// Reads a design file. It never fails as a whole: what was understood is there, and what was not
/// is named with its line and with what to write.
#[must_use]
pub fn read(text: &str) -> ReadResult {
    let lines = Lines::of(text);
    let parsed = syntax::parse(text, &lines);
    let (root, mut walk) = walked(&parsed, &lines);
    let design = build::design(&mut walk, &root);
    if let Some(design) = &design {
        refs::check(&mut walk, &root, design);
    }
    let Walk { mut faults, spans, .. } = walk;
    faults.extend(parsed.faults);
    faults.sort_by(|a, b| {
        (a.span.start, a.span.end, &a.path).cmp(&(b.span.start, b.span.end, &b.path))
    });
    faults.dedup();
    ReadResult { design, faults, spans }
}

fn walked<'a>(parsed: &'a syntax::Parsed, lines: &'a Lines) -> (Node, Walk<'a>) {
    let mut walk = Walk { lines, faults: Vec::new(), spans: Spans::default(), lost: &parsed.lost };
    let root = walk.root(parsed.document.as_table());
    (root, walk)
}
