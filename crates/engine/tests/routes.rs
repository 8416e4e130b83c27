//! The routes of leads in space, judged by geometry written here and by a search written here.
//!
//! Two hundred boxes from a fixed seed: two to twelve blocks, some of them turned, bodies in the way.
//! What a lead lies on is never higher than its ends here, and the bodies are tall, so that the third
//! dimension adds only the climb over other leads; the search is therefore made on the plan, on a grid
//! of 5 mm, and both are compared there. What the search finds is a path that keeps clear with
//! its corners rounded to the bend radius: an upper bound of the shortest, never less than it.

mod banks;

use banks::{SIX_VOLT, Shape, kit};
use engine::circuit::wiring::{BANK, Wiring};
use engine::layout::route::Route;
use engine::layout::space::SpacePoint;
use engine::layout::{Layout, LeadPath, lay_out};
use engine::model::bank::{BlockId, BlockState};
use engine::model::block::{Chemistry, PostAt};
use engine::model::design::Design;
use engine::model::device::{Device, DeviceKind};
use engine::model::enclosure::Enclosure;
use engine::model::lead::{Lead, Pole, Terminal};
use engine::model::obstacle::Obstacle;
use engine::model::part::{Part, PlanPoint, Turn};
use engine::number;
use engine::tables::Tables;
use engine::units::Length;
use engine::units::conductor::{ConductorSize, Gauge};
use std::collections::BinaryHeap;

/// Numbers that look random and are the same everywhere (splitmix64, public domain).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, n: u32) -> u32 {
        u32::try_from(self.next() % u64::from(n)).expect("less than n")
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.below(10_000)) / 10_000.0
    }
}

fn mm(value: f64) -> Length {
    Length::mm(value)
}

fn point(x: f64, y: f64) -> PlanPoint {
    PlanPoint { x: mm(x), y: mm(y) }
}

/// Cases of the test: length, width, height, and where the posts stand.
const CASES: [([f64; 3], [f64; 2], [f64; 2]); 4] = [
    ([264.0, 183.0, 270.0], [32.0, 151.0], [232.0, 32.0]),
    ([330.0, 173.0, 240.0], [32.0, 141.0], [298.0, 141.0]),
    ([145.0, 206.0, 375.0], [38.0, 103.0], [107.0, 103.0]),
    ([442.0, 420.0, 133.0], [60.0, 20.0], [380.0, 20.0]),
];

/// One random box: its design and the size of every lead.
fn design(dice: &mut Dice, tables: &Tables) -> (Design, ConductorSize) {
    let parallel = 1 + dice.below(3);
    let series = 1 + dice.below(12 / parallel);
    let series = if parallel * series < 2 { 2 } else { series };
    let mut design = kit(Shape { series, parallel, ..SIX_VOLT }).design;
    let (size, plus, minus) = CASES[dice.below(4) as usize];
    let block = &mut design.blocks[0];
    (block.length, block.width, block.height) =
        (Some(mm(size[0])), Some(mm(size[1])), Some(mm(size[2])));
    let post = |p: [f64; 2]| Some(PostAt { x: mm(p[0]), y: mm(p[1]) });
    (block.plus_at, block.minus_at) = (post(plus), post(minus));
    block.chemistry = Some(if dice.below(2) == 0 { Chemistry::Flooded } else { Chemistry::Agm });
    for string in 0..parallel {
        for place in 0..series {
            if dice.below(3) == 0 {
                let mut state = BlockState::unknown(BlockId { string, place });
                let turns = [Turn::None, Turn::Half];
                state.turn = Some(turns[dice.below(2) as usize]);
                design.banks[0].blocks.push(state);
            }
        }
    }
    let gauge = ["4", "1", "2/0"][dice.below(3) as usize];
    let wire = ConductorSize::Awg(Gauge::from_text(gauge).expect("a gauge"));
    // A box with some room round the blocks, so that leads may swing.
    let bare = lay_out(&design, &Wiring::of(&design), tables, &|_| Some(wire));
    let needed = bare.plan.needed;
    let mut enclosure = Enclosure::unknown();
    enclosure.length = Some(needed.length + mm(dice.between(20.0, 240.0)));
    enclosure.width = Some(needed.width + mm(dice.between(20.0, 240.0)));
    design.enclosure = Some(enclosure);
    feeds(dice, &mut design, [needed.length.as_mm(), needed.width.as_mm()]);
    let placed = lay_out(&design, &Wiring::of(&design), tables, &|_| Some(wire));
    for n in 0..dice.below(3) {
        obstacle(dice, &mut design, &placed, n);
    }
    (design, wire)
}

/// A main lead from either end of the bank to a stud somewhere beside or in the box.
fn feeds(dice: &mut Dice, design: &mut Design, inside: [f64; 2]) {
    design.leads.clear();
    design.devices.clear();
    for (name, pole) in [("main", Pole::Plus), ("shunt", Pole::Minus)] {
        let mut device = Device::named(name, DeviceKind::Shunt);
        let x = dice.between(-300.0, inside[0] + 300.0);
        device.at = Some(point(x, dice.between(-200.0, inside[1] + 200.0)));
        design.devices.push(device);
        let mut lead = Lead::named(&format!("to {name}"));
        lead.from = Some(Terminal::stud(BANK, pole));
        lead.to = Some(Terminal::stud(name, Pole::In));
        design.leads.push(lead);
    }
}

/// A tall body over the cases, away from every stud.
fn obstacle(dice: &mut Dice, design: &mut Design, placed: &Layout, n: u32) {
    let inner = placed.plan.inner;
    let (l, w) = (dice.between(20.0, 90.0), dice.between(20.0, 90.0));
    let (x, y) =
        (dice.between(0.0, inner.length.as_mm() - l), dice.between(0.0, inner.width.as_mm() - w));
    let far = |p: PlanPoint| {
        let dx = (x - p.x.as_mm()).max(p.x.as_mm() - x - l).max(0.0);
        let dy = (y - p.y.as_mm()).max(p.y.as_mm() - y - w).max(0.0);
        number::hypot(dx, dy) > 85.0
    };
    if studs(placed).iter().all(|s| far(*s)) {
        design.obstacles.push(Obstacle {
            part: Part { name: format!("body {n}"), ..Part::default() },
            kind: None,
            at: point(x, y),
            size: point(l, w),
            bottom: Length::ZERO,
            height: None,
        });
    }
}

fn studs(layout: &Layout) -> Vec<PlanPoint> {
    let posts = layout.plan.blocks.iter().flat_map(|b| [b.plus.at, b.minus.at]);
    posts.chain(layout.plan.devices.iter().flat_map(|d| [d.first, d.second])).collect()
}

/// What a lead must keep clear of on the plan: circles, rectangles, walls.
struct Ground {
    circles: Vec<([f64; 2], f64)>,
    bodies: Vec<[f64; 4]>,
    off: f64,
    walls: Option<[f64; 4]>,
}

fn xy(p: PlanPoint) -> [f64; 2] {
    [p.x.as_mm(), p.y.as_mm()]
}

fn apart(a: [f64; 2], b: [f64; 2]) -> f64 {
    number::hypot(a[0] - b[0], a[1] - b[1])
}

impl Ground {
    fn of(design: &Design, layout: &Layout, route: &Route, tables: &Tables) -> Self {
        let limit = |id| tables.limits.value(id).value;
        let off = route.diameter.as_mm() / 2.0;
        let ends = [xy(route.points[0]), xy(*route.points.last().expect("two ends"))];
        let mut circles = Vec::new();
        for block in &layout.plan.blocks {
            let posts = [block.plus.at, block.minus.at].map(|p| (xy(p), limit("lead-off-post")));
            let cap = limit("cap-radius") + limit("lead-off-cap");
            let caps = block.caps.iter().map(|c| (xy(*c), cap));
            for (at, keep) in posts.into_iter().chain(caps) {
                // Its own posts are no obstacle; a lead cannot stay further off than it starts.
                let nearest = apart(at, ends[0]).min(apart(at, ends[1]));
                if 0.01 < nearest {
                    circles.push((at, (keep + off).min(nearest)));
                }
            }
        }
        let body = |o: &Obstacle| {
            let [x, y] = xy(o.at);
            [x, y, x + o.size.x.as_mm(), y + o.size.y.as_mm()]
        };
        let inner = [layout.plan.inner.length.as_mm(), layout.plan.inner.width.as_mm()];
        let inside = |p: [f64; 2]| (0..2).all(|n| 0.0 <= p[n] && p[n] <= inner[n]);
        let walls = ends.iter().any(|p| inside(*p)).then(|| {
            let low = |n: usize| ends[0][n].min(ends[1][n]).min(off);
            let high = |n: usize| ends[0][n].max(ends[1][n]).max(inner[n] - off);
            [low(0), low(1), high(0), high(1)]
        });
        Self { circles, bodies: design.obstacles.iter().map(body).collect(), off, walls }
    }

    /// By how much a place is too near something.
    fn lacks(&self, p: [f64; 2]) -> f64 {
        let circles = self.circles.iter().map(|(at, keep)| keep - apart(*at, p));
        let bodies = self.bodies.iter().map(|b| {
            let dx = (b[0] - p[0]).max(p[0] - b[2]).max(0.0);
            let dy = (b[1] - p[1]).max(p[1] - b[3]).max(0.0);
            self.off - number::hypot(dx, dy)
        });
        let walls =
            self.walls.iter().flat_map(|w| [w[0] - p[0], w[1] - p[1], p[0] - w[2], p[1] - w[3]]);
        circles.chain(bodies).chain(walls).fold(f64::MIN, f64::max)
    }
}

/// The line of a lead is what a cable can be: it ends on its studs, has no gap, is never bent under
/// its radius, and keeps clear of everything.
fn check_line(design: &Design, layout: &Layout, lead: &LeadPath, ground: &Ground, whose: &str) {
    let route = lead.route.as_ref().expect("a routed lead");
    let line = route.line(mm(0.5));
    let flat: Vec<[f64; 2]> = line.iter().map(|p| xy(p.at)).collect();
    let ends = [
        (0, route.points[0], route.from_height),
        (line.len() - 1, *route.points.last().expect("two"), route.to_height),
    ];
    let half = route.diameter.as_mm() / 2.0;
    for (n, stud, face) in ends {
        assert!(studs(layout).iter().any(|s| apart(xy(*s), flat[n]) < 0.01), "{whose}: on a stud");
        assert!(apart(xy(stud), flat[n]) < 0.01, "{whose}: ends on its stud");
        let up = line[n].height.as_mm() - half - face.as_mm();
        assert!(up.abs() < 0.01, "{whose}: lies on the face of its stud, off by {up}");
    }
    let in_space = |a: &SpacePoint, b: &SpacePoint| {
        number::hypot(apart(xy(a.at), xy(b.at)), a.height.as_mm() - b.height.as_mm())
    };
    let steps: Vec<f64> = line.windows(2).map(|w| in_space(&w[0], &w[1])).collect();
    let gap = steps.iter().position(|s| 0.51 < *s);
    assert_eq!(gap, None, "{whose}: no gap in {route:?}");
    let long: f64 = steps.iter().sum();
    let said = route.length.length().as_mm();
    // Strokes of 0.5 mm on bends of 20 mm and more fall short by less than 1 in 10,000.
    assert!((long - said).abs() < 0.02 + said * 1e-4, "{whose}: {long} mm drawn, {said} mm said");
    for n in 0..line.len() {
        let lacks = ground.lacks(flat[n]);
        // The router's own strokes of a turn lie up to 0.1 mm inside it.
        assert!(lacks < 0.12, "{whose}: {lacks} mm too near at {:?}", flat[n]);
        for block in &layout.plan.blocks {
            let (low, high) = (xy(block.corner), xy(block.far_corner()));
            let dx = (low[0] - flat[n][0]).max(flat[n][0] - high[0]).max(0.0);
            let dy = (low[1] - flat[n][1]).max(flat[n][1] - high[1]).max(0.0);
            let dz = (line[n].height.as_mm() - block.case_height.as_mm()).max(0.0);
            assert!(
                half < number::hypot(number::hypot(dx, dy), dz) + 0.01,
                "{whose}: inside case {}",
                block.id
            );
        }
    }
    let Some(radius) = route.bend_radius.map(Length::as_mm) else { return };
    // Three places 6 mm apart lie on a circle; on a curve of at least R that circle is at least R.
    for n in 12..line.len().saturating_sub(12) {
        let (a, b, c) = (&line[n - 12], &line[n], &line[n + 12]);
        let (ab, bc, ca) = (in_space(a, b), in_space(b, c), in_space(c, a));
        let s = (ab + bc + ca) / 2.0;
        let area = (s * (s - ab) * (s - bc) * (s - ca)).max(0.0).sqrt();
        let on = if area < 1e-9 { f64::INFINITY } else { ab * bc * ca / (4.0 * area) };
        assert!(radius * 0.99 < on, "{whose}: bent to {on} mm at {:?}, least {radius}", flat[n]);
    }
    assert!(design.banks.len() == 1, "one bank");
}

/// A count of cells or micrometres; nothing here is negative or larger than a box.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a box holds fewer micrometres than the type, and none below zero"
)]
fn whole(value: f64) -> usize {
    value.round() as usize
}

/// A grid over the plan for one lead.
struct Grid<'a> {
    ground: &'a Ground,
    low: [f64; 2],
    wide: usize,
    deep: usize,
}

const CELL: f64 = 5.0;

impl Grid<'_> {
    fn at(&self, cell: usize) -> [f64; 2] {
        let (x, y) = (cell % self.wide, cell / self.wide);
        [x, y]
            .map(|n| f64::from(u32::try_from(n).expect("a small grid")) * CELL)
            .iter()
            .zip(self.low)
            .map(|(a, b)| a + b)
            .collect::<Vec<_>>()
            .try_into()
            .expect("two")
    }

    /// The shortest way from cell to cell over its eight neighbours, keeping so much further off.
    fn way(&self, ends: [[f64; 2]; 2], more: f64) -> Option<Vec<[f64; 2]>> {
        let count = self.wide * self.deep;
        let near = |p: [f64; 2]| {
            (0..count).min_by(|a, b| apart(self.at(*a), p).total_cmp(&apart(self.at(*b), p)))
        };
        let (start, goal) = (near(ends[0])?, near(ends[1])?);
        let free = |cell: usize| {
            let p = self.at(cell);
            // Beside its own studs a lead starts where it must.
            let by_end = apart(p, ends[0]).min(apart(p, ends[1])) < 40.0;
            self.ground.lacks(p) + if by_end { 0.0 } else { more } < 0.0
        };
        let mut best = vec![f64::INFINITY; count];
        let mut from = vec![usize::MAX; count];
        let mut open = BinaryHeap::new();
        best[start] = 0.0;
        // A heap of whole micrometres, least first; the way still to go steers it.
        let key = |mm: f64| std::cmp::Reverse(whole(mm * 1000.0));
        open.push((key(apart(self.at(start), ends[1])), start));
        while let Some((_, cell)) = open.pop() {
            if cell == goal {
                break;
            }
            for next in self.neighbours(cell) {
                let long = best[cell] + apart(self.at(cell), self.at(next));
                if long < best[next] - 1e-9 && (next == goal || free(next)) {
                    best[next] = long;
                    from[next] = cell;
                    open.push((key(long + apart(self.at(next), ends[1])), next));
                }
            }
        }
        if !best[goal].is_finite() {
            return None;
        }
        let mut way = vec![ends[1]];
        let mut cell = goal;
        while cell != start {
            cell = from[cell];
            way.push(self.at(cell));
        }
        way.pop();
        way.push(ends[0]);
        way.reverse();
        Some(self.smoothed(&way, ends, more))
    }

    fn neighbours(&self, cell: usize) -> Vec<usize> {
        let (x, y) = (cell % self.wide, cell / self.wide);
        let xs = x.saturating_sub(1)..=(x + 1).min(self.wide - 1);
        let all = xs
            .flat_map(|a| (y.saturating_sub(1)..=(y + 1).min(self.deep - 1)).map(move |b| (a, b)));
        all.map(|(a, b)| b * self.wide + a).filter(|n| *n != cell).collect()
    }

    fn sees(&self, a: [f64; 2], b: [f64; 2], ends: [[f64; 2]; 2], more: f64) -> bool {
        let steps = (apart(a, b) / 2.0).ceil().max(1.0);
        let mut n = 0.0;
        while n <= steps {
            let p = [a[0] + (b[0] - a[0]) * n / steps, a[1] + (b[1] - a[1]) * n / steps];
            let by_end = apart(p, ends[0]).min(apart(p, ends[1])) < 40.0;
            if 0.05 < self.ground.lacks(p) + if by_end { 0.0 } else { more } {
                return false;
            }
            n += 1.0;
        }
        true
    }

    /// Any-angle smoothing: the furthest corner that is seen is taken next.
    fn smoothed(&self, way: &[[f64; 2]], ends: [[f64; 2]; 2], more: f64) -> Vec<[f64; 2]> {
        let mut kept = vec![way[0]];
        let mut here = 0;
        while here + 1 < way.len() {
            let next =
                (here + 1..way.len()).rev().find(|n| self.sees(way[here], way[*n], ends, more));
            here = next.unwrap_or(here + 1);
            kept.push(way[here]);
        }
        kept
    }
}

/// Length of a path with its corners rounded; `None` where a corner or a lug has no room or the
/// rounded path comes too near something.
fn rounded(path: &[[f64; 2]], radius: f64, reach: [f64; 2], ground: &Ground) -> Option<f64> {
    let turns: Vec<f64> = path
        .windows(3)
        .map(|w| {
            let (u, v) =
                ([w[1][0] - w[0][0], w[1][1] - w[0][1]], [w[2][0] - w[1][0], w[2][1] - w[1][1]]);
            number::atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1])
        })
        .collect();
    let takes: Vec<f64> = turns
        .iter()
        .map(|t| radius * number::sin(t.abs() / 2.0) / number::cos(t.abs() / 2.0))
        .collect();
    let mut long = 0.0;
    let last = path.len() - 2;
    for n in 0..=last {
        let before = if n == 0 { reach[0] } else { takes[n - 1] };
        let after = if n == last { reach[1] } else { takes[n] };
        let leg = apart(path[n], path[n + 1]);
        if 0 < last && leg + 1e-6 < before + after {
            return None;
        }
        long += leg;
        let (from, to) =
            (if n == 0 { 0.0 } else { takes[n - 1] }, if n == last { 0.0 } else { takes[n] });
        let way = [0, 1].map(|k| (path[n + 1][k] - path[n][k]) / leg.max(1e-9));
        let mut s = from;
        while s <= leg - to {
            if 0.12 < ground.lacks([path[n][0] + way[0] * s, path[n][1] + way[1] * s]) {
                return None;
            }
            s += 1.0;
        }
        if n < last {
            long -= 2.0 * takes[n] - radius * turns[n].abs();
            let start = [0, 1].map(|k| path[n + 1][k] - way[k] * takes[n]);
            let mut a = 0.0;
            while a < turns[n].abs() {
                let (along, aside) =
                    (radius * number::sin(a), radius * (1.0 - number::cos(a)) * turns[n].signum());
                let p = [
                    start[0] + along * way[0] - aside * way[1],
                    start[1] + along * way[1] + aside * way[0],
                ];
                if 0.12 < ground.lacks(p) {
                    return None;
                }
                a += 0.02;
            }
        }
    }
    Some(long)
}

/// The best the grid finds: its smoothed paths at several further clearances, corners rounded.
fn grid_best(ground: &Ground, ends: [[f64; 2]; 2], radius: f64, reach: [f64; 2]) -> Option<f64> {
    let span = |n: usize, f: fn(f64, f64) -> f64| f(ends[0][n], ends[1][n]);
    let walls = ground.walls.unwrap_or([
        span(0, f64::min) - 300.0,
        span(1, f64::min) - 300.0,
        span(0, f64::max) + 300.0,
        span(1, f64::max) + 300.0,
    ]);
    let cells = |n: usize| whole(((walls[n + 2] - walls[n]) / CELL).floor()) + 1;
    let grid = Grid { ground, low: [walls[0], walls[1]], wide: cells(0), deep: cells(1) };
    [0.0, 4.0, 9.0, 16.0, 28.0]
        .into_iter()
        .filter_map(|more| rounded(&grid.way(ends, more)?, radius, reach, ground))
        .reduce(f64::min)
}

#[test]
fn two_hundred_boxes() {
    let tables = Tables::load().expect("the data is readable");
    let mut dice = Dice(20_260_401);
    let (mut leads, mut bent, mut no_way, mut missed) = (0, 0, 0, 0);
    let mut worst = (1.0_f64, String::new());
    for n in 0..200 {
        let (design, size) = design(&mut dice, &tables);
        let layout = lay_out(&design, &Wiring::of(&design), &tables, &|_| Some(size));
        for lead in &layout.leads {
            let route = lead.route.as_ref().expect("every end has its place");
            let whose = format!("box {n}, lead {}", lead.id);
            let ground = Ground::of(&design, &layout, route, &tables);
            let ends = [xy(route.points[0]), xy(*route.points.last().expect("two ends"))];
            let radius = route.bend_radius.map_or(0.0, Length::as_mm);
            let reach = [lead.length.lug_from, lead.length.lug_to].map(|l| l.mouth().as_mm());
            leads += 1;
            let clear = route.too_near.is_none() && route.over_cap.is_none();
            if !clear || route.bend_too_tight.is_some() {
                no_way += 1;
                // The grid knows no climbs: a lead that lacks room for one is not its business, nor
                // one whose two lugs are longer than the way between their studs.
                let climbs = route.climbs.iter().any(Option::is_some);
                let lugs = route.points.len() == 2;
                if !climbs && !lugs && grid_best(&ground, ends, radius, reach).is_some() {
                    missed += 1;
                }
                continue;
            }
            check_line(&design, &layout, lead, &ground, &whose);
            let line = route.line(mm(0.5));
            let flat: f64 = line.windows(2).map(|w| apart(xy(w[0].at), xy(w[1].at))).sum();
            // Nothing is shorter than the straight line: a lead within 2 % of it needs no search.
            if flat <= 1.02 * apart(ends[0], ends[1]) {
                continue;
            }
            bent += 1;
            if let Some(best) = grid_best(&ground, ends, radius, reach)
                && worst.0 < flat / best
            {
                worst = (flat / best, whose);
            }
        }
    }
    assert!(500 < leads && 30 < bent, "{leads} leads, {bent} of them searched");
    assert!(worst.0 <= 1.02, "{} is {} of the best the grid finds", worst.1, worst.0);
    assert!(
        missed * 100 <= leads,
        "{missed} of {leads} leads have a way that was not found; {no_way} have none"
    );
}
