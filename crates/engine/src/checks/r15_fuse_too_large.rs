//! R15: a fuse that lets the cable behind it burn first.

use super::context::{CheckError, Context, Said, listed};
use super::walk::string_guard;
use crate::circuit::wiring::LeadRole;
use crate::finding::Severity;
use crate::model::bank::Bank;
use crate::sizing::answer::LeadAnswer;
use crate::units::{Current, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let mut said = Vec::new();
    for answer in &cx.study.leads {
        let guard = answer.fuse.as_ref().filter(|f| !f.id.is_empty());
        let Some(device) = guard.and_then(|f| cx.design().device(&f.id)) else {
            continue;
        };
        if guarded_at_its_end(cx, answer, &device.part.name)? {
            continue;
        }
        match device.rating {
            Some(rating) => {
                let fed = fed_through(cx, answer, &device.part.name, rating);
                said.extend(judged(cx, answer, &fed.0, fed.1)?);
            }
            None => said.push(unknown(cx, answer, &device.part.name)?),
        }
    }
    Ok(said)
}

/// What guards a lead, by name and amps: behind the busbar of fused strings a fault is fed through
/// every string's fuse at once, so their ratings add.
fn fed_through(
    cx: &Context<'_>,
    answer: &LeadAnswer,
    fuse: &str,
    rating: Current,
) -> (String, Current) {
    let alone = (fuse.to_owned(), rating);
    let Some(bank) = cx.bank().filter(|_| answer.role != LeadRole::StringPlus) else {
        return alone;
    };
    let strings: Vec<String> =
        (0..bank.parallel).filter_map(|s| string_guard(cx, &Bank::string_plus(s))).collect();
    if strings.len() < 2 || strings.iter().all(|s| s != fuse) {
        return alone;
    }
    let amps = |name: &String| cx.design().device(name).and_then(|d| d.rating);
    let together = strings.iter().filter_map(amps).sum();
    (listed(&strings).clone() + " together", together)
}

/// A short tap that ends on a smaller fuse of its own, no further off than R14 allows a fuse to be
/// from its source: that fuse is the one that guards it.
fn guarded_at_its_end(
    cx: &Context<'_>,
    answer: &LeadAnswer,
    guard: &str,
) -> Result<bool, CheckError> {
    let own = [&answer.from, &answer.to].into_iter().any(|end| {
        let device = end.device().and_then(|d| cx.design().device(d));
        device.is_some_and(|d| {
            let fits = d.rating.is_some_and(|r| r <= answer.ampacity);
            d.kind.is_overcurrent() && d.part.name != guard && fits
        })
    });
    Ok(own && cx.route(&answer.id) <= cx.practice()?.fuse_distance_bare.value)
}

fn judged(
    cx: &Context<'_>,
    answer: &LeadAnswer,
    fuse: &str,
    rating: Current,
) -> Result<Option<Said>, CheckError> {
    let most = cx.limit("fuse-over-ampacity-max")?;
    let note = cx.limit("fuse-over-ampacity-note")?;
    let high = cx.limit("fuse-ampacity-high-voltage")?;
    let ratio = rating.as_amps() / answer.ampacity.as_amps();
    // A lead that may carry nothing at all in its place is told by R19.
    if !ratio.is_finite() || ratio <= note.value {
        return Ok(None);
    }
    let under_50 = cx.nominal_volts().is_none_or(|v| v.as_volts() < high.value);
    let rounded_up = next_size(cx, fuse, answer.ampacity).is_some_and(|next| rating <= next);
    let stop = most.value < ratio || !(under_50 || rounded_up);
    let percent = show::fixed(ratio * 100.0, 0);
    let allowed = if under_50 || rounded_up { most.value } else { note.value };
    Ok(Some(Said {
        severity: if stop { Severity::Stop } else { Severity::Note },
        path: format!("lead.{}.size", answer.id),
        part: format!("lead {}", answer.id),
        says: format!(
            "{fuse} is {}, {percent} % of the {} that lead {} ({}) may carry{}.",
            show::current(rating),
            show::current(answer.ampacity),
            answer.id,
            answer.size,
            if stop {
                format!("; {} % is the most", show::fixed(allowed * 100.0, 0))
            } else {
                ": allowed, but a long overload warms the cable first".to_owned()
            }
        ),
        remedy: format!(
            "Replace {fuse} by one of {} or less, or use a thicker lead {}.",
            show::current(answer.ampacity * allowed),
            answer.id
        ),
        why: "The fuse guards the cable, not the load.",
        sources: [vec![most.cite, note.cite], answer.cites.clone()].concat(),
        gates: None,
    }))
}

/// The smallest stock rating of the fuse's family that is not below an ampacity.
fn next_size(cx: &Context<'_>, fuse: &str, ampacity: Current) -> Option<Current> {
    let word = cx.design().device(fuse)?.family.as_ref()?;
    let family = super::r18_wrong_voltage_or_kind::family(cx, word)?;
    let ratings = cx.tables.overcurrent.ratings(&family.word);
    ratings.into_iter().map(|r| r.value).find(|r| ampacity <= *r)
}

fn unknown(cx: &Context<'_>, answer: &LeadAnswer, fuse: &str) -> Result<Said, CheckError> {
    Ok(Said {
        severity: Severity::Stop,
        path: format!("device.{fuse}.rating"),
        part: fuse.to_owned(),
        says: format!("{fuse} guards lead {}, but its ampere rating is not known.", answer.id),
        remedy: format!("Read the amps on {fuse} and write device.{fuse}.rating."),
        why: "The fuse guards the cable, not the load.",
        sources: vec![cx.limit("fuse-over-ampacity-max")?.cite],
        gates: None,
    })
}
