//! The plus side as a tree: what hangs on what, seen from the bank outwards.

use crate::pictures::Subject;
use engine::circuit::wiring::{LeadRole, Polarity, joined_studs};
use engine::model::bank::Bank;
use engine::model::device::{Device, DeviceKind};
use engine::model::lead::Terminal;
use engine::plan::card::reached_with_switches_open;
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// A device on the plus side, or the bank.
#[derive(Clone, Debug)]
pub(super) struct Node<'a> {
    /// The device; `None` for the bank, and for a name that no device carries.
    pub(super) device: Option<&'a Device>,
    /// Its name.
    pub(super) name: String,
    /// The lead by which it is reached; `None` where it is bolted straight on.
    pub(super) lead: Option<String>,
    /// What hangs on it.
    pub(super) children: Vec<usize>,
    /// The lead by which it meets a node that is reached another way, as the second of two string fuses
    /// does.
    pub(super) joins: Option<String>,
    /// It stays live with the isolator off.
    pub(super) live: bool,
}

/// The tree; its first node is the bank.
#[derive(Clone, Debug)]
pub(super) struct Tree<'a> {
    pub(super) nodes: Vec<Node<'a>>,
    /// From the bank outwards: the nodes that everything else hangs on.
    pub(super) trunk: Vec<usize>,
}

/// Terminals and the leads or metal between them.
type Next<'a> = BTreeMap<&'a Terminal, Vec<(&'a Terminal, Option<&'a str>)>>;

impl<'a> Tree<'a> {
    pub(super) fn of(subject: &Subject<'a>) -> Self {
        let nodes = grown(subject);
        let mut tree = Self { nodes, trunk: Vec::new() };
        if !tree.nodes.is_empty() {
            tree.trunk = tree.found_trunk();
        }
        tree
    }

    /// What hangs on the last node of the trunk.
    pub(super) fn last_branches(&self) -> Vec<usize> {
        let last = self.trunk.last().and_then(|n| self.nodes.get(*n));
        last.map(|n| n.children.clone()).unwrap_or_default()
    }

    /// How many nodes hang on a node, itself included.
    fn size(&self, node: usize) -> usize {
        let mut open = vec![node];
        let mut count = 0;
        while let Some(at) = open.pop() {
            count += 1;
            open.extend(&self.nodes[at].children);
        }
        count
    }

    /// True when something that charges hangs on a node.
    pub(super) fn charges(&self, node: usize) -> bool {
        let mut open = vec![node];
        while let Some(at) = open.pop() {
            if self.nodes[at].device.is_some_and(|d| d.kind.is_charge_source()) {
                return true;
            }
            open.extend(&self.nodes[at].children);
        }
        false
    }

    /// The way from the bank along the fuller branch, up to the last bar; without a bar, up to the last
    /// node that branches.
    fn found_trunk(&self) -> Vec<usize> {
        let mut path = vec![0];
        let mut at = 0;
        loop {
            let children = self.nodes[at].children.iter().copied();
            let carries = |n: &usize| {
                self.nodes[*n].device.is_some_and(|d| {
                    d.kind.passes_through()
                        || matches!(d.kind, DeviceKind::Busbar)
                        || !self.nodes[*n].children.is_empty()
                })
            };
            let fuller = children.filter(carries).rev().max_by_key(|n| self.size(*n));
            let Some(next) = fuller else { break };
            path.push(next);
            at = next;
        }
        let is_bar =
            |n: &usize| self.nodes[*n].device.is_some_and(|d| matches!(d.kind, DeviceKind::Busbar));
        let branches = |n: &usize| 1 < self.nodes[*n].children.len();
        let last = path
            .iter()
            .rposition(is_bar)
            .or_else(|| path.iter().rposition(branches))
            .unwrap_or(path.len() - 1);
        path.truncate(last + 1);
        path
    }
}

fn grown<'a>(subject: &Subject<'a>) -> Vec<Node<'a>> {
    let design = subject.design;
    let live = reached_with_switches_open(design, subject.wiring);
    let studs = joined_studs(design);
    let next = neighbours(subject, &studs);
    let Some(bank) = design.bank() else {
        return Vec::new();
    };
    let bank_node = Node {
        device: None,
        name: "bank".to_owned(),
        lead: None,
        children: Vec::new(),
        joins: None,
        live: true,
    };
    let mut nodes = vec![bank_node];
    let mut owner: BTreeMap<Terminal, usize> = BTreeMap::new();
    let mut open: VecDeque<Terminal> = (0..bank.parallel).map(Bank::string_plus).collect();
    owner.extend(open.iter().map(|t| (t.clone(), 0)));
    let mut used: BTreeSet<&str> = BTreeSet::new();
    while let Some(at) = open.pop_front() {
        let here = owner[&at];
        for (there, lead) in next.get(&at).into_iter().flatten() {
            if lead.is_some_and(|lead| !used.insert(lead)) {
                continue;
            }
            if let Some(other) = owner.get(*there).copied() {
                if other != here && nodes[here].joins.is_none() {
                    nodes[here].joins = lead.map(str::to_owned);
                }
                continue;
            }
            let same = at.device().is_some() && at.device() == there.device();
            let node = if same { here } else { nodes.len() };
            if !same {
                nodes[here].children.push(node);
                let name = there.device().map_or_else(|| there.to_string(), str::to_owned);
                nodes.push(Node {
                    device: design.device(&name),
                    name,
                    lead: lead.map(str::to_owned),
                    children: Vec::new(),
                    joins: None,
                    live: live.contains(*there),
                });
            }
            owner.insert((*there).clone(), node);
            open.push_back((*there).clone());
        }
    }
    nodes
}

fn neighbours<'a>(subject: &Subject<'a>, studs: &'a [(Terminal, Terminal)]) -> Next<'a> {
    let mut next: Next<'a> = BTreeMap::new();
    let mut add = |a: &'a Terminal, b: &'a Terminal, lead: Option<&'a str>| {
        next.entry(a).or_default().push((b, lead));
        next.entry(b).or_default().push((a, lead));
    };
    for lead in &subject.wiring.leads {
        let plus = matches!(lead.polarity, Polarity::Plus | Polarity::Both);
        if plus && !matches!(lead.role, LeadRole::PlusLink) {
            add(&lead.from, &lead.to, Some(&lead.id));
        }
    }
    for (a, b) in studs {
        add(a, b, None);
    }
    next
}
