//! `prove`: what the meter should show, what it showed, what explains it, what to read next.

mod shown;

use crate::args::ProveArgs;
use crate::failure::Failure;
use crate::files;
use crate::json;
use crate::rig::Rig;
use crate::terminal::say;
use crate::terminal::style::Style;
use book::paper::Paper;
use book::proving_sheet::{KIND, ProvingSheet, write_sheet};
use design_file::fault::{Fault, Severity};
use design_file::readings_file::blank::{Blank, blank};
use design_file::readings_file::{Known, read_readings};
use design_file::render::{render, render_coloured};
use engine::evidence::readings::{Readings, TakenReading};
use engine::model::as_built::Measured;
use engine::model::bank::BlockId;
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::prove::sheet::expected;
use engine::prove::{Expected, Proof};
use engine::report::Report;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::reading::Quantity;
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
    let study = &report.study;
    let unsolved = |e| rig.failed(Failure::unsolved(&e));
    let list = expected(study, &rig.tables, &Readings::default()).map_err(unsolved)?;
    let file = match &args.readings {
        Some(path) => File::read(path, &known(&rig, &report, &list)?)?,
        None => File::default(),
    };
    let (mut readings, aside) = parted(file.readings, &list);
    let from_design = add_built(&mut readings, study, &list);
    let unsolved = |e| rig.failed(Failure::unsolved(&e));
    let expected = expected(study, &rig.tables, &readings).map_err(unsolved)?;
    let proof = Proof::of(study, &rig.tables, &readings).map_err(unsolved)?;
    let proved = Proved {
        rig: &rig,
        report: &report,
        expected: &expected,
        readings: &readings,
        aside: &aside,
        from_design,
        proof: &proof,
        faults: &file.faults,
        named: args.readings.is_some(),
    };
    let files = written(&proved, args)?;
    if args.rig.json {
        say(&json::text(&json::prove::ProveJson::of(&proved, &files)))?;
    } else {
        say(&shown::text(&proved, &files))?;
    }
    rig.close()?;
    let errors = file.faults.iter().filter(|f| f.severity == Severity::Error).count();
    if errors > 0 {
        return Err(Failure::readings_with_errors(file.rendered, errors));
    }
    Ok(ExitCode::SUCCESS)
}

/// A file of readings as it was understood.
#[derive(Default)]
struct File {
    readings: Readings,
    faults: Vec<Fault>,
    rendered: String,
}

impl File {
    fn read(path: &Path, known: &[Known]) -> Result<Self, Failure> {
        let text = files::read_readings(path)?;
        let read = read_readings(&text, known);
        let name = path.display().to_string();
        let rendered = if Style::for_errors().is_shown() {
            render_coloured(&text, &name, &read.faults)
        } else {
            render(&text, &name, &read.faults)
        };
        Ok(Self { readings: read.readings, faults: read.faults, rendered })
    }
}

/// Names that may stand in a file of readings: what is judged here, and what the book asks for
/// besides, such as weights.
fn known(rig: &Rig, report: &Report, list: &[Expected]) -> Result<Vec<Known>, Failure> {
    let study = &report.study;
    let mut all: Vec<Known> =
        list.iter().map(|e| Known { id: e.id.clone(), quantity: e.quantity }).collect();
    let before = study.stage.checked_sub(1);
    let before = before
        .map(|stage| Study::of(&rig.design, stage, &rig.tables, rig.ambient))
        .transpose()
        .map_err(|e| Failure::table(&e))?;
    let job = Job::of(study, before.as_ref(), &rig.tables);
    let build = write(&job).map_err(|e| rig.failed(Failure::unsolved(&e)))?;
    for page in &build.pages {
        let gate = page.gate.iter().filter_map(|g| g.reading.as_ref());
        for reading in page.steps.iter().flat_map(|s| &s.readings).chain(gate) {
            if !all.iter().any(|k| k.id == reading.id) {
                all.push(Known { id: reading.id.clone(), quantity: reading.quantity });
            }
        }
    }
    Ok(all)
}

/// The readings that are judged here, and the others.
fn parted(mut readings: Readings, list: &[Expected]) -> (Readings, Vec<TakenReading>) {
    let judged = |t: &TakenReading| list.iter().any(|e| e.id == t.what);
    let (here, aside) = readings.taken.into_iter().partition(judged);
    readings.taken = here;
    (readings, aside)
}

/// The readings that stand in the design file itself; `None` where there are none that can be judged.
pub(super) fn built(study: &Study, tables: &Tables) -> Option<Readings> {
    let mut readings = Readings::default();
    let list = expected(study, tables, &readings).ok()?;
    add_built(&mut readings, study, &list);
    (!readings.taken.is_empty()).then_some(readings)
}

/// Adds the volts of the design file that the readings do not hold themselves; says how many.
fn add_built(readings: &mut Readings, study: &Study, list: &[Expected]) -> usize {
    let built = &study.design.as_built;
    let before = readings.taken.len();
    for reading in &built.volts {
        let what = match &reading.what {
            Measured::Block(id) => id.to_string(),
            Measured::String(string) => format!("string {}", BlockId::string_letters(*string)),
            Measured::Gap(lead) => format!("gap {lead}"),
        };
        let there = readings.taken.iter().any(|t| t.what == what);
        if !there && list.iter().any(|e| e.id == what) {
            readings.taken.push(TakenReading {
                what,
                value: reading.volts.as_volts(),
                quantity: Quantity::Volts,
                amps: None,
                line: None,
            });
        }
    }
    if readings.temperature.is_none() {
        readings.temperature = built.temperature;
    }
    readings.taken.len() - before
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
