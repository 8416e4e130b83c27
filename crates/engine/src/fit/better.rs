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
        let better = distinct(better.into_iter().map(|(_, b)| b).collect());
        let assumed = vec![words::exchange(worth, study.design.rig.units)];
        Some(Self { present, better, exact: found.exact, assumed })
    }
}

/// The best few of them. Of offers that gain the same as far as a tape and a clamp meter can tell, only
/// the one with the least to change; and none that another beats in both with no more to change.
fn distinct(mut offers: Vec<Better>) -> Vec<Better> {
    let no_worse = |a: &Better, b: &Better| {
        let cable = (a.copper - b.copper).as_mm() < CABLE_GAIN_MM;
        let spread = a.spread_percent - b.spread_percent < SPREAD_GAIN_PERCENT;
        cable && spread && a.edits.len() <= b.edits.len()
    };
    let mut kept: Vec<Better> = Vec::new();
    // What changes least is asked first; among equals what is worth most stands first already.
    let order: Vec<String> = offers.iter().map(|o| o.change.clone()).collect();
    offers.sort_by_key(|o| o.edits.len());
    for offer in offers {
        if !kept.iter().any(|other| no_worse(other, &offer)) {
            kept.push(offer);
        }
    }
    kept.sort_by_key(|o| order.iter().position(|change| *change == o.change));
    kept.truncate(OFFERED);
    kept
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

#[cfg(test)]
mod tests {
    use super::{Better, distinct};
    use crate::units::Length;

    fn offer(change: &str, copper_m: f64, spread_percent: f64, edits: usize) -> Better {
        Better {
            change: change.to_owned(),
            gains: String::new(),
            copper: Length::m(copper_m),
            spread_percent,
            edits: vec![(String::new(), String::new()); edits],
        }
    }

    #[test]
    fn equal_offers_are_one_and_the_least_work_is_kept() {
        // The first two differ by 5 mm and 0.1 %: one offer, the one with two edits. The last has more
        // to change and gains no more than it.
        let offers = vec![
            offer("move all", 2.000, 3.0, 12),
            offer("turn two", 2.005, 3.1, 2),
            offer("take off elsewhere", 2.4, 0.2, 1),
            offer("turn four", 2.1, 3.1, 4),
        ];
        let kept: Vec<String> = distinct(offers).into_iter().map(|o| o.change).collect();
        assert_eq!(kept, ["turn two", "take off elsewhere"], "distinct, in the order of worth");
    }

    #[test]
    fn more_work_stays_when_it_gains_more() {
        let offers = vec![offer("move all", 1.5, 0.0, 12), offer("turn two", 2.0, 0.0, 2)];
        assert_eq!(distinct(offers).len(), 2, "half a metre is a gain");
    }
}
