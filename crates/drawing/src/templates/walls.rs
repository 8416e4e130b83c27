//! The walls: openings as rows of holes, and where leads leave the box.

use super::draft::{DECIDE, Draft, Standing};
use super::floor::{TO_BUILD, coordinates, unsaid};
use super::{Kit, Opening, Template, bit};
use crate::dxf::Layer;
use crate::scene::Stroke;
use crate::style::{Tone, line};
use engine::layout::route::Route;
use engine::model::part::PlanPoint;
use engine::units::Length;

/// A wall of the box, looked at from inside.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Wall {
    Near,
    Far,
    Left,
    Right,
}

impl Wall {
    const ALL: [Self; 4] = [Self::Near, Self::Far, Self::Left, Self::Right];

    const fn name(self) -> &'static str {
        match self {
            Self::Near => "wall-near",
            Self::Far => "wall-far",
            Self::Left => "wall-left",
            Self::Right => "wall-right",
        }
    }

    const fn says(self) -> &'static str {
        match self {
            Self::Near => "Near wall",
            Self::Far => "Far wall",
            Self::Left => "Left wall",
            Self::Right => "Right wall",
        }
    }

    /// What lies at its left and at its right, seen from inside.
    const fn ends(self) -> [&'static str; 2] {
        match self {
            Self::Near => ["right wall", "left wall"],
            Self::Far => ["left wall", "right wall"],
            Self::Left => ["near wall", "far wall"],
            Self::Right => ["far wall", "near wall"],
        }
    }
}

/// A lead that leaves through a wall.
struct Entry {
    wall: Wall,
    /// From the left end of the wall, seen from inside [mm].
    along: f64,
    /// Over the floor [mm].
    high: f64,
    diameter: f64,
    lead: String,
    decided: bool,
}

/// A template for each wall that has a hole in it.
#[must_use]
pub fn templates(kit: &Kit<'_>) -> Vec<Template> {
    let entries = entries(kit);
    Wall::ALL.into_iter().filter_map(|wall| template(kit, wall, &entries)).collect()
}

fn template(kit: &Kit<'_>, wall: Wall, entries: &[Entry]) -> Option<Template> {
    let plan = &kit.subject.layout.plan;
    let own: Vec<&Entry> = entries.iter().filter(|e| e.wall == wall).collect();
    // The design does not say which wall breathes; the far one most often looks outside.
    let openings: &[Opening] = if wall == Wall::Far { &kit.openings } else { &[] };
    if own.is_empty() && openings.is_empty() {
        return None;
    }
    let length = match wall {
        Wall::Near | Wall::Far => plan.inner.length,
        Wall::Left | Wall::Right => plan.inner.width,
    };
    let units = kit.subject.design.rig.units;
    let mut draft = Draft::new(length, plan.inner.height, units);
    let size = (length.as_mm(), plan.inner.height.as_mm());
    draft.rect(Layer::Mark, (0.0, 0.0), size, Stroke::solid(Tone::Ink, line::NORMAL));
    let mut notes = vec![
        "As seen from inside the box, its foot on the floor. To drill from outside, lay the sheet \
         with the print towards the wall and prick from a line you can find on both sides."
            .to_owned(),
    ];
    if unsaid(kit) {
        notes.insert(0, TO_BUILD.to_owned());
    }
    for opening in openings {
        row(kit, &mut draft, opening, size, &mut notes);
    }
    let mut table = Vec::new();
    for entry in own {
        let place = (entry.along, entry.high);
        let standing = if entry.decided { Standing::Ink } else { Standing::Pencil };
        let end = if entry.decided { String::new() } else { format!(", {DECIDE}") };
        let tone = if entry.decided { Tone::Ink } else { Tone::Pencil };
        draft.hole(place, None, standing);
        draft.circle(Layer::Mark, place, entry.diameter / 2.0, standing.stroke());
        draft.word(place, entry.diameter, &format!("lead {}{end}", entry.lead), tone);
        table.push(format!("lead {} {}", entry.lead, coordinates(place, units)));
    }
    if !table.is_empty() {
        notes.push(format!(
            "The circle is the cable over its jacket. Drill for its gland or grommet, as its maker \
             says; a cable never bears on a bare edge. From the left end and up from the floor: {}.",
            table.join("; ")
        ));
    }
    let [left, right] = wall.ends();
    draft.measures(["floor", "lid", left, right]);
    let title = format!("{}: drill template", wall.says());
    let scene =
        draft.finish(wall.name(), &title, "A wall as seen from inside, with every hole in it.");
    Some(Template { name: wall.name().to_owned(), title, notes, scene })
}

/// How many holes one row takes, and from one to the next [mm].
fn in_a_row(opening: &Opening, length: f64) -> (u32, f64) {
    let drill = opening.drill.as_mm();
    // As much wall stays between two holes as a hole is wide, and half of that at the ends; less, but
    // never under half a hole, where all of them then lie in one row.
    let even = length / f64::from(opening.holes.max(1));
    let pitch = if even < 1.5 * drill { 2.0 * drill } else { even.min(2.0 * drill) };
    let mut fits = 1_u32;
    while fits < opening.holes && f64::from(fits + 1) * pitch <= length {
        fits += 1;
    }
    (fits, pitch)
}

/// From floor or lid to the middles of the first row, and from one row to the next [mm].
fn heights(opening: &Opening) -> (f64, f64) {
    (opening.drill.as_mm() * 0.75, opening.drill.as_mm() * 1.5)
}

/// The middles of the rows of an opening in a wall of this length, from the floor or down from the
/// lid [mm].
#[must_use]
pub fn rows(opening: &Opening, length: Length) -> Vec<f64> {
    let (fits, _) = in_a_row(opening, length.as_mm());
    let (first, step) = heights(opening);
    let count = opening.holes.div_ceil(fits.max(1)).min(40);
    (0..count).map(|n| first + step * f64::from(n)).collect()
}

/// A row of holes along the floor or under the lid; more rows where one is too short.
fn row(
    kit: &Kit<'_>,
    draft: &mut Draft,
    opening: &Opening,
    (length, height): (f64, f64),
    notes: &mut Vec<String>,
) {
    let units = kit.subject.design.rig.units;
    let drill = opening.drill.as_mm();
    let (fits, pitch) = in_a_row(opening, length);
    let (first, step) = heights(opening);
    let mut placed = 0;
    let mut rows = 0_u32;
    while placed < opening.holes && rows < 40 {
        let up = first + f64::from(rows) * step;
        let y = if opening.high { height - up } else { up };
        let here = fits.min(opening.holes - placed);
        let start = length / 2.0 - pitch * (f64::from(here) - 1.0) / 2.0;
        for n in 0..here {
            let x = start + pitch * f64::from(n);
            draft.hole((x, y), Some(opening.drill), Standing::Pencil);
        }
        if rows == 0 {
            let which = if opening.high { "high opening" } else { "low opening" };
            let says =
                format!("{which}: {} × Ø {}, {DECIDE}", opening.holes, bit(opening.drill, units));
            draft.word((start, y), drill, &says, Tone::Pencil);
        }
        placed += here;
        rows += 1;
    }
    let reach = first + f64::from(rows.saturating_sub(1)) * step + drill / 2.0;
    if height / 2.0 < reach {
        notes.push(
            "The rows reach past the middle of the wall: cut the low and the high opening in two \
             different walls, or take a wider saw."
                .to_owned(),
        );
    }
    let (which, edge) = if opening.high { ("High", "the lid") } else { ("Low", "the floor") };
    let bit_says = bit(opening.drill, units);
    let begins = bit(Length::mm(first - drill / 2.0), units);
    let limit = bit(opening.edge, units);
    let holds = format!("the first row begins {begins} from {edge}, at most {limit} is allowed");
    notes.push(format!(
        "{which} opening: {} of {bit_says} in {}, {holds}. It must lead straight to \
         the open air: put it in any wall that does. Cover it with mesh and count the mesh's own \
         wires as closed.",
        if opening.holes == 1 { "1 hole".to_owned() } else { format!("{} holes", opening.holes) },
        if rows == 1 { "one row".to_owned() } else { format!("{rows} rows") }
    ));
}

/// Where the leads leave.
fn entries(kit: &Kit<'_>) -> Vec<Entry> {
    let layout = kit.subject.layout;
    let mut found: Vec<Entry> = Vec::new();
    for lead in &layout.leads {
        if let Some(entry) = lead.route.as_ref().and_then(|r| leaving(kit, &lead.id, r)) {
            found.push(entry);
        }
    }
    // Pencil places may lie on one another: each keeps a cable's width from its neighbour.
    for wall in Wall::ALL {
        let mut own: Vec<&mut Entry> = found.iter_mut().filter(|e| e.wall == wall).collect();
        own.sort_by(|a, b| a.along.total_cmp(&b.along).then_with(|| a.lead.cmp(&b.lead)));
        let mut last: Option<(f64, f64)> = None;
        for entry in own {
            if let Some((along, diameter)) = last {
                entry.along = entry.along.max(along + diameter + entry.diameter);
            }
            last = Some((entry.along, entry.diameter));
        }
    }
    found
}

fn leaving(kit: &Kit<'_>, lead: &str, route: &Route) -> Option<Entry> {
    let inner = kit.subject.layout.plan.inner;
    let (length, width) = (inner.length.as_mm(), inner.width.as_mm());
    let inside = |x: f64, y: f64| 0.0 <= x && x <= length && 0.0 <= y && y <= width;
    let points: Vec<(f64, f64)> = route.points.iter().map(|p| (p.x.as_mm(), p.y.as_mm())).collect();
    let crossing = points.windows(2).find(|w| inside(w[0].0, w[0].1) != inside(w[1].0, w[1].1))?;
    let (a, b) = (crossing[0], crossing[1]);
    let (from, to) = if inside(a.0, a.1) { (a, b) } else { (b, a) };
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    // The part of the way at which it meets each wall it runs towards; the nearest is the wall.
    let part = |d: f64, room: f64| if 1e-9 < d.abs() { room / d } else { f64::MAX };
    let x_wall = if dx < 0.0 {
        (Wall::Left, part(dx, -from.0))
    } else {
        (Wall::Right, part(dx, length - from.0))
    };
    let y_wall = if dy < 0.0 {
        (Wall::Near, part(dy, -from.1))
    } else {
        (Wall::Far, part(dy, width - from.1))
    };
    let (wall, t) = if x_wall.1 < y_wall.1 { x_wall } else { y_wall };
    let (x, y) = (from.0 + dx * t, from.1 + dy * t);
    let along = match wall {
        Wall::Far => x,
        Wall::Near => length - x,
        Wall::Left => y,
        Wall::Right => width - y,
    };
    let place = PlanPoint { x: Length::mm(x), y: Length::mm(y) };
    let high = route.height_near(place).as_mm();
    let diameter = route.diameter.as_mm();
    let top = inner.height.as_mm() - diameter / 2.0;
    Some(Entry {
        wall,
        along,
        high: high.min(top),
        diameter,
        lead: lead.to_owned(),
        decided: route.decided,
    })
}

#[cfg(test)]
mod tests {
    use super::Wall;

    #[test]
    fn each_wall_is_seen_from_inside() {
        // Facing the near wall from inside, the right wall of the plan is at the left hand.
        assert_eq!(Wall::Near.ends(), ["right wall", "left wall"], "turned about");
        assert_eq!(Wall::Left.ends(), ["near wall", "far wall"], "near is at the left hand");
    }
}
