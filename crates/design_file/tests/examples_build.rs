//! The build book of the example rigs at every stage: a sound bank passes all its gates, and each
//! block turned round is caught before a loop closes or the fuse goes in.

use engine::circuit::netlist::LeadOhms;
use engine::circuit::share::MainConsumer;
use engine::circuit::wiring::Wiring;
use engine::facts::{Ambient, Facts};
use engine::model::design::Design;
use engine::plan::bench::{Bench, misses};
use engine::plan::build::Build;
use engine::plan::job::{Job, Standing, Worked};
use engine::plan::steps::{start, write};
use engine::tables::Tables;
use engine::units::Temperature;

const EXAMPLES: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
];

/// One stage of an example with what a job borrows.
struct Stage {
    name: String,
    index: usize,
    design: Design,
    wiring: Wiring,
    facts: Facts,
    ohms: Vec<LeadOhms>,
}

fn stages(tables: &Tables) -> Vec<Vec<Stage>> {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    EXAMPLES
        .iter()
        .map(|(name, text)| {
            let design = design_file::read::read(text).design.expect("an example is readable");
            (0..design.stages.len())
                .map(|index| {
                    let standing = design.at_stage(index);
                    let wiring = Wiring::of(&standing);
                    let facts = Facts::of(&standing, tables, ambient);
                    // Any resistance will do: a gate is read with nothing drawn.
                    let ohm = LeadOhms { from_joint: 1e-4, conductor: 1e-4, to_joint: 1e-4 };
                    let ohms = vec![ohm; wiring.leads.len()];
                    let name = format!("{name} at {}", design.stages[index].name);
                    Stage { name, index, design: standing, wiring, facts, ohms }
                })
                .collect()
        })
        .collect()
}

/// Hands the job of every stage, and its build, to the check.
fn at_every_stage(check: impl Fn(&Stage, &Job<'_>, &Build)) {
    let tables = Tables::load().expect("the data is readable, by the tests of the tables");
    let consumer = MainConsumer { device: None, cut_off: None };
    for rig in stages(&tables) {
        for (n, stage) in rig.iter().enumerate() {
            let before = n.checked_sub(1).map(|b| &rig[b]);
            let before = before.map(|b| Standing { design: &b.design, wiring: &b.wiring });
            let worked = Worked {
                design: &stage.design,
                stage: stage.index,
                wiring: &stage.wiring,
                facts: &stage.facts,
                ohms: &stage.ohms,
                leads: &[],
                consumer: &consumer,
                consumer_amps: None,
            };
            let job = Job::of(worked, before, &tables);
            let build = write(&job).unwrap_or_else(|why| panic!("{}: {why}", stage.name));
            check(stage, &job, &build);
        }
    }
}

#[test]
fn a_sound_bank_passes_every_gate_of_every_stage() {
    at_every_stage(|stage, job, build| {
        let actual = Bench::actual(&stage.design, &stage.wiring, &stage.facts, &stage.ohms);
        let found = misses(build, &start(job), &actual).expect("solves");
        assert_eq!(found, [], "{}", stage.name);
    });
}

#[test]
fn each_block_turned_round_is_caught_in_time() {
    at_every_stage(|stage, job, build| {
        if !job.bank_is_new() {
            return;
        }
        for id in stage.design.bank().expect("a bank that is new").block_ids() {
            let mut facts = stage.facts.clone();
            for block in facts.blocks.iter_mut().filter(|b| b.id == id) {
                block.reversed = true;
            }
            let actual = Bench::actual(&stage.design, &stage.wiring, &facts, &stage.ohms);
            let found = misses(build, &start(job), &actual).expect("solves");
            let first = found.first().unwrap_or_else(|| panic!("{}: {id} is missed", stage.name));
            assert!(!first.after_loop, "{}: {id} is found too late: {first:?}", stage.name);
        }
    });
}

#[test]
fn no_lead_is_forgotten_and_no_page_is_too_long() {
    use engine::plan::build::Change;
    at_every_stage(|stage, job, build| {
        let steps = || build.pages.iter().flat_map(|p| &p.steps);
        for lead in job.fitted_leads() {
            let fits = Change::Fits(lead.id.clone());
            let done = steps().filter(|s| s.change.as_ref() == Some(&fits)).count();
            assert_eq!(done, 1, "{}: lead {} goes on once", stage.name, lead.id);
        }
        for page in &build.pages {
            let lines: usize = page.steps.iter().map(engine::plan::build::Step::lines).sum();
            assert!(lines <= 12, "{}: page {} has {lines} lines", stage.name, page.number);
        }
    });
}
