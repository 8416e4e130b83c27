//! The current share and the small plan of a page: whole lettering, arrows in proportion, the chosen leads
//! drawn as such.

mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::pictures::Setting;
use drawing::pictures::share::{Half, SharePicture, share};
use drawing::pictures::step_plan::{StepMarks, StepPlanPicture, step_plan};
use drawing::scene::{Item, Scene};
use engine::circuit::wiring::LeadRole;
use rigs::Worked;

fn papers() -> [Setting; 3] {
    [Setting::portrait("share"), Setting::landscape("share"), Setting::phone("share")]
}

fn before_and_after(text: &str) -> (Worked, Worked) {
    let stage = |text: &str| rigs::demo(text).into_iter().nth(1).expect("a second stage");
    let moved = text.replace("\"opposite corners\"", "\"same end\"");
    (stage(&moved), stage(text))
}

fn halves(now: &Worked, then: &Worked, setting: &Setting) -> Scene {
    let (Some(before), Some(after)) = (now.share.as_ref(), then.share.as_ref()) else {
        panic!("both are solved");
    };
    let subject = now.subject();
    let then = Some(Half { says: "with lead minus at C2\u{a0}−", share: after });
    share(&SharePicture { subject, now: Half { says: "now", share: before }, then, setting })
}

#[test]
fn lettering_is_whole() {
    for (name, text) in rigs::DEMOS {
        let (now, then) = before_and_after(text);
        for setting in papers() {
            let scene = halves(&now, &then, &setting);
            assert_eq!(faults(&scene), Vec::<String>::new(), "{name} on {} mm", setting.width);
        }
    }
    let many = rigs::bank(2, 12, "\"same end\"");
    let scene = halves(&many, &many, &Setting::phone("share"));
    assert_eq!(faults(&scene), Vec::<String>::new(), "twelve strings on a phone");
}

/// Heights of the shafts of all arrows, in drawing order [mm].
fn shafts(scene: &Scene) -> Vec<f64> {
    let mut found = Vec::new();
    let mut waiting: Vec<&Item> = scene.items.iter().rev().collect();
    while let Some(item) = waiting.pop() {
        match item {
            Item::Group(group) => waiting.extend(group.items.iter().rev()),
            // An arrow is the one shape of seven points; its shaft lies between the first and the last.
            Item::Path(path) => {
                if let [first, _, _, _, _, _, last] = path.points.as_slice() {
                    found.push(last.y - first.y);
                }
            }
            _ => {}
        }
    }
    found
}

#[test]
fn arrows_are_as_wide_as_their_amps_on_one_scale() {
    let (now, then) = before_and_after(rigs::DEMOS[0].1);
    let scene = halves(&now, &then, &Setting::landscape("share"));
    let strings = |worked: &Worked| -> Vec<f64> {
        worked.share.iter().flat_map(|s| &s.strings).map(|s| s.amps).collect()
    };
    let amps = [strings(&now), strings(&then)].concat();
    let widths = shafts(&scene);
    assert_eq!(widths.len(), amps.len(), "one arrow for each string of each half");
    for (width, amps) in widths.iter().zip(&amps) {
        // Every arrow has the same millimetres for an amp as the first.
        assert!((width / amps - widths[0] / strings(&now)[0]).abs() < 1e-9, "{amps} A: {width}");
    }
    goldens::check_golden("share-alder-fen", &scene);
}

fn page(worked: &Worked) -> StepMarks {
    let links: Vec<&engine::circuit::wiring::WiredLead> =
        worked.study.wiring.leads.iter().filter(|l| l.role.is_link()).collect();
    let Some(last) = links.iter().rev().find(|l| l.role != LeadRole::SeriesLink).or(links.last())
    else {
        return StepMarks::default();
    };
    StepMarks {
        fitted: links.iter().take(links.len() / 2).map(|l| l.id.clone()).collect(),
        leads: vec![last.id.clone()],
        blocks: last.from.block().into_iter().collect(),
        posts: vec![last.from.clone()],
        gap: Some((last.from.clone(), last.to.clone())),
        tips: None,
    }
}

#[test]
fn the_small_plan_is_whole_on_every_demo() {
    for (name, text) in rigs::DEMOS {
        for worked in rigs::demo(text) {
            let (subject, marks) = (worked.subject(), page(&worked));
            let setting = &Setting::beside("step");
            let scene = step_plan(&StepPlanPicture { subject, marks: &marks, setting });
            let stage = worked.study.stage;
            assert_eq!(faults(&scene), Vec::<String>::new(), "{name}, stage {stage}");
        }
    }
    let worked = rigs::demo(rigs::DEMOS[0].1).into_iter().nth(1).expect("a second stage");
    let (subject, marks) = (worked.subject(), page(&worked));
    let setting = &Setting::beside("step");
    let scene = step_plan(&StepPlanPicture { subject, marks: &marks, setting });
    goldens::check_golden("step-alder-fen", &scene);
}
