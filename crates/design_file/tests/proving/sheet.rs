//! What a whole sheet would show, reading by reading, if the meters were perfect; and what they
//! show with their errors.

use crate::circuit::{REST_SPREAD_V, Rig, Solved, listed};
use crate::dice::Dice;
use engine::evidence::readings::{Readings, TakenReading};
use engine::prove::{At, Clamped, Expected, Point, Test};
use engine::units::reading::Quantity;
use engine::units::{Current, Duration, Temperature};

/// Whether a gap shows so much that nobody bolts the lead, and the work stops there.
pub(crate) fn stands(expected: &Expected, value: f64) -> bool {
    let off = (value - expected.expect.unwrap_or(0.0)).abs();
    let limit = expected.high.unwrap_or(f64::INFINITY) - expected.expect.unwrap_or(0.0);
    expected.test == Test::Gap && GAP_TIMES * limit < off
}

/// A rig with every moment solved.
pub(crate) struct Bench<'a> {
    pub(crate) rig: Rig<'a>,
    pub(crate) solved: Vec<Solved>,
}

/// What a perfect meter shows, and what it showed before the load was switched on, where the
/// reading is how far that moves.
#[derive(Clone, Copy)]
pub(crate) struct Shown {
    pub(crate) value: f64,
    pub(crate) rest: Option<f64>,
}

/// Nobody goes on with a bank in which so many amps run while nothing is drawn: it sparks [A].
const SPARKS_A: f64 = 50.0;
/// A gap beyond its limit that the charge of the blocks alone may explain is closed after a wait;
/// beyond so many times the limit nobody bolts the lead.
const GAP_TIMES: f64 = 3.0;

impl Bench<'_> {
    /// The readings of the whole sheet with what a perfect meter shows, in the order of the work, up
    /// to where the owner must stop: a gap shows volts, a bolt sparks.
    ///
    /// Of a reading that tells how far a figure moves, the figure at rest comes with it.
    pub(crate) fn sheet(&self) -> Vec<(usize, Shown)> {
        let tests = self.rig.tests;
        let mut sheet = Vec::new();
        let mut order: Vec<usize> = (0..tests.expected.len()).collect();
        order.sort_by_key(|r| (tests.expected[*r].test, *r));
        for reading in order {
            let expected = &tests.expected[reading];
            let moment = tests.moment_of[reading];
            let idle = matches!(expected.test, Test::Strings | Test::Gap | Test::Rest);
            if idle && SPARKS_A < self.solved[moment].largest() {
                break;
            }
            let Some(value) = self.shows(expected, &self.solved[moment]) else { continue };
            let rest = tests.rest_of[reading].and_then(|m| self.shows(expected, &self.solved[m]));
            sheet.push((reading, Shown { value, rest }));
            if stands(expected, value) {
                break;
            }
        }
        sheet
    }

    /// What a perfect meter shows.
    fn shows(&self, expected: &Expected, solved: &Solved) -> Option<f64> {
        let scale = if expected.quantity == Quantity::Millivolts { 1000.0 } else { 1.0 };
        match &expected.at {
            At::Between { red, black, signed } => {
                let (red, black) = self.tips(expected, (red, black));
                let volts = solved.across(&red, &black) * scale;
                Some(if *signed { volts } else { volts.abs() })
            }
            At::Clamp(Clamped::Lead { lead, backwards }) => {
                let lug = |end: &str| format!("lead {lead} lug at {end}");
                let amps = solved.across(&lug("from"), &lug("to")) / self.rig.conductor(lead)?;
                Some(if *backwards { -amps } else { amps })
            }
            At::Clamp(Clamped::Block(id)) => Some(solved.amps(*id)),
            // The arrow points as the current should run.
            At::Clamp(Clamped::Drawn) => {
                let sign = if expected.expect.is_some_and(|e| e < 0.0) { -1.0 } else { 1.0 };
                Some(solved.drawn.abs() * sign)
            }
            At::Standby => expected.expect,
        }
    }

    /// The points under the tips. On a gap, a joint and a whole lead they go to where its lugs are or
    /// are about to be, right or wrong: a hand that takes a post for the right one takes it so with
    /// the meter too.
    fn tips(&self, expected: &Expected, (red, black): (&Point, &Point)) -> (String, String) {
        let lead = match expected.test {
            Test::Gap => expected.id.strip_prefix("gap "),
            _ => expected.id.strip_prefix("lead "),
        };
        if let Some((from, to)) = lead.and_then(|lead| self.rig.ends(lead)) {
            return (listed(&from), listed(&to));
        }
        if let Point::Lug { lead, at_start } = black
            && let Some((from, to)) = self.rig.ends(lead)
        {
            let post = if *at_start { from } else { to };
            return (listed(&post), point(black));
        }
        (point(red), point(black))
    }
}

/// The name of a point in the deck.
fn point(point: &Point) -> String {
    match point {
        Point::Terminal(terminal) => listed(terminal),
        Point::Lug { lead, at_start } => {
            let end = if *at_start { "from" } else { "to" };
            format!("lead {lead} lug at {end}")
        }
    }
}

/// An undercharged block lies so far below that two sound ones could not differ by it [V].
pub(crate) const REST_OUTSIDE_V: f64 = 2.0 * REST_SPREAD_V;

/// A sheet as its owner hands it in.
pub(crate) fn handed_in(bench: &Bench<'_>, some: &[(usize, f64)]) -> Readings {
    let tests = bench.rig.tests;
    let taken = some.iter().map(|(reading, shown)| {
        let expected = &tests.expected[*reading];
        TakenReading {
            what: expected.id.clone(),
            value: *shown,
            quantity: expected.quantity,
            amps: None,
            line: None,
        }
    });
    Readings {
        temperature: Some(Temperature::celsius(25.0)),
        rested: Some(Duration::hours(12.0)),
        test: tests.planned(Test::Load).map(Current::amps),
        charge: tests.planned(Test::Charging).map(Current::amps),
        taken: taken.collect(),
        ..Readings::default()
    }
}

/// The owner's meter and clamp: job.md's table of what an owner can measure. Half of the honest error
/// is the meter's own and the same in every reading; half changes from reading to reading.
pub(crate) struct Meter {
    volts_gain: f64,
    clamp_gain: f64,
    clamp_zero_a: f64,
    dice: Dice,
}

/// Honest errors: volts at 12 V, millivolts, share and zero of the clamp.
pub(crate) const VOLTS_AT_12: f64 = 0.02;
pub(crate) const MILLIVOLTS: f64 = 0.5;
pub(crate) const CLAMP_SHARE: f64 = 0.02;
pub(crate) const CLAMP_ZERO_A: (f64, f64) = (0.1, 0.3);

/// The honest error at a figure.
pub(crate) fn honest(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Millivolts => MILLIVOLTS,
        Quantity::Amps => CLAMP_SHARE * value.abs() + CLAMP_ZERO_A.1,
        _ => VOLTS_AT_12 * (value.abs() / 12.0).max(0.5),
    }
}

impl Meter {
    pub(crate) fn new(mut dice: Dice) -> Self {
        let zero = dice.between(CLAMP_ZERO_A.0, CLAMP_ZERO_A.1);
        let sign = if dice.part() < 0.5 { -1.0 } else { 1.0 };
        Self {
            volts_gain: dice.between(-0.5, 0.5) * VOLTS_AT_12 / 12.0,
            clamp_gain: dice.between(-CLAMP_SHARE, CLAMP_SHARE),
            clamp_zero_a: zero * sign,
            dice,
        }
    }

    /// What is written down of a reading: one look at the display, or two of them less each other. A
    /// clamp is zeroed on the lead at rest, and looked at once.
    pub(crate) fn written(&mut self, quantity: Quantity, turns: f64, shown: Shown) -> f64 {
        let Some(rest) = shown.rest else { return self.shows(quantity, turns, shown.value) };
        if quantity == Quantity::Amps {
            return rounded((shown.value - rest) * (1.0 + self.clamp_gain), 0.1);
        }
        self.shows(quantity, turns, rest) - self.shows(quantity, turns, shown.value)
    }

    /// What stands in the display, with the last digit it has.
    pub(crate) fn shows(&mut self, quantity: Quantity, turns: f64, value: f64) -> f64 {
        let own = self.dice.between(-0.5, 0.5);
        match quantity {
            Quantity::Millivolts => rounded(value + 2.0 * own * MILLIVOLTS, 0.1),
            Quantity::Amps => {
                let shown = value * turns * (1.0 + self.clamp_gain) + self.clamp_zero_a;
                rounded(shown, 0.1) / turns
            }
            _ => {
                let noisy = value * (1.0 + self.volts_gain) + own * honest(quantity, value);
                let step = [(0.2, 0.0001), (2.0, 0.001), (20.0, 0.01)];
                let step = step.iter().find(|s| noisy.abs() < s.0).map_or(0.1, |s| s.1);
                rounded(noisy, step)
            }
        }
    }
}

fn rounded(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}
