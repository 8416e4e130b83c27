//! R49: a bank that is worn out and nobody noticed. It reads the capacity tests of the log.

use super::context::{CheckError, Context, Said};
use super::logged::{PATH, look};
use super::r50_judged_too_early::is_young;
use crate::care::capacity::CapacityResult;
use crate::care::look::owners_log;
use crate::care::{capacity, charging::Charging, health};
use crate::finding::Severity;
use crate::units::show;

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    let Some(look) = look(cx) else {
        return Ok(Vec::new());
    };
    let tests = capacity::tests(&look);
    let Some(last) = tests.iter().rev().find(|t| t.part == "the bank") else {
        return Ok(Vec::new());
    };
    let (yearly, replace) = (cx.limit("capacity-test-yearly")?, cx.limit("capacity-replace")?);
    if yearly.value <= last.share.now || is_young(cx, &look)?.is_some() {
        return Ok(Vec::new());
    }
    let worn = last.share.now < replace.value;
    let health = health::of(&look, &tests, &Charging::of(&look, None));
    let year = health.and_then(|h| h.below_80).map(|d| d.year());
    let left = percent(last.share.now);
    let (says, remedy) = if worn {
        let says = format!("The test of {} left {left} % of the rated capacity.", last.on);
        (says, "Plan the next bank now, and reckon with what is left until then.".to_owned())
    } else {
        let says = format!("The test of {} left {left} % of the rated capacity.", last.on);
        let when = year.map_or(String::new(), |y| format!(" Plan the next bank for {y}."));
        (says, format!("Test it every year from now on, from full and at the same amps.{when}"))
    };
    let overdue = look.today.is_some_and(|today| 365 < (today - last.on).get_days());
    Ok(vec![Said {
        severity: if worn || overdue { Severity::Fix } else { Severity::Note },
        path: PATH.to_owned(),
        part: "the bank".to_owned(),
        says,
        remedy,
        why: "A bank holds its volts to the end and then fails at once; only a timed test tells.",
        sources: sources(last, if worn { replace.cite } else { yearly.cite }),
        gates: None,
    }])
}

/// A share in whole percent.
pub(super) fn percent(share: f64) -> String {
    show::decimal(share * 100.0, 0)
}

/// The log, the rule, and the way the test was counted.
pub(super) fn sources(test: &CapacityResult, rule: crate::cite::Cite) -> Vec<crate::cite::Cite> {
    let mut all = vec![owners_log(), rule];
    all.extend(test.counted.first().map(|c| c.cite.clone()));
    all
}
