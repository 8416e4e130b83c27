//! Finds room on a plan for what has no place of its own: signs of posts, rings of leads, words of
//! blocks.

use super::board::{Board, lead_bars, middle};
use super::room::{Room, around};
use crate::geometry::{Corners, Point};
use crate::marks::lead::{Lead, RING, place_along, ring_width};
use crate::marks::post::{Beside, Block, Lines, Post, sign_corners};
use crate::marks::sheet::Area;

/// Every post of the plan, each sign on a side of its post that is free of leads.
#[must_use]
pub fn posts(board: &Board<'_>, leads: &[Lead], room: &mut Room) -> Vec<Post> {
    let mut all: Vec<Post> = board.layout.plan.blocks.iter().flat_map(|b| board.posts(b)).collect();
    for post in &all {
        room.take(around(post.centre, 2.0 * post.radius + 0.6, 2.0 * post.radius + 0.6));
    }
    for lead in leads {
        for bar in lead_bars(lead) {
            room.take(bar);
        }
    }
    // A sign stands in its own case where it can: the edges count as taken for signs alone.
    let mut edged = room.clone();
    for block in &board.layout.plan.blocks {
        let [a, b, c, d] = corners(board.case(block));
        edged.take_line(&[a, b, c, d, a], 0.2);
    }
    for post in &mut all {
        let sides = [Beside::Right, Beside::Left, Beside::Above, Beside::Below];
        let tried = |sign: &Beside| Post { sign: *sign, ..post.clone() };
        let side = edged.settle(sides.to_vec(), |s| sign_corners(&tried(s)));
        post.sign = side.unwrap_or(Beside::Right);
        room.take(sign_corners(post));
    }
    all
}

fn corners(area: Area) -> [Point; 4] {
    let Area { corner, width, height } = area;
    [corner, corner.moved(width, 0.0), corner.moved(width, height), corner.moved(0.0, height)]
}

/// Places along a lead at which its ring is tried: the middle first, then ever further from it.
const ALONG: [f64; 17] =
    [0.5, 0.45, 0.55, 0.4, 0.6, 0.35, 0.65, 0.3, 0.7, 0.25, 0.75, 0.2, 0.8, 0.15, 0.85, 0.1, 0.9];

/// Gives every lead that has none yet the place of its ring, clear of the other leads and of what is already placed.
pub fn rings(leads: &mut [Lead], area: Area, room: &mut Room) {
    // A ring lies on its own lead, so only the others count; the short leads have the least choice and
    // come first.
    let bars: Vec<Vec<Corners>> = leads.iter().map(lead_bars).collect();
    let mut order: Vec<usize> = (0..leads.len()).collect();
    let long = |l: &Lead| l.points.windows(2).map(|p| p[0].distance(p[1])).sum::<f64>();
    order.sort_by(|a, b| long(&leads[*a]).total_cmp(&long(&leads[*b])));
    let mut others = room.clone();
    others.forget(&bars.concat());
    for i in order {
        if leads[i].ring.is_some() {
            continue;
        }
        let mut here = others.clone();
        for bar in bars.iter().enumerate().filter(|(n, _)| *n != i).flat_map(|(_, b)| b) {
            here.take(*bar);
        }
        let box_at = |p: &Point| around(*p, ring_width(&leads[i].number) + 0.4, 2.0 * RING + 0.4);
        let places: Vec<Point> = ALONG
            .iter()
            .filter_map(|part| place_along(&leads[i].points, *part))
            .filter(|p| inside(area, &box_at(p)))
            .collect();
        let place = here.settle(places, box_at).or_else(|| place_along(&leads[i].points, 0.5));
        if let Some(place) = place {
            others.take(box_at(&place));
            room.take(box_at(&place));
        }
        leads[i].ring = place;
    }
}

fn inside(area: Area, shape: &Corners) -> bool {
    let [left, top, right, low] = shape.bounds();
    area.corner.x <= left
        && area.corner.y <= top
        && right <= area.corner.x + area.width
        && low <= area.corner.y + area.height
}

/// Where words are tried within a case, in parts of the room to spare: the middle first.
const SPARE: [f64; 9] = [0.5, 0.4, 0.6, 0.28, 0.72, 0.15, 0.85, 0.03, 0.97];

/// One way to set the words of a block in its case.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Spot {
    lines: Lines,
    /// Parts of the room to spare, from the left and from the top.
    across: f64,
    down: f64,
}

/// Every spot, those in two lines and near the middle first.
fn spots() -> Vec<Spot> {
    let off = |spot: &Spot| (spot.across - 0.5).abs() + (spot.down - 0.5).abs();
    let mut all = Vec::new();
    for lines in [Lines::Two, Lines::One] {
        let places = SPARE.iter().flat_map(|x| SPARE.iter().map(move |y| (*x, *y)));
        let mut some: Vec<Spot> =
            places.map(|(across, down)| Spot { lines, across, down }).collect();
        some.sort_by(|a, b| off(a).total_cmp(&off(b)));
        all.extend(some);
    }
    all
}

/// The box of a block's words at a spot of its case.
fn words_at(case: Area, drawn: &Block, spot: Spot) -> Corners {
    let (width, height) = Block { lines: spot.lines, ..drawn.clone() }.words_size();
    let spare = (case.width - width - 1.2, case.height - height - 1.2);
    let (x, y) = (spare.0.max(0.0) * (spot.across - 0.5), spare.1.max(0.0) * (spot.down - 0.5));
    around(middle(case).moved(x, y), width, height)
}

/// Gives every block the place of its words: the same place in each case where that is free in all, or
/// else a free place of its own. They keep clear of the caps as long as they can.
pub fn words(board: &Board<'_>, drawn: &mut [Block], caps: &[Corners], room: &mut Room) {
    let cases: Vec<Area> = board.layout.plan.blocks.iter().map(|b| board.case(b)).collect();
    let spots = spots();
    let mut capped = room.clone();
    for cap in caps {
        capped.take(*cap);
    }
    let fits = |case: Area, shape: &Corners| {
        let [left, _, right, _] = shape.bounds();
        right - left <= case.width - 0.8
    };
    let free = |room: &Room, case: Area, drawn: &Block, spot: Spot| {
        let shape = words_at(case, drawn, spot);
        fits(case, &shape) && room.touched(&shape) == 0
    };
    let common = |room: &Room| {
        let mut pairs = spots.iter().copied();
        pairs.find(|spot| cases.iter().zip(drawn.iter()).all(|(c, d)| free(room, *c, d, *spot)))
    };
    let common = common(&capped).or_else(|| common(room));
    for (case, block) in cases.iter().zip(drawn.iter_mut()) {
        let own = |room: &Room| spots.iter().find(|s| free(room, *case, block, **s)).copied();
        let chosen = common.or_else(|| own(&capped)).or_else(|| own(room));
        let tried = chosen.map_or_else(|| spots.clone(), |spot| vec![spot]);
        if let Some(spot) = room.settle(tried, |spot| words_at(*case, block, *spot)) {
            let shape = words_at(*case, block, spot);
            block.words = Some(shape.0[0].towards(shape.0[2], 0.5));
            block.lines = spot.lines;
        }
    }
}
