//! The stack card: a cut through each kind of post with what lies on it, in order.

use super::canvas::{Canvas, EDGE, INK, PENCIL};
use super::{Setting, Subject};
use crate::geometry::{Point, at};
use crate::marks::sheet::shortened;
use crate::scene::{Anchor, Fill, Scene};
use crate::style::{Tone, size};
use engine::model::lead::Terminal;
use engine::sizing::answer::{LeadAnswer, LugChoice};
use engine::units::show;

/// What the card is drawn from.
#[derive(Clone, Copy, Debug)]
pub struct StacksPicture<'a> {
    /// The rig at one stage.
    pub subject: Subject<'a>,
    /// The paper.
    pub setting: &'a Setting,
}

/// Posts that carry the same things.
struct Stack {
    /// Lugs from the face outwards: the lead after a space, or nothing where posts differ, and barrel.
    lugs: Vec<(String, String)>,
    /// The barrels alone, by which two posts are alike.
    barrels: Vec<String>,
    stud: String,
    torque: Option<String>,
    posts: Vec<String>,
}

/// Width and height of a card [mm].
const CARD: (f64, f64) = (84.0, 72.0);
/// Cards on one sheet.
const CARDS: usize = 4;

/// The cards, as many sheets as they need; none without a lead on a post.
#[must_use]
pub fn stacks(picture: &StacksPicture<'_>) -> Vec<Scene> {
    let all = found(picture);
    let columns = if picture.setting.width < 2.0 * CARD.0 + 2.0 * EDGE { 1 } else { 2 };
    let sheets = all.chunks(CARDS).enumerate();
    sheets.map(|(n, part)| sheet(picture, part, columns, n)).collect()
}

fn sheet(picture: &StacksPicture<'_>, part: &[Stack], columns: usize, number: usize) -> Scene {
    let mut setting = picture.setting.clone();
    setting.width = setting.width.max(CARD.0 + 2.0 * EDGE);
    if 0 < number {
        setting.id = format!("{}-{}", setting.id, number + 1);
    }
    let mut canvas = Canvas::new(&setting);
    let mut low = EDGE;
    for (n, stack) in part.iter().enumerate() {
        let (column, row) = (n % columns, n / columns);
        let step = |n: usize| f64::from(u32::try_from(n).unwrap_or(0));
        let corner = at(EDGE + step(column) * (CARD.0 + 2.0), EDGE + step(row) * CARD.1);
        card(&mut canvas, stack, corner, number == 0 && part.len() == 1);
        low = low.max(corner.y + CARD.1);
    }
    canvas.finish(
        &picture.subject,
        "what lies on each post",
        "A cut through each kind of post: face, lugs, washers, nut.",
        low,
    )
}

fn card(canvas: &mut Canvas, stack: &Stack, corner: Point, alone: bool) {
    let (left, top) = (corner.x, corner.y);
    let room = CARD.0 - 4.0;
    canvas.strong(at(left, top + 3.0), &posts(stack, room * 0.9, alone), Anchor::Start, Tone::Ink);
    let stud_x = left + 18.0;
    let face = top + 62.0;
    canvas.rect(at(left, face), (36.0, 6.0), Some(INK), Fill::Hatch(Tone::Pencil, 1.5));
    // From the face outwards; the height of each is its own.
    let mut y = face;
    let mut layers: Vec<(String, f64, f64, Tone)> = stack
        .lugs
        .iter()
        .map(|(lead, barrel)| (format!("lug{lead}, {barrel}"), 4.6, 15.0, Tone::Wash))
        .collect();
    layers.push(("flat washer".to_owned(), 3.0, 9.0, Tone::Light));
    layers.push(("spring washer".to_owned(), 3.0, 7.0, Tone::Light));
    layers.push(("nut".to_owned(), 6.0, 8.0, Tone::Light));
    let tall: f64 = layers.iter().map(|l| l.1).sum();
    canvas.rect(
        at(stud_x - 3.0, face - tall - 3.0),
        (6.0, tall + 3.0),
        Some(INK),
        Fill::Flat(Tone::Paper),
    );
    let words = left + 39.0;
    let count = f64::from(u32::try_from(layers.len()).unwrap_or(1));
    let pitch = ((face - top - 16.0) / count).clamp(4.8, 8.0);
    let mut word_y = face - 2.0;
    for (name, height, half, tone) in layers {
        let middle = y - height / 2.0;
        for side in [-1.0, 1.0] {
            let x = if side < 0.0 { stud_x - 3.0 - half } else { stud_x + 3.0 };
            canvas.rect(at(x, y - height), (half, height), Some(INK), Fill::Flat(tone));
        }
        canvas.line(&[at(stud_x + 3.0 + half, middle), at(words - 1.0, word_y)], PENCIL);
        let text = shortened(&name, room - 37.0, size::SMALL);
        canvas.word(at(words, word_y), &text, Anchor::Start, Tone::Ink);
        y -= height;
        word_y -= pitch;
    }
    let torque = stack.torque.clone().unwrap_or_else(|| "______ from its maker".to_owned());
    canvas.word(
        at(left, top + 8.4),
        &format!("stud {}, torque {torque}", stack.stud),
        Anchor::Start,
        Tone::Pencil,
    );
}

/// The posts by name where they find room, or else how many there are.
fn posts(stack: &Stack, room: f64, alone: bool) -> String {
    let all = stack.posts.join(", ");
    let short = shortened(&all, room, size::SMALL);
    if short == all {
        return all;
    }
    if alone {
        return format!("all {} posts", stack.posts.len());
    }
    format!("{} posts: all that no other card names", stack.posts.len())
}

/// Every kind of post once.
fn found(picture: &StacksPicture<'_>) -> Vec<Stack> {
    let subject = &picture.subject;
    let units = subject.design.rig.units;
    let mut ends: Vec<(&Terminal, &LeadAnswer, &LugChoice)> = Vec::new();
    for lead in subject.leads {
        ends.push((&lead.from, lead, &lead.lug_from));
        ends.push((&lead.to, lead, &lead.lug_to));
    }
    let mut posts: Vec<&Terminal> =
        ends.iter().map(|e| e.0).filter(|t| t.block().is_some()).collect();
    posts.sort();
    posts.dedup();
    let mut all: Vec<Stack> = Vec::new();
    for post in posts {
        let mut own: Vec<_> = ends.iter().filter(|e| e.0 == post).collect();
        // The largest lies lowest, on the metal; of equal ones the first by name.
        own.sort_by(|a, b| {
            b.1.area.as_mm2().total_cmp(&a.1.area.as_mm2()).then(a.1.id.cmp(&b.1.id))
        });
        let barrels: Vec<String> = own.iter().map(|e| e.2.named()).collect();
        let stud = own.iter().find_map(|e| e.2.stud);
        let stud = stud.map_or_else(|| "not known".to_owned(), |s| crate::templates::bit(s, units));
        let name = post.to_string().replace(' ', "\u{a0}");
        if let Some(same) = all.iter_mut().find(|s| s.barrels == barrels && s.stud == stud) {
            same.posts.push(name);
            // One card for many posts names no lead of one of them.
            for (lug, barrel) in same.lugs.iter_mut().zip(&barrels) {
                *lug = (String::new(), barrel.clone());
            }
            continue;
        }
        let torque = own.iter().find_map(|e| e.2.torque);
        all.push(Stack {
            lugs: own.iter().map(|e| (format!(" {}", e.1.id), e.2.named())).collect(),
            barrels,
            stud,
            torque: torque.map(|t| show::torque(t, units).replace(' ', "\u{a0}")),
            posts: vec![name],
        });
    }
    all
}
