//! What an owner works out on the back of an envelope: the rule of thumb that the simulation is shown beside.

use crate::tables::Tables;

/// Some nights unplugged, as the envelope sees them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outing {
    /// What the loads take in a day [Wh].
    pub daily_wh: f64,
    /// Nights unplugged.
    pub nights: f64,
    /// Watts on the label of all panels [W].
    pub array_w: f64,
    /// Sun hours a day.
    pub sun_h: f64,
    /// Amp-hours on the label of the bank [Ah].
    pub bank_ah: f64,
    /// Nominal volts of the bank [V].
    pub nominal_v: f64,
}

/// Amp-hours that some nights take out of the bank, less what the sun gives back.
///
/// # Formula
/// A = n (E/(12.2 V s) - 0.7 W h/(12.8 V s)), s = nominal volts / 12
/// # Symbols
/// - `outing`: n nights, E daily energy [Wh], W panel watts, h sun hours
/// - returns A; negative where the sun gives more than the loads take [Ah]
/// # Valid
/// An average: no dull spell, no rate, no cold, no cut-off, no limit to what a full bank takes.
/// # Source
/// practice, no source: the four rows `hand-*` of `data/rules/limits.csv`
/// # Checked by
/// the worked trailer demo of four October nights, hand worked
#[must_use]
pub fn amp_hours_out(tables: &Tables, outing: Outing) -> f64 {
    let limit = |id: &str| tables.limits.value(id).value;
    let scale = outing.nominal_v / 12.0;
    let load = outing.daily_wh / (limit("hand-load-volts") * scale);
    let sun = limit("hand-sun-share") * outing.array_w * outing.sun_h;
    outing.nights * (load - sun / (limit("hand-sun-volts") * scale))
}

/// How deep some nights empty the bank, as a share of its label.
///
/// # Formula
/// d = A/C
/// # Symbols
/// - `outing`: A as above, C amp-hours of the label
/// - returns d; over one where the label does not hold it, never below zero [1]
/// # Valid
/// As `amp_hours_out`.
/// # Source
/// practice, no source
/// # Checked by
/// the worked trailer demo of four October nights, hand worked
#[must_use]
pub fn depth(tables: &Tables, outing: Outing) -> f64 {
    (amp_hours_out(tables, outing) / outing.bank_ah).max(0.0)
}

/// Generator hours that keep the bank at half or above.
///
/// # Formula
/// t = (A - C/2)/(0.9 I)
/// # Symbols
/// - `outing`: A, C as above
/// - `charger_a`: I, amps of the charger [A]
/// - returns t, never below zero [h]
/// # Valid
/// While the bank takes all the charger gives, below about 80 % of charge.
/// # Source
/// practice, no source
/// # Checked by
/// the worked trailer demo: 6.9 h alone, 2.4 h with 380 Ah and 400 W, 41 A, hand worked
#[must_use]
pub fn generator_h(tables: &Tables, outing: Outing, charger_a: f64) -> f64 {
    let over = amp_hours_out(tables, outing) - outing.bank_ah / 2.0;
    (over / (tables.limits.value("hand-generator-share").value * charger_a)).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::{Outing, depth, generator_h};
    use crate::tables::Tables;

    /// The trailer demo: 1,651 Wh a day, four October nights.
    fn demo(bank_ah: f64, array_w: f64, sun_h: f64) -> Outing {
        Outing { daily_wh: 1651.0, nights: 4.0, array_w, sun_h, bank_ah, nominal_v: 12.0 }
    }

    #[test]
    fn four_october_nights_of_the_trailer() {
        let t = Tables::load().expect("the tables are well formed");
        // Hand worked: 4 x 1651/12.2 = 541.3 Ah out; 400 W x 3 h x 0.7/12.8 x 4 = 262.5 Ah back.
        // The scenario prints whole percent, so one point is its rounding and ours.
        for (bank, watts, sun, percent) in [
            (570.0, 0.0, 3.0, 95.0),
            (380.0, 400.0, 3.0, 73.0),
            (570.0, 400.0, 3.0, 49.0),
            (380.0, 800.0, 3.0, 4.0),
            (570.0, 400.0, 1.0, 80.0),
            (380.0, 800.0, 1.0, 97.0),
        ] {
            let got = depth(&t, demo(bank, watts, sun)) * 100.0;
            assert!((got - percent).abs() <= 1.0, "{bank} Ah, {watts} W, {sun} h: {got} %");
        }
        // The verdict turns with the trees: more panels win in the open, more bank in the shade.
        let open = (depth(&t, demo(380.0, 800.0, 3.0)), depth(&t, demo(570.0, 400.0, 3.0)));
        let shade = (depth(&t, demo(380.0, 800.0, 1.0)), depth(&t, demo(570.0, 400.0, 1.0)));
        assert!(open.0 < open.1 && shade.1 < shade.0, "{open:?} and {shade:?}");
    }

    #[test]
    fn generator_hours_of_the_trailer() {
        let t = Tables::load().expect("the tables are well formed");
        for (bank, watts, hours) in [(570.0, 0.0, 6.9), (380.0, 400.0, 2.4), (570.0, 400.0, 0.0)] {
            let got = generator_h(&t, demo(bank, watts, 3.0), 41.0);
            assert!((got - hours).abs() < 0.06, "{bank} Ah, {watts} W: {got} h");
        }
    }
}
