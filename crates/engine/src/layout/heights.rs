//! How high things stand under the lid: stacks on the posts, leads over leads, raised handles.

use super::clash::{Clash, ClashKind};
use super::figures::Figures;
use super::plan::{Highest, Plan};
use super::route::Route;
use crate::circuit::wiring::Wiring;
use crate::model::design::Design;
use crate::model::lead::Terminal;
use crate::units::Length;

/// Finds the highest thing in the box, with it the height the box needs, and whether the lid clears it.
pub(super) fn under_the_lid(
    design: &Design,
    wiring: &Wiring,
    plan: &mut Plan,
    routes: &[Option<Route>],
    figures: &Figures<'_>,
) {
    let enclosure = design.enclosure.as_ref();
    let liner = enclosure.and_then(|e| e.liner).unwrap_or(Length::ZERO);
    let Some(highest) = highest(wiring, plan, routes, figures) else {
        return;
    };
    let lid = enclosure.and_then(|e| e.lid_clearance).unwrap_or(figures.lid);
    plan.needed.height = liner + highest.top + lid;
    match enclosure.and_then(|e| e.height) {
        None => plan.inner.height = plan.needed.height,
        Some(height) => {
            let by = plan.needed.height - height;
            let clash = Clash::new(ClashKind::LidTooLow, "box", Some(highest.what.clone()), by);
            plan.clashes.extend(clash.if_missing());
        }
    }
    plan.highest = Some(Highest { top: liner + highest.top, ..highest });
}

/// The highest thing above the bottom of the blocks; of equals the first.
fn highest(
    wiring: &Wiring,
    plan: &Plan,
    routes: &[Option<Route>],
    figures: &Figures<'_>,
) -> Option<Highest> {
    let mut all: Vec<Highest> = Vec::new();
    for block in &plan.blocks {
        for (post, terminal) in
            [(block.plus, Terminal::plus(block.id)), (block.minus, Terminal::minus(block.id))]
        {
            // A post without a lead carries nothing above its face.
            let lugs = wiring.at(&terminal).count();
            let more = u32::try_from(lugs.saturating_sub(1)).unwrap_or(u32::MAX);
            let stack = if lugs == 0 { Length::ZERO } else { figures.stack };
            let top = post.height + stack + figures.lug_thickness * f64::from(more);
            all.push(Highest { top, what: format!("the stack on {terminal}") });
        }
        if let Some(top) = block.handle_height {
            all.push(Highest { top, what: format!("the handles of {}", block.id) });
        }
    }
    for (lead, route) in wiring.leads.iter().zip(routes) {
        // A pencil line has no height yet.
        if let Some(route) = route.as_ref().filter(|r| r.decided) {
            let top = route.run_height + route.diameter;
            all.push(Highest { top, what: format!("lead {}", lead.id) });
        }
    }
    if plan.blocks.is_empty() {
        return None;
    }
    all.into_iter().reduce(|best, next| if best.top < next.top { next } else { best })
}
