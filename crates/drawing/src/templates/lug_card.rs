//! The lug card: every stud and lug of the rig at its true size, to lay the part on.

use super::draft::{Draft, Standing};
use super::{Kit, Template, bit};
use crate::dxf::Layer;
use crate::scene::Stroke;
use crate::style::{Tone, line};
use engine::sizing::answer::LugChoice;
use engine::units::Length;

/// A kind of lug: stud, hole and barrel, and the leads it is on.
struct Kind {
    stud: Length,
    hole: Option<Length>,
    barrel: String,
    palm: Length,
    depth: Length,
    over: Length,
    ends: Vec<String>,
}

/// Room for one lug on the card [mm].
const ROW: f64 = 34.0;
/// Rows on a card, as many as every paper takes on one sheet.
const ROWS: usize = 6;
/// From the left of a row to the middle of its stud [mm].
const STUD: f64 = 24.0;
/// Width of the card [mm]; it fits every paper on one sheet.
const WIDTH: f64 = 150.0;

/// The cards; none where no stud of the rig is known.
#[must_use]
pub fn templates(kit: &Kit<'_>) -> Vec<Template> {
    let kinds = kinds(kit);
    let cards = kinds.len().div_ceil(ROWS);
    let parts = kinds.chunks(ROWS).enumerate();
    parts.map(|(n, kinds)| card(kit, kinds, (n + 1, cards))).collect()
}

fn card(kit: &Kit<'_>, kinds: &[Kind], (number, of): (usize, usize)) -> Template {
    let units = kit.subject.design.rig.units;
    let rows = u32::try_from(kinds.len()).unwrap_or(u32::MAX);
    let height = ROW * f64::from(rows);
    let mut draft = Draft::new(Length::mm(WIDTH), Length::mm(height), units);
    for (n, kind) in (0_u32..).zip(kinds) {
        let y = height - ROW * (f64::from(n) + 0.5);
        if 0 < n {
            let edge = y + ROW / 2.0;
            draft.line(
                Layer::Mark,
                &[(0.0, edge), (WIDTH, edge)],
                Stroke::solid(Tone::Pencil, line::THIN),
            );
        }
        lug(&mut draft, kind, y);
        let mut says = vec![format!("stud Ø {}", bit(kind.stud, units))];
        says.extend(kind.hole.map(|h| format!("hole in the lug Ø {}", bit(h, units))));
        says.push(format!("barrel for {}", kind.barrel));
        for (line, text) in (0_u8..).zip(&says) {
            draft.name((118.0, y + 9.0 - 6.0 * f64::from(line)), text, Tone::Ink);
        }
        let ends =
            crate::marks::sheet::shortened(&kind.ends.join(", "), 60.0, crate::style::size::LABEL);
        draft.name((118.0, y + 9.0 - 6.0 * 3.0), &ends, Tone::Pencil);
    }
    let (name, title) = if of == 1 {
        ("lug-card".to_owned(), "Lug card".to_owned())
    } else {
        (format!("lug-card-{number}"), format!("Lug card {number} of {of}"))
    };
    let notes = vec![
        "Lay a nut or stud on the full circle: it covers it. Lay a lug on the row: its hole shows the \
         whole outer circle and little more. A hole that is too large bears on a rim only; a hole that \
         is too small gets drilled, and then the lug is thin."
            .to_owned(),
        "The broken outline is the usual lug for this stud and cable, from memory: makers differ. \
         Measure yours; what matters is hole, barrel and the length from hole to barrel."
            .to_owned(),
    ];
    let scene = draft.finish(&name, &title, "Studs, holes and lugs at their true size.");
    Template { name, title, notes, scene }
}

fn lug(draft: &mut Draft, kind: &Kind, y: f64) {
    let (palm, depth, half) = (kind.palm.as_mm(), kind.depth.as_mm(), kind.over.as_mm() / 2.0);
    let outline = Standing::Pencil.stroke();
    let hole = kind.hole.unwrap_or(kind.stud).as_mm() / 2.0;
    // The tongue is at least as wide as a washer of twice the hole.
    let tongue = half.max(hole * 2.0);
    let end = STUD + palm + depth;
    let top =
        [(STUD, y + tongue), (STUD + palm, y + tongue), (STUD + palm, y + half), (end, y + half)];
    let low =
        [(STUD, y - tongue), (STUD + palm, y - tongue), (STUD + palm, y - half), (end, y - half)];
    draft.line(Layer::Mark, &top, outline);
    draft.line(Layer::Mark, &low, outline);
    draft.line(Layer::Mark, &[(end, y + half), (end, y - half)], outline);
    draft.nose((STUD, y), tongue, outline);
    draft.circle(Layer::Mark, (STUD, y), hole, Stroke::solid(Tone::Ink, line::THIN));
    draft.disc((STUD, y), kind.stud.as_mm() / 2.0);
}

/// Every kind once, by stud and barrel.
fn kinds(kit: &Kit<'_>) -> Vec<Kind> {
    let mut found: Vec<Kind> = Vec::new();
    for lead in kit.subject.leads {
        let Some(path) = kit.subject.layout.lead(&lead.id) else { continue };
        let diameter = path.route.as_ref().map_or(path.length.lug_from.palm, |r| r.diameter);
        let ends: [(&LugChoice, _, String); 2] = [
            (&lead.lug_from, path.length.lug_from, format!("{} at {}", lead.id, lead.from)),
            (&lead.lug_to, path.length.lug_to, format!("{} at {}", lead.id, lead.to)),
        ];
        for (lug, reach, end) in ends {
            let Some(stud) = lug.stud else { continue };
            let same = |k: &&mut Kind| k.stud == stud && k.barrel == lug.named();
            if let Some(kind) = found.iter_mut().find(same) {
                kind.ends.push(end);
            } else {
                found.push(Kind {
                    stud,
                    hole: lug.hole,
                    barrel: lug.named(),
                    palm: reach.palm,
                    depth: reach.barrel,
                    over: diameter,
                    ends: vec![end],
                });
            }
        }
    }
    found
}
