//! What one change more would bring: each is a rig of its own, run through the same weather.

use crate::model::design::Design;
use crate::study::Study;

/// Loads whose absence is tried.
const LOADS_TRIED: usize = 2;

/// A change that is tried.
#[derive(Clone, Debug)]
pub(super) struct More {
    /// In words.
    pub(super) change: String,
    /// The rig with it, and at which stage.
    pub(super) design: Design,
    pub(super) stage: usize,
    /// Hours a day of a generator on top [h].
    pub(super) generator_h: f64,
}

/// The changes worth trying on a rig; `loads` names its loads by energy, the largest first.
pub(super) fn changes(study: &Study, whole: &Design, loads: &[String], charger: bool) -> Vec<More> {
    let here = study.stage;
    let mut all = Vec::new();
    let plain =
        |change: String, design: Design| More { change, design, stage: here, generator_h: 0.0 };
    if let Some(bank) = study.design.bank() {
        let mut design = whole.clone();
        if let Some(own) = design.banks.iter_mut().find(|b| b.path == bank.path) {
            own.parallel += 1;
        }
        let what = match bank.series {
            1 => "one more block".to_owned(),
            2 => "one more pair of blocks".to_owned(),
            n => format!("one more string of {n} blocks"),
        };
        all.push(plain(format!("{what} in parallel"), design));
    }
    if let Some(array) = study.design.arrays.first() {
        let mut design = whole.clone();
        for own in design.arrays.iter_mut().filter(|a| a.part.name == array.part.name) {
            own.parallel += 1;
        }
        // Never "more panels in series": that would lift the volts over the controller's limit.
        let panels = match array.series {
            1 => "one more panel in parallel".to_owned(),
            n => format!("one more string of {n} panels in parallel"),
        };
        all.push(plain(format!("{panels} on {}", array.part.name), design));
    }
    for load in loads.iter().take(LOADS_TRIED) {
        let mut design = whole.clone();
        design.loads.retain(|l| l.part.name != *load);
        all.push(plain(format!("without {load}"), design));
    }
    if charger {
        let change = "a generator for one hour a day".to_owned();
        all.push(More { change, design: whole.clone(), stage: here, generator_h: 1.0 });
    }
    let mut seen = (study.design.arrays.len(), study.design.bank().map(|b| b.count()));
    for stage in here + 1..whole.stages.len() {
        let standing = whole.at_stage(stage);
        let now = (standing.arrays.len(), standing.bank().map(|b| b.count()));
        if now != seen {
            seen = now;
            let change = format!("the rig as of stage \"{}\"", whole.stages[stage].name);
            all.push(More { change, design: whole.clone(), stage, generator_h: 0.0 });
        }
    }
    all
}
