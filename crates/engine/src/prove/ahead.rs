//! What a reading is worth when others are still to come: the chance that the truth stands among
//! the first few lines of the list once all that are planned are taken.
//!
//! One step is looked ahead. A search through every reading that may follow, to the last, found the
//! truth no more often on the bench of `prove` and took three times as long.

use crate::number::ln;

/// Edges between which the outcomes of a reading are told apart, in its own spreads from what a
/// sound rig shows; the same on the other side of nothing.
const EDGES: [f64; 11] = [0.5, 1.5, 2.5, 4.0, 6.0, 9.0, 14.0, 25.0, 50.0, 120.0, 400.0];
/// The outcome in which the work stops on the way to the reading, where a gap shows volts.
const STOPPED: usize = 2 * EDGES.len() + 1;
const BINS: usize = STOPPED + 1;
/// The first few lines, once all readings are taken. Each reading still to come may halve what is
/// left, so that twice as many may be left before it.
const FIRST: usize = 3;
/// What a bit is worth beside the chance to have the truth among the first few: it parts readings
/// that are equal in that.
const GAIN_WORTH: f64 = 0.05;
/// What it is worth to know that the bank may be closed and loaded, where that is not known: most
/// readings that tell where a fault is are taken under load.
const SAFE_WORTH: f64 = 0.5;

/// A cause in one size.
pub(super) struct Cause {
    /// The suspect it belongs to; 0 when nothing is wrong.
    pub(super) suspect: usize,
    /// The line of the list on which that stands: the two joints of a lead share one.
    pub(super) line: usize,
    /// Its odds.
    pub(super) odds: f64,
    /// Spread of the logarithm of its size.
    pub(super) spread: f64,
    /// Nothing may be closed or loaded while it is likely.
    pub(super) gate: bool,
}

/// A reading that may be taken.
pub(super) struct Open {
    /// It may be taken before the bank is known to be safe.
    pub(super) early: bool,
    /// By each cause, how many spreads it would lie from what a sound rig shows; nothing where the
    /// work stops on the way to it.
    pub(super) off: Vec<Option<f64>>,
}

/// What a reading is worth.
#[derive(Clone, Copy)]
pub(super) struct Worth {
    /// By this readings are compared.
    pub(super) worth: f64,
    /// How much it tells of which suspect it is [bit].
    pub(super) gain_bits: f64,
}

/// Everything that may be so, line by line.
pub(super) struct Field {
    /// Causes, in the order of their lines and suspects.
    pub(super) causes: Vec<Cause>,
    /// The readings.
    pub(super) open: Vec<Open>,
    /// Gates may be no likelier than this before the bank is closed or loaded; under nothing where a
    /// gap shows volts.
    pub(super) safe_odds: f64,
}

impl Field {
    /// What each reading is worth with so many others to come after it; nothing for one that may not
    /// be taken yet.
    pub(super) fn worths(&self, to_come: usize) -> Vec<Option<Worth>> {
        let gates: f64 = self.causes.iter().filter(|c| c.gate).map(|c| c.odds).sum();
        let safe = gates <= self.safe_odds;
        let few = FIRST << to_come;
        let worth = |open: &Open| {
            (safe || open.early).then(|| {
                let shares = self.shares(open);
                let gain_bits = gain(&summed(&shares, |c| self.causes[c].suspect));
                let lines = summed(&shares, |c| self.causes[c].line);
                let known = if safe { 0.0 } else { SAFE_WORTH * self.known_safe(&shares) };
                Worth {
                    worth: among_first(&lines, few) + GAIN_WORTH * gain_bits + known,
                    gain_bits,
                }
            })
        };
        self.open.iter().map(worth).collect()
    }

    /// How likely a reading shows what, by cause.
    fn shares(&self, open: &Open) -> Vec<[f64; BINS]> {
        let share = |(cause, off): (&Cause, &Option<f64>)| {
            let mut bins = [0.0; BINS];
            match off {
                Some(off) => put(&mut bins, *off, cause),
                None => bins[STOPPED] = cause.odds,
            }
            bins
        };
        self.causes.iter().zip(&open.off).map(share).collect()
    }

    /// The chance that after the reading the bank may be closed and loaded.
    fn known_safe(&self, shares: &[[f64; BINS]]) -> f64 {
        let mut sum = 0.0;
        for bin in 0..STOPPED {
            let whole: f64 = shares.iter().map(|s| s[bin]).sum();
            let gates: f64 =
                shares.iter().zip(&self.causes).filter(|s| s.1.gate).map(|s| s.0[bin]).sum();
            if gates <= self.safe_odds * whole {
                sum += whole;
            }
        }
        sum
    }
}

/// The shares of causes that have the same name, added up; they stand side by side.
fn summed(shares: &[[f64; BINS]], name: impl Fn(usize) -> usize) -> Vec<[f64; BINS]> {
    let mut sums: Vec<[f64; BINS]> = Vec::new();
    let mut last = usize::MAX;
    for (cause, share) in shares.iter().enumerate() {
        if name(cause) != last {
            last = name(cause);
            sums.push([0.0; BINS]);
        }
        if let Some(sum) = sums.last_mut() {
            sum.iter_mut().zip(share).for_each(|(sum, part)| *sum += part);
        }
    }
    sums
}

/// How much a reading tells of which it is [bit].
fn gain(mass: &[[f64; BINS]]) -> f64 {
    let mut all = [0.0; BINS];
    let mut inner = 0.0;
    for bins in mass {
        let whole: f64 = bins.iter().sum();
        inner += bins.iter().map(|p| weigh(*p)).sum::<f64>() - weigh(whole);
        for (sum, part) in all.iter_mut().zip(bins) {
            *sum += part;
        }
    }
    (inner - all.iter().map(|p| weigh(*p)).sum::<f64>()) / ln(2.0)
}

/// The chance that the truth is among so many of the likeliest, once the reading is taken.
fn among_first(mass: &[[f64; BINS]], few: usize) -> f64 {
    let mut sum = 0.0;
    let mut here = Vec::with_capacity(mass.len());
    for bin in 0..BINS {
        here.clear();
        here.extend(mass.iter().map(|bins| bins[bin]).filter(|p| 0.0 < *p));
        if few < here.len() {
            here.select_nth_unstable_by(few, |a, b| b.total_cmp(a));
        }
        sum += here.iter().take(few).sum::<f64>();
    }
    sum
}

/// p ln p.
fn weigh(p: f64) -> f64 {
    if p > 0.0 { p * ln(p) } else { 0.0 }
}

/// Spreads the odds of a cause over the outcomes round `off`.
fn put(bins: &mut [f64; BINS], off: f64, cause: &Cause) {
    let wide = (1.0 + (cause.spread * off) * (cause.spread * off)).sqrt();
    let middle = EDGES.len();
    let edge = |index: usize| {
        if index < middle { -EDGES[middle - 1 - index] } else { EDGES[index - middle] }
    };
    let mut below = 0.0;
    for (index, bin) in bins.iter_mut().enumerate().take(STOPPED) {
        let up_to = if index < 2 * middle { under((edge(index) - off) / wide) } else { 1.0 };
        *bin += cause.odds * (up_to - below);
        below = up_to;
        if 1.0 <= up_to {
            break;
        }
    }
}

/// The share of a bell under a height; a polynomial near enough to the Gaussian, and quick.
fn under(height: f64) -> f64 {
    let u = (height / 2.6).clamp(-1.0, 1.0);
    let square = u * u;
    0.5 + u * (15.0 - square * (10.0 - 3.0 * square)) / 16.0
}

#[cfg(test)]
mod tests {
    use super::{Cause, Field, Open};

    /// Nothing wrong, and four causes on lines of their own, equally likely.
    fn causes() -> Vec<Cause> {
        (0..5)
            .map(|n| Cause { suspect: n, line: n, odds: 0.2, spread: 0.0, gate: n == 4 })
            .collect()
    }

    fn open(early: bool, off: [f64; 5]) -> Open {
        Open { early, off: off.map(Some).to_vec() }
    }

    #[test]
    fn a_reading_that_halves_what_is_left_is_worth_more_than_one_that_shows_a_single_cause() {
        let halves = open(true, [0.0, 0.0, 0.0, 100.0, 100.0]);
        let single = open(true, [0.0, 0.0, 0.0, 0.0, 100.0]);
        let field = Field { causes: causes(), open: vec![halves, single], safe_odds: 1.0 };
        let worths: Vec<_> = field.worths(0).into_iter().flatten().collect();
        // Three of three and two of two, by hand: all of it. Else three of four, and the one: 0.8.
        assert!((worths[0].worth - 0.05 * worths[0].gain_bits - 1.0).abs() < 1e-9, "halved");
        assert!((worths[1].worth - 0.05 * worths[1].gain_bits - 0.8).abs() < 1e-9, "single");
        // Two fifths against three: 0.971 bit, by hand.
        assert!((worths[0].gain_bits - 0.971).abs() < 1e-3, "{}", worths[0].gain_bits);
    }

    #[test]
    fn nothing_under_load_is_asked_for_while_a_gate_is_likely_and_what_clears_it_comes_first() {
        let load = open(false, [0.0, 0.0, 100.0, 100.0, 0.0]);
        let tells = open(true, [0.0, 0.0, 100.0, 100.0, 0.0]);
        let clears = open(true, [0.0, 0.0, 0.0, 0.0, 100.0]);
        let field = Field { causes: causes(), open: vec![load, tells, clears], safe_odds: 0.05 };
        let worths = field.worths(2);
        assert!(worths[0].is_none(), "under load");
        let worth = |n: usize| worths[n].map_or(0.0, |w| w.worth);
        assert!(worth(1) < worth(2), "{} {}", worth(1), worth(2));
    }

    #[test]
    fn where_the_work_stops_on_the_way_that_tells_too() {
        let mut stops = open(true, [0.0; 5]);
        stops.off[4] = None;
        let field = Field { causes: causes(), open: vec![stops], safe_odds: 1.0 };
        let told = field.worths(0)[0].map_or(0.0, |w| w.gain_bits);
        // One fifth told from four: 0.722 bit, by hand.
        assert!((told - 0.722).abs() < 1e-3, "{told}");
    }
}
