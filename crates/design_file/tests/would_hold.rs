//! What the tool says would hold does hold: each suggestion is entered into demo rigs and random boxes
//! and rules R27 and R28 are asked again.

use design_file::edit::set;
use design_file::read::read;
use engine::checks::context::Context;
use engine::checks::registry::{RULES, ask};
use engine::evidence;
use engine::facts::Ambient;
use engine::fit::hold_down::{HoldDown, HoldStatus};
use engine::model::design::Design;
use engine::model::hold::{Held, HoldKind};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

const ALDER: &str = include_str!("../../../examples/alder-fen.toml");
const WITHY: &str = include_str!("../../../examples/withy-reach.toml");

/// A repeatable stream of numbers from 0 to 1: the multiplier and increment of a well-known
/// congruential generator.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let high = u32::try_from(self.0 >> 32).expect("the upper half");
        f64::from(high) / f64::from(u32::MAX)
    }

    fn pick<'a>(&mut self, all: &[&'a str]) -> &'a str {
        let count = u32::try_from(all.len()).expect("few");
        let mut at = 0;
        let part = self.next() * f64::from(count);
        while at + 1 < all.len() && f64::from(u32::try_from(at + 1).expect("few")) <= part {
            at += 1;
        }
        all[at]
    }
}

fn tables() -> Tables {
    Tables::load().unwrap_or_else(|e| panic!("{e}"))
}

/// What R27 and R28 say of fasteners; how far a block can shift is another matter.
fn refused(design: &Design, stage: usize, tables: &Tables) -> Vec<String> {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = &Study::of(design, stage, tables, ambient).expect("a study");
    let cx = Context { study, tables, whole: design, evidence: &evidence::NONE };
    let rules = RULES.iter().filter(|r| ["R27", "R28"].contains(&r.code.to_string().as_str()));
    let findings = rules.flat_map(|rule| ask(&cx, rule)).filter(|f| f.path != "box.play");
    findings.map(|f| f.says).collect()
}

/// Enters what would hold in place of what is there and asks again. Whether anything was suggested.
fn entered(design: Design, stage: &str, tables: &Tables, what: &str) -> usize {
    let (design, hold) = with_what_would_hold(design, stage, tables);
    if !hold.would.is_empty() {
        let index = design.stage_index(stage).expect("a stage");
        let mut still = refused(&design, index, tables);
        // Where nothing that the tables know would hold the other, that is said and stays.
        let named = |held: Held| hold.would.iter().any(|w| w.held == held);
        for held in [Held::Blocks, Held::Box].into_iter().filter(|h| !named(*h)) {
            still.retain(|says| !says.contains(&format!("What holds the {}", held.word())));
        }
        assert!(still.is_empty(), "{what}: {:?} then {still:?}", hold.would);
    }
    hold.would.len()
}

/// The design with what would hold in place of what is there, and what was told before.
fn with_what_would_hold(mut design: Design, stage: &str, tables: &Tables) -> (Design, HoldDown) {
    let index = design.stage_index(stage).expect("a stage");
    let now = design.at_stage(index);
    let hold = HoldDown::of(&now, tables).expect("it moves");
    let boxed = now.enclosure.is_some();
    for would in &hold.would {
        design.holds.retain(
            |h| {
                if boxed { h.held != would.held } else { h.kind == HoldKind::Strap }
            },
        );
    }
    design.holds.extend(hold.would.iter().map(|w| w.set.clone()));
    (design, hold)
}

#[test]
fn a_demo_with_nothing_that_holds_is_told_what_does() {
    let tables = tables();
    for (text, stage) in [(ALDER, "bank"), (WITHY, "bank")] {
        let mut design = read(text).design.expect("a design");
        design.holds.clear();
        assert_eq!(entered(design, stage, &tables, stage), 2, "blocks and box");
    }
}

#[test]
fn what_would_hold_in_random_boxes_passes_when_entered() {
    let tables = tables();
    let mut chance = Chance(20_281_128);
    let mut suggested = 0;
    for n in 0..60 {
        let mm = |low: f64, high: f64, chance: &mut Chance| {
            format!("{:.0} mm", low + (high - low) * chance.next())
        };
        let wall = mm(9.0, 21.0, &mut chance);
        let material = chance.pick(&["plywood", "steel"]).to_owned();
        let wall = if material == "steel" { mm(1.5, 4.0, &mut chance) } else { wall };
        let height = mm(330.0, 900.0, &mut chance);
        let kg = format!("{:.0} kg", 8.0 + 60.0 * chance.next());
        let block = format!("{:.0} kg", 20.0 + 50.0 * chance.next());
        let metal = format!("{:.1} mm", 1.2 + 4.0 * chance.next());
        let into = chance.pick(&["closed tube", "plate", "open channel", "wood"]);
        let kind = chance.pick(&["screw", "rivet", "bolt"]);
        let changes = [
            ("box.material", material.as_str()),
            ("box.wall", &wall),
            ("box.height", &height),
            ("box.mass", &kg),
            ("block.gc6.mass", &block),
            ("hold.bolts.kind", kind),
            ("hold.bolts.size", if kind == "bolt" { "5/16 in" } else { "#12" }),
            ("hold.bolts.into", into),
            ("hold.bolts.wall", if into == "wood" { "22 mm" } else { &metal }),
            ("hold.bolts.plate", "30 mm"),
            ("hold.straps.rating", "40 kg"),
        ];
        let mut text = ALDER.to_owned();
        for (path, value) in changes {
            text = set(&text, path, value, None).unwrap_or_else(|f| panic!("{}", f.one_line()));
        }
        let design = read(&text).design.expect("a design");
        let what = format!("box {n}: {changes:?}");
        // The rules themselves are asked for some of them: they work the whole rig through.
        if n % 10 == 0 {
            suggested += entered(design, "bank", &tables, &what);
            continue;
        }
        let (after, hold) = with_what_would_hold(design, "bank", &tables);
        let now = after.at_stage(after.stage_index("bank").expect("a stage"));
        let again = HoldDown::of(&now, &tables).expect("a trailer");
        for row in again.rows.iter().filter(|r| r.binding || r.road) {
            let named = hold.would.iter().any(|w| w.held == row.held);
            let kept = matches!(row.status, HoldStatus::Holds | HoldStatus::Contained);
            assert!(kept || !named, "{what}: {row:?}");
        }
        suggested += hold.would.len();
    }
    assert!(60 < suggested, "most of them are told something: {suggested}");
}

#[test]
fn the_set_that_is_named_is_not_one_that_tips() {
    // A tall narrow box: four bolts that hold it down let it tip, so that more or wider ones are named.
    let tables = tables();
    let tall = [("box.height", "900 mm"), ("hold.bolts.plate", "20 mm")];
    let mut text = ALDER.to_owned();
    for (path, value) in tall {
        text = set(&text, path, value, None).unwrap_or_else(|f| panic!("{}", f.one_line()));
    }
    let design = read(&text).design.expect("a design");
    let now = design.at_stage(design.stage_index("bank").expect("a stage"));
    let hold = HoldDown::of(&now, &tables).expect("a trailer");
    let tips = |r: &engine::fit::hold_down::HoldRow| {
        r.governed_by.as_deref().is_some_and(|g| g.starts_with("tipping"))
    };
    assert!(hold.rows.iter().any(tips), "tipping decides in this box");
    assert!(hold.would.iter().any(|w| w.held == Held::Box), "{:?}", hold.would);
    assert!(0 < entered(design, "bank", &tables, "a tall box"), "something is named");
}
