//! R07: a link that closes a ring of batteries whose volts do not cancel.

use super::context::{CheckError, Context, Said};
use crate::circuit::wiring::joined_studs;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::lead::Terminal;
use crate::units::{Voltage, show};
use std::collections::BTreeMap;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let tolerance = cx.limit("gate-voltage-tolerance")?;
    let block = cx.study.facts.blocks.first().map_or(0.0, |b| b.nominal.as_volts());
    let mut levels = Levels::default();
    for block in &cx.study.facts.blocks {
        let volts = block.nominal.as_volts();
        let volts = if block.reversed { -volts } else { volts };
        levels.join(&Terminal::plus(block.id), &Terminal::minus(block.id), volts);
    }
    for (a, b) in joined_studs(cx.design()) {
        levels.join(&a, &b, 0.0);
    }
    let mut said = Vec::new();
    for lead in &cx.study.wiring.leads {
        let Some(volts) = levels.join(&lead.from, &lead.to, 0.0) else {
            continue;
        };
        // What a quarter of a block explains is charge or chemistry, and R03 and R04 judge it.
        if volts.abs() <= tolerance.value * block {
            continue;
        }
        let id = &lead.id;
        said.push(Said {
            severity: Severity::Stop,
            path: format!("lead.{id}"),
            part: format!("lead {id}"),
            says: format!(
                "Lead {id} from {} to {} closes a short circuit: {} stand across it with nothing \
                 but copper in the way.",
                lead.from,
                lead.to,
                show::voltage(Voltage::volts(volts.abs()))
            ),
            remedy: format!(
                "Leave lead {id} off and check the plan: each link joins plus to minus within a \
                 string, and like to like between strings; no block may be reversed."
            ),
            why: "Thousands of amps flow at once; the lead glows and the post melts.",
            sources: vec![Cite::physics("the volts around any ring of batteries must cancel")],
            gates: None,
        });
    }
    Ok(said)
}

/// Terminals in groups that are joined, each with its volts above the group's root.
#[derive(Default)]
struct Levels {
    above: BTreeMap<Terminal, (Terminal, f64)>,
}

impl Levels {
    /// The root of a terminal's group and its volts above that root.
    fn root(&self, terminal: &Terminal) -> (Terminal, f64) {
        let mut at = terminal.clone();
        let mut volts = 0.0;
        // Each step goes to a terminal that joined earlier, so there are no more than there are.
        while let Some((next, step)) = self.above.get(&at) {
            volts += step;
            at = next.clone();
        }
        (at, volts)
    }

    /// Joins two terminals with `a` standing `volts` above `b`. When they were already joined,
    /// nothing changes and the volts that the new join would short are given back.
    fn join(&mut self, a: &Terminal, b: &Terminal, volts: f64) -> Option<f64> {
        let (root_a, above_a) = self.root(a);
        let (root_b, above_b) = self.root(b);
        if root_a == root_b {
            return Some(above_a - above_b - volts);
        }
        self.above.insert(root_a, (root_b, volts + above_b - above_a));
        None
    }
}

#[cfg(test)]
mod tests {
    use super::Levels;
    use crate::model::bank::BlockId;
    use crate::model::lead::Terminal;

    #[test]
    fn a_ring_of_two_equal_blocks_cancels_and_a_crossed_one_does_not() {
        let block = |string| BlockId { string, place: 0 };
        let mut levels = Levels::default();
        for string in [0, 1] {
            let posts = (Terminal::plus(block(string)), Terminal::minus(block(string)));
            assert_eq!(levels.join(&posts.0, &posts.1, 12.0), None, "a block by itself");
        }
        let plus = levels.join(&Terminal::plus(block(0)), &Terminal::plus(block(1)), 0.0);
        assert_eq!(plus, None, "the first link closes nothing");
        let even = levels.join(&Terminal::minus(block(0)), &Terminal::minus(block(1)), 0.0);
        assert!(even.is_some_and(|v| v.abs() < 1e-12), "like to like: {even:?}");
        let short = levels.join(&Terminal::plus(block(0)), &Terminal::minus(block(1)), 0.0);
        assert!(short.is_some_and(|v| (v - 12.0).abs() < 1e-12), "plus to minus: {short:?}");
    }
}
