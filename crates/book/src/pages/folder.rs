//! The hand-over folder: what a surveyor, an insurer, an electrician or the next owner keeps.

mod cover;
mod signs;
mod looked_for;
mod open;
mod weights;

use super::{
    assumed, diagram, emergency, fuses, labels, log_says, plain, plan, proving, service,
    set_points, sources, titled,
};
use crate::book::Context;
use crate::pager::Chapter;
use crate::proving_sheet::{self, ProvingSheet};
use engine::hand_over::HandOver;
use engine::prove::Proof;
use engine::prove::sheet::expected;

/// Every chapter of the folder.
pub(crate) fn chapters(cx: &Context<'_>) -> Vec<Chapter> {
    let lists = HandOver::of(cx.input.report, cx.input.tables);
    let mut all = vec![signs::chapter(cx, &lists), looked_for::chapter(cx, &lists)];
    all.push(open::chapter(cx));
    all.extend(diagram::chapter(cx));
    all.extend(plan::chapters(cx));
    all.push(fuses::chapter(cx));
    all.push(set_points::chapter(cx));
    all.extend(weights::chapter(cx));
    if cx.proved.is_empty() {
        all.extend(proving::chapter(cx));
    } else {
        all.extend(cx.proved.iter().cloned());
    }
    all.extend(log_says::chapter(cx));
    all.extend(service::chapter(cx));
    all.push(assumed::chapter(cx));
    all.push(sources::with(cx, lists.sources()));
    all.push(labels::chapter(cx));
    all.push(emergency::chapter(cx));
    let named: Vec<(String, String)> = all.iter().map(|c| (c.anchor.clone(), titled(c))).collect();
    let mut bound = vec![cover::chapter(cx, &named)];
    bound.append(&mut all);
    bound
}

/// The proving sheet of the last day with readings; the blank one stands in its place where there is none.
pub(crate) fn proved(cx: &Context<'_>) -> Option<Vec<Chapter>> {
    let (report, tables) = (cx.input.report, cx.input.tables);
    let readings = cx.input.evidence.readings.iter().rev().find(|r| !r.taken.is_empty())?;
    let expected = expected(&report.study, tables, readings).ok()?;
    let proof = Proof::of(&report.study, tables, readings).ok()?;
    Some(proving_sheet::chapters(&ProvingSheet {
        study: &report.study,
        stage: &report.stage,
        readings,
        proof: &proof,
        expected: &expected,
        aside: &[],
        paper: cx.input.paper,
    }))
}
