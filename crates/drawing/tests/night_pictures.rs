//! Nights, volts, charge and frost as pictures: whole lettering on every paper, and what they show is what
//! the engine says.

mod goldens;
mod rigs;

use drawing::check::faults;
use drawing::pictures::{Foot, Setting};
use drawing::scene::{Item, Scene};
use engine::model::design::Design;

fn design(text: &str) -> Design {
    let read = design_file::read::read(text);
    read.design.unwrap_or_else(|| panic!("it reads: {:?}", read.faults))
}

fn papers() -> [Setting; 3] {
    let page = Setting { foot: Foot::Bare, ..Setting::portrait("n") };
    [page, Setting::landscape("n"), Setting::phone("n")]
}

fn whole_on_every_paper(name: &str, design: &Design, stage: usize) -> Vec<String> {
    let mut seen = Vec::new();
    for setting in papers() {
        for (kind, scene) in rigs::night_pictures(design, stage, &setting) {
            assert_eq!(
                faults(&scene),
                Vec::<String>::new(),
                "{name}, stage {stage}: {kind} on {} mm",
                setting.width
            );
            seen.push(kind);
        }
    }
    seen
}

#[test]
fn lettering_is_whole_on_every_demo() {
    for (name, text) in rigs::DEMOS {
        let design = design(text);
        let last = design.stages.len() - 1;
        for stage in [1, 3.min(last)] {
            let seen = whole_on_every_paper(name, &design, stage);
            for kind in ["calendar", "chances", "week", "ladder"] {
                assert!(seen.iter().any(|k| k == kind), "{name}, stage {stage} has its {kind}");
            }
        }
    }
}

/// A bench with a place and a lamp that burns all day; it has no sun and no charger.
fn bench(load_w: u32) -> Design {
    design(&format!(
        "format = 1\n[rig]\nname = \"bench\"\nkind = \"trailer\"\npractice = \"us-trailer\"\n\
         units = \"metric\"\n[place]\nlatitude = 43.4\nlongitude = -89.6\n[stage.bank]\n\
         note = \"all\"\n[block.gc6]\nchemistry = \"flooded\"\nvolts = \"6 V\"\n\
         rating = \"190 Ah at 20 h\"\ncase = \"GC2\"\nstud = \"8 mm\"\n[[bank]]\nblock = \"gc6\"\n\
         series = 2\nparallel = 2\ntakeoff = \"opposite corners\"\nlink = \"2/0 AWG\"\n\
         [load.lamp]\npower = \"{load_w} W\"\nhours_per_day = \"24 h\"\n"
    ))
}

#[test]
fn odd_rigs_have_whole_pictures() {
    // A load so small that no month ends it, and one so large that no night is met.
    for (name, watts) in [("no sun", 40), ("endless", 1), ("none", 4000)] {
        whole_on_every_paper(name, &bench(watts), 0);
    }
}

fn labels(scene: &Scene) -> Vec<String> {
    scene.labels().into_iter().map(|l| l.text.clone()).collect()
}

#[test]
fn the_pictures_show_the_engines_figures() {
    let design = design(rigs::DEMOS[0].1);
    let stage = design.stage_index("sun").expect("it has a stage of sun");
    let setting = Setting { foot: Foot::Bare, ..Setting::portrait("n") };
    let (_, nights) = rigs::nights(&design, stage);
    let nights = nights.expect("there is an answer");
    let all = rigs::night_pictures(&design, stage, &setting);
    let of = |kind: &str| &all.iter().find(|p| p.0.starts_with(kind)).expect("it is drawn").1;
    let month = |i: &&Item| matches!(i, Item::Group(g) if g.class.as_deref() == Some("month"));
    assert_eq!(of("calendar").items.iter().filter(month).count(), 12, "a bar for each month");
    let shown = labels(of("calendar"));
    for month in nights.by_month.iter().filter(|m| m.sure.in_90 < nights.most) {
        let said = nights.said(month.sure.in_90);
        assert!(shown.contains(&said), "month {}: {said} in {shown:?}", month.month);
    }
    let floor = format!("floor {}\u{a0}%", (100.0 * nights.floor).round());
    assert!(labels(of("week")).contains(&floor), "{floor}");
    for kind in ["calendar", "chances", "week", "frost", "ladder", "charge"] {
        goldens::check_golden(&format!("nights-{kind}-alder-fen"), of(kind));
    }
}
