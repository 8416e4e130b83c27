//! The small plan beside a page of the book: what is fitted, what this page fits, the posts it speaks of
//! and the gap to measure.

use super::board::{Board, polarity};
use super::places;
use super::room::{Room, around};
use super::tips::{self, Tips};
use super::{Setting, Subject};
use crate::check;
use crate::geometry::{Point, View, at};
use crate::marks::lead::{Lead, Polarity, Standing, lead, place_along};
use crate::marks::sheet::{Area, ground};
use crate::scene::{Anchor, Circle, Dash, Fill, Group, Item, Label, Path, Rect, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::circuit::wiring::WiredLead;
use engine::layout::LeadPath;
use engine::model::bank::BlockId;
use engine::model::lead::Terminal;
use engine::prove::Point as On;

/// What one page of the book speaks of.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StepMarks {
    /// Leads that are already on their posts.
    pub fitted: Vec<String>,
    /// Leads that this page fits.
    pub leads: Vec<String>,
    /// Blocks that this page speaks of.
    pub blocks: Vec<BlockId>,
    /// Posts that this page speaks of.
    pub posts: Vec<Terminal>,
    /// The two posts between which a gap is measured before it is closed.
    pub gap: Option<(Terminal, Terminal)>,
    /// Where the tips of the meter and the jaw of the clamp go.
    pub tips: Option<Tips>,
}

/// What the small plan is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct StepPlanPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// What the page speaks of.
    pub marks: &'a StepMarks,
    /// The paper; about 70 mm wide beside the lines of a page.
    pub setting: &'a Setting,
}

/// From the edge of the picture to the box [mm].
const EDGE: f64 = 3.0;

/// Above the box for the words of the gap [mm].
const ABOVE: f64 = 6.0;

/// Least width of the picture: the words of the gap [mm].
const WORDS: f64 = 40.0;

/// The least scale at which a block still holds its name, as its size on paper [mm].
const LEAST: (f64, f64) = (9.0, 7.5);

/// Draws the small plan.
#[must_use]
pub fn step_plan(picture: &StepPlanPicture<'_>) -> Scene {
    let plan = &picture.subject.layout.plan;
    let setting = picture.setting;
    let wall = WALL;
    let (length, width) = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    let room = (setting.width - 2.0 * (EDGE + wall), setting.height - 2.0 * (EDGE + wall) - ABOVE);
    let fits = (room.0 / length.max(1.0)).min(room.1 / width.max(1.0));
    let needs = plan
        .blocks
        .iter()
        .map(|b| (LEAST.0 / b.length.as_mm().max(1.0)).max(LEAST.1 / b.width.as_mm().max(1.0)));
    // It tells which post, not how far: it fills its place instead of keeping a scale of a rule.
    let fitting = fits.max(needs.fold(0.0, f64::max)).min(1.0);
    if let Some(scale) = setting.scale {
        return drawn(picture, scale);
    }
    // Where a name finds no room it grows by eighths, five times at most.
    let mut scene = drawn(picture, fitting);
    for eighths in 1..=5_u8 {
        if check::faults(&scene).is_empty() {
            break;
        }
        scene = drawn(picture, fitting * (1.0 + f64::from(eighths) / 8.0));
    }
    scene
}

/// Thickness at which the wall is drawn [mm on paper].
const WALL: f64 = 1.4;

fn drawn(picture: &StepPlanPicture<'_>, scale: f64) -> Scene {
    let subject = &picture.subject;
    let plan = &subject.layout.plan;
    let wall = WALL;
    let (length, width) = (plan.inner.length.as_mm(), plan.inner.width.as_mm());
    let content = length * scale + 2.0 * (EDGE + wall);
    // The words of the gap are wider than a single block.
    let total = at(content.max(WORDS), width * scale + 2.0 * (EDGE + wall) + ABOVE);
    let left = (total.x - content) / 2.0 + EDGE + wall;
    let origin = at(left, EDGE + wall + ABOVE + width * scale);
    let board = Board { layout: subject.layout, view: View { scale, origin } };
    let mut items = vec![ground(Area { corner: at(0.0, 0.0), width: total.x, height: total.y })];
    let inner = board.inner();
    items.push(outline(
        inner,
        1.0,
        Stroke::solid(Tone::Pencil, line::THIN),
        Fill::Flat(Tone::Light),
    ));
    let mut taken = Room::default();
    let drawn = Drawn::of(picture, &board);
    let mut chosen = drawn.chosen.clone();
    for all in [&drawn.fitted, &drawn.chosen, &drawn.waiting] {
        for lead in all {
            taken.take_line(&lead.points, lead.width + 0.8);
        }
    }
    places::rings(&mut chosen, inner, &mut taken);
    for (_, centre) in &drawn.posts {
        taken.take(around(*centre, 3.4, 3.4));
    }
    items.extend(drawn.waiting.iter().map(waiting));
    items.extend(blocks(picture, &board, &mut taken));
    items.extend(drawn.fitted.iter().map(|l| Item::from(lead(l))));
    items.extend(chosen.iter().map(|l| Item::from(lead(l))));
    items.extend(drawn.posts.iter().map(|(tone, centre)| marked_post(*tone, *centre)));
    items.extend(gap(picture, &board, &taken));
    if let Some(tips) = &picture.marks.tips {
        let ends = [&tips.red, &tips.black].map(|on| drawn.tip(&board, on.as_ref()?));
        let along = tips.jaw.as_ref().and_then(|id| drawn.path(id));
        items.extend(tips::draw(ends, along, (total.x, total.y), &mut taken));
    }
    Scene {
        id: picture.setting.id.clone(),
        title: "Where the hands are".to_owned(),
        description: description(picture.marks),
        width: total.x,
        height: total.y,
        view: Some(board.view),
        items,
    }
}

fn outline(area: Area, round: f64, stroke: Stroke, fill: Fill) -> Item {
    let Area { corner, width, height } = area;
    Rect { corner, width, height, round, stroke: Some(stroke), fill }.into()
}

/// The leads of the box by what the page does with them.
struct Drawn {
    /// Not yet fitted.
    waiting: Vec<Lead>,
    fitted: Vec<Lead>,
    chosen: Vec<Lead>,
    /// Posts the page speaks of.
    posts: Vec<(Tone, Point)>,
}

impl Drawn {
    /// Where a tip stands.
    fn tip(&self, board: &Board<'_>, on: &On) -> Option<Point> {
        match on {
            On::Terminal(post) => post_at(board, post).map(|p| p.1),
            On::Lug { lead, at_start } => {
                let mut points = self.path(lead)?;
                if !at_start {
                    points.reverse();
                }
                tips::on_barrel(&points)
            }
        }
    }

    /// The points of a lead that is drawn.
    fn path(&self, id: &str) -> Option<Vec<Point>> {
        let all = self.chosen.iter().chain(&self.fitted).chain(&self.waiting);
        all.into_iter().find(|l| l.number == id).map(|l| l.points.clone())
    }

    fn of(picture: &StepPlanPicture<'_>, board: &Board<'_>) -> Self {
        let marks = picture.marks;
        let mut drawn =
            Self { waiting: Vec::new(), fitted: Vec::new(), chosen: Vec::new(), posts: Vec::new() };
        let leads = &picture.subject.wiring.leads;
        for (wired, path) in leads.iter().zip(&picture.subject.layout.leads) {
            let Some(lead) = drawn_lead(wired, path, board) else {
                continue;
            };
            if marks.leads.contains(&wired.id) {
                drawn.chosen.push(lead);
            } else if marks.fitted.contains(&wired.id) {
                drawn.fitted.push(lead);
            } else {
                drawn.waiting.push(lead);
            }
        }
        let gap = marks.gap.iter().flat_map(|(a, b)| [a, b]);
        let tips = marks.tips.iter().flat_map(|t| [&t.red, &t.black]).flatten();
        let tipped = tips.filter_map(|on| match on {
            On::Terminal(post) => Some(post),
            On::Lug { .. } => None,
        });
        for end in marks.posts.iter().chain(gap).chain(tipped) {
            if let Some((tone, centre)) = post_at(board, end) {
                drawn.posts.push((tone, centre));
            }
        }
        drawn
    }
}

/// A lead between two posts of the box; what leaves the box is not for the small plan.
fn drawn_lead(wired: &WiredLead, path: &LeadPath, board: &Board<'_>) -> Option<Lead> {
    wired.from.block().and(wired.to.block())?;
    let points = board.path(path);
    (2 <= points.len()).then(|| Lead {
        number: wired.id.clone(),
        points,
        polarity: polarity(wired),
        width: 1.2,
        standing: Standing::Decided,
        ring: None,
    })
}

fn post_at(board: &Board<'_>, end: &Terminal) -> Option<(Tone, Point)> {
    let Terminal::Post { block, plus } = end else {
        return None;
    };
    let placed = board.layout.plan.block(*block)?;
    let (post, polarity) =
        if *plus { (placed.plus, Polarity::Positive) } else { (placed.minus, Polarity::Negative) };
    Some((polarity.tone(), board.point(post.at)))
}

/// Cases with their names; those the page speaks of have a heavy edge.
fn blocks(picture: &StepPlanPicture<'_>, board: &Board<'_>, room: &mut Room) -> Vec<Item> {
    let mut items: Vec<Item> = Vec::new();
    for placed in &board.layout.plan.blocks {
        let case = board.case(placed);
        let marked = picture.marks.blocks.contains(&placed.id);
        let weight = if marked { line::HEAVY * 1.6 } else { line::THIN };
        let title = format!("Block {}", placed.id);
        let mut group = Group { title: Some(title), ..Group::of("block", Vec::new()) };
        group.items.push(outline(case, 0.8, Stroke::solid(Tone::Ink, weight), Fill::Open));
        let name = placed.id.to_string();
        let label = |x: f64, y: f64| {
            let place = case.corner.moved(case.width * x, case.height * y);
            let label = Label::new(place, &name, size::SMALL).bold().rimmed(Tone::Light);
            label.anchored(Anchor::Middle).levelled()
        };
        let parts = [0.5, 0.38, 0.62, 0.26, 0.74, 0.18, 0.82];
        let tried = parts.iter().flat_map(|y| parts.iter().map(|x| label(*x, *y))).collect();
        if let Some(label) = room.settle_label(tried) {
            group.items.push(label.into());
        }
        items.push(group.into());
    }
    items
}

/// A lead that is not fitted yet: pencil dots.
fn waiting(lead: &Lead) -> Item {
    let stroke = Stroke { tone: Tone::Pencil, width: 0.5, dash: Dash::Beads(1.5) };
    Path { corner: 2.0, ..Path::line(&lead.points, stroke) }.into()
}

fn marked_post(tone: Tone, centre: Point) -> Item {
    let stroke = Some(Stroke::solid(tone, line::HEAVY));
    Circle { centre, radius: 1.5, stroke, fill: Fill::Flat(Tone::Light) }.into()
}

/// The gap: a bracket of pencil dots between its posts and words above the box.
fn gap(picture: &StepPlanPicture<'_>, board: &Board<'_>, room: &Room) -> Vec<Item> {
    let Some((a, b)) = &picture.marks.gap else {
        return Vec::new();
    };
    let (Some((_, from)), Some((_, to))) = (post_at(board, a), post_at(board, b)) else {
        return Vec::new();
    };
    let words = "the gap to measure";
    let middle = place_along(&[from, to], 0.5).unwrap_or(from);
    let inner = board.inner();
    let top = inner.corner.y - 3.6;
    let label = |x: f64| Label::new(at(x, top), words, size::SMALL).anchored(Anchor::Middle);
    let half = label(0.0).width() / 2.0 + 0.5;
    let (left, right) = (inner.corner.x - EDGE + half, inner.corner.x + inner.width + EDGE - half);
    let x = if right < left { (left + right) / 2.0 } else { middle.x.clamp(left, right) };
    let stroke = Stroke::solid(Tone::Pencil, line::NORMAL);
    let foot = at(x, top + 1.2);
    let ends =
        [from, to].map(|post| post.towards(foot, (1.6 / post.distance(foot).max(1e-9)).min(1.0)));
    // Where a line to the words would run through a name, it starts at the other post alone.
    let clear: Vec<Point> = ends
        .iter()
        .copied()
        .filter(|end| room.touched(&super::room::bar(*end, foot, 0.2)) <= 3)
        .collect();
    let lines = clear.iter().map(|end| Path::line(&[*end, foot], stroke).into());
    let mut items: Vec<Item> = lines.collect();
    items.push(label(x).into());
    vec![Group { title: Some(format!("Gap from {a} to {b}")), ..Group::of("gap", items) }.into()]
}

fn description(marks: &StepMarks) -> String {
    let list = |what: &str, names: &[String]| {
        if names.is_empty() { String::new() } else { format!("{what} {}. ", names.join(", ")) }
    };
    let gap = marks.gap.as_ref().map_or(String::new(), |(a, b)| format!("Gap from {a} to {b}. "));
    let tips = marks.tips.as_ref().map_or_else(String::new, Tips::says);
    let posts: Vec<String> = marks.posts.iter().map(ToString::to_string).collect();
    format!(
        "{}{}{}{gap}{tips}",
        list("Fitted now:", &marks.leads),
        list("Already fitted:", &marks.fitted),
        list("Posts:", &posts)
    )
    .trim_end()
    .to_owned()
}
