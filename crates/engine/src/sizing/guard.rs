//! The overcurrent device of a lead as the answer shows it: rating, place, distance and why.

use super::SizingInput;
use super::answer::FuseChoice;
use super::fit::{Fit, Fitting};
use super::fuse::Picked;
use super::topology::{Guard, GuardBy};
use crate::circuit::wiring::{LeadRole, Polarity, take_off_terminals};
use crate::cite::{Cite, Status};
use crate::model::bank::Bank;
use crate::model::device::DeviceKind;
use crate::model::lead::Terminal;
use crate::tables::Sourced;
use crate::tables::overcurrent::FuseFamily;
use crate::units::{Current, Interrupt, Length, show};

/// The device of a lead; only plus leads and string leads have one of their own.
pub(super) fn choice(fitting: &Fitting<'_>, fit: &Fit, n: usize) -> Option<FuseChoice> {
    let lead = &fitting.input.wiring.leads[n];
    if lead.polarity == Polarity::Minus {
        return None;
    }
    let at = fitting.topology.guard_of[n]?;
    let picked = fit.devices[at].as_ref()?;
    let guard = &fitting.topology.guards[at];
    let (place, id) = place(fitting.input, guard);
    let (distance, limit) = distance(fitting, guard);
    let mut status = picked.cites.iter().map(|c| c.status).max().unwrap_or(Status::Computed);
    status = status.weaker(fitting.breaks.cite.status);
    status = limit.as_ref().map_or(status, |l| status.weaker(l.cite.status));
    Some(FuseChoice {
        family: told_family(fitting.input, &id, picked, |f| &f.word),
        trade: told_family(fitting.input, &id, picked, |f| &f.trade),
        id,
        rating: Current::amps(picked.rating_a),
        interrupt: Interrupt::amps(picked.interrupt_a),
        rated_volts: picked.rated_volts,
        place,
        distance,
        limit: limit.map(|l| l.value),
        why: why(fitting, fit, at, picked),
        status,
    })
}

/// The family as told: a breaker of no stated kind is a breaker, whatever it is reckoned as.
fn told_family(
    input: &SizingInput<'_>,
    id: &str,
    picked: &Picked,
    says: fn(&FuseFamily) -> &String,
) -> String {
    let device = input.design.device(id);
    let plain = device.is_some_and(|d| d.kind == DeviceKind::Breaker && d.family.is_none());
    if plain {
        return "breaker".to_owned();
    }
    let family = input.tables.overcurrent.family(&picked.family);
    family.map_or_else(|| picked.family.clone(), |f| says(f).clone())
}

/// Rows behind the device of a lead.
pub(super) fn cites(fitting: &Fitting<'_>, fit: &Fit, n: usize) -> Vec<Cite> {
    let Some(at) = fitting.topology.guard_of[n] else {
        return Vec::new();
    };
    let mut all: Vec<Cite> = fit.devices[at].iter().flat_map(|p| p.cites.clone()).collect();
    all.push(fitting.breaks.cite.clone());
    all.push(fitting.input.tables.limits.value("fuse-over-load-min").cite);
    all.push(fitting.rules.ceiling.cite.clone());
    all
}

fn place(input: &SizingInput<'_>, guard: &Guard) -> (String, String) {
    match &guard.by {
        GuardBy::Device(name) => {
            let on = input.design.device(name).and_then(|d| d.mounted_on.as_ref());
            let place = match on {
                Some(terminal) => format!("{name}, mounted on {terminal}"),
                None => format!("{name}, as drawn"),
            };
            (place, name.clone())
        }
        GuardBy::Wanted(n) => {
            let lead = &input.wiring.leads[*n];
            let end = bank_end(input, *n);
            (format!("at {end}, where lead {} leaves the bank", lead.id), String::new())
        }
        GuardBy::StringWanted(n) => {
            let lead = &input.wiring.leads[*n];
            // The string that this link brings in: the outer of two neighbours.
            let post = [&lead.to, &lead.from].into_iter().find(|t| t.block().is_some());
            let post = post.unwrap_or(&lead.from);
            if let (LeadRole::SeriesLink, Some(block)) = (lead.role, post.block()) {
                let post = Bank::string_plus(block.string);
                return (
                    format!("on {post}, between the post and every lead on it"),
                    String::new(),
                );
            }
            (
                format!(
                    "on {post}, between the post and every lead on it, lead {} among them",
                    lead.id
                ),
                String::new(),
            )
        }
    }
}

/// The end of a lead on the take-off, or its start.
fn bank_end<'a>(input: &SizingInput<'a>, n: usize) -> &'a Terminal {
    let lead = &input.wiring.leads[n];
    let plus = input.design.bank().map(|b| take_off_terminals(b).0);
    if plus.as_ref() == Some(&lead.to) { &lead.to } else { &lead.from }
}

/// How far along the conductor the device is from its source, and the longest that is allowed.
fn distance(fitting: &Fitting<'_>, guard: &Guard) -> (Option<Length>, Option<Sourced<Length>>) {
    let settings = fitting.rules.settings;
    let input = fitting.input;
    let of_string = guard.before.iter().all(|n| input.wiring.leads[*n].role.is_link());
    // Only the first device from the bank has a distance to keep; a later one is fed from it.
    if !guard.main && !of_string {
        return (None, None);
    }
    let mut along = Length::ZERO;
    let mut sheathed = true;
    let mut known = true;
    for n in &guard.before {
        let lead = &input.wiring.leads[*n];
        along = along + Length::m(fitting.given[*n].made_m);
        sheathed &= lead.stated.sheathed == Some(true);
        known &= 0.0 < fitting.given[*n].made_m;
    }
    let from_post = match guard.before.first() {
        Some(n) => {
            let lead = &input.wiring.leads[*n];
            [&lead.from, &lead.to].into_iter().any(|t| t.block().is_some())
        }
        None => true,
    };
    let limit = match (sheathed && !guard.before.is_empty(), from_post) {
        (true, true) => settings.fuse_distance_post_sheathed.clone(),
        (true, false) => settings.fuse_distance_sheathed.clone(),
        (false, _) => settings.fuse_distance_bare.clone(),
    };
    let wanted = matches!(guard.by, GuardBy::Wanted(_) | GuardBy::StringWanted(_));
    let distance = (known && !wanted).then_some(along);
    (distance, Some(limit))
}

fn why(fitting: &Fitting<'_>, fit: &Fit, guard: usize, picked: &Picked) -> String {
    let rating = show::current(Current::amps(picked.rating_a));
    let amps = fitting.guard_amps(guard, &fit.flows);
    let asked = fitting.asked(guard, &fit.flows);
    let factor = fitting.input.tables.limits.value("fuse-over-load-min").value;
    let ceiling = fitting.rules.ceiling.share * 100.0;
    let least = show::current(Current::amps(asked.least_a));
    let breaks = if picked.holds { "breaks" } else { "breaks only" };
    let over = if asked.least_a <= picked.rating_a {
        "lies above"
    } else if amps <= picked.rating_a {
        "runs warm and ages: it is under"
    } else {
        "will blow in use: it is under"
    };
    format!(
        "{rating} {over} {least} ({} steady x {}), and a lead behind it may carry no less than \
         {rating} over {} %; the {} {breaks} {} and must break {}: {}.",
        show::current(Current::amps(amps)),
        show::decimal(factor, 2),
        show::decimal(ceiling, 0),
        picked.name,
        show::current(Current::amps(picked.interrupt_a)),
        show::current(Current::amps(asked.break_a)),
        asked.break_says,
    )
}
