//! The signed proving sheet: what was measured beside what was expected, what that says of each
//! part, who read it with which meter, and what it rests on. Ready to print, sign and keep.

mod day;
mod found;
mod readings;
mod rests;

use crate::pager::{Chapter, sheets};
use crate::paper::Paper;
use crate::part::Part;
use crate::sheet::{Running, document};
use engine::evidence::readings::{Readings, TakenReading};
use engine::model::design::Design;
use engine::prove::{Expected, Proof};
use engine::study::Study;

/// What the file says it is; by this a program knows an older one that it may replace.
pub const KIND: &str = "proving sheet";

/// What a sheet is made from.
#[derive(Clone, Copy)]
pub struct ProvingSheet<'a> {
    /// The stage that was proved.
    pub study: &'a Study,
    /// Its name.
    pub stage: &'a str,
    /// What was written down.
    pub readings: &'a Readings,
    /// What it says.
    pub proof: &'a Proof,
    /// Every reading that may be taken.
    pub expected: &'a [Expected],
    /// What was written down and is not judged here, such as a weight.
    pub aside: &'a [TakenReading],
    /// The paper it is printed on.
    pub paper: Paper,
}

impl ProvingSheet<'_> {
    const fn design(&self) -> &Design {
        &self.study.design
    }
}

/// The sheet as one self-contained HTML file. The same input gives the same bytes.
#[must_use]
pub fn write_sheet(input: &ProvingSheet<'_>) -> String {
    let rig = &input.design().rig;
    let running = Running {
        rig: rig.name.clone(),
        stage: input.stage.to_owned(),
        revision: rig.revision.clone().unwrap_or_else(|| "not given".to_owned()),
        paper: input.paper,
        what: KIND,
    };
    let (width, height) = (input.paper.width(), input.paper.height());
    let chapters = chapters(input);
    let all: Vec<_> = chapters.iter().flat_map(|c| sheets(c, width, height)).collect();
    document(&running, &all)
}

/// Its chapters, for whatever they are bound in.
pub(crate) fn chapters(input: &ProvingSheet<'_>) -> Vec<Chapter> {
    let width = input.paper.width();
    vec![
        chapter("verdict", "Proving sheet", found::parts(input, width)),
        chapter("readings", "Expected and measured", readings::parts(input, width)),
        chapter("posts", "Torque and photographs", day::parts(input, width)),
        chapter("rests", "What this sheet rests on", rests::parts(input, width)),
    ]
}

fn chapter(anchor: &str, title: &str, parts: Vec<Part>) -> Chapter {
    Chapter {
        anchor: anchor.to_owned(),
        number: None,
        title: title.to_owned(),
        kind: "proving",
        corner: String::new(),
        over: None,
        parts,
    }
}
