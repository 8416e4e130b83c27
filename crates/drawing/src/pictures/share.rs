//! The current share: one arrow for each string, as wide as its amps, before and after a change.
//!
//! Both halves have the same scale, so that the eye may compare arrow with arrow. Every figure is the
//! engine's.

use super::plan::amps;
use super::{Foot, Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::sheet::{Area, frame, ground, title_block};
use crate::scene::{Anchor, Fill, Group, Item, Label, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use crate::text::{Weight, text_width_mm, wrapped};
use engine::circuit::share::{Share, StringShare};
use engine::units::show;

/// A share with the words that say when it holds.
#[derive(Clone, Copy, Debug)]
pub struct Half<'a> {
    /// Such as `now`, or `with lead minus at C2 −`.
    pub says: &'a str,
    /// The share.
    pub share: &'a Share,
}

/// What the picture of the share is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct SharePicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// As it is.
    pub now: Half<'a>,
    /// As it would be after a change.
    pub then: Option<Half<'a>>,
    /// The paper.
    pub setting: &'a Setting,
}

/// From the edge of the sheet to whatever is drawn [mm].
const EDGE: f64 = 4.0;

/// Between the two halves [mm].
const BETWEEN: f64 = 8.0;

/// Least width of a half [mm]: letter, arrow and figure.
const LEAST: f64 = 70.0;

/// From base line to base line of words [mm].
const LEADING: f64 = size::SMALL * 1.3;

/// Height of the title block of two rows [mm].
const TITLE_BLOCK: f64 = 21.2;

/// Draws the share.
#[must_use]
pub fn share(picture: &SharePicture<'_>) -> Scene {
    let setting = picture.setting;
    let halves: Vec<Half<'_>> = [Some(picture.now), picture.then].into_iter().flatten().collect();
    let whole = setting.width - 2.0 * EDGE;
    let beside = 1 < halves.len() && 2.0 * LEAST + BETWEEN <= whole;
    let wide = if beside { (whole - BETWEEN) / 2.0 } else { whole.min(2.0 * LEAST) };
    let largest = halves.iter().flat_map(|h| &h.share.strings).map(|s| s.amps.abs());
    let scale = Scale::of(largest.fold(0.0, f64::max), &halves);
    let mut items: Vec<Item> = Vec::new();
    let (mut corner, mut low) = (at(EDGE, EDGE), 0.0_f64);
    for (n, half) in halves.iter().enumerate() {
        let id = if n == 0 { "now" } else { "then" };
        let (group, height) = half_of(half, (id, corner, wide), &scale);
        items.push(group.into());
        low = low.max(corner.y + height);
        corner = if beside { corner.moved(wide + BETWEEN, 0.0) } else { at(EDGE, low + 5.0) };
    }
    let mut height = low + EDGE;
    if setting.foot == Foot::TitleBlock {
        let (block, end) = foot(picture, low + 4.0);
        items.push(block.into());
        height = end + EDGE;
    }
    let sheet = Area { corner: at(0.0, 0.0), width: setting.width, height };
    let inner = Area { corner: at(1.0, 1.0), width: setting.width - 2.0, height: height - 2.0 };
    items.splice(0..0, [ground(sheet), frame(inner)]);
    Scene {
        id: setting.id.clone(),
        title: format!("Current share, {}", picture.subject.design.rig.name),
        description: halves.iter().map(|h| told(h)).collect::<Vec<_>>().join(" "),
        width: setting.width,
        height,
        view: None,
        items,
    }
}

/// How amps become widths.
struct Scale {
    /// Amps of the widest arrow.
    largest: f64,
    /// Its width [mm].
    widest: f64,
    /// From string to string [mm].
    pitch: f64,
}

impl Scale {
    fn of(largest: f64, halves: &[Half<'_>]) -> Self {
        // Up to six strings stand on a half page with the widest arrows; more of them are thinner.
        let many = halves.iter().any(|h| 6 < h.share.strings.len());
        let (widest, pitch) = if many { (5.0, 9.0) } else { (9.0, 15.0) };
        Self { largest, widest, pitch }
    }

    fn width(&self, amps: f64) -> f64 {
        if self.largest <= 0.0 { 0.0 } else { amps.abs() / self.largest * self.widest }
    }
}

fn told(half: &Half<'_>) -> String {
    let list: Vec<String> =
        half.share.strings.iter().map(|s| format!("{} {}", s.id, amps(s.amps))).collect();
    format!("{}: {}; in all {}.", half.says, list.join(", "), amps(half.share.total_amps))
}

/// One half from its corner; also its height.
fn half_of(half: &Half<'_>, place: (&str, Point, f64), scale: &Scale) -> (Group, f64) {
    let (id, corner, wide) = place;
    let mut group = Group::named(id, "share", &told(half));
    let mut base = corner.y;
    for text in wrapped(half.says, wide, size::LABEL, Weight::Bold) {
        base += size::LABEL * 1.25;
        group.items.push(Label::new(at(corner.x, base), &text, size::LABEL).bold().into());
    }
    let total = amps(half.share.total_amps);
    let figure = half
        .share
        .strings
        .iter()
        .map(|s| text_width_mm(&amps(s.amps), size::NAME, Weight::Bold))
        .fold(0.0, f64::max);
    let letter = half
        .share
        .strings
        .iter()
        .map(|s| text_width_mm(&s.id, size::NAME, Weight::Bold))
        .fold(0.0, f64::max);
    let ends = (corner.x + letter + 3.0, corner.x + wide - figure - 6.0);
    let first = base + 3.0 + scale.pitch / 2.0;
    let mut y = first;
    for string in &half.share.strings {
        group
            .items
            .push(Label::new(at(corner.x, y), &string.id, size::NAME).bold().levelled().into());
        group.items.push(arrow(string, ends, y, scale));
        let text = amps(string.amps);
        let label = Label::new(at(corner.x + wide - 4.0, y), &text, size::NAME).bold();
        group.items.push(label.anchored(Anchor::End).levelled().into());
        y += scale.pitch;
    }
    let last = y - scale.pitch;
    // The bracket behind the figures: what the strings give together.
    let edge = corner.x + wide - 1.0;
    let bracket = [
        at(edge - 1.6, first - 4.0),
        at(edge, first - 4.0),
        at(edge, last + 4.0),
        at(edge - 1.6, last + 4.0),
    ];
    group.items.push(Path::line(&bracket, Stroke::solid(Tone::Ink, line::NORMAL)).into());
    let sum = at(edge, last + 4.0 + LEADING);
    let label = Label::new(sum, &format!("in all {total}"), size::SMALL).anchored(Anchor::End);
    group.items.push(label.into());
    let spread = format!("spread {}\u{a0}%", show::fixed(half.share.spread_percent, 0));
    let label = Label::new(at(corner.x, sum.y), &spread, size::SMALL).tone(Tone::Pencil);
    group.items.push(label.into());
    (group, sum.y + size::SMALL * 0.3 - corner.y)
}

/// An arrow out of its string, or into it when it charges; as wide as its amps.
fn arrow(string: &StringShare, ends: (f64, f64), y: f64, scale: &Scale) -> Item {
    let (from, to) = if string.amps < 0.0 { (ends.1, ends.0) } else { ends };
    let way = (to - from).signum();
    let half = scale.width(string.amps) / 2.0;
    let stroke = Stroke::solid(Tone::Ink, line::NORMAL);
    let title = format!("String {}, {}", string.id, amps(string.amps));
    let mut group = Group { title: Some(title), ..Group::of("arrow", Vec::new()) };
    group.data.push(("string".to_owned(), string.id.clone()));
    // Under a hair's width there is nothing to see: a thin pencil line says that nothing flows.
    if half < 0.1 {
        let stroke = Stroke::dashed(Tone::Pencil, line::THIN, 1.2);
        group.items.push(Path::line(&[at(from, y), at(to, y)], stroke).into());
        return group.into();
    }
    let head = to - way * (half + 3.0);
    let wing = half + 1.6;
    let shape = [
        at(from, y - half),
        at(head, y - half),
        at(head, y - wing),
        at(to, y),
        at(head, y + wing),
        at(head, y + half),
        at(from, y + half),
    ];
    group.items.push(Path::shape(&shape, Some(stroke), Fill::Flat(Tone::Wash)).into());
    group.into()
}

/// The title block under the halves; also where it ends.
fn foot(picture: &SharePicture<'_>, top: f64) -> (Group, f64) {
    let rig = &picture.subject.design.rig;
    let width = (picture.setting.width - 2.0 * EDGE).min(97.0);
    let corner = at(picture.setting.width - EDGE - width, top);
    let cells = [
        ("rig", rig.name.as_str()),
        ("sheet", "current share"),
        ("stage", picture.subject.stage_name()),
        ("revision", rig.revision.as_deref().unwrap_or("not given")),
    ];
    let (group, height) = title_block(corner, width, &cells);
    (group, top + height.max(TITLE_BLOCK))
}
