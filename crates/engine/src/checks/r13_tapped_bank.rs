//! R13: a load or charger on a post in the middle of the bank.

use super::context::{CheckError, Context, Said};
use crate::circuit::wiring::{LeadRole, joined_studs};
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::bank::Bank;
use crate::model::lead::Terminal;
use std::collections::BTreeSet;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(bank) = cx.bank().filter(|b| 2 <= b.series) else {
        return Ok(Vec::new());
    };
    let mut said = Vec::new();
    let mut told: BTreeSet<String> = BTreeSet::new();
    for post in inner_posts(bank) {
        for name in hanging_on(cx, bank, &post) {
            let Some(device) = cx.design().device(&name) else {
                continue;
            };
            let charges = device.kind.is_charge_source();
            if !(charges || device.kind.is_load()) || !told.insert(name.clone()) {
                continue;
            }
            let does = if charges { "charges" } else { "draws from" };
            said.push(Said {
                severity: if charges { Severity::Stop } else { Severity::Fix },
                path: format!("device.{name}"),
                part: name.clone(),
                says: format!("{name} {does} part of the bank only: its lead bolts to {post}."),
                remedy: if charges {
                    format!("Move {name} to the two ends of the bank, or charge the whole bank.")
                } else {
                    format!(
                        "Feed {name} from the whole bank through a converter to its volts, or fit \
                         an equaliser."
                    )
                },
                why: "The tapped half runs down and the other half is overcharged.",
                sources: vec![Cite::practice("rule R13, tapping a bank")],
                gates: None,
            });
        }
    }
    Ok(said)
}

/// Posts that are neither the plus nor the minus end of a string.
fn inner_posts(bank: &Bank) -> Vec<Terminal> {
    let ends = |id: &crate::model::bank::BlockId| {
        let mut posts = Vec::new();
        if id.place != 0 {
            posts.push(Terminal::plus(*id));
        }
        if id.place + 1 != bank.series {
            posts.push(Terminal::minus(*id));
        }
        posts
    };
    bank.block_ids().iter().flat_map(ends).collect()
}

/// Devices reached from a post over the owner's leads, not over the links and posts of the bank.
fn hanging_on(cx: &Context<'_>, bank: &Bank, post: &Terminal) -> BTreeSet<String> {
    let studs = joined_studs(cx.design());
    let is_end = |t: &Terminal| {
        (0..bank.parallel).any(|s| Bank::string_plus(s) == *t || bank.string_minus(s) == *t)
    };
    let mut seen: BTreeSet<Terminal> = BTreeSet::new();
    let mut open = vec![post.clone()];
    while let Some(at) = open.pop() {
        if is_end(&at) || !seen.insert(at.clone()) {
            continue;
        }
        let feeds = cx.study.wiring.at(&at).filter(|l| l.role == LeadRole::Feed);
        open.extend(feeds.map(|l| if l.from == at { l.to.clone() } else { l.from.clone() }));
        for (a, b) in &studs {
            if *a == at {
                open.push(b.clone());
            } else if *b == at {
                open.push(a.clone());
            }
        }
    }
    seen.iter().filter_map(|t| t.device().map(str::to_owned)).collect()
}
