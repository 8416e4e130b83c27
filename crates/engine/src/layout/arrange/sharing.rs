//! How strings joined link by link share a draw: the ladder solved in one sweep.

/// Most strings the sweep has room for; a bank of more is not searched.
pub(super) const STRINGS_MAX: usize = 32;

/// The ladder of a bank.
#[derive(Clone, Copy)]
pub(super) struct Ladder<'a> {
    /// Volts at rest of each string.
    pub(super) emf_v: &'a [f64],
    /// Resistance of each string with its series links [ohm].
    pub(super) ohm: &'a [f64],
    /// Resistance of each link between plus ends [ohm].
    pub(super) plus_ohm: f64,
    /// Resistance of each link between minus ends [ohm].
    pub(super) minus_ohm: f64,
    /// Strings from whose plus and minus end the draw is taken.
    pub(super) takeoff: [usize; 2],
    /// The draw [A].
    pub(super) amps: f64,
}

impl Ladder<'_> {
    /// 100 (largest - smallest) / mean of the string currents.
    ///
    /// With `s_k` the sum of the first k+1 string currents, the loop over strings k and k+1 gives
    /// one equation in `s_(k-1)`, `s_k` and `s_(k+1)`: a chain, solved by elimination down and
    /// substitution up.
    pub(super) fn spread_percent(&self) -> f64 {
        let strings = self.ohm.len();
        if strings < 2 || self.amps <= 0.0 {
            return 0.0;
        }
        // Elimination: s_k = upper[k] s_(k+1) + known[k].
        let (mut upper, mut known) = ([0.0; STRINGS_MAX], [0.0; STRINGS_MAX]);
        for k in 0..strings - 1 {
            let drawn = |at: usize, ohm: f64| if at <= k { ohm * self.amps } else { 0.0 };
            let pulled =
                drawn(self.takeoff[0], self.plus_ohm) + drawn(self.takeoff[1], self.minus_ohm);
            let right = self.emf_v[k] - self.emf_v[k + 1] + pulled;
            let round = self.ohm[k] + self.ohm[k + 1] + self.plus_ohm + self.minus_ohm;
            let (before, carried) = if k == 0 { (0.0, 0.0) } else { (upper[k - 1], known[k - 1]) };
            let pivot = round - self.ohm[k] * before;
            upper[k] = self.ohm[k + 1] / pivot;
            known[k] = (right + self.ohm[k] * carried) / pivot;
        }
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        let mut sum = self.amps;
        for k in (0..strings).rev() {
            let before = if k == 0 { 0.0 } else { upper[k - 1] * sum + known[k - 1] };
            let own = sum - before;
            least = least.min(own);
            most = most.max(own);
            sum = before;
        }
        100.0 * (most - least) * super::grid::count_f64(strings) / self.amps
    }
}

#[cfg(test)]
mod tests {
    use super::Ladder;

    #[test]
    fn the_three_string_ladders_of_the_handbook_are_met() {
        // Reference pack, unequal sharing, three strings, block 4 mohm, 0.25 mohm per link of
        // either pole, 100 A: same end 39.6/32.0/28.4, opposite corners 34/32/34 (printed to
        // 0.1 A); the spreads follow from the printed figures, good to 0.3 of a percent.
        for (takeoff, printed) in [([0, 0], 3.0 * (39.6 - 28.4)), ([0, 2], 3.0 * (34.0 - 32.0))] {
            let ladder = Ladder {
                emf_v: &[6.0; 3],
                ohm: &[4.0e-3; 3],
                plus_ohm: 0.25e-3,
                minus_ohm: 0.25e-3,
                takeoff,
                amps: 100.0,
            };
            let got = ladder.spread_percent();
            assert!((got - printed).abs() < 0.35, "{takeoff:?}: {got} against {printed}");
        }
    }

    #[test]
    fn two_strings_of_unlike_resistance_divide_by_hand() {
        // Hand worked: same end, R1 = 3, R2 = 5 with links 1 + 1 in its way: i1 : i2 = 7 : 3,
        // so of 10 A 7 and 3, spread 100 * 4 / 5 = 80.
        let ladder = Ladder {
            emf_v: &[12.0; 2],
            ohm: &[3.0, 5.0],
            plus_ohm: 1.0,
            minus_ohm: 1.0,
            takeoff: [0, 0],
            amps: 10.0,
        };
        assert!((ladder.spread_percent() - 80.0).abs() < 1e-9, "{}", ladder.spread_percent());
    }

    #[test]
    fn a_fuller_string_gives_more() {
        // Hand worked: no links, R = 1 each, 1 V more in the first: it gives half an ampere more
        // than the mean of 5 A, the other half an ampere less: spread 100 * 1 / 5 = 20.
        let ladder = Ladder {
            emf_v: &[13.0, 12.0],
            ohm: &[1.0, 1.0],
            plus_ohm: 0.0,
            minus_ohm: 0.0,
            takeoff: [0, 1],
            amps: 10.0,
        };
        assert!((ladder.spread_percent() - 20.0).abs() < 1e-9, "{}", ladder.spread_percent());
    }
}
