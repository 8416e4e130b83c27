//! How long a charge source takes from half to full, and whether it ever gets there.

use crate::number::exp;
use crate::tables::Tables;

/// What a bank takes of the amps it is offered.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Acceptance {
    /// Amp-hours of the bank at its 20 h rate [Ah].
    pub amp_hours: f64,
    /// A tenth of its amp-hours at the 10 h rate [A].
    pub ten_hour_amps: f64,
    /// Lead and acid; otherwise LFP.
    pub lead: bool,
}

/// A charge from one state of charge to another at constant amps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Charge {
    /// Amps of the source [A].
    pub source_a: f64,
    /// Amps that loads take at the same time [A].
    pub load_a: f64,
    /// State of charge at the start, 0 to 1.
    pub from: f64,
    /// State of charge at which it counts as done, 0 to 1.
    pub to: f64,
    /// Hours after which it counts as endless [h].
    pub hours_most: f64,
}

/// What becomes of a charge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TimeToFull {
    /// Done after so many hours [h].
    Hours(f64),
    /// Not done after all the hours given; the state of charge then, 0 to 1.
    Never(f64),
}

/// Share of the amps going into a lead cell that stays in it as charge.
///
/// # Formula
/// e = 1 - exp(a (S - 1) / (I / I10 + b))
/// # Symbols
/// - `soc`: S, state of charge, 0 to 1 [1]
/// - `amps`: I, current into the bank, above zero [A]
/// - `ten_hour_amps`: I10, a tenth of the amp-hours at the 10 h rate [A]
/// - a, b: the two rows `charge-acceptance-slope` and `-base` [1]
/// - returns e [1]
/// # Valid
/// Lead and acid near 25 C. At S = 1 nothing stays: all of it makes gas.
/// # Source
/// copetti-1993, coefficients in `data/rules/limits.csv`, status recalled
/// # Checked by
/// `the_share_that_stays_falls_near_full`; the four printed points were worked out from the same
/// formula, so they cannot detect a coefficient that is remembered wrongly
#[must_use]
pub fn share_that_stays(tables: &Tables, soc: f64, amps: f64, ten_hour_amps: f64) -> f64 {
    let slope = tables.limits.value("charge-acceptance-slope").value;
    let base = tables.limits.value("charge-acceptance-base").value;
    1.0 - exp(slope * (soc - 1.0) / (amps / ten_hour_amps + base))
}

/// Hours that a constant source needs, the bank taking no more than it can.
///
/// # Formula
/// dq/dt = e min(Is - Il, C - q) for lead, e min(Is - Il, (C - q) / h) for LFP
/// # Symbols
/// - `acceptance`: C, amp-hours [Ah]; e, the share that stays [1]
/// - `charge`: Is, source [A]; Il, loads [A]; from and to, states of charge [1]
/// - q, charge in the bank [Ah]; h, one hour shared by the last amp-hours of an LFP bank [h]
/// - returns hours, or the state of charge reached when the hours are over
/// # Valid
/// Lead: the amp-hour law, no more amps than amp-hours missing. LFP keeps its amps until the last
/// moment; a tenth of an hour stands for its short tail. A source whose volts are too low for the
/// bank is not told apart here, see rule R32.
/// # Source
/// golf-cart-data-page and the amp-hour law of 1935 (read), with `share_that_stays` (recalled);
/// integrated in steps of 1/200 h, computed
/// # Checked by
/// `the_hours_of_the_reference_are_met`: a 450 Ah bank from half to 98 %. They cannot detect a cold
/// or aged bank
#[must_use]
pub fn time_to_full(tables: &Tables, acceptance: Acceptance, charge: Charge) -> TimeToFull {
    // Half a hundredth of an hour moves none of the reference's hours by more than 0.02.
    const STEP_H: f64 = 0.005;
    // LFP takes its amps until a tenth of an hour's worth is missing.
    const LFP_TAIL_H: f64 = 0.1;
    let full_ah = acceptance.amp_hours;
    let wanted_ah = charge.to * full_ah;
    let net_a = (charge.source_a - charge.load_a).max(0.0);
    let lfp = tables.limits.value("charge-efficiency-lfp").value;
    let (mut now_ah, mut hours) = (charge.from * full_ah, 0.0);
    while hours < charge.hours_most {
        if wanted_ah <= now_ah {
            return TimeToFull::Hours(hours);
        }
        let missing_ah = full_ah - now_ah;
        let (amps, share) = if acceptance.lead {
            let amps = net_a.min(missing_ah);
            let soc = now_ah / full_ah;
            (amps, share_that_stays(tables, soc, amps, acceptance.ten_hour_amps))
        } else {
            (net_a.min(missing_ah / LFP_TAIL_H), lfp)
        };
        now_ah += amps * share * STEP_H;
        hours += STEP_H;
    }
    TimeToFull::Never(now_ah / full_ah)
}

/// Amps a lead bank still takes after absorption was held for so many hours.
///
/// # Formula
/// dq/dt = e (C - q), from C - q = Is
/// # Symbols
/// - `acceptance`: C, amp-hours [Ah]; e, the share that stays [1]
/// - `source_a`: Is, source, whose amps last until the bank takes no more [A]
/// - `hours`: time for which absorption is held [h]
/// - returns C - q, which is the amps by the amp-hour law [A]
/// # Valid
/// Lead, nothing running meanwhile. What is missing and the amps are one number by that law.
/// # Source
/// golf-cart-data-page and the amp-hour law of 1935 (read), with `share_that_stays` (recalled);
/// integrated in steps of 1/200 h, computed
/// # Checked by
/// `a_held_bank_takes_less_and_less`; it cannot detect a sulphated bank, which takes less
#[must_use]
pub fn amps_after_hold(tables: &Tables, acceptance: Acceptance, source_a: f64, hours: f64) -> f64 {
    const STEP_H: f64 = 0.005;
    let full_ah = acceptance.amp_hours;
    let mut missing_ah = source_a.min(full_ah);
    let mut held_h = 0.0;
    while held_h < hours.min(1000.0) {
        let soc = 1.0 - missing_ah / full_ah;
        let share = share_that_stays(tables, soc, missing_ah, acceptance.ten_hour_amps);
        missing_ah -= missing_ah * share * STEP_H;
        held_h += STEP_H;
    }
    missing_ah
}

#[cfg(test)]
mod tests {
    use super::{Acceptance, Charge, TimeToFull, amps_after_hold, share_that_stays, time_to_full};
    use crate::tables::Tables;

    fn tables() -> Tables {
        Tables::load().expect("the tables are well formed")
    }

    /// 450 Ah in GC2 blocks: 207 Ah at 10 h for 225 Ah at 20 h, so 41.4 A is a tenth of 414 Ah.
    const BANK: Acceptance = Acceptance { amp_hours: 450.0, ten_hour_amps: 41.4, lead: true };

    fn charge(source_a: f64, load_a: f64) -> TimeToFull {
        let charge = Charge { source_a, load_a, from: 0.5, to: 0.98, hours_most: 48.0 };
        time_to_full(&tables(), BANK, charge)
    }

    #[test]
    fn the_share_that_stays_falls_near_full() {
        let tables = tables();
        // At the 10 h rate, as worked out for the reference: .9988, .9311, .7375, .4876.
        for (soc, want) in [(0.5, 0.9988), (0.8, 0.9311), (0.9, 0.7375), (0.95, 0.4876)] {
            let got = share_that_stays(&tables, soc, 41.4, 41.4);
            assert!((got - want).abs() < 5e-5, "at {soc}: {got} and not {want}");
        }
        assert!(share_that_stays(&tables, 1.0, 10.0, 41.4).abs() < 1e-12, "full takes nothing");
    }

    #[test]
    fn the_hours_of_the_reference_are_met() {
        // Reference pack on charging: 50 to 98 %, hours to one decimal; the tenth of an hour covers
        // its rounding and the step.
        for (source, load, want) in [
            (10.0, 0.0, 23.2),
            (22.5, 0.0, 11.3),
            (45.0, 0.0, 7.1),
            (90.0, 0.0, 5.4),
            (10.0, 5.0, 45.5),
        ] {
            let TimeToFull::Hours(hours) = charge(source, load) else {
                panic!("{source} A less {load} A gets there");
            };
            assert!((hours - want).abs() < 0.1, "{source} A less {load} A: {hours} h not {want}");
        }
        // 8 A with a 5 A load: 82 % after 48 hours.
        let TimeToFull::Never(at) = charge(8.0, 5.0) else {
            panic!("8 A less 5 A does not get there");
        };
        assert!((at - 0.82).abs() < 0.005, "{at}");
        assert_eq!(charge(5.0, 6.0), TimeToFull::Never(0.5), "less than the load never charges");
    }

    #[test]
    fn a_held_bank_takes_less_and_less() {
        let tables = tables();
        let after = |hours: f64| amps_after_hold(&tables, BANK, 45.0, hours);
        assert!((after(0.0) - 45.0).abs() < 1e-9, "all of it at the start");
        assert!(after(2.0) < after(1.0) && after(8.0) < after(2.0), "it falls");
        // Were all of it to stay, one hour would leave 1/e of 45 A: 16.6 A. Less stays.
        assert!(16.6 < after(1.0), "{}", after(1.0));
    }

    #[test]
    fn lithium_takes_its_amps_to_the_end() {
        // Hand worked: 200 Ah from half to 98 % at 28 A and 0.99: 96 / 27.72 = 3.46 h; the tail
        // begins at 2.8 Ah missing, under the last 2 %.
        let bank = Acceptance { amp_hours: 200.0, ten_hour_amps: 20.0, lead: false };
        let charge = Charge { source_a: 28.0, load_a: 0.0, from: 0.5, to: 0.98, hours_most: 48.0 };
        let TimeToFull::Hours(hours) = time_to_full(&tables(), bank, charge) else {
            panic!("it gets there");
        };
        assert!((hours - 3.46).abs() < 0.02, "{hours}");
    }
}
