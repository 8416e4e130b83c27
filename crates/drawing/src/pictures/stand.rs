//! The box as the owner sees it, standing at the near side with the near wall away: heights, posts, lid.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::plan::measured;
use super::room::Room;
use super::{Setting, Subject};
use crate::geometry::{Point, at, usual_scale};
use crate::marks::measure::dimension;
use crate::scene::{Anchor, Fill, Label, Scene, Stroke};
use crate::style::{Tone, line, size};
use engine::layout::plan::PlacedBlock;
use engine::units::Length;
use engine::units::show::UnitSystem;

/// What the picture is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct StandPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// The paper.
    pub setting: &'a Setting,
}

/// Draws it; `None` without blocks.
#[must_use]
pub fn stand(picture: &StandPicture<'_>) -> Option<Scene> {
    let plan = &picture.subject.layout.plan;
    let nearest = plan.blocks.iter().map(|b| b.corner.y.as_mm()).reduce(f64::min)?;
    let units: UnitSystem = picture.subject.design.rig.units;
    let mut canvas = Canvas::new(picture.setting);
    let room = (canvas.inner() - 24.0, 100.0);
    let (long, high) =
        (plan.inner.length.as_mm(), plan.inner.height.as_mm().max(plan.tallest().as_mm()));
    let scale = usual_scale((long, high), room);
    let left = EDGE + 18.0 + (room.0 - long * scale) / 2.0;
    let top = EDGE + 20.0;
    let floor = top + high * scale;
    let place = |x: f64, z: f64| at(left + x * scale, floor - z * scale);
    let lid = plan.inner.height.as_mm();
    canvas.rect(
        place(0.0, lid),
        (long * scale, lid * scale),
        Some(Stroke::solid(Tone::Ink, line::HEAVY)),
        Fill::Flat(Tone::Light),
    );
    canvas.word(
        at(left + long * scale / 2.0, EDGE + 3.0),
        "under the lid",
        Anchor::Middle,
        Tone::Pencil,
    );
    // The rows behind stand higher for the eye only where they are taller; they are drawn first, in pencil.
    let near = |b: &PlacedBlock| b.corner.y.as_mm() < nearest + b.width.as_mm() / 2.0;
    let mut blocks: Vec<&PlacedBlock> = plan.blocks.iter().collect();
    blocks.sort_by(|a, b| b.corner.y.as_mm().total_cmp(&a.corner.y.as_mm()));
    for block in &blocks {
        let face = block.plus.height.max(block.minus.height).min(block.height);
        let pen = if near(block) { INK } else { PENCIL };
        let fill = if near(block) { Fill::Flat(Tone::Paper) } else { Fill::Open };
        let size = (block.length.as_mm() * scale, face.as_mm() * scale);
        canvas.rect(place(block.corner.x.as_mm(), face.as_mm()), size, Some(pen), fill);
    }
    let mut words = Room::default();
    for block in blocks.iter().filter(|b| near(b)) {
        posts(&mut canvas, &mut words, block, &place);
    }
    let names = blocks.iter().filter(|b| near(b));
    for block in names {
        let middle =
            place(block.corner.x.as_mm() + block.length.as_mm() / 2.0, block.height.as_mm() * 0.45);
        let wide = block.length.as_mm() * scale;
        let label = Label::new(middle, &block.id.to_string(), size::LABEL)
            .bold()
            .anchored(Anchor::Middle)
            .levelled();
        if label.width() < wide {
            canvas.put(label);
        }
    }
    let (foot, head) = (place(0.0, 0.0), place(0.0, lid));
    canvas.put(dimension(foot, head, 7.0, &measured(plan.inner.height, units)));
    canvas.put(dimension(foot, place(long, 0.0), -7.0, &measured(plan.inner.length, units)));
    let text = told(picture, scale);
    let inner = canvas.inner();
    let y = canvas.words(at(EDGE, floor + 15.0), inner, &text, crate::text::Weight::Regular);
    Some(canvas.finish(
        &picture.subject,
        "as you stand before it",
        "The near row of blocks from the side the owner stands at.",
        y,
    ))
}

/// Where one stands, what the tones mean, and how much is free under the lid.
fn told(picture: &StandPicture<'_>, scale: f64) -> String {
    let plan = &picture.subject.layout.plan;
    let units = picture.subject.design.rig.units;
    let near_side = picture.subject.design.enclosure.as_ref().and_then(|e| e.seen_from.clone());
    let side = near_side.unwrap_or_else(|| "near side".to_owned());
    let tallest = measured(plan.tallest(), units);
    let free = plan.inner.height - plan.tallest();
    let lid = if free < Length::ZERO {
        format!("the lid is {} too low for it", measured(-free, units))
    } else {
        format!(
            "{} from it up to the lid, out of which posts, lugs and leads take their part",
            measured(free, units)
        )
    };
    let scale = crate::geometry::View { scale, origin: at(0.0, 0.0) }.says();
    format!(
        "As you stand at the {side}, the near wall away. Ink: the near row; pencil: what stands behind. \
         Tallest block {tallest}; {lid}. Scale {scale}."
    )
}

/// Two posts with their signs over the case.
fn posts(
    canvas: &mut Canvas,
    words: &mut Room,
    block: &PlacedBlock,
    place: &dyn Fn(f64, f64) -> Point,
) {
    for (post, sign, tone) in [(block.plus, "+", Tone::Red), (block.minus, "−", Tone::Ink)] {
        let foot = place(post.at.x.as_mm(), post.height.as_mm());
        canvas.line(&[foot, foot.moved(0.0, -1.8)], Stroke::solid(tone, 1.4));
        let label = |dx: f64, dy: f64| {
            let place = foot.moved(dx, dy);
            Label::new(place, sign, size::LABEL)
                .bold()
                .tone(tone)
                .anchored(Anchor::Middle)
                .levelled()
                .rimmed(Tone::Light)
        };
        let spots = vec![
            label(0.0, -4.6),
            label(3.0, -4.6),
            label(-3.0, -4.6),
            label(0.0, -8.6),
            label(4.0, -8.6),
        ];
        if let Some(label) = words.settle_label(spots) {
            canvas.put(label);
        }
    }
}
