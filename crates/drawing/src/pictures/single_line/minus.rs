//! The minus side: one chain from the bank to the bars and to the one bond, and the leads that come back
//! to it.

use super::cells::{LEADING, Line, from_line, height, lead_lines, lead_words, minus_device};
use crate::geometry::{Point, at};
use crate::pictures::Subject;
use crate::scene::{Anchor, Item, Label, Path, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, wrapped};
use engine::circuit::wiring::{LeadRole, Polarity, joined_studs};
use engine::model::device::DeviceKind;
use engine::model::lead::Terminal;
use std::collections::{BTreeMap, VecDeque};

/// One box of the chain: its name, the box before it and the leads between the two.
struct Link {
    name: String,
    from: String,
    leads: Vec<String>,
}

/// The chain and what comes back to it.
struct Chain {
    links: Vec<Link>,
    /// Lead, where it comes from and where it ends.
    back: Vec<(String, String, String)>,
}

/// Least width of a box with the lead before it [mm].
const LEAST: f64 = 43.0;

/// Draws the minus side from its left upper corner; also the height it takes.
pub(super) fn minus_side(subject: &Subject<'_>, corner: Point, width: f64) -> (Vec<Item>, f64) {
    let chain = chain(subject);
    let mut items: Vec<Item> = Vec::new();
    let title = Label::new(corner.moved(0.0, size::LABEL), "Minus side", size::LABEL).bold();
    items.push(title.into());
    let mut top = corner.y + size::LABEL + 1.0;
    let per_row = (1..=6).rev().find(|n| along(*n) * LEAST <= width).unwrap_or(1);
    let wide = width / along(per_row);
    let segment = (wide * 0.4).min(24.0);
    let stroke = Stroke::solid(Tone::Ink, line::HEAVY);
    // The first box has no lead before it, so that the first row begins with the box itself.
    let left =
        |row: usize, n: usize| corner.x + along(n) * wide - if row == 0 { segment } else { 0.0 };
    let mut low = top;
    for (row, links) in chain.links.chunks(per_row).enumerate() {
        let first = row * per_row;
        let words = |n: usize, link: &Link| {
            let follows = 0 < n && chain.links[first + n - 1].name == link.from;
            link_lines(subject, link, follows, wide - 1.6)
        };
        let all: Vec<Vec<Line>> = links.iter().enumerate().map(|(n, l)| words(n, l)).collect();
        let zone = height(all.iter().map(Vec::len).max().unwrap_or(0)) + 1.5;
        top = low + if row == 0 { 0.0 } else { 2.0 };
        for (n, (link, lines)) in links.iter().zip(&all).enumerate() {
            let x = left(row, n);
            let cell = minus_device(subject, &link.name, wide - segment);
            let box_at = at(x + segment, top + zone);
            if !link.from.is_empty() {
                let y = box_at.y + 3.0;
                items.push(Path::line(&[at(x, y), at(box_at.x, y)], stroke).into());
                let words = at(x + 0.8, box_at.y - 1.2);
                items.extend(lead_words(lines, words, Anchor::Start));
            }
            items.push(cell.drawn(box_at, &format!("{} on the minus side", link.name)).into());
            low = low.max(box_at.y + cell.height());
        }
    }
    let mut base = low + 1.5;
    for text in returns(subject, &chain, width) {
        base += LEADING;
        items.push(Label::new(at(corner.x, base), &text, size::SMALL).into());
    }
    (items, base + 1.5 - corner.y)
}

fn along(count: usize) -> f64 {
    f64::from(u16::try_from(count).unwrap_or(u16::MAX))
}

/// The words of the leads to a box.
fn link_lines(subject: &Subject<'_>, link: &Link, follows: bool, room: f64) -> Vec<Line> {
    if link.from.is_empty() {
        return Vec::new();
    }
    let leads: Vec<&str> = link.leads.iter().map(String::as_str).collect();
    let mut lines = if follows { Vec::new() } else { from_line(&link.from, room) };
    lines.extend(lead_lines(subject, &leads, room));
    lines
}

/// The leads that come back, in words: name, size, from where to where.
fn returns(subject: &Subject<'_>, chain: &Chain, width: f64) -> Vec<String> {
    let held = |text: &str| text.replace(' ', "\u{a0}");
    let mut parts: Vec<String> = Vec::new();
    for (lead, from, to) in &chain.back {
        let size = subject.answer(lead).map_or(String::new(), |a| format!(" {}", a.size));
        parts.push(format!(
            "{} {}",
            held(&format!("{lead}{size},")),
            held(&format!("{from} to {to}"))
        ));
    }
    if parts.is_empty() {
        return Vec::new();
    }
    wrapped(&format!("Back to it: {}.", parts.join("; ")), width, size::SMALL, Weight::Regular)
}

fn chain(subject: &Subject<'_>) -> Chain {
    let design = subject.design;
    let mut chain = Chain { links: Vec::new(), back: Vec::new() };
    let Some(bank) = design.bank() else {
        return chain;
    };
    let name = "bank\u{a0}−".to_owned();
    chain.links.push(Link { name: name.clone(), from: String::new(), leads: Vec::new() });
    let mut owner: BTreeMap<Terminal, String> = BTreeMap::new();
    let mut open: VecDeque<Terminal> = (0..bank.parallel).map(|s| bank.string_minus(s)).collect();
    owner.extend(open.iter().map(|t| (t.clone(), name.clone())));
    let minus: Vec<_> = subject
        .wiring
        .leads
        .iter()
        .filter(|l| l.polarity == Polarity::Minus && l.role != LeadRole::MinusLink)
        .collect();
    let studs = joined_studs(design);
    while let Some(here) = open.pop_front() {
        let from = owner[&here].clone();
        for (there, lead) in steps(&here, &minus, &studs) {
            let device = there.device().and_then(|d| design.device(d));
            let carries = device.is_some_and(|d| {
                d.kind.passes_through() || matches!(d.kind, DeviceKind::Busbar | DeviceKind::Bond)
            });
            let to = there.device().unwrap_or_default().to_owned();
            match (owner.get(&there), lead) {
                (Some(known), Some(lead)) if *known != from => add_lead(&mut chain, known, &lead),
                (Some(_), _) => {}
                (None, lead) if carries => {
                    if here.device() != there.device() {
                        let leads = lead.into_iter().collect();
                        chain.links.push(Link { name: to.clone(), from: from.clone(), leads });
                    }
                    owner.insert(there.clone(), to);
                    open.push_back(there);
                }
                (None, Some(lead)) => {
                    chain.back.push((lead, to.clone(), from.clone()));
                    owner.insert(there.clone(), to);
                    open.push_back(there);
                }
                (None, None) => {}
            }
        }
    }
    chain
}

/// A second lead to a box that is already there, such as one from each string.
fn add_lead(chain: &mut Chain, name: &str, lead: &str) {
    let told = chain.back.iter().any(|b| b.0 == lead)
        || chain.links.iter().any(|l| l.leads.iter().any(|known| known == lead));
    if told {
        return;
    }
    if let Some(link) = chain.links.iter_mut().find(|l| l.name == name) {
        link.leads.push(lead.to_owned());
    }
}

fn steps(
    here: &Terminal,
    leads: &[&engine::circuit::wiring::WiredLead],
    studs: &[(Terminal, Terminal)],
) -> Vec<(Terminal, Option<String>)> {
    let mut found = Vec::new();
    for lead in leads {
        if lead.from == *here {
            found.push((lead.to.clone(), Some(lead.id.clone())));
        } else if lead.to == *here {
            found.push((lead.from.clone(), Some(lead.id.clone())));
        }
    }
    for (a, b) in studs {
        if a == here {
            found.push((b.clone(), None));
        } else if b == here {
            found.push((a.clone(), None));
        }
    }
    found
}
