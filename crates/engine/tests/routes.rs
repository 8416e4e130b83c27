//! The routes of leads in space, judged by geometry written here and by a search written here.
//!
//! Two hundred boxes from a fixed seed: two to twelve blocks, some of them turned, some taller than the
//! others, straps over them, bodies that stand, lie low or hang in the way, feeds to studs in and beside
//! the box. A checker walks along the line of each lead. A search over a grid in space looks for a
//! shorter way: what it finds is smoothed, its corners rounded to the bend radius, and counts only if
//! the same checker passes it, so that it is an upper bound of the shortest and never less than it.

#![expect(clippy::print_stdout, reason = "the sums are worth reading")]

mod banks;
mod ways;

use banks::{SIX_VOLT, Shape, kit};
use engine::circuit::wiring::{BANK, WiredLead, Wiring};
use engine::layout::{Layout, lay_out, lay_out_at_a_glance, lay_out_following, lay_out_to_follow};
use engine::model::bank::{BlockId, BlockState};
use engine::model::block::{Chemistry, PostAt};
use engine::model::design::Design;
use engine::model::device::{Device, DeviceKind};
use engine::model::enclosure::Enclosure;
use engine::model::hold::{Hold, HoldKind};
use engine::model::lead::{Lead, LugForm, Pole, Terminal};
use engine::model::obstacle::Obstacle;
use engine::model::part::{Part, PlanPoint, Turn};
use engine::number;
use engine::tables::Tables;
use engine::units::Length;
use engine::units::conductor::{ConductorSize, Gauge};
use ways::checker::wrong;
use ways::grid::{Reach, grid_best};
use ways::ground::Ground;
use ways::{apart, mm, point, studs, xy};

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
    if dice.below(2) == 0 {
        enclosure.height = Some(needed.height + mm(dice.between(0.0, 120.0)));
    }
    design.enclosure = Some(enclosure);
    if dice.below(3) == 0 {
        second_model(dice, &mut design);
    }
    if dice.below(2) == 0 {
        design.holds.push(strap(dice));
    }
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

/// Some blocks are of a model that is lower or taller than the rest.
fn second_model(dice: &mut Dice, design: &mut Design) {
    let mut other = design.blocks[0].clone();
    other.name = "other".to_owned();
    let taller = dice.between(-60.0, 90.0);
    other.height = other.height.map(|h| h + mm(taller));
    let ids = design.banks[0].block_ids();
    for id in ids {
        if dice.below(4) != 0 {
            continue;
        }
        let blocks = &mut design.banks[0].blocks;
        let known = blocks.iter().position(|b| b.id == id).unwrap_or_else(|| {
            blocks.push(BlockState::unknown(id));
            blocks.len() - 1
        });
        blocks[known].model = Some(other.name.clone());
    }
    design.blocks.push(other);
}

fn strap(dice: &mut Dice) -> Hold {
    let mut hold = Hold::named("strap", HoldKind::Strap);
    hold.number = Some(1 + dice.below(3));
    hold
}

/// A body over, on or between the cases, away from every stud: it reaches past the lid, lies a little
/// higher than the posts, or hangs from above.
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
    let face = placed.plan.tallest().as_mm();
    let (bottom, height) = match dice.below(3) {
        0 => (0.0, None),
        1 => (0.0, Some(face + dice.between(5.0, 60.0))),
        _ => (face - dice.between(-10.0, 20.0), Some(400.0)),
    };
    if studs(placed).iter().all(|s| far(*s)) {
        design.obstacles.push(Obstacle {
            part: Part { name: format!("body {n}"), ..Part::default() },
            kind: None,
            at: point(x, y),
            size: point(l, w),
            bottom: mm(bottom),
            height: height.map(mm),
        });
    }
}

/// What only leads laid before it leave no room for is told as it would lie, where every clear way is so many
/// times longer.
const DETOUR: f64 = 1.25;

/// What came of the leads of some boxes.
#[derive(Default)]
struct Sums {
    leads: usize,
    wrong: Vec<String>,
    searched: usize,
    longer: Vec<String>,
    worst: f64,
    no_way: usize,
    crowded: usize,
    bent_lugs: usize,
    missed: Vec<String>,
    heights: usize,
}

/// A boot keeps the cable straight beyond the mouth of its lug.
fn straight_parts(wired: &WiredLead, mouths: [f64; 2], tables: &Tables) -> [f64; 2] {
    let sleeve = tables.limits.value("boot-past-barrel").value;
    let ends = [(&wired.from, &wired.stated.from_end), (&wired.to, &wired.stated.to_end)];
    let booted = ends.map(|(at, end)| f64::from(u8::from(wired.booted(at, end))));
    [mouths[0] + booted[0] * sleeve, mouths[1] + booted[1] * sleeve]
}

fn judge(n: usize, design: &Design, size: ConductorSize, tables: &Tables, search: bool) -> Sums {
    let mut sums = Sums::default();
    let wiring = Wiring::of(design);
    let layout = lay_out(design, &wiring, tables, &|_| Some(size));
    for (m, lead) in layout.leads.iter().enumerate() {
        let route = lead.route.as_ref().expect("every end has its place");
        let whose = format!("box {n}, lead {}", lead.id);
        let ground = Ground::of(design, &layout, &wiring, m, tables);
        let radius = route.bend_radius.map_or(0.0, Length::as_mm);
        let mouths = [lead.length.lug_from, lead.length.lug_to].map(|l| l.mouth().as_mm());
        let reach = Reach { mouths, bent: straight_parts(&wiring.leads[m], mouths, tables) };
        sums.leads += 1;
        let straight = route.lugs == [LugForm::Straight; 2];
        let clear = route.too_near.is_none() && route.over_cap.is_none() && !route.crowded;
        let clear = clear && route.bend_too_tight.is_none();
        sums.crowded += usize::from(route.crowded);
        sums.bent_lugs += usize::from(clear && !straight);
        sums.heights += usize::from(2 < route.heights.len());
        if clear && let Some(why) = wrong(&layout, lead, &ground) {
            sums.wrong.push(format!("{whose} {why}"));
        }
        if !clear || !straight {
            sums.no_way += 1;
            if search
                && let Some(best) = grid_best(&ground, radius, reach)
                && !(route.crowded && DETOUR * route.length.length().as_mm() < best)
            {
                let why = format!(
                    "too near {:?}, cap {:?}, crowded {} {:?}, tight {:?}, lugs {:?}",
                    route.too_near,
                    route.over_cap,
                    route.crowded,
                    route.crowded_by,
                    route.bend_too_tight,
                    route.lugs
                );
                sums.missed.push(format!("{whose} has a way of {best:.0} mm: {why}"));
            }
            continue;
        }
        // Nothing is shorter than the straight line: a lead within 2 % of it needs no search.
        let said = route.length.length().as_mm();
        if !search || said <= 1.02 * apart(ground.ends[0], ground.ends[1]) {
            continue;
        }
        sums.searched += 1;
        if let Some(best) = grid_best(&ground, radius, reach) {
            sums.worst = sums.worst.max(said / best);
            if 1.02 < said / best {
                let points: Vec<[f64; 2]> = route.points.iter().map(|p| xy(*p)).collect();
                sums.longer.push(format!(
                    "{whose}: {said:.1} mm, the grid {best:.1} mm; {points:.0?} {:.0?}",
                    route.heights.iter().map(|h| h.height.as_mm()).collect::<Vec<_>>()
                ));
            }
        }
    }
    sums
}

#[test]
fn two_hundred_boxes() {
    let tables = Tables::load().expect("the data is readable");
    let mut dice = Dice(20_260_401);
    let all: Vec<(Design, ConductorSize)> = (0..200).map(|_| design(&mut dice, &tables)).collect();
    let every = if std::env::var_os("SLOW").is_some() { 1 } else { 20 };
    let judged: Vec<Sums> = std::thread::scope(|scope| {
        let part = |odd: usize| {
            let (all, tables) = (&all, &tables);
            scope.spawn(move || {
                let own = all.iter().enumerate().filter(move |(n, _)| n % 2 == odd);
                own.map(|(n, (design, size))| judge(n, design, *size, tables, n / 2 % every == 0))
                    .collect::<Vec<_>>()
            })
        };
        let parts = [part(0), part(1)];
        parts.into_iter().flat_map(|p| p.join().expect("it ends")).collect()
    });
    let sum = |f: fn(&Sums) -> usize| judged.iter().map(f).sum::<usize>();
    let texts =
        |f: fn(&Sums) -> &Vec<String>| judged.iter().flat_map(f).cloned().collect::<Vec<_>>();
    let worst = judged.iter().map(|s| s.worst).fold(0.0, f64::max);
    let (wrong, longer, missed) = (texts(|s| &s.wrong), texts(|s| &s.longer), texts(|s| &s.missed));
    println!(
        "{} leads, {} rise or fall, {} searched, worst {worst:.4}, {} longer, {} wrong, {} without a way \
         with straight lugs ({} crowded, {} with bent lugs), {} of them have one",
        sum(|s| s.leads),
        sum(|s| s.heights),
        sum(|s| s.searched),
        longer.len(),
        wrong.len(),
        sum(|s| s.no_way),
        sum(|s| s.crowded),
        sum(|s| s.bent_lugs),
        missed.len()
    );
    for line in wrong.iter().chain(&longer).chain(&missed) {
        println!("{line}");
    }
    assert!(wrong.is_empty(), "no cable can be that line");
    assert!(longer.is_empty(), "a shorter way was found");
    assert!(missed.is_empty(), "a way was found where none is told");
}

/// The same with every block lying by hand where it lies.
fn pinned(design: &Design, layout: &Layout) -> Design {
    let mut pinned = design.clone();
    pinned.banks[0].blocks.clear();
    for block in &layout.plan.blocks {
        let mut state = BlockState::unknown(block.id);
        (state.at, state.turn) = (Some(block.corner), Some(block.turn));
        pinned.banks[0].blocks.push(state);
    }
    pinned
}

/// Blocks pushed about one after the other, in and out of one another: whether the leads are followed or
/// laid anew at a glance is the same to the last bit.
#[test]
fn leads_that_follow_lie_where_they_would_be_laid_anew() {
    let tables = Tables::load().expect("the data is readable");
    let mut dice = Dice(20_261_201);
    let (other, wire) = design(&mut dice, &tables);
    let wiring = Wiring::of(&other);
    let (_, elsewhere) = lay_out_to_follow(&other, &wiring, &tables, &|_| Some(wire));
    let boxes = if std::env::var_os("SLOW").is_some() { 200 } else { 25 };
    let (mut leads, mut searched) = (0, 0);
    for n in 0..boxes {
        let (design, size) = design(&mut dice, &tables);
        let size_of = |_: &str| Some(size);
        let wiring = Wiring::of(&design);
        // Nothing is known of this box from another one.
        let (first, mut lain) = lay_out_following(&design, &wiring, &tables, &size_of, &elsewhere);
        assert_eq!(first, lay_out_at_a_glance(&design, &wiring, &tables, &size_of), "box {n}");
        let mut moved = pinned(&design, &first);
        for step in 0..8 {
            let blocks = &mut moved.banks[0].blocks;
            let many = u32::try_from(blocks.len()).expect("a dozen");
            let block = &mut blocks[dice.below(many) as usize];
            let at = block.at.expect("it is pinned");
            let by = |dice: &mut Dice| mm(dice.between(-70.0, 70.0));
            block.at = Some(PlanPoint { x: at.x + by(&mut dice), y: at.y + by(&mut dice) });
            let (layout, next) = lay_out_following(&moved, &wiring, &tables, &size_of, &lain);
            let anew = lay_out_at_a_glance(&moved, &wiring, &tables, &size_of);
            assert_eq!(layout, anew, "box {n}, step {step}");
            (lain, leads) = (next, leads + layout.leads.len());
            searched += lain.anew().count();
        }
    }
    println!("{leads} leads followed, {searched} of them searched for anew");
    // In small boxes half of the leads end on what is moved, or pass it.
    assert!(3 * searched < 2 * leads, "the others lie as they lay: {searched} of {leads}");
}
