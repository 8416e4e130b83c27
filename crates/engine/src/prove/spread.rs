//! How far a sound bank may stray from the plan, and how far a meter may stray from the truth.
//!
//! Every figure is a spread of one standard deviation, from a row of `data/rules/limits.csv`.

use crate::evidence::readings::MeterWords;
use crate::tables::Tables;

/// Spreads of parts, conditions and meters.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spreads {
    /// Resistance of one block, share of it.
    pub(super) block_ohm: f64,
    /// Resistance of all blocks together, share of it.
    pub(super) all_blocks_ohm: f64,
    /// Rest volts of one block [V].
    pub(super) rest_v: f64,
    /// State of charge of all blocks together, share of full.
    pub(super) charge: f64,
    /// Length of one lead, share of it.
    pub(super) lead: f64,
    /// Warmth of all copper together, share of its resistance.
    pub(super) copper: f64,
    /// One joint, share of its resistance.
    pub(super) joint: f64,
    /// A fuse or switch, share of its resistance.
    pub(super) device: f64,
    /// The test current against what was meant, share of it.
    pub(super) drawn: f64,
    /// How far charging lifts a cell above its rest volts, all alike [V].
    pub(super) lift_v: f64,
    /// The same, one block against another [V for each cell].
    pub(super) lift_each_v: f64,
    /// How much more a block with a dead cell resists, share of its resistance.
    pub(super) dead_ohm: f64,
    /// One volt reading, at 12 V [V].
    pub(super) volts: f64,
    /// All volt readings together, share of the reading.
    pub(super) volts_all: f64,
    /// One millivolt reading [mV].
    pub(super) millivolts: f64,
    /// One clamp reading, share of it.
    pub(super) clamp: f64,
    /// All clamp readings together, share of the reading.
    pub(super) clamp_all: f64,
    /// Zero of the clamp, the same in all its readings [A].
    pub(super) clamp_zero: f64,
    /// How many spreads a band reaches to each side.
    pub(super) band: f64,
}

impl Spreads {
    pub(super) fn of(tables: &Tables, words: &MeterWords) -> Self {
        let value = |id: &str| tables.limits.value(id).value;
        // What is told of a meter is the most it errs by. Met evenly within that, an error has a spread
        // of 0.58 of it: half of its square is what each reading errs by itself, half what all err by
        // alike.
        let volts = words.volts.unwrap_or_else(|| value("meter-voltage-error")).abs();
        let millivolts = words.millivolts.unwrap_or_else(|| value("meter-millivolt-error")).abs();
        let clamp = words.clamp_share.unwrap_or_else(|| value("clamp-error")).abs();
        let zero = words.clamp_zero.unwrap_or_else(|| value("clamp-zero-drift-high")).abs();
        let (own, alike) = (value("prove-meter-own-share"), value("prove-meter-alike-share"));
        // On the millivolt range nothing is shared: each reading errs the whole of it by itself.
        let both = (own * own + alike * alike).sqrt();
        Self {
            block_ohm: value("prove-block-resistance-spread"),
            all_blocks_ohm: value("prove-block-resistance-alike"),
            rest_v: value("prove-rest-spread"),
            charge: value("prove-charge-alike"),
            lead: value("prove-lead-spread"),
            copper: value("prove-copper-alike"),
            joint: value("prove-joint-spread"),
            device: value("prove-device-spread"),
            drawn: value("prove-drawn-spread"),
            lift_v: value("prove-charge-lift-alike"),
            lift_each_v: value("prove-charge-lift-spread"),
            dead_ohm: value("prove-dead-cell-resistance"),
            volts: (own * volts).max(1e-4),
            volts_all: alike * volts / 12.0,
            millivolts: (both * millivolts).max(1e-3),
            clamp: (own * clamp).max(1e-4),
            clamp_all: alike * clamp,
            clamp_zero: (own * zero).max(1e-3),
            band: value("prove-band-spreads"),
        }
    }
}
