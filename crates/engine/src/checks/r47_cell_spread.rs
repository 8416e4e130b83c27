//! R47: cells whose gravity drifts apart. It reads the log, and one odd reading never decides.

use super::context::{CheckError, Context, Said};
use super::logged::{PATH, look};
use crate::care::cells::{Acid, CellHistory, CellState};
use crate::care::look::owners_log;
use crate::evidence::log::Event;
use crate::finding::Severity;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(Vec::new());
    };
    let Some(acid) = Acid::of(&look) else {
        return Ok(Vec::new());
    };
    let offset = |c: &CellHistory| c.offset.map(|o| o.now);
    let known = || acid.cells.iter().filter_map(|c| Some((c, offset(c)?)));
    let lowest = known().min_by(|a, b| a.1.total_cmp(&b.1));
    let highest = known().max_by(|a, b| a.1.total_cmp(&b.1));
    let (Some((low, bottom)), Some((_, top))) = (lowest, highest) else {
        return Ok(Vec::new());
    };
    let equalise = cx.limit("cell-spread-equalise")?;
    let failing = cx.limit("cell-spread-failing")?;
    let spread = top - bottom;
    if spread <= equalise.value {
        return Ok(Vec::new());
    }
    let equalised = look.entries().iter().any(|e| matches!(e.event, Event::Equalise { .. }));
    let lost = failing.value <= spread && equalised || low.state == CellState::Failing;
    let apart = show::fixed(spread, 3);
    let says = if lost {
        format!("The cells stand {apart} apart and cell {} is failing.", low.cell)
    } else {
        format!("The cells stand {apart} apart; cell {} is falling behind.", low.cell)
    };
    let remedy = if lost {
        format!(
            "Equalise once more if it was not done since, read every cell again after a full charge, and if it \
             stays replace {} with one of the same age or all of its string.",
            low.cell.block
        )
    } else {
        "Equalise, then read every cell again after the next full charge.".to_owned()
    };
    Ok(vec![Said {
        severity: Severity::Fix,
        path: PATH.to_owned(),
        part: low.cell.to_string(),
        says,
        remedy,
        why: "The weakest cell ends every discharge and is driven backwards by the others.",
        sources: vec![owners_log(), if lost { failing.cite } else { equalise.cite }],
        gates: None,
    }])
}
