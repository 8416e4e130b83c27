//! A device at two terminals: fixed current, fixed power, cut-off, collapse and short.

use engine::circuit::error::SolveError;
use engine::circuit::network::{ElementId, Network, Resistance, Source, Terminals};
use engine::circuit::operate::{Limit, Operation, State, Supply};

/// Two unequal strings, each behind its own fuse, and a lead to the device.
struct Rig {
    network: Network,
    fuses: [ElementId; 2],
    at: Terminals,
}

/// 12.6 V behind 18 + 2 mohm beside 12.3 V behind 27 + 3 mohm; then 3 mohm to the device.
///
/// Hand worked: beside one another they are 1 / (50 + 33.333) = 12 mohm, and stand open at
/// (12.6 * 50 + 12.3 * 33.333) * 0.012 = 12.48 V; with the lead E = 12.48 V, R = 15 mohm.
fn rig() -> Rig {
    let mut network = Network::new();
    let rail = network.add_node("rail +");
    let minus = network.add_node("rail -");
    let plus = network.add_node("device +");
    let fuses = [("A", 12.6, 0.018, 0.002), ("B", 12.3, 0.027, 0.003)].map(
        |(name, emf_v, block_ohm, fuse_ohm)| {
            let post = network.add_node(&format!("{name} +"));
            let name = name.to_owned();
            let fuse = Resistance { name: format!("fuse {name}"), a: post, b: rail, ohm: fuse_ohm };
            network.add_source(Source { name, plus: post, minus, emf_v, ohm: block_ohm });
            network.add_resistance(fuse)
        },
    );
    network.add_resistance(Resistance { name: "lead".to_owned(), a: rail, b: plus, ohm: 0.003 });
    Rig { network, fuses, at: Terminals { plus, minus } }
}

/// One part in ten thousand million: every figure here is a few operations from its inputs.
fn near(got: f64, want: f64, what: &str) {
    assert!((got - want).abs() <= 1e-10 * want.abs().max(1.0), "{what}: got {got}, want {want}");
}

/// The device works.
fn solved(state: State) -> Operation {
    match state {
        State::Solved(operation) => operation,
        other => panic!("the device works, got {other:?}"),
    }
}

/// Tries a question about the supply of the rig.
fn check(ask: impl Fn(&Supply<'_, '_>, &Rig)) {
    let rig = rig();
    let factored = rig.network.factor().expect("a rig with a solution");
    let supply = Supply::new(&factored, "inverter", rig.at).expect("terminals with a supply");
    ask(&supply, &rig);
}

#[test]
fn the_supply_is_an_emf_behind_a_resistance() {
    check(|supply, _| {
        near(supply.thevenin().open_v, 12.48, "open [V]");
        near(supply.thevenin().ohm, 0.015, "resistance [ohm]");
        near(supply.power_max_w(), 12.48 * 12.48 / 0.06, "most power [W]");
    });
}

#[test]
fn a_fixed_current_drops_the_volts_it_should() {
    check(|supply, rig| {
        // Hand worked: 12.48 - 80 * 0.015 = 11.28 V; the rail at 11.52 V gives 54 and 26 A.
        let operation = solved(supply.at_current(80.0, Some(11.0)).expect("a current"));
        near(operation.volts_v, 11.28, "device [V]");
        near(operation.solution.current_a(rig.fuses[0]), 54.0, "fuse A [A]");
        near(operation.solution.current_a(rig.fuses[1]), 26.0, "fuse B [A]");
        near(operation.solution.power().drawn_w, 80.0 * 11.28, "taken [W]");
    });
}

#[test]
fn a_fixed_power_is_met_exactly() {
    check(|supply, _| {
        // Hand worked: at 11.28 V and 80 A the device takes 902.4 W, so that is where it settles.
        let operation = solved(supply.at_power(902.4, Some(11.0)).expect("a power"));
        near(operation.volts_v, 11.28, "device [V]");
        near(operation.current_a, 80.0, "device [A]");
        // Charging at 52 A the volts are 12.48 + 0.78 = 13.26, so the power is -689.52 W. The
        // cut-off has no say in charging, even one above the volts.
        let charging = solved(supply.at_power(-689.52, Some(14.0)).expect("a power"));
        near(charging.current_a, -52.0, "charger [A]");
        near(charging.volts_v, 13.26, "charger [V]");
        let idle = solved(supply.at_power(0.0, None).expect("no power"));
        near(idle.current_a, 0.0, "idle [A]");
    });
}

#[test]
fn under_its_cut_off_a_device_switches_off() {
    check(|supply, _| match supply.at_power(902.4, Some(11.5)).expect("a power") {
        State::CutOff { operation, cut_off_v } => {
            near(operation.volts_v, 11.28, "volts if it stayed on [V]");
            near(cut_off_v, 11.5, "its cut-off [V]");
        }
        other => panic!("11.28 V is under 11.5 V, got {other:?}"),
    });
}

#[test]
fn more_power_than_there_is_collapses() {
    check(|supply, _| match supply.at_power(2596.0, None).expect("a power") {
        // Hand worked: 12.48^2 / 0.06 = 2,595.84 W is all there is.
        State::Collapsed { power_max_w } => near(power_max_w, 2595.84, "most power [W]"),
        other => panic!("2,596 W is more than there is, got {other:?}"),
    });
}

#[test]
fn the_limit_of_power_is_the_cut_off_or_the_collapse() {
    check(|supply, _| {
        // Hand worked: (12.48 - 10.5) / 0.015 = 132 A; times 10.5 V is 1,386 W.
        let limit = supply.power_limit(10.5).expect("it starts");
        assert_eq!(limit.limit, Limit::CutOff, "10.5 V comes before half of 12.48 V");
        near(limit.power_w, 1386.0, "power [W]");
        near(limit.current_a, 132.0, "current [A]");
        near(supply.current_at_cut_off(10.5), 132.0, "current [A]");
        let just_under = supply.at_power(limit.power_w - 0.01, Some(10.5)).expect("a power");
        assert!(matches!(just_under, State::Solved(_)), "a little less works");
        let just_over = supply.at_power(limit.power_w + 0.01, Some(10.5)).expect("a power");
        assert!(matches!(just_over, State::CutOff { .. }), "a little more does not");
        let low = supply.power_limit(5.0).expect("it starts");
        assert_eq!(low.limit, Limit::Collapse, "5 V is under half of 12.48 V");
        near(low.power_w, 2595.84, "most power [W]");
        near(low.volts_v, 6.24, "half the open volts [V]");
        assert_eq!(supply.power_limit(12.5), None, "12.5 V is more than there is");
    });
}

#[test]
fn a_bolted_short_is_the_network_with_the_terminals_joined() {
    check(|supply, rig| {
        // Hand worked: 12.48 / 0.015 = 832 A; with 1 mohm in the short 12.48 / 0.016 = 780 A.
        let bolted = supply.short(0.0).expect("a short");
        near(bolted.current_a, 832.0, "bolted [A]");
        near(bolted.volts_v, 0.0, "across the short [V]");
        near(supply.short(0.001).expect("a short").current_a, 780.0, "through 1 mohm [A]");
        // Another way to the same currents: one point instead of two terminals.
        let mut joined = rig.network.clone();
        joined.join(rig.at.plus, rig.at.minus);
        let solution = joined.solve().expect("a shorted rig");
        for fuse in rig.fuses {
            near(bolted.solution.current_a(fuse), solution.current_a(fuse), "fuse [A]");
        }
        // Hand worked: the rail stands at 832 * 0.003 = 2.496 V; (12.6 - 2.496) / 0.02 = 505.2 A.
        near(bolted.solution.current_a(rig.fuses[0]), 505.2, "fuse A [A]");
    });
}

#[test]
fn reversed_poles_give_no_power() {
    let rig = rig();
    let factored = rig.network.factor().expect("a rig with a solution");
    let reversed = Terminals { plus: rig.at.minus, minus: rig.at.plus };
    let supply = Supply::new(&factored, "inverter", reversed).expect("a supply");
    let state = supply.at_power(10.0, None).expect("a power");
    assert!(
        matches!(state, State::Collapsed { power_max_w } if power_max_w <= 0.0),
        "nothing can be had from poles reversed, got {state:?}"
    );
    assert_eq!(supply.power_limit(10.5), None, "it never starts");
}

#[test]
fn a_device_on_one_point_or_across_islands_is_refused() {
    let mut rig = rig();
    let aside = rig.network.add_node("aside");
    let factored = rig.network.factor().expect("a rig with a solution");
    let same = Terminals { plus: rig.at.plus, minus: rig.at.plus };
    let node = "device +".to_owned();
    let refused = Supply::new(&factored, "lamp", same).err();
    assert_eq!(refused, Some(SolveError::SamePoint { node }), "both ends on one point");
    let apart = Terminals { plus: rig.at.plus, minus: aside };
    let refused = Supply::new(&factored, "lamp", apart).err().map(|error| error.to_string());
    assert_eq!(
        refused.as_deref(),
        Some("No conductor joins \"device +\" and \"aside\", so \"lamp\" has no closed circuit."),
        "the error names the device"
    );
}
