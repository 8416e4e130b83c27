//! The plan of the box to scale: every block, post, cap and lead as seen from where the owner stands.

mod fit;
mod traces;

use super::board::Board;
use super::places;
use super::room::{Room, around};
use super::stubs::device_name;
use super::{Foot, Setting, Subject};
use crate::check;
use crate::geometry::{Corners, Point, View, at, usual_from};
use crate::marks::lead::{Lead, RING, lead, ring_width};
use crate::marks::measure::{dimension, scale_bar};
use crate::marks::post::{Block, Lines, block, cap, post};
use crate::marks::sheet::{Area, frame, ground, squares, title_block};
use crate::scene::{Anchor, Circle, Fill, Group, Item, Label, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::circuit::share::Share;
use engine::layout::devices::PlacedDevice;
use engine::layout::plan::{PlacedBlock, Plan};
use engine::units::show::{self, UnitSystem};
use engine::units::{Current, Length};
use fit::{Aside, DIMENSION, Dimensions, EDGE, FRAME, Fit, TITLE_BLOCK, TITLE_WIDTH, below};
use traces::{Trace, traces};

/// What the plan is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct PlanPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// The work of each block, for its amps and its wash.
    pub share: Option<&'a Share>,
    /// The paper.
    pub setting: &'a Setting,
}

/// Draws the plan.
///
/// The scale is the largest in common use at which it keeps within its paper. Where lettering finds no
/// room at that scale, the next larger ones are tried: the picture is wider than asked rather than
/// unreadable.
#[must_use]
pub fn plan(picture: &PlanPicture<'_>) -> Scene {
    if picture.subject.layout.plan.blocks.is_empty() {
        return empty(picture);
    }
    let fitting = Fit::of(picture).scale(picture);
    if picture.setting.scale.is_some() {
        return drawn(picture, fitting);
    }
    let fitting = fitting.max(least_scale(&picture.subject.layout.plan));
    let mut best: Option<(usize, Scene)> = None;
    for scale in usual_from(fitting).into_iter().take(TRIED) {
        let scene = drawn(picture, scale);
        let faults = check::faults(&scene).len();
        if best.as_ref().is_none_or(|(least, _)| faults < *least) {
            best = Some((faults, scene));
        }
        if faults == 0 {
            break;
        }
    }
    best.map_or_else(|| drawn(picture, fitting), |(_, scene)| scene)
}

/// A sheet of paper as a plan was drawn on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Where the box lies on it, and how large.
    pub view: View,
    /// Its width [mm].
    pub width: f64,
    /// Its height [mm].
    pub height: f64,
}

impl Sheet {
    /// The sheet of a plan; `None` of one without a block.
    #[must_use]
    pub fn of(scene: &Scene) -> Option<Self> {
        scene.view.map(|view| Self { view, width: scene.width, height: scene.height })
    }
}

/// Draws the plan on the sheet that it was drawn on before, so that nothing moves but what is in hand.
/// What is moved beyond the edge of that sheet is cut off by it.
#[must_use]
pub fn plan_on(picture: &PlanPicture<'_>, sheet: Sheet) -> Scene {
    if picture.subject.layout.plan.blocks.is_empty() {
        return empty(picture);
    }
    on_sheet(picture, Draft::on(picture, sheet))
}

/// How many scales are tried at most.
const TRIED: usize = 6;

/// The scale below which the name and figure of a block surely find no room between two leads.
fn least_scale(plan: &Plan) -> f64 {
    const WIDE: f64 = 11.0;
    const HIGH: f64 = 12.0;
    let needs = plan.blocks.iter().map(|b| (WIDE / b.length.as_mm()).max(HIGH / b.width.as_mm()));
    needs.fold(0.0, f64::max)
}

/// The sheet of a stage at which there is no bank.
fn empty(picture: &PlanPicture<'_>) -> Scene {
    let draft = Draft::of(picture, 0.1);
    let height = 12.0 + size::NAME + 2.0 * EDGE + TITLE_BLOCK;
    let draft = Draft { height, ..draft };
    let words = "No blocks at this stage, or their size is not known.";
    let mut items = draft.sheet();
    let place = at(draft.width / 2.0, EDGE + 9.0);
    let label = Label::new(place, words, size::SMALL).tone(Tone::Pencil);
    items.push(label.anchored(Anchor::Middle).into());
    if picture.setting.foot == Foot::TitleBlock {
        items.push(draft.title_block(picture).into());
    }
    Scene {
        id: picture.setting.id.clone(),
        title: format!("Plan of the box, {}", picture.subject.design.rig.name),
        description: words.to_owned(),
        width: draft.width,
        height,
        view: None,
        items,
    }
}

fn drawn(picture: &PlanPicture<'_>, scale: f64) -> Scene {
    on_sheet(picture, Draft::of(picture, scale))
}

fn on_sheet(picture: &PlanPicture<'_>, draft: Draft<'_>) -> Scene {
    let mut room = Room::default();
    let mut leads: Vec<Lead> = draft.traces.iter().map(|t| t.drawn.clone()).collect();
    let posts = places::posts(&draft.board, &leads, &mut room);
    places::rings(&mut leads, draft.board.outer(), &mut room);
    let blocks = draft.blocks(picture.share, &leads, &mut room);
    let mut items = draft.sheet();
    items.push(draft.board.draw_box().into());
    items.extend(blocks);
    items.extend(leads.iter().map(|l| Item::from(lead(l))));
    items.extend(posts.iter().map(|p| Item::from(post(p))));
    items.extend(draft.devices());
    items.extend(draft.measures(picture));
    items.extend(draft.below(picture));
    Scene {
        id: picture.setting.id.clone(),
        title: format!("Plan of the box, {}", picture.subject.design.rig.name),
        description: draft.description(picture),
        width: draft.width,
        height: draft.height,
        view: Some(draft.board.view),
        items,
    }
}

/// Radius of a filler cap, as most are made [mm of the rig].
const CAP_MM: f64 = 17.0;

/// The plan laid on the sheet, before words and rings find their places.
struct Draft<'a> {
    board: Board<'a>,
    traces: Vec<Trace>,
    width: f64,
    height: f64,
    near: String,
    far: Option<String>,
    aside: Aside,
    lines: Dimensions,
}

impl<'a> Draft<'a> {
    fn of(picture: &PlanPicture<'a>, scale: f64) -> Self {
        let fit = Fit::of(picture);
        let content = fit.left + fit.extent.width * scale + fit.right;
        let width = content.max(picture.setting.width);
        // What is narrower than its sheet stands in the middle of it.
        let spare = (width - content) / 2.0;
        let origin =
            at(spare + fit.left - fit.extent.left * scale, fit.top + fit.extent.above * scale);
        let height = fit.top + fit.extent.height * scale + fit.low;
        Self::on(picture, Sheet { view: View { scale, origin }, width, height })
    }

    fn on(picture: &PlanPicture<'a>, Sheet { view, width, height }: Sheet) -> Self {
        let fit = Fit::of(picture);
        let subject = &picture.subject;
        let enclosure = subject.design.enclosure.as_ref();
        let far = enclosure.and_then(|e| e.far_side.clone());
        let near = enclosure.and_then(|e| e.seen_from.clone());
        let board = Board { layout: subject.layout, view };
        Self {
            traces: traces(subject, &board),
            board,
            width,
            height,
            near: near.unwrap_or_else(|| "near side".to_owned()),
            far,
            lines: Dimensions::of(picture.setting, &fit.aside),
            aside: fit.aside,
        }
    }

    /// Ground, frame and squares.
    fn sheet(&self) -> Vec<Item> {
        let area = |inset: f64| Area {
            corner: at(inset, inset),
            width: self.width - 2.0 * inset,
            height: self.height - 2.0 * inset,
        };
        vec![ground(area(0.0)), squares(area(FRAME), 5.0).into(), frame(area(FRAME))]
    }

    /// Cases with their wash, words and caps.
    fn blocks(&self, share: Option<&Share>, leads: &[Lead], room: &mut Room) -> Vec<Item> {
        let placed = &self.board.layout.plan.blocks;
        let mut drawn: Vec<Block> = placed.iter().map(|b| self.block(b, share)).collect();
        let radius = self.board.view.length(CAP_MM).clamp(1.0, 3.2);
        let wide = 2.0 * radius;
        let caps = |block: &PlacedBlock| -> Vec<Point> {
            block.caps.iter().map(|c| self.board.point(*c)).collect()
        };
        let taken: Vec<Corners> =
            placed.iter().flat_map(caps).map(|c| around(c, wide, wide)).collect();
        places::words(&self.board, &mut drawn, &taken, room);
        // Caps are landmarks: where lettering or a ring would hide one, none are drawn.
        let words: Vec<Corners> = drawn.iter().map(Block::words_corners).collect();
        let rings = leads.iter().filter_map(|l| l.ring.map(|r| (ring_width(&l.number), r)));
        let hiding: Vec<Corners> =
            rings.map(|(width, r)| around(r, width, 2.0 * RING)).chain(words).collect();
        let free = taken.iter().all(|c| hiding.iter().all(|h| !c.overlaps(h, -0.2)));
        let mut items = Vec::new();
        for (placed, drawn) in placed.iter().zip(&drawn) {
            items.push(block(drawn).into());
            if free {
                let drawn = caps(placed).into_iter().flat_map(|c| cap(c, radius).items);
                let id = Some(format!("caps-{}", placed.id));
                items.push(Group { id, ..Group::of("caps", drawn.collect()) }.into());
            }
        }
        items
    }

    fn block(&self, placed: &PlacedBlock, share: Option<&Share>) -> Block {
        let case = self.board.case(placed);
        let largest =
            share.map_or(0.0, |s| s.blocks.iter().map(|b| b.amps.abs()).fold(0.0, f64::max));
        let own = share.and_then(|s| s.blocks.iter().find(|b| b.id == placed.id)).map(|b| b.amps);
        Block {
            name: placed.id.to_string(),
            figure: own.map(amps),
            corner: case.corner,
            width: case.width,
            height: case.height,
            wash: own.filter(|_| 0.0 < largest).map(|a| a.abs() / largest),
            words: None,
            lines: Lines::Two,
        }
    }

    /// Devices that the drawn leads end on, and those the owner placed.
    fn devices(&self) -> Vec<Item> {
        let mut items: Vec<Item> = Vec::new();
        for trace in &self.traces {
            if let (Some(stub), Some(ring)) = (&trace.open, trace.drawn.ring) {
                items.push(device_name(stub, ring).into());
            }
        }
        let decided = self.board.layout.plan.devices.iter().filter(|d| d.decided);
        items.extend(decided.map(|d| self.device(d).into()));
        items
    }

    /// A device in its place: its studs and its name.
    fn device(&self, device: &PlacedDevice) -> Group {
        let title = format!("Device {}", device.name);
        let mut group = Group::named(&format!("device-{}", device.name), "device", &title);
        group.data.push(("device".to_owned(), device.name.clone()));
        let stroke = Stroke::solid(Tone::Ink, line::NORMAL);
        let studs = [device.first, device.second].map(|p| self.board.point(p));
        group.items.push(Path::line(&studs, stroke).into());
        for centre in studs {
            let fill = Fill::Flat(Tone::Light);
            group.items.push(Circle { centre, radius: 1.2, stroke: Some(stroke), fill }.into());
        }
        let under = studs[0].towards(studs[1], 0.5).moved(0.0, 1.6 + size::SMALL);
        let name = Label::new(under, &device.name, size::SMALL).anchored(Anchor::Middle);
        group.items.push(name.rimmed(Tone::Paper).into());
        group
    }

    /// Inside length and width.
    fn measures(&self, picture: &PlanPicture<'_>) -> Vec<Item> {
        let units = picture.subject.design.rig.units;
        let plan = &self.board.layout.plan;
        let Area { corner, width, height } = self.board.inner();
        let wall = self.board.wall();
        let says = |length: Length| measured(length, units);
        let low = corner.moved(0.0, height);
        let off = DIMENSION + wall;
        let mut items: Vec<Item> = Vec::new();
        let length = says(plan.inner.length);
        if self.lines.far {
            items.push(dimension(corner, corner.moved(width, 0.0), off, &length).into());
        }
        if self.lines.near {
            let off = -off - self.aside.near;
            items.push(dimension(low, low.moved(width, 0.0), off, &length).into());
        }
        if self.lines.left {
            let off = off + self.aside.left;
            items.push(dimension(low, corner, off, &says(plan.inner.width)).into());
        }
        if let Some(far) = &self.far {
            let line = if self.lines.far { DIMENSION + size::SMALL } else { 1.0 };
            let above = wall + self.aside.far + line + 1.0;
            let words = corner.moved(width / 2.0, -above);
            let label = Label::new(words, &format!("far side: {far}"), size::SMALL);
            items.push(label.tone(Tone::Pencil).anchored(Anchor::Middle).into());
        }
        items
    }

    /// Where the owner stands, the scale and the title block.
    fn below(&self, picture: &PlanPicture<'_>) -> Vec<Item> {
        let units = picture.subject.design.rig.units;
        let outer = self.board.outer();
        let line = if self.lines.near { DIMENSION + size::SMALL } else { 0.0 };
        let low = outer.corner.y + outer.height + self.aside.near + line;
        let foot = at(outer.corner.x + outer.width / 2.0, low);
        let mut items = vec![stand(foot, &self.near)];
        let wide = below(picture.setting) < 20.0;
        let bar_at = if wide {
            at(EDGE + 2.0, self.height - EDGE - 16.0)
        } else {
            at(EDGE + 2.0, low + 20.0)
        };
        let (length, says) = bar(self.board.view, units);
        items.push(scale_bar(self.board.view, bar_at, length, &says).into());
        let height = self.inside(units);
        let (place, anchor) = if wide {
            (at(EDGE + 2.0, self.height - EDGE - 1.0), Anchor::Start)
        } else {
            (at(EDGE + 2.0, bar_at.y + size::SMALL * 2.6), Anchor::Start)
        };
        let label = Label::new(place, &height, size::SMALL).tone(Tone::Pencil);
        items.push(label.anchored(anchor).into());
        if picture.setting.foot == Foot::TitleBlock {
            items.push(self.title_block(picture).into());
        }
        items
    }

    /// The inside measures that no dimension line tells.
    fn inside(&self, units: UnitSystem) -> String {
        let plan = &self.board.layout.plan;
        let says = |length: Length| measured(length, units);
        let height = says(plan.inner.height);
        let build = if plan.to_build { "to build, " } else { "" };
        if self.lines.left {
            return format!("{build}inside height {height}");
        }
        let (length, width) = (says(plan.inner.length), says(plan.inner.width));
        format!("{build}inside {length} × {width} × {height}")
    }

    fn title_block(&self, picture: &PlanPicture<'_>) -> Group {
        let rig = &picture.subject.design.rig;
        let width = (self.width - 2.0 * EDGE).min(TITLE_WIDTH);
        let corner = at(self.width - EDGE - width, self.height - EDGE - TITLE_BLOCK);
        let scale = self.board.view.says();
        let cells = [
            ("rig", rig.name.as_str()),
            ("sheet", "plan of the box"),
            ("scale", scale.as_str()),
            ("as seen from", self.near.as_str()),
            ("stage", picture.subject.stage_name()),
            ("revision", rig.revision.as_deref().unwrap_or("not given")),
        ];
        title_block(corner, width, &cells).0
    }

    fn description(&self, picture: &PlanPicture<'_>) -> String {
        let plan = &self.board.layout.plan;
        let work = picture.share.map_or(String::new(), |s| {
            let list: Vec<String> =
                s.blocks.iter().map(|b| format!("{} {}", b.id, amps(b.amps))).collect();
            format!(" Work: {}.", list.join(", "))
        });
        format!(
            "{} blocks and {} leads as seen from the {}.{work}",
            plan.blocks.len(),
            self.traces.len(),
            self.near
        )
    }
}

/// An arrow to the box from where the owner stands.
fn stand(foot: Point, side: &str) -> Item {
    let (tail, head) = (foot.moved(0.0, 11.5), foot.moved(0.0, 4.0));
    let wings = [head.moved(-1.0, 3.0), head, head.moved(1.0, 3.0)];
    let stroke = Stroke::solid(Tone::Pencil, line::THIN);
    let words = format!("you stand here, {side}");
    let label = Label::new(tail.moved(0.0, size::SMALL), &words, size::SMALL).tone(Tone::Pencil);
    Group::of(
        "stand",
        vec![
            Path::line(&[tail, head.moved(0.0, 3.0)], stroke).into(),
            Path::shape(&wings, None, Fill::Flat(Tone::Pencil)).into(),
            label.anchored(Anchor::Middle).into(),
        ],
    )
    .into()
}

/// A length of the rig that makes a handy bar, in the owner's units, with its words.
fn bar(view: View, units: UnitSystem) -> (f64, String) {
    let lengths: Vec<Length> = match units {
        UnitSystem::Metric => [500.0, 200.0, 100.0, 50.0].map(Length::mm).to_vec(),
        UnitSystem::Us => [24.0, 12.0, 6.0, 4.0, 2.0].map(Length::inches).to_vec(),
    };
    let short = lengths.iter().find(|l| view.length(l.as_mm()) <= 26.0).or(lengths.last());
    let length = short.copied().unwrap_or(Length::mm(100.0));
    (length.as_mm(), measured(length, units))
}

/// A length in the owner's units, figure and unit held together.
#[must_use]
pub fn measured(length: Length, units: UnitSystem) -> String {
    show::length(length, units).replace(' ', "\u{a0}")
}

/// Amps in words: what flows into a block or string charges it.
#[must_use]
pub fn amps(amps: f64) -> String {
    let figure = show::current(Current::amps(amps.abs())).replace(' ', "\u{a0}");
    // Less than half a hundredth of an amp shows as nothing, which flows neither way.
    if amps < -0.005 { format!("{figure}\u{a0}in") } else { figure }
}
