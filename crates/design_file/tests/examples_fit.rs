//! The three example rigs go into their boxes: read from their files, laid out at every stage.

use engine::circuit::wiring::{WiredLead, Wiring};
use engine::layout::{self, Layout};
use engine::model::design::Design;
use engine::tables::Tables;
use engine::units::Length;

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
