//! R44: acid so thin that the cold of the place freezes it.

use super::context::{CheckError, Context, Said};
use super::logged::{PATH, look};
use super::sources::{Low, coldest, lows};
use crate::care::cells;
use crate::care::frost::margin;
use crate::cite::Cite;
use crate::finding::Severity;
use crate::model::block::Chemistry;
use crate::sim::frost::{Acid, basis};
use crate::units::{Temperature, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = planned(cx)?;
    said.extend(logged(cx));
    Ok(said)
}

/// What the log says of the acid as it stands, in the month to come.
fn logged(cx: &Context<'_>) -> Option<Said> {
    let look = look(cx)?;
    let acid = cells::Acid::of(&look);
    let found = margin(&look, acid.as_ref(), &cells::blocks_of(&look)).filter(|m| !m.holds)?;
    let shown = |t: Temperature| show::temperature(t, cx.units());
    Some(Said {
        severity: Severity::Stop,
        path: PATH.to_owned(),
        part: found.part.clone(),
        says: format!(
            "{} was read on {} and nothing was charged since: its acid stands at about {} and freezes at {}; this \
             month or the next goes down to {}.",
            found.part,
            found.on,
            show::fixed(found.gravity, 3),
            shown(found.freezes),
            shown(found.coldest)
        ),
        remedy: "Charge it now, before the frost, or take it in. Never charge a frozen one."
            .to_owned(),
        why: "Ice breaks plates and cases; a frozen battery that is charged can burst.",
        sources: found.cites,
        gates: None,
    })
}

/// What the design says.
fn planned(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let lead = cx.study.facts.blocks.iter().all(|b| b.chemistry.is_lead());
    if !lead || cx.study.facts.blocks.is_empty() {
        return Ok(Vec::new());
    }
    // Without a place there is no cold to hold it against; the book's card tells the owner.
    let Some(cold) = coldest(cx) else {
        return Ok(Vec::new());
    };
    let heated = cx.design().enclosure.as_ref().is_some_and(|b| b.heated == Some(true));
    if heated {
        return Ok(Vec::new());
    }
    let mut lowest: Option<(Low, Acid)> = None;
    for low in lows(cx)? {
        let Some(acid) = Acid::at(cx.tables, low.soc) else {
            continue;
        };
        if lowest.as_ref().is_none_or(|l| low.soc < l.0.soc) {
            lowest = Some((low, acid));
        }
    }
    let Some((low, Acid { gravity: acid, error, freezes })) = lowest else {
        return Ok(Vec::new());
    };
    let margin = cx.limit("freeze-margin")?;
    if freezes.value.as_celsius() + margin.value < cold.value {
        return Ok(Vec::new());
    }
    let cites = vec![acid.cite, error.cite, margin.cite, cold.cite.clone(), freezes.cite];
    Ok(vec![said(cx, &low, (acid.value, freezes.value, cold.value), cites)])
}

fn said(
    cx: &Context<'_>,
    low: &Low,
    (gravity, freezes, cold_c): (f64, Temperature, f64),
    cites: Vec<Cite>,
) -> Said {
    let shown = |t: Temperature| show::temperature(t, cx.units());
    Said {
        severity: Severity::Stop,
        path: "place.coldest".to_owned(),
        part: "the bank".to_owned(),
        says: format!(
            "Left at {} % ({}) its acid stands at about {}: at this charge it freezes at {}, {}, and \
             the place goes down to {}.",
            show::decimal(low.soc * 100.0, 0),
            low.when,
            show::fixed(gravity, 3),
            shown(freezes),
            basis(cx.study.facts.blocks.iter().any(|b| b.chemistry == Chemistry::Flooded)),
            shown(Temperature::celsius(cold_c))
        ),
        remedy: "Charge now or take it in before the frost, keep it charged while it is cold (write \
                 storage.maintained or a higher storage.at_charge), or warm the box. Never charge a \
                 frozen one."
            .to_owned(),
        why: "Ice breaks plates and cases; a frozen battery that is charged can burst.",
        sources: [low.cites.clone(), cites].concat(),
        gates: None,
    }
}
