//! The route map: one small plan for each lead, with its way in ink over the cases in pencil.

use super::canvas::{Canvas, EDGE, PENCIL};
use super::plan::measured;
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::sheet::shortened;
use crate::scene::{Anchor, Dash, Fill, Path, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::circuit::wiring::Polarity;
use engine::layout::LeadPath;
use engine::layout::route::Route;
use engine::model::lead::LugForm;
use engine::units::Length;

/// What the map is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct RoutesPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// The paper.
    pub setting: &'a Setting,
}

/// Least width of a cell, and its height without the plan [mm].
const CELL: (f64, f64) = (56.0, 17.0);

/// A rise of less is not worth a word [mm].
const RISE: f64 = 2.0;

/// From the first line under a plan down to a second one [mm].
const SECOND_LINE: f64 = 4.2;

/// The maps, as many sheets as the height allows; none where no lead is in the box.
#[must_use]
pub fn routes(picture: &RoutesPicture<'_>) -> Vec<Scene> {
    let layout = picture.subject.layout;
    let inner = layout.plan.inner;
    // A lead that never enters the box has no way to show here.
    let enters = |route: &&Route| {
        route.points.iter().any(|p| {
            let along = Length::ZERO <= p.x && p.x <= inner.length;
            along && Length::ZERO <= p.y && p.y <= inner.width
        })
    };
    let leads: Vec<(&LeadPath, &Route)> =
        layout.leads.iter().filter_map(|l| Some((l, l.route.as_ref().filter(enters)?))).collect();
    if leads.is_empty() || layout.plan.blocks.is_empty() {
        return Vec::new();
    }
    let inner = picture.setting.width - 2.0 * EDGE;
    let columns = (1..=4_u8).rev().find(|n| CELL.0 * f64::from(*n) <= inner).unwrap_or(1);
    let cell = inner / f64::from(columns);
    let plan = &layout.plan;
    let scale = ((cell - 10.0) / plan.inner.length.as_mm()).min(46.0 / plan.inner.width.as_mm());
    let two_lines = leads.iter().any(|(_, route)| !rise_told(&picture.subject, route).is_empty());
    let second = if two_lines { SECOND_LINE } else { 0.0 };
    let high = plan.inner.width.as_mm() * scale + CELL.1 + second;
    let rows = (1..=12_u8)
        .rev()
        .find(|n| f64::from(*n) * high <= picture.setting.height - 2.0 * EDGE - 20.0)
        .unwrap_or(1);
    let per = usize::from(columns) * usize::from(rows);
    let grid = Grid { columns: usize::from(columns), cell, high, scale };
    leads.chunks(per).enumerate().map(|(n, part)| sheet(picture, part, &grid, n)).collect()
}

struct Grid {
    columns: usize,
    cell: f64,
    high: f64,
    scale: f64,
}

fn sheet(
    picture: &RoutesPicture<'_>,
    part: &[(&LeadPath, &Route)],
    grid: &Grid,
    number: usize,
) -> Scene {
    let mut setting = picture.setting.clone();
    if 0 < number {
        setting.id = format!("{}-{}", setting.id, number + 1);
    }
    let mut canvas = Canvas::new(&setting);
    let mut low = EDGE;
    for (n, (lead, route)) in part.iter().enumerate() {
        let step = |n: usize| f64::from(u32::try_from(n).unwrap_or(0));
        let x = EDGE + step(n % grid.columns) * grid.cell;
        let y = EDGE + step(n / grid.columns) * grid.high;
        one(picture, &mut canvas, (lead, route), (at(x, y), grid));
        low = low.max(y + grid.high);
    }
    canvas.finish(
        &picture.subject,
        "way of each lead",
        "A small plan for each lead with its way over the cases.",
        low,
    )
}

fn one(
    picture: &RoutesPicture<'_>,
    canvas: &mut Canvas,
    (lead, route): (&LeadPath, &Route),
    (corner, grid): (Point, &Grid),
) {
    let subject = &picture.subject;
    let plan = &subject.layout.plan;
    let room = (grid.cell - 3.0) * 0.92;
    let wired = subject.wiring.lead(&lead.id);
    let ends = wired.map_or(String::new(), |w| {
        format!("{} to {}", held(&w.from.to_string()), held(&w.to.to_string()))
    });
    canvas.strong(
        corner.moved(0.0, 2.4),
        &shortened(&format!("lead {}", lead.id), room, size::SMALL),
        Anchor::Start,
        Tone::Ink,
    );
    canvas.word(
        corner.moved(0.0, 7.0),
        &shortened(&ends, room, size::SMALL),
        Anchor::Start,
        Tone::Ink,
    );
    let origin = corner.moved(3.0, 10.0 + plan.inner.width.as_mm() * grid.scale);
    let place = |x: f64, y: f64| origin.moved(x * grid.scale, -y * grid.scale);
    let (w, d) = (plan.inner.length.as_mm() * grid.scale, plan.inner.width.as_mm() * grid.scale);
    canvas.rect(
        place(0.0, plan.inner.width.as_mm()),
        (w, d),
        Some(PENCIL),
        Fill::Flat(Tone::Light),
    );
    for block in &plan.blocks {
        let far = block.far_corner();
        let top = place(block.corner.x.as_mm(), far.y.as_mm());
        let size = (block.length.as_mm() * grid.scale, block.width.as_mm() * grid.scale);
        canvas.rect(top, size, Some(PENCIL), Fill::Open);
    }
    let plus = subject.answer(&lead.id).is_some_and(|a| a.polarity == Polarity::Plus);
    let tone = if plus { Tone::Red } else { Tone::Ink };
    // A way beyond the box is drawn as far as the cell allows.
    let points: Vec<Point> = route
        .points
        .iter()
        .map(|p| {
            let at_sheet = place(p.x.as_mm(), p.y.as_mm());
            at(
                at_sheet.x.clamp(corner.x + 0.8, corner.x + grid.cell - 1.5),
                at_sheet.y.clamp(corner.y + 9.6, origin.y + 1.5),
            )
        })
        .collect();
    let dash = if route.decided { Dash::Solid } else { Dash::Dashed(1.6) };
    canvas.put(Path {
        corner: 1.0,
        ..Path::line(&points, Stroke { tone, width: line::HEAVY * 1.6, dash })
    });
    for end in [points.first(), points.last()].into_iter().flatten() {
        canvas.circle(*end, 0.9, Some(Stroke::solid(tone, line::NORMAL)), Fill::Flat(Tone::Light));
    }
    let lines = [told(subject, &lead.id, route), rise_told(subject, route)];
    for (line, down) in lines.iter().zip([4.0, 4.0 + SECOND_LINE]).filter(|(l, _)| !l.is_empty()) {
        let text = shortened(line, room, size::SMALL);
        canvas.word(at(corner.x, origin.y + down), &text, Anchor::Start, Tone::Pencil);
    }
}

/// The side of a lead, its cut length and its bends.
fn told(subject: &Subject<'_>, lead: &str, route: &Route) -> String {
    let units = subject.design.rig.units;
    let answer = subject.answer(lead);
    let cut = answer.map_or(String::new(), |a| format!("cut {}, ", measured(a.length.cut, units)));
    let bends =
        if route.bends() == 1 { "1 bend".to_owned() } else { format!("{} bends", route.bends()) };
    let sign = match answer.map(|a| a.polarity) {
        Some(Polarity::Plus) => "+ ",
        Some(Polarity::Minus) => "− ",
        _ => "link, ",
    };
    format!("{sign}{cut}{bends}")
}

/// How far a lead rises over its ends and which bent lug it takes; nothing where it lies level.
fn rise_told(subject: &Subject<'_>, route: &Route) -> String {
    let rise = route.run_height - route.from_height.max(route.to_height);
    let rises = (route.decided && Length::mm(RISE) <= rise)
        .then(|| format!("up {}", measured(rise, subject.design.rig.units)));
    let bent = route.lugs.iter().find(|form| **form != LugForm::Straight);
    let bent = bent.map(|form| format!("{} lug", form.word()));
    rises.into_iter().chain(bent).collect::<Vec<_>>().join(", ")
}

/// A post and its sign held together.
fn held(text: &str) -> String {
    text.replace(' ', "\u{a0}")
}
