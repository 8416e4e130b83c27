//! The plan: on the demos and on banks of every size its lettering is whole and its leads end on their
//! posts.

mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::geometry::{Point, at};
use drawing::pictures::Setting;
use drawing::pictures::plan::{PlanPicture, plan};
use drawing::scene::Scene;
use drawing::svg::{self, svg};
use engine::model::lead::Terminal;
use rigs::Worked;

fn drawn(worked: &Worked, setting: &Setting) -> Scene {
    plan(&PlanPicture { subject: worked.subject(), share: worked.share.as_ref(), setting })
}

fn papers() -> [Setting; 3] {
    [Setting::portrait("plan"), Setting::landscape("plan"), Setting::phone("plan")]
}

#[track_caller]
fn check_lettering(what: &str, worked: &Worked, papers: &[Setting]) {
    for setting in papers {
        let scene = drawn(worked, setting);
        let paper = setting.width;
        assert_eq!(faults(&scene), Vec::<String>::new(), "{what} on {paper} mm");
    }
}

#[test]
fn lettering_is_whole_on_the_demos() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            check_lettering(&format!("{name}, stage {}", worked.study.stage), &worked, &papers());
        }
    }
}

#[test]
fn lettering_is_whole_on_banks_of_one_to_twenty_four_blocks() {
    let shapes = [(1, 1), (1, 2), (2, 1), (2, 3), (1, 7), (8, 1), (4, 3), (4, 6)];
    for (series, parallel) in shapes {
        let worked = rigs::bank(series, parallel, "\"opposite corners\"");
        check_lettering(
            &format!("{series} in series, {parallel} strings"),
            &worked,
            &[Setting::phone("plan")],
        );
    }
}

/// First and last points of the strokes of a lead in the picture as written.
fn ends(document: &roxmltree::Document<'_>, id: &str) -> Vec<(Point, Point)> {
    let group = document.descendants().find(|n| n.attribute("id") == Some(id));
    let paths = group.into_iter().flat_map(|g| g.children().filter(|n| n.has_tag_name("path")));
    paths.filter_map(|p| p.attribute("d")).map(first_and_last).collect()
}

/// Where the pen is put down and where it is lifted.
fn first_and_last(d: &str) -> (Point, Point) {
    let mut places: Vec<Point> = Vec::new();
    let starts: Vec<usize> =
        d.match_indices(|c: char| c.is_ascii_alphabetic()).map(|m| m.0).collect();
    let ends = starts.iter().skip(1).copied().chain([d.len()]);
    for (start, end) in starts.iter().zip(ends) {
        let (command, rest) = d[*start..end].split_at(1);
        let numbers: Vec<f64> = rest.split(' ').filter_map(|n| n.parse().ok()).collect();
        let last = places.last().copied();
        match (command, numbers.as_slice(), last) {
            ("H", [x], Some(last)) => places.push(at(*x, last.y)),
            ("V", [y], Some(last)) => places.push(at(last.x, *y)),
            (_, [.., x, y], _) => places.push(at(*x, *y)),
            _ => {}
        }
    }
    (places[0], places[places.len() - 1])
}

#[test]
fn leads_end_on_their_posts_and_posts_lie_in_their_cases() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            let scene = drawn(&worked, &Setting::landscape("plan"));
            let text = svg(&scene, svg::Setting::Inline);
            let document = roxmltree::Document::parse(&text).expect("the picture is well formed");
            let Some(view) = scene.view else {
                assert!(worked.study.layout.plan.blocks.is_empty(), "{name}: a plan has a scale");
                continue;
            };
            let place = |p: engine::model::part::PlanPoint| view.place(p.x.as_mm(), -p.y.as_mm());
            let plan = &worked.study.layout.plan;
            let post = |end: &Terminal| match end {
                Terminal::Post { block, plus } => {
                    let block = plan.block(*block)?;
                    Some(place(if *plus { block.plus.at } else { block.minus.at }))
                }
                Terminal::Stud { .. } => None,
            };
            let mut seen = 0;
            for lead in &worked.study.wiring.leads {
                let posts: Vec<Point> =
                    [&lead.from, &lead.to].into_iter().filter_map(post).collect();
                let drawn = ends(&document, &format!("plan-lead-{}", lead.id));
                let none = posts.is_empty();
                assert_eq!(drawn.is_empty(), none, "{name}: lead {} is drawn", lead.id);
                for (first, last) in drawn {
                    seen += 1;
                    // Written with three decimals: 0.01 mm is for their rounding alone.
                    let touches = |p: &Point| first.distance(*p).min(last.distance(*p)) < 0.01;
                    assert!(posts.iter().all(touches), "{name}: lead {} off its post", lead.id);
                }
            }
            assert!(2 <= seen, "{name}: leads were looked at");
            for block in &plan.blocks {
                let (near, far) = (place(block.corner), place(block.far_corner()));
                for p in [place(block.plus.at), place(block.minus.at)] {
                    let inside = near.x < p.x && p.x < far.x && far.y < p.y && p.y < near.y;
                    assert!(inside, "{name}: a post of {} at {p:?}", block.id);
                }
            }
        }
    }
}

#[test]
fn the_plan_is_as_it_was_looked_at() {
    for (name, text) in [rigs::DEMOS[0], rigs::DEMOS[2]] {
        let worked = rigs::demo(text).into_iter().nth(1).expect("every demo has a second stage");
        let scene = drawn(&worked, &Setting::phone("plan"));
        goldens::check_golden(&format!("plan-{name}"), &scene);
    }
}

#[test]
fn a_device_in_its_place_is_drawn_there_in_ink() {
    let more = "[device.fan]\nkind = \"equipment\"\nrating = \"2 A\"\nat = [\"-90 mm\", \"120 mm\"]\n\
                [lead.fan]\nfrom = \"A1 +\"\nto = \"fan +\"\nsize = \"12 AWG\"\n";
    let worked = rigs::bank_with(2, 2, "\"same end\"", more);
    let placed = worked.study.layout.plan.devices.iter().find(|d| d.name == "fan");
    let placed = placed.expect("the fan is placed");
    assert!(placed.decided, "the owner said where");
    for setting in &papers() {
        let scene = drawn(&worked, setting);
        assert_eq!(faults(&scene), Vec::<String>::new(), "on {} mm", setting.width);
        let view = scene.view.expect("a plan has a scale");
        let stud = view.place(placed.first.x.as_mm(), -placed.first.y.as_mm());
        let text = svg(&scene, svg::Setting::Inline);
        let document = roxmltree::Document::parse(&text).expect("the picture is well formed");
        for (first, last) in ends(&document, "plan-lead-fan") {
            assert!(first.distance(stud).min(last.distance(stud)) < 0.01, "it ends on its stud");
        }
        assert!(0.0 <= stud.x && stud.x <= scene.width, "on the sheet");
    }
}
