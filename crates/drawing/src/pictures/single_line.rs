//! The single-line diagram: sources on the left, the bank in the middle, loads on the right.
//!
//! The plus side is one line. Everything in it is a plain box with its name, its ratings and, for a fuse,
//! how far it is from its source; leads carry their names and sizes. The minus side stands below as a
//! chain with the one bond.

mod cells;
mod minus;
mod plus;
mod rows;
mod tree;

use super::{Foot, Setting, Subject};
use crate::geometry::at;
use crate::marks::sheet::{Area, frame, ground, title_block};
use crate::scene::{Group, Item, Label, Scene};
use crate::style::{Tone, size};
use crate::text::{Weight, wrapped};
use cells::LEADING;
use engine::circuit::share::Share;
use plus::{Columns, Plus, heads};
use tree::Tree;

/// What the single-line diagram is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct SingleLinePicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// For the current into a dead short.
    pub share: Option<&'a Share>,
    /// The paper.
    pub setting: &'a Setting,
}

/// From the edge of the sheet to whatever is drawn [mm].
const EDGE: f64 = 4.0;

/// Height of the title block of two rows [mm].
const TITLE_BLOCK: f64 = 21.2;

/// Draws the whole diagram as one picture, as high as it needs to be.
#[must_use]
pub fn single_line(picture: &SingleLinePicture<'_>) -> Scene {
    let tree = Tree::of(&picture.subject);
    let branches = tree.last_branches();
    drawn(picture, &tree, &Sheet { parts: Parts::Both, first: 0, branches, number: (1, 1) })
}

/// Draws the diagram for paper: as one sheet where it keeps within the height of its setting, or else the
/// plus side on as many sheets as it needs, and the minus side on the last.
#[must_use]
pub fn single_line_sheets(picture: &SingleLinePicture<'_>) -> Vec<Scene> {
    let whole = single_line(picture);
    if whole.height <= picture.setting.height {
        return vec![whole];
    }
    let tree = Tree::of(&picture.subject);
    let branches = tree.last_branches();
    let mut scenes = Vec::new();
    // A long trunk takes a sheet of its own only when no number of branches fits below it.
    for trunk_alone in [false, true] {
        for count in 1..=branches.len().max(1) {
            let each = branches.len().div_ceil(count).max(1);
            scenes = sheets(picture, &tree, (&branches, each), trunk_alone);
            if scenes.iter().all(|s| s.height <= picture.setting.height) {
                return scenes;
            }
        }
    }
    scenes
}

/// The plus side with so many branches to a sheet, its trunk on a sheet before them where asked, and
/// the minus side.
fn sheets(
    picture: &SingleLinePicture<'_>,
    tree: &Tree<'_>,
    (branches, each): (&[usize], usize),
    trunk_alone: bool,
) -> Vec<Scene> {
    // Sources and loads stand opposite each other, so that every sheet takes some of both.
    let (left, right): (Vec<usize>, Vec<usize>) = branches.iter().partition(|b| tree.charges(**b));
    let mut paired = Vec::new();
    for n in 0..left.len().max(right.len()) {
        paired.extend(left.get(n));
        paired.extend(right.get(n));
    }
    let mut groups: Vec<Vec<usize>> = paired.chunks(each).map(<[usize]>::to_vec).collect();
    if trunk_alone {
        groups.insert(0, Vec::new());
    }
    let groups = if groups.is_empty() { vec![Vec::new()] } else { groups };
    let of = groups.len() + 1;
    let last = tree.trunk.len().saturating_sub(1);
    let mut scenes = Vec::new();
    for (n, branches) in groups.into_iter().enumerate() {
        let first = if n == 0 { 0 } else { last };
        let sheet = Sheet { parts: Parts::Plus, first, branches, number: (n + 1, of) };
        scenes.push(drawn(picture, tree, &sheet));
    }
    let sheet = Sheet { parts: Parts::Minus, first: last, branches: Vec::new(), number: (of, of) };
    scenes.push(drawn(picture, tree, &sheet));
    scenes
}

/// Which sides stand on a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Parts {
    Both,
    Plus,
    Minus,
}

/// What stands on a sheet.
struct Sheet {
    parts: Parts,
    /// The trunk node that it begins with.
    first: usize,
    /// Which branches of the last trunk node it shows.
    branches: Vec<usize>,
    /// Its number, and how many there are.
    number: (usize, usize),
}

fn drawn(picture: &SingleLinePicture<'_>, tree: &Tree<'_>, sheet: &Sheet) -> Scene {
    let subject = &picture.subject;
    let width = picture.setting.width;
    let mut items: Vec<Item> = Vec::new();
    let mut low = EDGE;
    if tree.nodes.is_empty() {
        let words = "There is no bank at this stage.";
        items.push(Label::new(at(EDGE, low + 8.0), words, size::SMALL).into());
        low += 10.0;
    } else {
        if sheet.parts != Parts::Minus {
            let columns = Columns::of(tree, width);
            items.extend(heads(&columns, tree));
            let (first, branches) = (sheet.first, sheet.branches.as_slice());
            let plus = Plus { picture, tree, columns, first, branches };
            let (drawn, end) = plus.drawn(EDGE + size::LABEL + 3.0);
            items.extend(drawn);
            low = end + 4.0;
        }
        if sheet.parts != Parts::Plus {
            let corner = at(EDGE, low);
            let (drawn, height) = minus::minus_side(subject, corner, width - 2.0 * EDGE);
            items.extend(drawn);
            low = aside(subject, tree, &mut items, (corner.y + height, width));
        }
    }
    let mut height = low + EDGE;
    if picture.setting.foot == Foot::TitleBlock {
        items.push(foot(picture, low + 2.0, sheet.number).into());
        height = low + 2.0 + TITLE_BLOCK + EDGE;
    }
    let ground_area = Area { corner: at(0.0, 0.0), width, height };
    let inner = Area { corner: at(1.0, 1.0), width: width - 2.0, height: height - 2.0 };
    items.splice(0..0, [ground(ground_area), frame(inner)]);
    let stem = &picture.setting.id;
    let id = if sheet.number.0 == 1 { stem.clone() } else { format!("{stem}-{}", sheet.number.0) };
    Scene {
        id,
        title: format!("Single-line diagram, {}", subject.design.rig.name),
        description: told(tree),
        width,
        height,
        view: None,
        items,
    }
}

fn told(tree: &Tree<'_>) -> String {
    let names = tree.trunk.iter().filter_map(|n| tree.nodes.get(*n)).map(|n| n.name.clone());
    let trunk: Vec<String> = names.collect();
    let live = tree.nodes.iter().skip(1).filter(|n| n.live).map(|n| n.name.clone());
    let live: Vec<String> = live.collect();
    format!(
        "From the bank outwards: {}. Live with the isolator off: {}.",
        trunk.join(", "),
        if live.is_empty() { "nothing beyond the bank".to_owned() } else { live.join(", ") }
    )
}

/// The title block.
fn foot(picture: &SingleLinePicture<'_>, top: f64, number: (usize, usize)) -> Group {
    let rig = &picture.subject.design.rig;
    let width = (picture.setting.width - 2.0 * EDGE).min(97.0);
    let sheet = match number {
        (1, 1) => "single-line diagram".to_owned(),
        (n, of) => format!("single line, {n} of {of}"),
    };
    let cells = [
        ("rig", rig.name.as_str()),
        ("sheet", sheet.as_str()),
        ("stage", picture.subject.stage_name()),
        ("revision", rig.revision.as_deref().unwrap_or("not given")),
    ];
    title_block(at(picture.setting.width - EDGE - width, top), width, &cells).0
}

/// What no lead of the diagram reaches, in words; also where the words end.
fn aside(
    subject: &Subject<'_>,
    tree: &Tree<'_>,
    items: &mut Vec<Item>,
    (top, width): (f64, f64),
) -> f64 {
    let on_minus = |name: &str| {
        subject
            .wiring
            .leads
            .iter()
            .any(|l| l.from.device() == Some(name) || l.to.device() == Some(name))
    };
    let devices = subject.design.devices.iter().map(|d| d.part.name.as_str());
    let missing: Vec<&str> = devices
        .filter(|name| !tree.nodes.iter().any(|n| n.name == *name) && !on_minus(name))
        .collect();
    let mut base = top;
    if !missing.is_empty() {
        let text = format!("No lead of this file reaches: {}.", missing.join(", "));
        for text in wrapped(&text, width - 2.0 * EDGE, size::SMALL, Weight::Regular) {
            base += LEADING;
            let label = Label::new(at(EDGE, base), &text, size::SMALL).tone(Tone::Pencil);
            items.push(label.into());
        }
        base += 1.5;
    }
    base
}
