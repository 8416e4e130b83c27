//! A layout that takes less cable or shares more evenly: what to change, and what it gains.
//!
//! The search measures leads from post to post. Every layout offered here was then laid, sized and
//! solved like the rig's own, and the gain is the difference of those two answers.

mod candidates;
mod words;

use crate::finding::Assumed;
use crate::layout::arrange::search;
use crate::model::design::Design;
use crate::study::Study;
use crate::tables::Tables;
use crate::units::Length;
use candidates::Candidate;

/// The seed of the search; any other finds the same on a bank that is searched to the end.
pub const SEED: u64 = 1;

/// Layouts offered at most.
const OFFERED: usize = 3;

/// Less cable than this is not worth turning a block for; it is within what a tape is out.
const CABLE_GAIN_MM: f64 = 20.0;

/// Less spread than this is not worth it either; a clamp meter does not see it.
const SPREAD_GAIN_PERCENT: f64 = 0.5;

/// Cable and sharing of a layout as it is laid.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    /// Cable of the links, and of the leads that leave the bank's posts.
    pub copper: Length,
    /// 100 (largest - smallest) / mean of the string currents [%].
    pub spread_percent: f64,
}

/// One better layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Better {
    /// What to change, verb first, such as `turn blocks A2 and B2 half round`.
    pub change: String,
    /// What that gains, such as `0.6 m less cable, spread 11 % to 3 %`.
    pub gains: String,
    /// Cable with it.
    pub copper: Length,
    /// Spread between the strings with it [%].
    pub spread_percent: f64,
    /// The same as edits of the design file: path and value.
    pub edits: Vec<(String, String)>,
}

/// What a search for a better layout came to.
#[derive(Clone, Debug, PartialEq)]
pub struct Search {
    /// The layout as it is, with every link as long as it needs to be.
    pub present: Standing,
    /// Better ones, best first; empty when none was found.
    pub better: Vec<Better>,
    /// Every way of standing the blocks in rows was tried.
    pub exact: bool,
    /// What the search took for granted.
    pub assumed: Vec<Assumed>,
}

impl Search {
    /// Looks for better layouts of a stage that has been worked through. `None` when no bank
    /// stands, one of its blocks has no place, or the network has no answer.
    #[must_use]
    pub fn of(study: &Study, whole: &Design, tables: &Tables, seed: u64) -> Option<Self> {
        let worth = tables.limits.get("layout-metre-per-percent")?;
        let problem = candidates::problem(study, worth.value)?;
        let found = search::search(&problem, seed);
        let base = candidates::freed(study, whole)?;
        let laid = Study::of(&base, study.stage, tables, study.ambient).ok()?;
        let present = standing(&laid)?;
        let cost = |s: &Standing| s.copper.as_m() + worth.value * s.spread_percent;
        let faults = laid.layout.plan.clashes.len();
        let mut better: Vec<(f64, Better)> = Vec::new();
        for candidate in candidates::all(study, &problem, &found) {
            let Some(tried) = tried(&candidate, &base, study, tables) else {
                continue;
            };
            if faults < tried.layout.plan.clashes.len() {
                continue;
            }
            let Some(now) = standing(&tried) else {
                continue;
            };
            let less = (present.copper - now.copper).as_mm();
            let evener = present.spread_percent - now.spread_percent;
            let gains = CABLE_GAIN_MM <= less || SPREAD_GAIN_PERCENT <= evener;
            let known = better.iter().any(|(_, b)| b.edits == candidate.edits);
            if !gains || known || cost(&present) <= cost(&now) {
                continue;
            }
            let units = study.design.rig.units;
            better.push((
                cost(&now),
                Better {
                    gains: words::gains(&present, &now, units),
                    copper: now.copper,
                    spread_percent: now.spread_percent,
                    change: candidate.change,
                    edits: candidate.edits,
                },
            ));
        }
        better.sort_by(|a, b| a.0.total_cmp(&b.0));
        better.truncate(OFFERED);
        let better = better.into_iter().map(|(_, b)| b).collect();
        let assumed = vec![words::exchange(worth, study.design.rig.units)];
        Some(Self { present, better, exact: found.exact, assumed })
    }
}

/// The rig with a candidate's bank, worked through.
fn tried(candidate: &Candidate, base: &Design, study: &Study, tables: &Tables) -> Option<Study> {
    let design = candidates::with_bank(base, study, &candidate.bank)?;
    Study::of(&design, study.stage, tables, study.ambient).ok()
}

/// Cable and sharing of a study.
fn standing(study: &Study) -> Option<Standing> {
    let spread_percent = study.discharge.as_ref().ok()?.spread_percent;
    let mut copper = Length::ZERO;
    for (lead, answer) in study.wiring.leads.iter().zip(&study.leads) {
        let at_bank = lead.from.block().is_some() || lead.to.block().is_some();
        if lead.role.is_link() || at_bank {
            copper = copper + answer.length.made();
        }
    }
    Some(Standing { copper, spread_percent })
}
