//! The pictures of the box, the frame and the hitch: whole lettering on every paper, the demos and odd
//! rigs, and the ones that were looked at.

mod fits;
mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::pictures::Setting;
use drawing::scene::Scene;
use engine::facts::Ambient;
use engine::fit::Fit;
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;
use std::sync::LazyLock;

static TABLES: LazyLock<Tables> = LazyLock::new(|| Tables::load().expect("the tables are whole"));

fn design(text: &str) -> Design {
    let read = design_file::read::read(text);
    read.design.unwrap_or_else(|| panic!("the rig reads: {:?}", read.faults))
}

/// Every picture of a rig at a stage.
fn all(design: &Design, stage: usize, paper: fn(&str) -> Setting) -> Vec<(String, Scene)> {
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(design, stage, &TABLES, ambient).expect("the tables are whole");
    fits::pictures(&study, &Fit::of(&study, design, &TABLES), paper)
}

#[track_caller]
fn check(what: &str, design: &Design, stage: usize) {
    for paper in [Setting::portrait, Setting::landscape, Setting::phone] {
        for (name, scene) in all(design, stage, paper) {
            let width = scene.width;
            assert_eq!(faults(&scene), Vec::<String>::new(), "{what}: {name} on {width} mm");
        }
    }
}

#[test]
fn lettering_is_whole_on_every_demo() {
    for (name, text) in rigs::DEMOS {
        let design = design(text);
        for worked in rigs::demo(text) {
            let stage = worked.study.stage;
            check(&format!("{name}, stage {stage}"), &design, stage);
        }
    }
}

#[test]
fn lettering_is_whole_on_odd_rigs() {
    for (series, parallel) in [(1, 1), (4, 6)] {
        let worked = rigs::bank(series, parallel, "\"same end\"");
        let leads = worked.subject().leads.len();
        assert!(2 <= leads && worked.share.is_some(), "{series} by {parallel} is worked through");
        check(&format!("{series} by {parallel}"), &worked.study.design, 0);
    }
    let (_, text) = rigs::DEMOS[0];
    let long =
        text.replace("gc6", "deep-cycle block with a very long name of its own from the co-op");
    let long =
        long.replace("\"Alder Fen\"", "\"Alder Fen with the long grey awning and the lamps\"");
    let long = long.replace("[block.deep", "[block.\"deep").replace("co-op]", "co-op\"]");
    check("long names", &design(&long), 1);
}

/// Every picture of the first demo has a golden, but those whose lines no one can review.
#[test]
fn the_pictures_are_as_they_were_looked_at() {
    let (_, text) = rigs::DEMOS[0];
    let drawn = all(&design(text), 1, Setting::phone);
    let names: Vec<&str> = drawn.iter().map(|(n, _)| n.as_str()).collect();
    for wanted in
        ["stand", "exploded", "routes-0", "stacks-0", "weights", "lifting", "hold-box", "vents"]
    {
        let found = drawn.iter().find(|(name, _)| name == wanted);
        let (name, scene) = found.unwrap_or_else(|| panic!("{wanted} is among {names:?}"));
        goldens::check_golden(&format!("fit-{name}-alder-fen"), scene);
    }
}

fn words(scene: &Scene) -> String {
    scene.labels().iter().map(|l| l.text.replace('\u{a0}', " ")).collect::<Vec<_>>().join(" ")
}

#[test]
fn the_pictures_say_the_figures_of_the_fit() {
    let (_, text) = rigs::DEMOS[0];
    let drawn = all(&design(text), 1, Setting::portrait);
    let said = |name: &str| {
        let found = drawn.iter().find(|(n, _)| n == name);
        found.map(|(_, scene)| words(scene)).unwrap_or_default()
    };
    // The demo's own story: 118 kg on the ball before; with 182 kg in at 1.45 m ahead of the axle and
    // 62 kg out it is 138.8 kg, 10.9 % of 1,270 kg, and the axle carries 1,131 kg.
    for figure in ["118 kg", "10.9 %", "1131", "160 kg"] {
        assert!(said("weights").contains(figure), "{figure}: {}", said("weights"));
    }
    // 96 cm2 at 2.40 V per cell against the 11 cm2 minimum.
    for figure in ["96 cm", "11 cm"] {
        assert!(said("vents").contains(figure), "{figure}: {}", said("vents"));
    }
    assert!(said("stacks-0").contains("flat washer"), "the order on a post is told");
    assert!(said("lifting").contains("two people"), "27 kg is more than one lifts");
}
