//! Why a lead has its size, in one sentence with the numbers that made it so.

use super::ampacity::Allowed;
use super::fit::{Fitted, Reason};
use super::rules::Rules;
use crate::tables::Tables;
use crate::units::conductor::ConductorSize;
use crate::units::{Current, show};

/// What the sentence is made from.
pub(super) struct Story<'a> {
    pub(super) tables: &'a Tables,
    pub(super) rules: &'a Rules<'a>,
    pub(super) fitted: &'a Fitted,
    /// The smallest size that holds.
    pub(super) smallest: ConductorSize,
    /// What that size may carry.
    pub(super) allowed: Option<&'a Allowed>,
    /// The owner decided the size.
    pub(super) decided: bool,
}

/// The limit that decided, in the words of the answer.
pub(super) fn governed_by(reason: &Reason, decided: bool) -> &'static str {
    if decided {
        return "owner";
    }
    match reason {
        Reason::SmallestAllowed => "smallest allowed",
        Reason::Current => "continuous current",
        Reason::Fuse { .. } => "fuse",
        Reason::Short { .. } => "short circuit",
        Reason::Drop { .. } => "voltage drop",
        Reason::Partners => "equal partners",
        Reason::Bond => "bond",
        Reason::None(_) => "no listed size",
    }
}

impl Story<'_> {
    /// Nothing is known to flow here, and the lead is no bond, which carries nothing by design.
    fn is_idle(&self) -> bool {
        self.fitted.amps.amps <= 0.0 && self.fitted.reason != Reason::Bond
    }

    pub(super) fn tell(&self) -> String {
        let mut needed = self.needed();
        // A size from no current would be taken for an answer.
        if self.is_idle() && !self.decided {
            needed = format!(
                "Not sized for a load: {}. Write what hangs on it, and join it to the bank, \
                 before you buy. As far as it is known: {needed}",
                self.fitted.amps.why
            );
        }
        if !self.decided {
            return needed;
        }
        format!("{} by the owner's decision. {needed}", self.fitted.size)
    }

    fn steady(&self) -> String {
        let amps = Current::amps(self.fitted.amps.amps);
        format!("{} steady ({})", show::current(amps), self.fitted.amps.why)
    }

    fn table(&self) -> String {
        let cite = self.allowed.and_then(|a| a.cites.first());
        let source = cite.and_then(|c| self.tables.sources.get(&c.key));
        source.map_or_else(|| "the practice's table".to_owned(), |s| s.title.clone())
    }

    fn carries(&self) -> String {
        self.allowed.map_or_else(|| "no figure".to_owned(), |a| a.says.clone())
    }

    fn needed(&self) -> String {
        let size = self.smallest;
        match &self.fitted.reason {
            Reason::SmallestAllowed if self.is_idle() => {
                format!("{size} is the smallest size allowed.")
            }
            Reason::SmallestAllowed => format!(
                "{}: the smallest size allowed, {size}, carries it by {} ({}).",
                self.steady(),
                self.table(),
                self.carries()
            ),
            Reason::Current => {
                format!("{} needs {size} by {} ({}).", self.steady(), self.table(), self.carries())
            }
            Reason::Fuse { rating_a, name } => self.by_fuse(*rating_a, name),
            Reason::Short { fault_a, time, area_mm2 } => format!(
                "A short at its far end drives {} for up to {} s: only {} mm² or more of copper \
                 survives that, so {size}.",
                show::current(Current::amps(*fault_a)),
                show::decimal(time.as_seconds(), 2),
                show::decimal(*area_mm2, 1)
            ),
            Reason::Drop { device, allowed, percent, proven } => {
                let share = percent.map_or(String::new(), |p| {
                    let volts = show::decimal(self.rules.nominal_v, 1);
                    format!(" ({}\u{a0}% of {volts}\u{a0}V)", show::decimal(p, 1))
                });
                let least = if *proven { "the least copper" } else { "the least copper found" };
                format!(
                    "{}: {size} is its part of {least} that keeps the way to {device} and back \
                     within {}{share}.",
                    self.steady(),
                    show::voltage(*allowed)
                )
            }
            Reason::Partners => format!(
                "{size}, as thick as its partners: links that share a current must be alike and \
                 no thinner than the main leads, series links at most one size smaller."
            ),
            Reason::Bond => format!(
                "{size}: a bonding lead carries no steady current, but in a fault all that a main \
                 lead can, so it is no thinner than those."
            ),
            Reason::None(what) => format!(
                "{}: no listed size holds for {what}; {size} is the largest there is.",
                self.steady()
            ),
        }
    }

    fn by_fuse(&self, rating_a: f64, name: &str) -> String {
        let share = self.rules.ceiling.share;
        let most = self.allowed.map_or(0.0, |a| a.amps * share);
        let over = if self.rules.ceiling.next_size_up { ", or the next stock rating" } else { "" };
        format!(
            "The {} {name} guards it: {} ({}) allows a fuse up to {}{over}.",
            show::current(Current::amps(rating_a)),
            self.smallest,
            self.carries(),
            show::current(Current::amps(most))
        )
    }
}
