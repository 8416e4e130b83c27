//! What stands in a box and along a lead of the single-line diagram.

use super::tree::Node;
use crate::geometry::{Point, at};
use crate::pictures::Subject;
use crate::pictures::plan::measured;
use crate::scene::{Anchor, Fill, Group, Item, Label, Rect, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{CAPITAL, Weight, text_width_mm, wrapped};
use engine::circuit::share::Share;
use engine::model::device::{Device, DeviceKind};
use engine::sizing::answer::FuseChoice;
use engine::units::show;

/// From base line to base line [mm].
pub(super) const LEADING: f64 = 4.3;

/// Between the edge of a box and its words [mm].
const INSET: f64 = 1.6;

/// One line of words.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Line {
    text: String,
    weight: Weight,
    tone: Tone,
    /// A word or a size behind a name.
    more: Option<Box<Self>>,
}

/// Between a name and the size behind it [mm].
const BEHIND: f64 = 1.4;

impl Line {
    fn more_width(&self) -> f64 {
        self.more.as_ref().map_or(0.0, |m| BEHIND + text_width_mm(&m.text, size::SMALL, m.weight))
    }

    /// The words of the line, from an anchor on its base line.
    fn drawn(&self, place: Point, anchor: Anchor) -> Vec<Item> {
        let after = self.more_width();
        let own = if anchor == Anchor::End { place.moved(-after, 0.0) } else { place };
        let label = Label::new(own, &self.text, size::SMALL).tone(self.tone).anchored(anchor);
        let name = Label { weight: self.weight, ..label };
        let start =
            if anchor == Anchor::End { place } else { own.moved(name.width() + after, 0.0) };
        let mut items: Vec<Item> = vec![name.into()];
        if let Some(more) = &self.more {
            let label = Label::new(start, &more.text, size::SMALL).tone(more.tone);
            items.push(Label { weight: more.weight, ..label.anchored(Anchor::End) }.into());
        }
        items
    }
}

/// Words in lines no wider than given.
fn set(text: &str, room: f64, weight: Weight, tone: Tone) -> Vec<Line> {
    let lines = wrapped(text, room, size::SMALL, weight).into_iter();
    lines.map(|text| Line { text, weight, tone, more: None }).collect()
}

/// Adds words behind a single line where they fit, or else under the lines.
fn append(lines: &mut Vec<Line>, text: &str, (room, weight, tone): (f64, Weight, Tone)) {
    let width = text_width_mm(text, size::SMALL, weight) + BEHIND;
    match lines.as_mut_slice() {
        [only] if text_width_mm(&only.text, size::SMALL, only.weight) + width <= room => {
            only.more = Some(Box::new(Line { text: text.to_owned(), weight, tone, more: None }));
        }
        _ => lines.extend(set(text, room, weight, tone)),
    }
}

/// Height of some lines [mm].
pub(super) fn height(lines: usize) -> f64 {
    f64::from(u16::try_from(lines).unwrap_or(u16::MAX)) * LEADING
}

/// A box of the diagram, not yet in its place.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cell {
    /// For ids and titles.
    pub(super) name: String,
    lines: Vec<Line>,
    pub(super) width: f64,
}

impl Cell {
    fn new(name: &str, width: f64) -> Self {
        Self { name: name.to_owned(), lines: Vec::new(), width }
    }

    fn add(&mut self, text: &str, weight: Weight, tone: Tone) {
        self.lines.extend(set(text, self.width - 2.0 * INSET, weight, tone));
    }

    /// Says that it stands on an earlier sheet too.
    pub(super) fn continued(&mut self) {
        self.add("continued", Weight::Regular, Tone::Pencil);
    }

    /// Its height [mm].
    pub(super) fn height(&self) -> f64 {
        height(self.lines.len()) + 2.0 * INSET - (LEADING - size::SMALL * CAPITAL) + 0.6
    }

    /// The box with its words.
    pub(super) fn drawn(&self, corner: Point, title: &str) -> Group {
        let mut group = Group::named(&format!("box-{}", self.name), "box", title);
        group.data.push(("device".to_owned(), self.name.clone()));
        let rect = Rect {
            corner,
            width: self.width,
            height: self.height(),
            round: 0.0,
            stroke: Some(Stroke::solid(Tone::Ink, line::NORMAL)),
            fill: Fill::Flat(Tone::Light),
        };
        group.items.push(rect.into());
        let mut base = corner.y + INSET + size::SMALL * CAPITAL;
        for line in &self.lines {
            group.items.extend(line.drawn(at(corner.x + INSET, base), Anchor::Start));
            base += LEADING;
        }
        group
    }
}

/// The box of the bank.
pub(super) fn bank(subject: &Subject<'_>, share: Option<&Share>, width: f64) -> Cell {
    let mut cell = Cell::new("bank", width);
    cell.add("bank", Weight::Bold, Tone::Ink);
    if let Some(bank) = subject.design.bank() {
        let volts = subject.design.block_model(&bank.block).and_then(|m| m.volts);
        let each = volts
            .map_or(String::new(), |v| format!(" of {}\u{a0}V", show::decimal(v.as_volts(), 1)));
        let text = format!(
            "{} blocks{each}: {} in series, {} in parallel",
            bank.count(),
            bank.series,
            bank.parallel
        );
        cell.add(&text, Weight::Regular, Tone::Ink);
    }
    if let Some(share) = share {
        let short = kiloamps(share.short_circuit_amps);
        cell.add(
            &format!("a dead short at the take-off, through links and joints: {short}"),
            Weight::Regular,
            Tone::Ink,
        );
    }
    cell
}

/// The box of a device, with those that are its like in the other strings.
pub(super) fn device(
    subject: &Subject<'_>,
    node: &Node<'_>,
    twins: &[&Node<'_>],
    width: f64,
) -> Cell {
    let mut cell = Cell::new(&node.name, width);
    let mut names = node.name.clone();
    for twin in twins {
        names = format!("{names}, {}", twin.name);
    }
    cell.add(&names, Weight::Bold, Tone::Ink);
    let isolator = node.device.is_some_and(|d| d.kind == DeviceKind::Isolator);
    if node.live && !isolator {
        let room = width - 2.0 * INSET;
        append(&mut cell.lines, "•\u{a0}stays live", (room, Weight::Bold, Tone::Red));
    }
    let Some(device) = node.device else {
        return cell;
    };
    let each = if twins.is_empty() { "" } else { "each: " };
    cell.add(&format!("{each}{}", ratings(device)), Weight::Regular, Tone::Ink);
    for text in further(subject, device) {
        cell.add(&text, Weight::Regular, Tone::Ink);
    }
    cell
}

/// The box of a device on the minus side; the bank's own minus has only its name.
pub(super) fn minus_device(subject: &Subject<'_>, name: &str, width: f64) -> Cell {
    let mut cell = Cell::new(&format!("minus-{name}"), width);
    cell.add(name, Weight::Bold, Tone::Ink);
    if let Some(device) = subject.design.device(name) {
        if device.kind == DeviceKind::Bond {
            cell.add("bond: the one place where minus meets it", Weight::Regular, Tone::Ink);
        } else {
            cell.add(&ratings(device), Weight::Regular, Tone::Ink);
        }
    }
    cell
}

/// Family, kind and every rating that is known.
fn ratings(device: &Device) -> String {
    let kind = device.kind.word();
    let family = device.family.as_ref().filter(|_| device.kind.is_overcurrent());
    let mut parts = vec![family.map_or_else(|| kind.to_owned(), |f| format!("{f} {kind}"))];
    // A panel that is called panel need not be told to be one.
    if device.part.name == kind && (device.rating.is_some() || device.power.is_some()) {
        parts.clear();
    }
    let plain = |value: f64, unit: &str| format!("{}\u{a0}{unit}", show::decimal(value, 1));
    parts.extend(device.rating.map(|r| plain(r.as_amps(), "A")));
    parts.extend(device.power.map(|p| plain(p.as_watts(), "W")));
    parts.extend(device.interrupt.map(|i| format!("breaks {}", kiloamps(i.as_amps()))));
    parts.extend(device.volts_max.map(|v| plain(v.as_volts(), "V")));
    let unsaid = device.kind.is_overcurrent() && device.interrupt.is_none();
    if unsaid {
        parts.push("breaks: not\u{a0}given".to_owned());
    }
    parts.join(", ")
}

/// What is special to a kind: how far a fuse is from its source, what the isolator does, what feeds a
/// controller.
fn further(subject: &Subject<'_>, device: &Device) -> Vec<String> {
    let name = &device.part.name;
    let units = subject.design.rig.units;
    match device.kind {
        DeviceKind::Fuse | DeviceKind::Breaker => {
            let choice = subject.leads.iter().filter_map(|l| l.fuse.as_ref());
            let Some(FuseChoice { distance, limit, .. }) = choice.clone().find(|f| f.id == *name)
            else {
                return Vec::new();
            };
            let distance = distance.map(|d| format!("{} from source", measured(d, units)));
            let limit = limit.map(|l| format!("limit\u{a0}{}", measured(l, units)));
            let told: Vec<String> = [distance, limit].into_iter().flatten().collect();
            if told.is_empty() { Vec::new() } else { vec![told.join(", ")] }
        }
        DeviceKind::Isolator => vec!["drawn closed; its bank side stays live".to_owned()],
        DeviceKind::SolarController => {
            let arrays = subject.design.arrays.iter();
            let own = arrays.filter(|a| a.controller.as_ref() == Some(name));
            own.map(|a| {
                let panel = a.panel.map_or(String::new(), |p| {
                    format!(" of {}\u{a0}W", show::decimal(p.as_watts(), 0))
                });
                format!("from {}: {} × {} panels{panel}", a.part.name, a.series, a.parallel)
            })
            .collect()
        }
        _ => device.fed_by.iter().map(|by| format!("fed by {by}")).collect(),
    }
}

fn kiloamps(amps: f64) -> String {
    format!("{}\u{a0}kA", show::decimal(amps / 1000.0, 1))
}

/// Name and size of the leads to a box, in lines no wider than given. A size that the owner has not
/// decided stands in pencil.
pub(super) fn lead_lines(subject: &Subject<'_>, leads: &[&str], room: f64) -> Vec<Line> {
    if leads.is_empty() {
        return set("bolted on", room, Weight::Regular, Tone::Ink);
    }
    let mut lines = set(&leads.join(", "), room, Weight::Bold, Tone::Ink);
    let answer = leads.first().and_then(|lead| subject.answer(lead));
    if let Some(answer) = answer {
        let tone = if answer.decided { Tone::Ink } else { Tone::Pencil };
        append(&mut lines, &answer.size.to_string(), (room, Weight::Regular, tone));
        if answer.fuse.as_ref().is_some_and(|f| f.id.is_empty()) {
            lines.extend(set("no fuse yet", room, Weight::Bold, Tone::Ink));
        }
    }
    lines
}

/// Where a lead comes from, when the box before it is not its neighbour.
pub(super) fn from_line(name: &str, room: f64) -> Vec<Line> {
    set(&format!("from {name}"), room, Weight::Regular, Tone::Ink)
}

/// The words along a lead, the last line on a base line.
pub(super) fn lead_words(lines: &[Line], place: Point, anchor: Anchor) -> Vec<Item> {
    let mut base = place.y;
    let mut items: Vec<Item> = Vec::new();
    for line in lines.iter().rev() {
        items.extend(line.drawn(at(place.x, base), anchor));
        base -= LEADING;
    }
    items
}
