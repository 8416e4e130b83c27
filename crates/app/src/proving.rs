//! What was read on the day, held against what is expected: the same for `prove` and for the page.

use crate::failure::Failure;
use design_file::fault::Fault;
use design_file::readings_file::{Known, ReadingsRead, read_readings};
use engine::evidence::readings::{Readings, TakenReading};
use engine::fit::weight::Weight;
use engine::model::as_built::Measured;
use engine::model::bank::BlockId;
use engine::model::design::Design;
use engine::plan::job::Job;
use engine::plan::steps::write;
use engine::prove::sheet::expected;
use engine::prove::{Expected, Proof};
use engine::report::Report;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::reading::Quantity;

/// A stage whose readings are judged.
#[derive(Clone, Copy)]
pub(crate) struct Sheet<'a> {
    /// The rig with every stage.
    pub(crate) whole: &'a Design,
    /// The stage.
    pub(crate) report: &'a Report,
    /// Published numbers.
    pub(crate) tables: &'a Tables,
}

/// The readings of a day, judged.
#[derive(Clone, Debug)]
pub(crate) struct Proving {
    /// Every reading that may be taken.
    pub(crate) expected: Vec<Expected>,
    /// What was written down and is judged.
    pub(crate) readings: Readings,
    /// What was written down and is not judged here.
    pub(crate) aside: Vec<TakenReading>,
    /// Readings that came from the design file.
    pub(crate) from_design: usize,
    /// What they say.
    pub(crate) proof: Proof,
    /// Faults of the readings file.
    pub(crate) faults: Vec<Fault>,
}

impl Sheet<'_> {
    /// Reads a file of readings, where there is one, and judges it with the volts of the design.
    pub(crate) fn prove(&self, text: Option<&str>) -> Result<Proving, Failure> {
        let Self { report, tables, .. } = *self;
        let study = &report.study;
        let unsolved = |e| Failure::unsolved(&e);
        let list = expected(study, tables, &Readings::default()).map_err(unsolved)?;
        let read = match text {
            Some(text) => read_readings(text, &self.known(&list)?),
            None => ReadingsRead::default(),
        };
        let (mut readings, aside) = parted(read.readings, &list);
        let from_design = add_built(&mut readings, study, &list);
        let expected = expected(study, tables, &readings).map_err(unsolved)?;
        let proof = Proof::of(study, tables, &readings).map_err(unsolved)?;
        Ok(Proving { expected, readings, aside, from_design, proof, faults: read.faults })
    }

    /// Names that may stand in a file of readings: what is judged here, and what the book asks for
    /// besides, such as weights.
    fn known(&self, list: &[Expected]) -> Result<Vec<Known>, Failure> {
        let Self { whole, report, tables } = *self;
        let study = &report.study;
        let mut all: Vec<Known> =
            list.iter().map(|e| Known { id: e.id.clone(), quantity: e.quantity }).collect();
        let before = study.stage.checked_sub(1);
        let before = before
            .map(|stage| Study::of(whole, stage, tables, study.ambient))
            .transpose()
            .map_err(|e| Failure::table(&e))?;
        let weight = Weight::of(study, whole, tables);
        let job = Job::of(study, before.as_ref(), tables).weighed(weight);
        let build = write(&job).map_err(|e| Failure::unsolved(&e))?;
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
}

/// The readings that are judged here, and the others.
fn parted(mut readings: Readings, list: &[Expected]) -> (Readings, Vec<TakenReading>) {
    let judged = |t: &TakenReading| list.iter().any(|e| e.id == t.what);
    let (here, aside) = readings.taken.into_iter().partition(judged);
    readings.taken = here;
    (readings, aside)
}

/// The readings that stand in the design file itself; `None` where there are none that can be judged.
pub(crate) fn built(study: &Study, tables: &Tables) -> Option<Readings> {
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
