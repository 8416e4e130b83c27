//! The share of the strings when something of the wiring is changed and nothing else.
//!
//! A rule that recommends a move solves it first. Layout and sizes are kept; only the wiring is
//! rebuilt, so a trial costs one factoring of a small network.

use super::context::{CheckError, Context};
use crate::circuit::netlist::{Fitted, LeadOhms, Netlist};
use crate::circuit::network::{Element, Injection};
use crate::circuit::share::{Draw, MainConsumer, Share, ShareInput};
use crate::circuit::wiring::{LeadRole, Wiring};
use crate::cite::Status;
use crate::model::bank::{BlockId, TakeOff};
use crate::model::design::Design;
use crate::model::lead::Terminal;
use crate::units::Current;

/// What each string carries; positive leaves the bank.
#[derive(Clone, Debug, PartialEq)]
pub struct Strings {
    /// Amps by string, A first.
    pub amps: Vec<f64>,
}

impl Strings {
    /// How much more than the mean the hardest worked string carries, as a share of the mean.
    ///
    /// # Formula
    /// s = max(|I|) / |mean(I)| - 1
    /// # Symbols
    /// - I, amps of each string [A]
    /// - returns s; nothing when there are no strings or no current
    /// # Valid
    /// Any direction of current.
    /// # Source
    /// practice, rule R01, threshold, practice
    /// # Checked by
    /// hand worked in the tests of this file; it cannot detect a wrong network
    #[must_use]
    pub fn over_mean(&self) -> f64 {
        let mut total = 0.0;
        let mut count = 0.0;
        for amps in &self.amps {
            total += amps;
            count += 1.0;
        }
        let mean = f64::abs(total / count);
        if self.amps.len() < 2 || mean < 1e-9 {
            return 0.0;
        }
        self.amps.iter().map(|a| a.abs()).fold(0.0, f64::max) / mean - 1.0
    }

    /// The string that carries most.
    #[must_use]
    pub fn hardest(&self) -> u32 {
        let mut hardest = (0_u32, 0.0);
        for (string, amps) in (0_u32..).zip(&self.amps) {
            if amps.abs() > hardest.1 {
                hardest = (string, amps.abs());
            }
        }
        hardest.0
    }

    /// The amps as a person reads them: `50/48/50 A`.
    #[must_use]
    pub fn shown(&self) -> String {
        let amps: Vec<String> =
            self.amps.iter().map(|a| crate::units::show::fixed(a.abs(), 0)).collect();
        format!("{} A", amps.join("/"))
    }
}

/// Resistances of the leads of a changed wiring, by lead name and role.
pub type OhmsOf<'a> = &'a dyn Fn(&str, LeadRole) -> LeadOhms;

/// Solves the strings of a changed design with a current drawn at its take-off.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn strings_of(
    cx: &Context<'_>,
    design: &Design,
    ohms: OhmsOf<'_>,
    draw: Current,
) -> Result<Strings, CheckError> {
    let wiring = Wiring::of(design);
    let all: Vec<LeadOhms> = wiring.leads.iter().map(|l| ohms(&l.id, l.role)).collect();
    let netlist = Netlist::of(design, &wiring, &cx.study.facts, &all, &Fitted::ALL);
    let Some(bank) = netlist.bank else {
        return Ok(Strings { amps: Vec::new() });
    };
    let factored = netlist.network.factor()?;
    let device = Injection {
        name: "take-off".to_owned(),
        from: bank.plus,
        to: bank.minus,
        amp: draw.as_amps(),
    };
    let solution = factored.solve_with(std::slice::from_ref(&device))?;
    let first = |id: &BlockId| id.place == 0;
    let amps = netlist.blocks.iter().filter(|(id, _)| first(id)).map(|(id, element)| {
        let plus = netlist.nodes.get(&Terminal::plus(*id)).copied();
        let turned = match netlist.network.element(*element) {
            Element::Source(source) => Some(source.plus) != plus,
            Element::Resistance(_) | Element::Injection(_) => false,
        };
        let amps = solution.current_a(*element);
        if turned { -amps } else { amps }
    });
    Ok(Strings { amps: amps.collect() })
}

/// The whole share of the bank with another take-off, the same current drawn there.
///
/// # Errors
/// When the network has no answer; the error names the part.
pub fn share_with(cx: &Context<'_>, takeoff: &TakeOff, draw: Current) -> Result<Share, CheckError> {
    let design = with_take_off(cx.design(), takeoff);
    let wiring = Wiring::of(&design);
    let all: Vec<LeadOhms> =
        wiring.leads.iter().map(|l| ohms_as_studied(cx, &l.id, l.role)).collect();
    let netlist = Netlist::of(&design, &wiring, &cx.study.facts, &all, &Fitted::ALL);
    let consumer = MainConsumer { device: None, cut_off: None };
    let input = ShareInput {
        design: &design,
        wiring: &wiring,
        netlist: &netlist,
        consumer: &consumer,
        status: Status::Computed,
    };
    Ok(Share::of(&input, &Draw::Amps(draw))?)
}

/// The resistance a lead has in the study, or that of a like lead where it is new.
///
/// A new lead to a busbar is taken as a parallel link of the bank as it stands; where there is
/// none, as the first lead of all. Every such lead gets the same figure, which is what "equal
/// leads" means.
#[must_use]
pub fn ohms_as_studied(cx: &Context<'_>, id: &str, role: LeadRole) -> LeadOhms {
    let leads = &cx.study.wiring.leads;
    let find = |wanted: &dyn Fn(&str, LeadRole) -> bool| {
        let at = leads.iter().position(|l| wanted(&l.id, l.role))?;
        cx.study.ohms.get(at).copied()
    };
    let of_string = |r: LeadRole| matches!(r, LeadRole::StringPlus | LeadRole::StringMinus);
    let of_row = |r: LeadRole| matches!(r, LeadRole::PlusLink | LeadRole::MinusLink);
    let own = find(&|i, r| i == id && (r == role || of_row(r) == of_row(role)));
    let like = || find(&|_, r| (of_string(role) && of_row(r)) || (of_row(role) && of_string(r)));
    let any = || cx.study.ohms.first().copied();
    let none = LeadOhms { from_joint: 0.0, conductor: 1e-6, to_joint: 0.0 };
    if of_string(role) && !leads.iter().any(|l| of_string(l.role)) {
        return like().or_else(any).unwrap_or(none);
    }
    own.or_else(like).or_else(any).unwrap_or(none)
}

/// The design with another take-off.
#[must_use]
pub fn with_take_off(design: &Design, takeoff: &TakeOff) -> Design {
    let mut changed = design.clone();
    for bank in &mut changed.banks {
        bank.takeoff = takeoff.clone();
    }
    changed
}

#[cfg(test)]
mod tests {
    use super::Strings;

    #[test]
    fn the_hardest_worked_string_is_set_against_the_mean() {
        // Hand worked: the mean of 55, 48 and 44 is 49, and 55 / 49 is 1.1224.
        let strings = Strings { amps: vec![55.0, 48.0, 44.0] };
        assert!((strings.over_mean() - 0.122_449).abs() < 1e-6, "{}", strings.over_mean());
        assert_eq!(strings.hardest(), 0, "A");
        let charging = Strings { amps: vec![-20.0, -31.0] };
        assert_eq!(charging.hardest(), 1, "the sign does not matter");
        assert!(Strings { amps: vec![5.0] }.over_mean().abs() < 1e-12, "one string has no other");
    }
}
