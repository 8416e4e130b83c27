//! R02: twin links of the bank that are not alike.

use super::context::{CheckError, Context, Said, listed};
use super::resolve::{Strings, strings_of};
use crate::circuit::netlist::LeadOhms;
use crate::circuit::wiring::{LeadRole, WiredLead};
use crate::finding::Severity;
use crate::units::{Current, Resistance, show};

pub(super) fn check(cx: &Context<'_>) -> Result<Vec<Said>, CheckError> {
    if cx.bank().is_none_or(|b| b.parallel < 2) {
        return Ok(Vec::new());
    }
    let ratio_max = cx.limit("link-ratio-max")?;
    let spread_max = cx.limit("share-spread-fix")?;
    let mut said = Vec::new();
    for kinds in KINDS {
        let ways = ways(cx, kinds);
        let Some((poor, good)) = extremes(&ways) else {
            continue;
        };
        let spread = spread_they_cause(cx, &ways, spread_max.value)?;
        if poor.ohms <= good.ohms * ratio_max.value && spread.is_none() {
            continue;
        }
        let shown = |way: &Way<'_>| show::resistance(Resistance::ohms(way.ohms));
        let uneven = spread.map_or_else(String::new, |s| {
            format!(" With all of them alike the strings would carry {}.", s.shown())
        });
        said.push(Said {
            severity: Severity::Fix,
            path: format!("lead.{}", poor.leads[0].id),
            part: poor.name(),
            says: format!(
                "{} is longer or thinner than its twin, or has a worse joint: {} against {} of {}.\
                 {uneven}",
                capital(&poor.name()),
                shown(poor),
                shown(good),
                good.name()
            ),
            remedy: format!(
                "Make {} of the same length and size as {}, with the same lugs.",
                poor.name(),
                good.name()
            ),
            why: "Current takes the easier way, so the string behind the worse link does less and \
                  its neighbours more.",
            sources: vec![ratio_max.cite.clone(), spread_max.cite.clone()],
            gates: None,
        });
    }
    Ok(said)
}

/// Links that correspond to one another.
const KINDS: [&[LeadRole]; 4] = [
    &[LeadRole::SeriesLink],
    &[LeadRole::PlusLink, LeadRole::MinusLink],
    &[LeadRole::StringPlus],
    &[LeadRole::StringMinus],
];

/// A link, or the leads before and after a string's own fuse taken together.
struct Way<'a> {
    leads: Vec<&'a WiredLead>,
    ohms: f64,
}

impl Way<'_> {
    fn name(&self) -> String {
        let names: Vec<&str> = self.leads.iter().map(|l| l.id.as_str()).collect();
        let word = if names.len() == 1 { "lead" } else { "leads" };
        format!("{word} {}", listed(&names))
    }
}

fn capital(text: &str) -> String {
    text.replacen('l', "L", 1)
}

fn ways<'a>(cx: &Context<'a>, kinds: &[LeadRole]) -> Vec<Way<'a>> {
    let mut all: Vec<Way<'a>> = Vec::new();
    for (lead, ohms) in cx.study.wiring.leads.iter().zip(&cx.study.ohms) {
        if !kinds.contains(&lead.role) {
            continue;
        }
        let to_bar = matches!(lead.role, LeadRole::StringPlus | LeadRole::StringMinus);
        let other_half =
            all.iter_mut().find(|w| to_bar && w.leads.iter().any(|l| share_fuse(cx, l, lead)));
        match other_half {
            Some(way) => {
                way.leads.push(lead);
                way.ohms += ohms.total();
            }
            None => all.push(Way { leads: vec![lead], ohms: ohms.total() }),
        }
    }
    all
}

/// Whether two leads end on the same fuse.
fn share_fuse(cx: &Context<'_>, a: &WiredLead, b: &WiredLead) -> bool {
    let fuses = |lead: &WiredLead| -> Vec<String> {
        let ends = [&lead.from, &lead.to].into_iter().filter_map(|t| t.device());
        ends.filter(|d| cx.design().device(d).is_some_and(|d| d.kind.is_overcurrent()))
            .map(str::to_owned)
            .collect()
    };
    fuses(a).iter().any(|fuse| fuses(b).contains(fuse))
}

/// The way of most and the way of least resistance; `None` where there are no two.
fn extremes<'w, 'a>(ways: &'w [Way<'a>]) -> Option<(&'w Way<'a>, &'w Way<'a>)> {
    let by = |a: &&Way<'_>, b: &&Way<'_>| a.ohms.total_cmp(&b.ohms);
    let (poor, good) = (ways.iter().max_by(by)?, ways.iter().min_by(by)?);
    (2 <= ways.len() && 0.0 < good.ohms).then_some((poor, good))
}

/// What the strings would carry with all twins at their mean, where the spread is too wide as they
/// are and is not then: the links, and not the take-off, are at fault.
fn spread_they_cause(
    cx: &Context<'_>,
    ways: &[Way<'_>],
    limit: f64,
) -> Result<Option<Strings>, CheckError> {
    let Ok(share) = &cx.study.discharge else {
        // R01 says that the network has no answer.
        return Ok(None);
    };
    let now = Strings { amps: share.strings.iter().map(|s| s.amps).collect() };
    if now.over_mean() <= limit {
        return Ok(None);
    }
    let mut sum = 0.0;
    let mut count = 0.0;
    for way in ways {
        sum += way.ohms;
        count += 1.0;
    }
    let mean = sum / count;
    let ohms = |id: &str, _: LeadRole| {
        let way = ways.iter().find(|w| w.leads.iter().any(|l| l.id == id));
        let at = cx.study.wiring.leads.iter().position(|l| l.id == id);
        let own = at.and_then(|n| cx.study.ohms.get(n)).map_or(mean, |o| o.total());
        let ohm = way.map_or(own, |w| own * mean / w.ohms);
        LeadOhms { from_joint: 0.0, conductor: ohm, to_joint: 0.0 }
    };
    let even = strings_of(cx, cx.design(), &ohms, Current::amps(share.total_amps))?;
    Ok((even.over_mean() <= limit).then_some(even))
}
