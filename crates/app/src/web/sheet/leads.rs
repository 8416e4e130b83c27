//! The strip of the leads: size, length to cut, what each carries, and how to cut them.

use super::common::{cell, cut_words, held, table, wish};
use crate::command::leads::{cutting, reuse};
use crate::web::session::Session;
use engine::plan::cut_list::cut_list;
use engine::sizing::answer::LeadAnswer;
use engine::study::Study;
use engine::tables::conductor::Family;
use engine::units::conductor::ConductorSize;
use engine::units::show::{self, UnitSystem};
use maud::{Markup, html};

/// The strip.
pub(super) fn piece(session: &Session) -> Markup {
    let Ok(work) = session.shown() else {
        return html! {};
    };
    let (study, units) = (&work.report.study, work.units());
    let rows: Vec<Vec<Markup>> =
        study.leads.iter().map(|lead| row(session, study, lead, units)).collect();
    let columns = [
        ("lead", false),
        ("from, to", false),
        ("size", false),
        ("cut", true),
        ("carries", true),
        ("may carry", true),
        ("in hand", false),
    ];
    let groups = cut_list(&study.design, &study.leads);
    html! {
        (table("Leads", &columns, &rows))
        h3 { "Cutting" }
        @for group in &groups { pre.cutting tabindex="0" { (cutting(group, units)) } }
    }
}

fn row(session: &Session, study: &Study, lead: &LeadAnswer, units: UnitSystem) -> Vec<Markup> {
    let touch = wish(&[("do", "touch"), ("kind", "lead"), ("id", &lead.id)]);
    vec![
        html! { button.term type="button" data-key=(format!("lead row {}", lead.id)) data-do=(touch) aria-label=(format!("Lead {}", lead.id)) { (lead.id) } },
        html! { (lead.from) " to " (lead.to) },
        size_choice(session, lead, "row"),
        cell(&cut_words(study, lead, units)),
        cell(&held(&show::current(lead.design_amps))),
        cell(&held(&show::current(lead.ampacity))),
        cell(&reuse(&lead.reuse, units)),
    ]
}

/// The sizes a lead may be made of: those of its own family, and the tool's own choice.
pub(super) fn size_choice(session: &Session, lead: &LeadAnswer, place: &str) -> Markup {
    let family = match lead.size {
        ConductorSize::Metric(_) => Family::Metric,
        ConductorSize::Awg(_) => Family::Awg,
        ConductorSize::Boat(_) => Family::Boat,
    };
    let sizes = session.ground.tables.conductor.sizes(family);
    html! {
        select data-key=(format!("size {place} {}", lead.id)) data-value="size"
            data-change=(wish(&[("do", "size"), ("lead", &lead.id)]))
            aria-label=(format!("Size of lead {}", lead.id)) {
            option value="" selected[!lead.decided] {
                (if lead.decided { "as the tool sizes it".to_owned() } else { format!("{} (the tool's)", lead.size) })
            }
            @for size in sizes {
                option value=(size) selected[lead.decided && size == lead.size] { (size) }
            }
        }
    }
}
