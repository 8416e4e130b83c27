//! The shortest legal path of a decided lead: what it must keep clear of, handed to `taut`.

use super::path;
use super::route::{Field, Job, Way};
use super::taut::{self, Bar, Corner, End, Keep, Spot, Yard};
use crate::model::bank::BlockId;
use crate::model::lead::Terminal;
use crate::model::part::PlanPoint;
use crate::number;
use crate::units::{Angle, Length};

impl Field<'_> {
    /// The shortest path that is clear of posts, caps and tall bodies; where the caps leave no way,
    /// the shortest over them; `None` where the cable finds no way at all.
    pub(super) fn pulled_taut(&self, job: &Job) -> Option<Way> {
        let posts = self.foreign_posts(job);
        let mut keeps = posts.clone();
        keeps.extend(self.caps(job).into_iter().map(|(_, keep)| keep));
        let mut yard = self.yard(job, keeps);
        let tried = self.around_or_over(job, &yard).map(|way| Way { off_caps: true, ..way });
        tried.or_else(|| {
            yard.keeps = posts;
            self.around_or_over(job, &yard)
        })
    }

    /// Round what is taller than the lead's ends, or over it where that is shorter with its climbs.
    fn around_or_over(&self, job: &Job, yard: &Yard) -> Option<Way> {
        let ends = ends(job);
        let around = taut::shortest(yard, ends).map(|(corners, _)| way(&corners));
        if yard.bars.is_empty() {
            return around;
        }
        let flat = Yard { bars: self.walls_of_air(job, yard), ..yard.clone() };
        let over = taut::shortest(&flat, ends).map(|(corners, _)| way(&corners));
        let long = |way: &Way| self.long_with_climbs(job, way);
        match (around, over) {
            (Some(a), Some(b)) => Some(if long(&b) < long(&a) { b } else { a }),
            (a, b) => a.or(b),
        }
    }

    /// Tall bodies without a top: nothing goes over them.
    fn walls_of_air(&self, job: &Job, yard: &Yard) -> Vec<Bar> {
        let off = job.diameter.as_mm() / 2.0;
        let is_open = |bar: &Bar| {
            self.bodies.iter().any(|b| b.top.is_none() && bar_of(b.corner, b.far, off) == *bar)
        };
        yard.bars.iter().copied().filter(is_open).collect()
    }

    fn long_with_climbs(&self, job: &Job, way: &Way) -> f64 {
        let run = self.base(job, &way.points);
        let rises = [job.from.height, job.to.height].map(|h| (run - h).as_mm());
        let needs = path::Needs {
            radius_mm: job.radius.map_or(0.0, Length::as_mm),
            reach_from_mm: job.reach[0].as_mm(),
            reach_to_mm: job.reach[1].as_mm(),
            rise_from_mm: rises[0],
            rise_to_mm: rises[1],
        };
        let measured = path::measure(&way.points, &way.radii, &needs);
        // A way without room for its climbs is no way while there is another.
        if path::SAME_MM < measured.short_mm { f64::INFINITY } else { measured.length_mm }
    }

    /// Posts of others. No path can stay further from a post than its own end is.
    fn foreign_posts(&self, job: &Job) -> Vec<Keep> {
        let keep_mm = self.off_post.as_mm() + job.diameter.as_mm() / 2.0;
        let mut keeps = Vec::with_capacity(2 * self.blocks.len());
        for block in self.blocks {
            for (terminal, post) in
                [(Terminal::plus(block.id), block.plus), (Terminal::minus(block.id), block.minus)]
            {
                if !job.terminals.contains(&terminal) {
                    keeps.push(keep(job, post.at, keep_mm));
                }
            }
        }
        keeps
    }

    fn caps(&self, job: &Job) -> Vec<(BlockId, Keep)> {
        let keep_mm = self.off_cap.as_mm() + job.diameter.as_mm() / 2.0;
        let of = |block: &super::plan::PlacedBlock| {
            let id = block.id;
            block.caps.iter().map(|cap| (id, keep(job, *cap, keep_mm))).collect::<Vec<_>>()
        };
        self.blocks.iter().flat_map(of).collect()
    }

    /// The cap a path lies on most, and by how much it should lie elsewhere.
    pub(super) fn nearest_cap(&self, job: &Job, way: &Way) -> Option<(BlockId, Length)> {
        let mut worst: Option<(BlockId, f64)> = None;
        for (id, keep) in self.caps(job) {
            let at = PlanPoint { x: Length::mm(keep.centre.x), y: Length::mm(keep.centre.y) };
            let legs = way.points.windows(2).map(|leg| path::off_leg_mm(at, leg[0], leg[1]));
            let by = keep.radius - legs.fold(f64::INFINITY, f64::min);
            if worst.is_none_or(|(_, most)| most < by) {
                worst = Some((id, by));
            }
        }
        // Corners of a path pulled taut lie a little outside the arc that the cable takes.
        worst.filter(|(_, by)| taut::TOUCH_MM < *by).map(|(id, by)| (id, Length::mm(by)))
    }

    fn yard(&self, job: &Job, keeps: Vec<Keep>) -> Yard {
        let off = job.diameter.as_mm() / 2.0;
        let base = job.from.height.max(job.to.height);
        let tall = self.blocks.iter().filter(|b| base + Length::mm(path::SAME_MM) < b.height);
        let mut bars: Vec<Bar> = tall.map(|b| bar_of(b.corner, b.far_corner(), off)).collect();
        let in_way = self.bodies.iter().filter(|body| {
            let over = body.top.is_none_or(|top| base + Length::mm(path::SAME_MM) < top);
            over && body.bottom < base + job.diameter
        });
        bars.extend(in_way.map(|body| bar_of(body.corner, body.far, off)));
        let [low, high] = self.bounds(job, off);
        Yard { keeps, bars, low, high, radius: job.radius.map_or(0.0, Length::as_mm) }
    }

    /// A lead with an end in the box stays inside the walls, except as far as its other end asks.
    fn bounds(&self, job: &Job, off: f64) -> [Spot; 2] {
        let (a, b) = (spot(job.from.at), spot(job.to.at));
        let inner = self.inner.map(Length::as_mm);
        let inside = |p: Spot| 0.0 <= p.x && p.x <= inner[0] && 0.0 <= p.y && p.y <= inner[1];
        if !inside(a) && !inside(b) {
            return [Spot::at(f64::MIN, f64::MIN), Spot::at(f64::MAX, f64::MAX)];
        }
        [
            Spot::at(a.x.min(b.x).min(off), a.y.min(b.y).min(off)),
            Spot::at(a.x.max(b.x).max(inner[0] - off), a.y.max(b.y).max(inner[1] - off)),
        ]
    }
}

const fn spot(p: PlanPoint) -> Spot {
    Spot::at(p.x.as_mm(), p.y.as_mm())
}

fn keep(job: &Job, at: PlanPoint, keep_mm: f64) -> Keep {
    let ends = path::apart_mm(at, job.from.at).min(path::apart_mm(at, job.to.at));
    Keep { centre: spot(at), radius: keep_mm.min(ends) }
}

const fn bar_of(corner: PlanPoint, far: PlanPoint, off: f64) -> Bar {
    Bar { low: spot(corner), high: spot(far), off }
}

fn ends(job: &Job) -> [End; 2] {
    let end = |n: usize, at: PlanPoint| End {
        at: spot(at),
        reach: job.reach[n].as_mm(),
        exit: job.exits[n].map(unit),
    };
    [end(0, job.from.at), end(1, job.to.at)]
}

fn unit(way: Angle) -> Spot {
    let turn = way.as_degrees().to_radians();
    Spot::at(number::cos(turn), number::sin(turn))
}

fn way(corners: &[Corner]) -> Way {
    let point = |c: &Corner| PlanPoint { x: Length::mm(c.at.x), y: Length::mm(c.at.y) };
    let between = corners.get(1..corners.len().saturating_sub(1)).unwrap_or_default();
    Way {
        points: corners.iter().map(point).collect(),
        radii: between.iter().map(|c| c.radius).collect(),
        taut: true,
        off_caps: false,
    }
}
