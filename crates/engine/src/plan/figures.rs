//! The figures the book's bands rest on: honest errors of meters and limits of the gates.

use crate::facts::Facts;
use crate::model::bank::BlockId;
use crate::model::design::Design;
use crate::tables::Tables;
use std::collections::BTreeMap;

/// Errors and limits, each from a row of `data/rules/limits.csv`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// Error of a meter at 12 V [V].
    pub meter_v: f64,
    /// Error of a meter on millivolts [mV].
    pub meter_mv: f64,
    /// Error of a clamp meter, share of the reading.
    pub clamp_ratio: f64,
    /// Zero drift of a clamp meter [A].
    pub clamp_drift_a: f64,
    /// Largest volts over a gap that may be closed [V].
    pub gap_v: f64,
    /// Share by which a string may differ from the mean of all.
    pub clamp_spread: f64,
    /// Share by which a joint may be over like joints.
    pub joint_over: f64,
    /// Smallest step of resistance worth remaking a joint for [ohm].
    pub joint_step_ohm: f64,
    /// Heaviest lift for one person [kg].
    pub lift_kg: f64,
    /// Hours at rest before a voltage counts.
    pub rest_h: f64,
    /// Test current where nothing forbids it [A].
    pub test_a: f64,
    /// What a fuse is divided by for a steady current.
    pub fuse_over_load: f64,
    /// How far below the stated charge a block may be and still pass, share of full.
    pub charge_below: f64,
    /// How far over the table's rest volts a sound block may read, share of them.
    pub rest_above: f64,
    /// Above these volts both poles at once can hurt [V].
    pub touch_v: f64,
    /// Nearest a generator may stand to an opening [m].
    pub generator_m: f64,
}

impl Figures {
    /// Reads the rows.
    #[must_use]
    pub fn of(tables: &Tables) -> Self {
        let value = |id: &str| tables.limits.value(id).value;
        Self {
            meter_v: value("meter-voltage-error"),
            meter_mv: value("meter-millivolt-error"),
            clamp_ratio: value("clamp-error"),
            clamp_drift_a: value("clamp-zero-drift-high"),
            gap_v: value("join-voltage-difference-12v-max"),
            clamp_spread: value("string-clamp-spread-max"),
            joint_over: value("joint-over-like-max"),
            joint_step_ohm: value("joint-new-over-average-step") * 1e-6,
            lift_kg: value("lift-one-person-max"),
            rest_h: value("rest-hours-min"),
            test_a: value("gate-test-current"),
            fuse_over_load: value("fuse-over-load-min"),
            charge_below: value("gate-charge-below"),
            rest_above: value("gate-rest-above"),
            touch_v: value("touch-voltage-extra-low"),
            generator_m: value("generator-distance-min"),
        }
    }
}

/// Lowest and highest volts at rest that each block may show, by the charge the owner states.
///
/// Where the owner measured a block at rest, that figure is all there is to go by; otherwise the
/// table gives the volts at the stated charge and at [`Figures::charge_below`] under it. The few
/// millivolts by which rest volts move with temperature lie inside that band.
#[must_use]
pub fn rest_bands(
    design: &Design,
    facts: &Facts,
    tables: &Tables,
    figures: &Figures,
) -> BTreeMap<BlockId, (f64, f64)> {
    let mut bands = BTreeMap::new();
    for block in &facts.blocks {
        let emf = block.emf.as_volts();
        let measured = design.bank().is_some_and(|b| b.state_of(block.id).rest.is_some());
        let low = if measured {
            emf
        } else {
            let charge = (block.soc - figures.charge_below).max(0.0);
            let cell = tables.battery.rest_voltage(block.chemistry.word(), charge * 100.0);
            cell.map_or(emf, |c| c.value.as_volts() * f64::from(block.cells))
        };
        let above = figures.rest_above * emf;
        // A measured block may have drifted either way since; a stated charge gives the low end.
        let low = if measured { low - above } else { low };
        bands.insert(block.id, (low.min(emf), emf + above));
    }
    bands
}
