//! `prove`: what the meter should show, what it showed, what explains it, what to read next.

pub(crate) mod shown;

use crate::args::ProveArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::proving::Sheet;
use crate::rig::Rig;
use crate::terminal::say;
use crate::terminal::style::Style;
use book::paper::Paper;
use book::proving_sheet::{KIND, ProvingSheet, write_sheet};
use design_file::fault::{Fault, Severity};
use design_file::readings_file::blank::{Blank, blank};
use design_file::render::{render, render_coloured};
use engine::evidence::readings::{Readings, TakenReading};
use engine::prove::{Expected, Proof};
use engine::report::Report;
use std::path::Path;
use std::process::ExitCode;

/// What is shown, in words or as JSON.
pub(crate) struct Proved<'a> {
    pub(crate) rig: &'a Rig,
    pub(crate) report: &'a Report,
    /// Every reading that may be taken.
    pub(crate) expected: &'a [Expected],
    /// What was written down and is judged.
    pub(crate) readings: &'a Readings,
    /// What was written down and is not judged here.
    pub(crate) aside: &'a [TakenReading],
    /// Readings that came from the design file.
    pub(crate) from_design: usize,
    pub(crate) proof: &'a Proof,
    /// Faults of the readings file.
    pub(crate) faults: &'a [Fault],
    /// A file of readings was named.
    pub(crate) named: bool,
}

pub(crate) fn run(args: &ProveArgs) -> Result<ExitCode, Failure> {
    let rig = Rig::open(&args.rig)?;
    let report = rig.report()?;
    let failed = |failure| rig.failed(failure);
    let text = args.readings.as_deref().map(files::read_readings).transpose()?;
    let sheet = Sheet { whole: &rig.design, report: &report, tables: &rig.tables };
    let proving = sheet.prove(text.as_deref()).map_err(failed)?;
    let proved = Proved {
        rig: &rig,
        report: &report,
        expected: &proving.expected,
        readings: &proving.readings,
        aside: &proving.aside,
        from_design: proving.from_design,
        proof: &proving.proof,
        faults: &proving.faults,
        named: args.readings.is_some(),
    };
    let files = written(&proved, args)?;
    if args.rig.json {
        say(&json::text(&json::prove::ProveJson::of(&proved, &files)))?;
    } else {
        say(&shown::text(&proved, &files))?;
    }
    rig.close()?;
    let errors = proving.faults.iter().filter(|f| f.severity == Severity::Error).count();
    match (errors, &args.readings, text) {
        (1.., Some(path), Some(text)) => {
            let rendered = rendered(&text, path, &proving.faults);
            Err(Failure::readings_with_errors(rendered, errors))
        }
        _ => Ok(ExitCode::SUCCESS),
    }
}

/// Faults of a file of readings, with line and caret.
fn rendered(text: &str, path: &Path, faults: &[Fault]) -> String {
    let name = path.display().to_string();
    if Style::for_errors().is_shown() {
        render_coloured(text, &name, faults)
    } else {
        render(text, &name, faults)
    }
}

/// Writes what was asked for and says where.
fn written(proved: &Proved<'_>, args: &ProveArgs) -> Result<Vec<String>, Failure> {
    let mut files = Vec::new();
    let design = &proved.report.study.design;
    if let Some(path) = &args.blank {
        let list: Vec<Blank> = proved.expected.iter().map(to_fill).collect();
        let text = blank(&design.rig.name, &proved.report.stage, &list);
        files::write_blank(path, &text)?;
        files.push(path.display().to_string());
    }
    if let Some(path) = &args.sheet {
        let sheet = write_sheet(&ProvingSheet {
            study: &proved.report.study,
            stage: &proved.report.stage,
            readings: proved.readings,
            proof: proved.proof,
            expected: proved.expected,
            aside: proved.aside,
            paper: Paper::usual(design.rig.practice),
        });
        files::write_print(path, &sheet, (KIND, &format!(": {KIND}</title>")))?;
        files.push(path.display().to_string());
    }
    Ok(files)
}

fn to_fill(expected: &Expected) -> Blank {
    Blank {
        test: shown::test_title(expected),
        id: expected.id.clone(),
        unit: expected.quantity.unit(),
        expect: shown::expectation(expected),
        probes: expected.probes.clone(),
        range: expected.range.clone(),
    }
}
