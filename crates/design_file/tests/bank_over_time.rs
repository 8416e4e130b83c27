//! The bank of each demo over time: the account of energy, step length, corners, order.

use design_file::read::read;
use engine::facts::{Ambient, Facts};
use engine::model::block::Chemistry;
use engine::sim::bank::{BankModel, step};
use engine::sim::bank_of::FittedBank;
use engine::sim::hour::{BankState, Flows, Hour};
use engine::sim::kernel::{BankLanes, FlowLanes, HourLanes, step_lanes};
use engine::tables::Tables;
use engine::units::Temperature;

const DEMOS: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
];

fn fitted(text: &str) -> FittedBank {
    let tables = Tables::load().expect("the tables are well formed");
    let design = read(text).design.expect("the demo is a design");
    let design = design.at_stage(design.stages.len() - 1);
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let facts = Facts::of(&design, &tables, ambient);
    BankModel::of(&design, &facts, &tables).expect("the demo has a bank")
}

/// Numbers between 0 and 1 from a fixed seed: Knuth's multiplier of 64 bits, the upper half used.
struct Draws(u64);

impl Draws {
    fn new() -> Self {
        Self(1987)
    }

    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        f64::from(u32::try_from(self.0 >> 32).unwrap_or(0)) / f64::from(u32::MAX)
    }

    /// Any hour a rig of this bank may meet, and some it should not.
    fn hour(&mut self, model: &BankModel) -> Hour {
        let nominal = model.rest_v(model.at_charge(0.5));
        let tenth = nominal * model.traits.rated_ah * 0.1;
        Hour {
            load_w: tenth * self.next(),
            cut_off_v: nominal * 0.95 * self.next(),
            sun_w: tenth * (2.0 * self.next() - 0.8).max(0.0),
            sun_max_a: 0.2 * model.traits.rated_ah * self.next(),
            set_v: nominal * (0.95 + 0.25 * self.next()),
            other_a: model.traits.rated_ah * (self.next() - 0.7).max(0.0),
            cell_c: 80.0 * self.next() - 40.0,
        }
    }
}

/// What does not add up in a step, over what flowed.
fn residual(flows: &Flows, step_h: f64) -> f64 {
    let (into, out) = (flows.taken_sun_w + flows.taken_other_w, flows.served_w);
    let kept = flows.stored_wh / step_h;
    let lost = flows.lost_w();
    let scale = into.abs() + out.abs() + kept.abs() + lost.abs() + 1.0;
    (into - out - lost - kept).abs() / scale
}

#[test]
fn every_watt_hour_is_accounted_for_in_each_step() {
    for (name, text) in DEMOS {
        for step_h in [1.0, 0.5, 0.05] {
            let model = fitted(text).model.with_step(step_h);
            let (mut state, mut draws) = (model.full(), Draws::new());
            for hour in 0..20_000 {
                let asked = draws.hour(&model);
                let (next, flows) = step(&model, state, &asked);
                let left = residual(&flows, step_h);
                assert!(left <= 1e-9, "{name} step {hour}: {left:e} in {flows:?} of {asked:?}");
                // No loss gives energy, whatever the hour; a rounding of watts is left.
                let losses = [
                    flows.lost_joule_w,
                    flows.lost_charging_w,
                    flows.lost_gassing_w,
                    flows.lost_self_w,
                    flows.wasted_sun_w,
                    flows.taken_other_w,
                ];
                assert!(losses.iter().all(|w| -1e-6 < *w), "{name} step {hour}: {flows:?}");
                state = next;
            }
        }
    }
}

#[test]
fn corners_give_numbers_and_stay_in_the_wells() {
    for (name, text) in DEMOS {
        let model = fitted(text).model;
        let all = model.traits.wells.charge_max_ah;
        let empty = BankState { available_ah: 0.0, bound_ah: 0.0 };
        for state in [model.full(), model.at_charge(0.0), model.at_charge(0.5), empty] {
            for load_w in [0.0, 1.0, 1e6] {
                for (sun_w, other_a) in [(0.0, 0.0), (1e6, 0.0), (0.0, 1e5), (500.0, 20.0)] {
                    for cell_c in [-40.0, 0.0, 25.0, 60.0] {
                        for set_v in [0.0, model.rest_v(state), 60.0] {
                            let sun_max_a = 1e4;
                            let hour = Hour {
                                load_w,
                                cut_off_v: 0.0,
                                sun_w,
                                sun_max_a,
                                set_v,
                                other_a,
                                cell_c,
                            };
                            let (next, flows) = step(&model, state, &hour);
                            let at = format!("{name} {state:?} {hour:?}: {next:?} {flows:?}");
                            let numbers = [next.available_ah, next.bound_ah, flows.volts_v];
                            assert!(numbers.iter().all(|x| x.is_finite()), "{at}");
                            assert!(residual(&flows, 1.0) <= 1e-9, "{at}");
                            let held = next.available_ah + next.bound_ah;
                            assert!(-1e-9 < held && held < all * (1.0 + 1e-12), "{at}");
                        }
                    }
                }
            }
        }
    }
}

/// Days until the load of a demo-like day drops out or the bank comes to half, without sun.
fn days(model: &BankModel, daily_wh: f64, steps_per_hour: u32) -> f64 {
    let per_hour = f64::from(steps_per_hour);
    let model = model.with_step(1.0 / per_hour);
    let volts = model.rest_v(model.at_charge(0.5));
    let mut state = model.full();
    for n in 0..24 * 60 * steps_per_hour {
        let hour = (n / steps_per_hour) % 24;
        let share = if (18..23).contains(&hour) { 0.12 } else { 0.4 / 19.0 };
        let sun_w = if (10..15).contains(&hour) { daily_wh * 0.08 } else { 0.0 };
        let asked = Hour {
            load_w: daily_wh * share,
            cut_off_v: 0.88 * volts,
            sun_w,
            sun_max_a: 30.0,
            set_v: 1.2 * volts,
            other_a: 0.0,
            cell_c: 8.0,
        };
        let (next, flows) = step(&model, state, &asked);
        if 0.0 < flows.shed || model.soc(next) < 0.3 {
            // Within the step the charge falls evenly.
            let (before, after) = (model.soc(state), model.soc(next));
            let part = ((before - 0.3) / (before - after).max(1e-12)).clamp(0.0, 1.0);
            return (f64::from(n) + part) / per_hour / 24.0;
        }
        state = next;
    }
    f64::INFINITY
}

#[test]
fn halving_the_step_moves_the_nights_by_less_than_a_tenth() {
    for (name, text) in DEMOS {
        let model = fitted(text).model;
        let daily_wh = model.traits.rated_ah * model.rest_v(model.at_charge(0.5)) * 0.24;
        let (whole, half) = (days(&model, daily_wh, 1), days(&model, daily_wh, 2));
        let fine = days(&model, daily_wh, 16);
        assert!(whole.is_finite() && 2.0 < whole, "{name}: the load is heavy enough: {whole}");
        assert!((whole - half).abs() < 0.1, "{name}: {whole} and {half} days");
        assert!((whole - fine).abs() < 0.1, "{name}: {whole} and {fine} days");
    }
}

#[test]
fn more_amp_hours_never_give_fewer_nights() {
    let (_, text) = DEMOS[0];
    let mut last = 0.0;
    for label in ["150", "170", "190", "225", "260"] {
        let text = text.replace("190 Ah at 20 h", &format!("{label} Ah at 20 h"));
        let nights = days(&fitted(&text).model, 1651.0, 1);
        assert!(last < nights, "{label} Ah a block: {nights} after {last}");
        last = nights;
    }
}

#[test]
fn a_lane_of_the_kernel_is_the_readable_step_to_the_bit() {
    for (name, text) in DEMOS {
        let model = fitted(text).model;
        let mut draws = Draws::new();
        let mut bank: BankLanes<16> = BankLanes::all(model.full());
        let mut singles = [model.full(); 16];
        let mut flows = FlowLanes::NONE;
        for _ in 0..2000 {
            let hours: [Hour; 16] = std::array::from_fn(|_| draws.hour(&model));
            let lanes = HourLanes {
                load_w: hours.map(|h| h.load_w),
                cut_off_v: hours.map(|h| h.cut_off_v),
                sun_w: hours.map(|h| h.sun_w),
                sun_max_a: hours.map(|h| h.sun_max_a),
                set_v: hours.map(|h| h.set_v),
                other_a: hours.map(|h| h.other_a),
                cell_c: hours.map(|h| h.cell_c),
            };
            step_lanes(&model, &mut bank, &lanes, &mut flows);
            for (lane, single) in singles.iter_mut().enumerate() {
                let (next, flow) = step(&model, *single, &hours[lane]);
                *single = next;
                let pairs = [
                    (bank.available_ah[lane], next.available_ah),
                    (bank.bound_ah[lane], next.bound_ah),
                    (flows.served_w[lane], flow.served_w),
                    (flows.volts_v[lane], flow.volts_v),
                    (flows.lost_w[lane], flow.lost_w()),
                    (flows.stored_wh[lane], flow.stored_wh),
                ];
                let same = pairs.iter().all(|(a, b)| a.to_bits() == b.to_bits());
                assert!(same, "{name} lane {lane}: {pairs:?}");
            }
        }
    }
}

#[test]
fn a_frozen_lfp_bank_takes_no_charge_and_a_cold_lead_bank_holds_less() {
    let lfp = fitted(DEMOS[2].1);
    assert_eq!(lfp.chemistry, Chemistry::Lfp, "the cabin");
    let model = lfp.model;
    let mut hour = Hour {
        load_w: 0.0,
        cut_off_v: 0.0,
        sun_w: 1000.0,
        sun_max_a: 60.0,
        set_v: 56.8,
        other_a: 0.0,
        cell_c: -0.1,
    };
    let half = model.at_charge(0.5);
    let (_, cold) = step(&model, half, &hour);
    assert!(cold.out_a.abs() < 1e-9 && cold.taken_sun_w < 1e-6, "{cold:?}");
    hour.cell_c = 1.0;
    let (_, warm) = step(&model, half, &hour);
    assert!(warm.out_a < -15.0, "{warm:?}");
    // IEEE 485, recalled: 50 F asks 1.19 times the cells, so 1/1.19 = 0.840 of the charge is there; the
    // quadratic through the table is within one in a hundred of each row.
    let lead = fitted(DEMOS[0].1).model;
    let tables = Tables::load().expect("the tables are well formed");
    for celsius in [-3.0, 1.7, 10.0, 18.3] {
        let factor = tables.battery.size_factor(Temperature::celsius(celsius)).expect("a row");
        let share = lead.capacity_share(celsius);
        assert!((share - 1.0 / factor.value).abs() < 0.01, "{celsius} C: {share}");
    }
}

#[test]
fn rates_of_the_owner_are_met_and_less_is_assumed() {
    let (_, text) = DEMOS[0];
    let told = text.replacen(
        "rating = \"190 Ah at 20 h\"",
        "rating = \"190 Ah at 20 h\"\nrates = [\"172 Ah at 10 h\", \"150 Ah at 5 h\"]",
        1,
    );
    let (plain, told) = (fitted(text), fitted(&told));
    assert!(told.rate_worst_share < 0.01, "{}", told.rate_worst_share);
    let borrowed = |f: &FittedBank| f.assumed.iter().any(|a| a.path == "block.gc6.rates");
    assert!(borrowed(&plain) && !borrowed(&told), "three rates need no borrowed shape");
    assert!((told.model.traits.rated_ah - 570.0).abs() < 6.0, "{}", told.model.traits.rated_ah);
}

#[test]
fn rest_volts_follow_their_table() {
    for (name, text) in DEMOS {
        let bank = fitted(text);
        // A straight line through the lead tables, a line with two knees through that of LFP above 15 %.
        let per_cell = bank.rest_worst_v / bank.model.traits.cells;
        assert!(per_cell < 0.025, "{name}: {per_cell} V a cell");
    }
}
