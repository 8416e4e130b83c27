//! The three example rigs go into their boxes: read from their files, laid out at every stage.

use engine::checks::things::{Thing, spoken_of};
use engine::circuit::wiring::{WiredLead, Wiring};
use engine::facts::Ambient;
use engine::fit::room::Room;
use engine::layout::clash::ClashKind;
use engine::layout::{self, Layout};
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::{Length, Temperature};

const EXAMPLES: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
];

/// Lays a design out at each of its stages and hands each layout to the check.
fn at_every_stage(check: impl Fn(&str, &Wiring, &Layout)) {
    let tables = Tables::load().expect("the data is readable, by the tests of the tables");
    for (name, text) in EXAMPLES {
        let design = design_file::read::read(text).design.expect("an example is readable");
        for (n, stage) in design.stages.iter().enumerate() {
            let standing = design.at_stage(n);
            let wiring = Wiring::of(&standing);
            let size_of = |id: &str| wiring.lead(id).and_then(|lead| size(&standing, lead));
            let layout = layout::lay_out(&standing, &wiring, &tables, &size_of);
            check(&format!("{name} at {}", stage.name), &wiring, &layout);
        }
    }
}

fn size(design: &Design, lead: &WiredLead) -> Option<engine::units::conductor::ConductorSize> {
    let links = design.bank().filter(|_| lead.role.is_link()).and_then(|bank| bank.link_size);
    lead.stated.size.or(links)
}

#[test]
fn blocks_fit_their_boxes_and_leads_their_bends() {
    at_every_stage(|rig, _, layout| {
        assert!(layout.plan.clashes.is_empty(), "{rig}: {:?}", layout.plan.clashes);
        for lead in &layout.leads {
            let tight = lead.route.as_ref().and_then(|route| route.bend_too_tight);
            assert_eq!(tight, None, "{rig}: lead {}", lead.id);
            assert_eq!(lead.length.short_by, None, "{rig}: lead {}", lead.id);
        }
    });
}

#[test]
fn every_lead_of_an_example_has_a_route_and_a_length() {
    at_every_stage(|rig, wiring, layout| {
        assert_eq!(wiring.leads.len(), layout.leads.len(), "{rig}");
        for (wired, lead) in wiring.leads.iter().zip(&layout.leads) {
            assert_eq!(wired.id, lead.id, "{rig}: in the order of the wiring");
            let route = lead.route.as_ref().map_or(Length::ZERO, |route| route.length.length());
            assert!(Length::ZERO < route, "{rig}: lead {} has a route", lead.id);
            assert!(lead.length.known, "{rig}: lead {} has a known length", lead.id);
        }
    });
}

/// The trailer's box at its bank stage with some of its lines changed.
fn trailer_room(edits: &[(&str, &str)]) -> Room {
    let mut text = EXAMPLES[0].1.to_owned();
    for (old, new) in edits {
        assert!(text.contains(old), "the example says {old}");
        text = text.replace(old, new);
    }
    let design = design_file::read::read(&text).design.expect("an example is readable");
    let tables = Tables::load().expect("the data is readable, by the tests of the tables");
    let stage = design.stage_index("bank").expect("the stage is there");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let study = Study::of(&design, stage, &tables, ambient).expect("the tables are whole");
    Room::of(&study, &tables).expect("a bank stands")
}

#[test]
fn a_low_lid_strikes_what_stands_on_the_posts() {
    // Hand worked: the minus links lie over the series links, their tops at 270 + 2 * 15.494 = 301 mm;
    // a lid at 285 mm is 16 mm too low to close, and 56 mm lower than wanted.
    let room = trailer_room(&[("height = \"360 mm\"", "height = \"285 mm\"")]);
    let clash = room.clashes.first().expect("the lid strikes");
    assert_eq!(clash.kind, ClashKind::LidTooLow, "{clash:?}");
    assert!((clash.by.as_mm() - 55.988).abs() < 0.01, "{clash:?}");
    assert!(clash.says.contains("16 mm too low to close"), "{}", clash.says);
}

#[test]
fn a_gas_cylinder_behind_the_hinge_stops_the_lid() {
    // Hand worked: hinged at the far side, wall 12 mm, so the lid is 430 + 24 = 454 mm deep. Its
    // hinge lies 12 mm beyond the inside; a cylinder 58 mm behind it stands 240 mm over the rim. The
    // lid that leans 15 degrees is there 58 / tan 15 = 216.46 mm up; hypot(58, 216.46) = 224.10.
    let room = trailer_room(&[
        ("lid = true\n", "lid = true\nlid_hinge = \"far\"\n"),
        (
            "[stock]",
            "[obstacle.cylinder]\nkind = \"LP cylinder\"\nat = [\"200 mm\", \"500 mm\"]\n\
         size = [\"310 mm\", \"310 mm\"]\nheight = \"600 mm\"\n\n[stock]",
        ),
    ]);
    let clash = room.clashes.iter().find(|c| c.kind == ClashKind::LidStrikes).expect("it strikes");
    assert!((clash.by.as_mm() - (454.0 - 224.10)).abs() < 0.05, "{clash:?}");
}

/// What the notes of a plan point at, on a rig whose bank is laid out.
#[test]
fn a_path_names_the_things_that_it_speaks_of() {
    let tables = Tables::load().expect("the data is readable, by the tests of the tables");
    let text = EXAMPLES[0].1.to_owned() + "\n[as_built.post.\"B1 +\"]\ntorque = \"11 Nm\"\n";
    let design = design_file::read::read(&text).design.expect("an example is readable");
    let stage = design.present_stage();
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(20.0) };
    let study = Study::of(&design, stage, &tables, ambient).expect("the tables are sound");
    let says = |thing: &Thing| match thing {
        Thing::Block(id) => id.to_string(),
        Thing::Post(post) => post.to_string().replace('\u{a0}', " ").replace('−', "-"),
        Thing::Lead(name) => format!("lead {name}"),
        Thing::Device(name) => format!("device {name}"),
    };
    let check = |path: &str, want: &[&str]| {
        let mut got: Vec<String> = spoken_of(&study, path).iter().map(says).collect();
        got.sort();
        assert_eq!(got, want, "{path}");
    };
    let blocks = ["A1", "A2", "B1", "B2", "C1", "C2"];
    let posts = blocks.map(|b| [format!("{b} +"), format!("{b} -")]).concat();
    let all: Vec<&str> = posts.iter().map(String::as_str).collect();
    let but: Vec<&str> = all.iter().copied().filter(|p| *p != "B1 +").collect();
    check("as_built.post.stack", &all);
    check("as_built.post.torque", &but);
    check("lead.plus.size", &["lead plus"]);
    check("lead.\"a.b\".size", &["lead a.b"]);
    check("bank.1.A2.age", &["A2"]);
    check("bank.takeoff", &["A1 +", "C2 -"]);
    check("bank.parallel", &["A1 +", "B1 +", "C1 +"]);
    check("as_built.post.\"A1 -\".boot", &["A1 -"]);
    check("block.gc6.mass", &blocks);
    check("as_built.volts", &blocks);
    check("device.breakaway", &["device breakaway", "lead brake feed", "lead brake return"]);
    for path in ["vehicle.hitch_max", "rig.permit", "stock.tools", "storage", ""] {
        check(path, &[]);
    }
}
