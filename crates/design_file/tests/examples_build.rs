//! The build book of the example rigs at every stage: a sound bank passes all its gates, and each
//! block turned round is caught before a loop closes or the fuse goes in.

use engine::facts::Ambient;
use engine::plan::bench::{Bench, misses};
use engine::plan::build::{Build, Change, Step};
use engine::plan::job::Job;
use engine::plan::shopping::Shopping;
use engine::plan::shopping::later::Later;
use engine::plan::steps::{start, write};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;
use std::sync::OnceLock;

const EXAMPLES: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
];

/// Every stage of every example, worked through once for all tests.
fn rigs(tables: &Tables) -> &'static [(&'static str, Vec<Study>)] {
    static RIGS: OnceLock<Vec<(&str, Vec<Study>)>> = OnceLock::new();
    RIGS.get_or_init(|| worked(tables))
}

fn worked(tables: &Tables) -> Vec<(&'static str, Vec<Study>)> {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    EXAMPLES
        .iter()
        .map(|(name, text)| {
            let design = design_file::read::read(text).design.expect("an example is readable");
            let studies = (0..design.stages.len())
                .map(|stage| Study::of(&design, stage, tables, ambient).expect("the tables do"))
                .collect();
            (*name, studies)
        })
        .collect()
}

/// Hands every stage with its job, its build and the stages after it to the check.
fn at_every_stage(check: impl Fn(&str, &Study, &Job<'_>, &[Study])) {
    let tables = Tables::load().expect("the data is readable, by the tests of the tables");
    for (rig, studies) in rigs(&tables) {
        for (n, study) in studies.iter().enumerate() {
            let before = n.checked_sub(1).map(|b| &studies[b]);
            let job = Job::of(study, before, &tables);
            check(&format!("{rig} at {}", job.stage), study, &job, &studies[n + 1..]);
        }
    }
}

fn build(name: &str, job: &Job<'_>) -> Build {
    write(job).unwrap_or_else(|why| panic!("{name}: {why}"))
}

#[test]
fn a_sound_bank_passes_every_gate_of_every_stage() {
    at_every_stage(|name, stage, job, _| {
        let build = build(name, job);
        let actual = Bench::actual(&stage.design, &stage.wiring, &stage.facts, &stage.ohms);
        let found = misses(&build, &start(job), &actual).expect("solves");
        assert_eq!(found, [], "{name}");
    });
}

#[test]
fn each_block_turned_round_is_caught_in_time() {
    at_every_stage(|name, stage, job, _| {
        if !job.bank_is_new() {
            return;
        }
        let build = build(name, job);
        for id in stage.design.bank().expect("a bank that is new").block_ids() {
            let mut facts = stage.facts.clone();
            for block in facts.blocks.iter_mut().filter(|b| b.id == id) {
                block.reversed = true;
            }
            let actual = Bench::actual(&stage.design, &stage.wiring, &facts, &stage.ohms);
            let found = misses(&build, &start(job), &actual).expect("solves");
            let first = found.first().unwrap_or_else(|| panic!("{name}: {id} is missed"));
            assert!(!first.after_loop, "{name}: {id} is found too late: {first:?}");
        }
    });
}

#[test]
fn no_lead_is_forgotten_and_no_page_is_too_long() {
    at_every_stage(|name, _, job, _| {
        let build = build(name, job);
        let steps = || build.pages.iter().flat_map(|p| &p.steps);
        for lead in job.fitted_leads() {
            let fits = Change::Fits(lead.id.clone());
            let done = steps().filter(|s| s.change.as_ref() == Some(&fits)).count();
            assert_eq!(done, 1, "{name}: lead {} goes on once", lead.id);
        }
        for page in &build.pages {
            let lines: usize = page.steps.iter().map(Step::lines).sum();
            assert!(lines <= 12, "{name}: page {} has {lines} lines", page.number);
        }
    });
}

#[test]
fn the_shop_is_asked_only_for_what_is_new() {
    at_every_stage(|name, _, job, later| {
        let later: Vec<Later<'_>> = later.iter().map(Later::of).collect();
        let list = Shopping::of(job, &later);
        for item in list.items.iter().filter(|i| i.path.starts_with("device.")) {
            let device = item.path.trim_start_matches("device.");
            let stood = job.before.is_some_and(|b| b.design.device(device).is_some());
            assert!(!stood, "{name}: {device} was bought before");
        }
        let priced: f64 = list.items.iter().filter_map(|i| i.price).sum();
        assert!((priced - list.total).abs() < 1e-9, "{name}: the total is the sum of the lines");
    });
}
