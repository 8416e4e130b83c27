//! Templates: every hole in its place, lettering whole on every sheet, the same bytes each time.

mod kits;
mod rigs;

use drawing::check::faults;
use drawing::dxf::dxf;
use drawing::geometry::at;
use drawing::scene::{Anchor, Circle, Fill, Item, Label, Rect, Scene, Stroke};
use drawing::style::Tone;
use drawing::templates::{Fasteners, Kit, Template, places, tile};
use engine::layout::straps;
use rigs::Worked;

/// Letter and A4 [mm].
const PAPERS: [(f64, f64); 2] = [(215.9, 279.4), (210.0, 297.0)];

#[track_caller]
fn check_whole(what: &str, kit: &Kit<'_>) -> Vec<Template> {
    let all = kit.templates();
    for template in &all {
        let name = format!("{what}, {}", template.name);
        assert_eq!(faults(&template.scene), Vec::<String>::new(), "{name}");
        for paper in PAPERS {
            assert_eq!(tile::faults(template, paper), Vec::<String>::new(), "{name} on {paper:?}");
        }
    }
    all
}

#[test]
fn lettering_is_whole_on_every_sheet_of_every_demo() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            let subject = worked.subject();
            let what = format!("{name}, stage {}", worked.study.stage);
            check_whole(&format!("{what}, bare"), &Kit::bare(subject));
            let all = check_whole(&what, &kits::fitted(subject));
            let blocks = !worked.study.layout.plan.blocks.is_empty();
            let floor = all.iter().any(|t| t.name == "floor");
            assert_eq!(floor, blocks, "{what}: a bank has the template of its floor");
        }
    }
}

#[test]
fn lettering_is_whole_on_one_block_and_on_twenty_four() {
    for (series, parallel) in [(1, 1), (4, 6)] {
        let worked = rigs::bank(series, parallel, "\"same end\"");
        check_whole(&format!("{series} by {parallel}"), &kits::fitted(worked.subject()));
    }
}

/// The holes on the drill layer.
fn holes(scene: &Scene) -> Vec<Circle> {
    let drill = scene.items.iter().find_map(|i| match i {
        Item::Group(g) if g.class.as_deref() == Some("drill") => Some(&g.items),
        _ => None,
    });
    let circles = drill.into_iter().flatten().filter_map(|i| match i {
        Item::Circle(c) => Some(c.clone()),
        _ => None,
    });
    circles.collect()
}

fn alder() -> Worked {
    rigs::demo(rigs::DEMOS[0].1).into_iter().nth(1).expect("a second stage")
}

#[test]
fn bolts_stand_where_the_owner_said() {
    let worked = alder();
    let kit = kits::fitted(worked.subject());
    let floor = kit.templates().into_iter().find(|t| t.name == "floor").expect("a floor");
    let origin = floor.scene.view.expect("true size").origin;
    // Hand worked: a floor of 860 by 430, bolts 700 apart along and 300 across: the first at
    // (860 - 700) / 2 = 80 and (430 - 300) / 2 = 65, the last at 780 and 365.
    let found: Vec<(f64, f64)> = holes(&floor.scene)
        .iter()
        .map(|c| (c.centre.x - origin.x, origin.y - c.centre.y))
        .collect();
    let want =
        [(80.0, 65.0), (430.0, 65.0), (780.0, 65.0), (80.0, 365.0), (430.0, 365.0), (780.0, 365.0)];
    assert_eq!(found.len(), want.len(), "six bolts: {found:?}");
    for (got, want) in found.iter().zip(want) {
        let apart = (got.0 - want.0).abs().max((got.1 - want.1).abs());
        assert!(apart < 1e-9, "{got:?} is not {want:?}");
    }
    let file = dxf(&floor.scene);
    assert_eq!(file.matches("CIRCLE\n8\nDRILL").count(), 6, "the shop's file has the same six");
}

#[test]
fn fasteners_without_places_follow_the_rule_and_stay_in_pencil() {
    let worked = alder();
    let plan = &worked.study.layout.plan;
    let set = |number| Fasteners { name: "bolt".to_owned(), number, drill: None, apart: None };
    let (spots, decided) = places::fasteners(plan, &set(Some(5)));
    assert!(!decided, "the owner has still to decide");
    // Hand worked: three near, two far, of 860 by 430: thirds and halves, half a space at each end;
    // a sixth of 430 is 71.67.
    let want =
        [(143.333, 71.667), (430.0, 71.667), (716.667, 71.667), (215.0, 358.333), (645.0, 358.333)];
    for (got, want) in spots.iter().zip(want) {
        let apart = (got.0 - want.0).abs().max((got.1 - want.1).abs());
        assert!(apart < 0.001, "{got:?} is not {want:?}");
    }
    assert_eq!(places::fasteners(plan, &set(None)).0.len(), 4, "a number nobody gave is four");
}

#[test]
fn straps_pass_no_post_and_no_cap() {
    for (name, text) in rigs::DEMOS {
        let worked = rigs::demo(text).into_iter().nth(1).expect("a second stage");
        let kit = Kit::bare(worked.subject());
        let plan = &kit.subject.layout.plan;
        for strap in straps::places(&plan.blocks, plan.inner.width, &kit.straps) {
            let (x, low, high) = (strap.near.0, strap.near.1, strap.far.1);
            assert!(low < high, "{name}: {} runs from near to far", strap.name);
            for block in &worked.study.layout.plan.blocks {
                let (left, right) = (block.corner.x.as_mm(), block.far_corner().x.as_mm());
                if left < x && x < right {
                    let points = [block.plus.at, block.minus.at]
                        .into_iter()
                        .chain(block.caps.iter().copied());
                    for p in points {
                        let off = (p.x.as_mm() - x).abs();
                        assert!(
                            15.0 < off,
                            "{name}: {} lies {off} mm from a post or cap",
                            strap.name
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn sheets_repeat_to_the_byte() {
    let worked = alder();
    let kit = kits::fitted(worked.subject());
    for template in kit.templates() {
        let once = tile::tiled(&template, PAPERS[0], "Alder Fen");
        assert_eq!(once, tile::tiled(&template, PAPERS[0], "Alder Fen"), "{}", template.name);
        assert!(1 <= tile::count(&template, PAPERS[0]), "{} has a sheet", template.name);
        let small = once.len() < 100_000;
        assert!(small, "{} takes {} bytes", template.name, once.len());
    }
    assert!(worked.share.is_some(), "the bank it is for can be solved");
}

/// A part as wide and high as this with a frame, a hole and a long word across a joint.
fn part((width, height): (f64, f64), label: Label) -> Template {
    let stroke = Some(Stroke::solid(Tone::Ink, 0.4));
    let corner = at(10.0, 10.0);
    let (w, h) = (width - 20.0, height - 20.0);
    let frame = Rect { corner, width: w, height: h, round: 0.0, stroke, fill: Fill::Open };
    let items = vec![frame.into(), label.into()];
    let scene = Scene {
        id: "part".to_owned(),
        title: "part".to_owned(),
        description: String::new(),
        width,
        height,
        view: None,
        items,
    };
    Template { name: "part".to_owned(), title: "Part".to_owned(), notes: Vec::new(), scene }
}

#[test]
fn a_word_across_a_joint_stands_whole_on_both_sheets() {
    // The first window of letter paper, upright, is 199.9 mm wide: a word around 200 mm lies on the joint
    // and is longer than the 15 mm that two sheets share.
    let label = Label::new(at(199.0, 60.0), "a long word over the joint", 4.0);
    let template = part((300.0, 200.0), label.anchored(Anchor::Middle));
    for paper in PAPERS {
        assert_eq!(tile::faults(&template, paper), Vec::<String>::new(), "{paper:?}");
    }
}

#[test]
fn a_sheet_without_a_hole_or_line_is_not_printed() {
    // Hand worked: a frame of 980 by 780 on A4 has sheets in its middle that it does not touch; a hole in
    // the middle of one brings it back.
    let label = || Label::new(at(40.0, 60.0), "edge", 4.0);
    let empty = part((1000.0, 800.0), label());
    let blank = tile::blank(&empty, PAPERS[1]);
    assert!(!blank.is_empty(), "the middle is blank");
    let mut with_hole = part((1000.0, 800.0), label());
    let stroke = Some(Stroke::solid(Tone::Ink, 0.4));
    for x in [300.0, 500.0, 700.0] {
        for y in [250.0, 400.0, 550.0] {
            let circle = Circle { centre: at(x, y), radius: 4.0, stroke, fill: Fill::Open };
            with_hole.scene.items.push(circle.into());
        }
    }
    let after = tile::blank(&with_hole, PAPERS[1]);
    assert!(after.len() < blank.len(), "holes are printed: {blank:?} then {after:?}");
    let pages = |template: &Template| {
        let bytes = tile::tiled(template, PAPERS[1], "Alder Fen");
        String::from_utf8_lossy(&bytes).matches("/Type /Page\n").count()
            + String::from_utf8_lossy(&bytes).matches("/Type /Page ").count()
            + String::from_utf8_lossy(&bytes).matches("/Type/Page/").count()
    };
    let fewer = u32::try_from(pages(&with_hole) - pages(&empty)).expect("more pages");
    assert_eq!(
        fewer,
        tile::count(&with_hole, PAPERS[1]) - tile::count(&empty, PAPERS[1]),
        "the file has as many pages fewer as sheets are blank"
    );
    assert_eq!(tile::faults(&empty, PAPERS[1]), Vec::<String>::new(), "the map tells of it");
}
