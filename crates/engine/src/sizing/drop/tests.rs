//! The sharing out against every combination, by hand, and against published sizes.

use super::{Choice, Path, Problem, STEP_CAP};
use crate::calc::resistance::ohm_per_m;
use crate::tables::Tables;
use crate::tables::conductor::{Family, Finish};
use crate::tables::oracles::oracle;
use crate::units::conductor::{ConductorSize, Gauge};
use crate::units::{Length, Temperature};

/// A small generator of even numbers in 0 to 1, so that the trees are the same everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u32) -> u32 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        u32::try_from((self.0 >> 33) % u64::from(sides)).unwrap_or(0)
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(self.roll(10_000)) / 10_000.0
    }
}

fn sizes(length_m: f64, areas: &[f64]) -> Vec<Choice> {
    areas.iter().map(|a| Choice { copper: length_m * a, ohm: 0.0172 * length_m / a }).collect()
}

/// A trunk with branches: every path has the trunk and one or two more leads.
fn tree(dice: &mut Dice) -> Problem {
    let areas = [4.0, 6.0, 10.0, 16.0, 25.0];
    let count = 2 + dice.roll(4);
    let mut leads = Vec::new();
    for _ in 0..count {
        let length = dice.between(0.2, 5.0);
        let from = usize::try_from(dice.roll(3)).expect("a small number");
        leads.push(sizes(length, &areas[from..]));
    }
    let mut paths = Vec::new();
    for branch in 1..leads.len() {
        let amps = dice.between(2.0, 60.0);
        let mut on = vec![(0, amps + 20.0), (branch, amps)];
        if dice.roll(2) == 0 && branch + 1 < leads.len() {
            on.push((branch + 1, amps));
        }
        paths.push(Path { amps: on, allowed_v: dice.between(0.1, 1.2) });
    }
    Problem { leads, paths }
}

/// Every combination, one by one.
fn brute_force(problem: &Problem) -> Option<f64> {
    let mut sizes = vec![0; problem.leads.len()];
    let mut best: Option<f64> = None;
    loop {
        if problem.holds(&sizes) {
            let copper = problem.copper(&sizes);
            best = Some(best.map_or(copper, |b: f64| b.min(copper)));
        }
        let mut at = 0;
        loop {
            if at == sizes.len() {
                return best;
            }
            sizes[at] += 1;
            if sizes[at] < problem.leads[at].len() {
                break;
            }
            sizes[at] = 0;
            at += 1;
        }
    }
}

#[test]
fn two_hundred_small_trees_agree_with_every_combination() {
    let mut dice = Dice(20_240_501);
    let mut solved = 0;
    for case in 0..200 {
        let problem = tree(&mut dice);
        let want = brute_force(&problem);
        let got = problem.share_out(STEP_CAP);
        match (want, got) {
            (None, None) => {}
            (Some(want), Some(got)) => {
                solved += 1;
                assert!(got.proven, "tree {case} is small enough to be proven");
                assert!(problem.holds(&got.sizes), "tree {case} keeps its limits");
                let apart = (got.copper - want).abs();
                assert!(apart < 1e-6, "tree {case}: {} instead of {want}", got.copper);
            }
            (want, got) => panic!("tree {case}: {want:?} against {got:?}"),
        }
    }
    assert!(100 < solved, "most trees must have an answer, {solved} have");
}

#[test]
fn a_dozen_leads_of_a_dozen_sizes_are_proven() {
    let areas = [2.0, 3.0, 5.0, 8.0, 13.0, 19.0, 32.0, 39.0, 50.0, 63.0, 85.0, 104.0];
    let mut dice = Dice(7);
    let leads: Vec<_> = (0..12).map(|_| sizes(dice.between(0.3, 6.0), &areas)).collect();
    let paths = (0..5)
        .map(|n| {
            let amps = 10.0 + 15.0 * f64::from(n);
            let own = 2 + 2 * usize::try_from(n).expect("a small number");
            Path {
                amps: vec![(0, 150.0), (1, 150.0), (own, amps), (own + 1, amps)],
                allowed_v: 0.36,
            }
        })
        .collect();
    let problem = Problem { leads, paths };
    let got = problem.share_out(STEP_CAP).expect("thick cable serves these paths");
    assert!(got.proven, "twelve leads are proven");
}

#[test]
fn a_search_cut_short_still_keeps_its_limits_and_says_so() {
    let mut dice = Dice(99);
    let problem = tree(&mut dice);
    let got = problem.share_out(1).expect("this tree has an answer");
    assert!(problem.holds(&got.sizes), "greedy and pruned");
    assert!(!got.proven, "one step proves nothing");
}

#[test]
fn one_path_by_hand() {
    // Two leads of 1 m and 3 m at 50 A, 0.172 V allowed, areas 10, 16, 25 mm2.
    // 50 A x 0.0172 ohm mm2/m = 0.86 V mm2/m. Drops: 1 m: .0860 .0538 .0344; 3 m: .2580 .1613
    // .1032. Within 0.172: only 3 m at 25 (.1032), with at most .0688 left for 1 m: 16 (.0538).
    // Copper: 1 x 16 + 3 x 25 = 91.
    let areas = [10.0, 16.0, 25.0];
    let leads = vec![sizes(1.0, &areas), sizes(3.0, &areas)];
    let paths = vec![Path { amps: vec![(0, 50.0), (1, 50.0)], allowed_v: 0.172 }];
    let got = Problem { leads, paths }.share_out(STEP_CAP).expect("it can be served");
    assert_eq!(got.sizes, vec![1, 2], "16 and 25 mm2");
    assert!((got.copper - 91.0).abs() < 1e-9, "copper {}", got.copper);
}

#[test]
fn a_path_that_no_size_serves_is_named() {
    let leads = vec![sizes(10.0, &[10.0]), sizes(1.0, &[10.0])];
    let paths = vec![
        Path { amps: vec![(1, 1.0)], allowed_v: 0.1 },
        Path { amps: vec![(0, 100.0)], allowed_v: 0.1 },
    ];
    let problem = Problem { leads, paths };
    assert_eq!(problem.hopeless(), vec![1], "the second path");
    assert_eq!(problem.share_out(STEP_CAP), None, "no answer");
}

/// The sizes of a family over a length of conductor, with their resistance at the given copper
/// temperature.
fn of_family(
    tables: &Tables,
    family: Family,
    conductor: Length,
    temperature: Temperature,
) -> (Vec<ConductorSize>, Vec<Choice>) {
    let mut all = Vec::new();
    for size in tables.conductor.sizes(family) {
        let area = tables.conductor.area(size).expect("a listed size has an area").value;
        let per_m = ohm_per_m(tables, size, Finish::Plain, temperature).expect("a resistance");
        let copper = area.as_mm2() * conductor.as_m();
        all.push((size, Choice { copper, ohm: per_m.value * conductor.as_m() }));
    }
    all.sort_by(|a, b| a.1.copper.total_cmp(&b.1.copper));
    all.into_iter().unzip()
}

/// The size that a single run gets.
fn single(choices: Vec<Choice>, amps: f64, allowed_v: f64) -> usize {
    let paths = vec![Path { amps: vec![(0, amps)], allowed_v }];
    let shared = Problem { leads: vec![choices], paths }.share_out(STEP_CAP);
    shared.expect("some size serves it").sizes[0]
}

#[test]
fn published_sizes_by_drop() {
    let tables = Tables::load().expect("the data files are sound");
    // The sources' K of 10.75 ohm cmil/ft is copper at about 24 °C. O23 and O24 are exact with SAE
    // areas, O25 with AWG areas: the wrong family gives another size.
    let warm = Temperature::celsius(24.0);
    for (id, family) in [("O23", Family::Boat), ("O24", Family::Boat), ("O25", Family::Awg)] {
        let o = oracle(id, "size");
        let conductor = Length::feet(o.input("there_and_back_ft"));
        let (sizes, choices) = of_family(&tables, family, conductor, warm);
        let at = single(choices, o.input("current_a"), o.input("allowed_v"));
        match sizes[at] {
            ConductorSize::Awg(g) | ConductorSize::Boat(g) => o.check(f64::from(g.as_number())),
            ConductorSize::Metric(_) => panic!("{id} is a gauge"),
        }
    }
}

#[test]
fn the_aircraft_example_needs_eight_awg() {
    // O09, FAA AC 43.13-1B example 1: 50 ft of 10 AWG at 20 A loses 1.26 V, of 8 AWG 0.70 V.
    let tables = Tables::load().expect("the data files are sound");
    let (ten, eight) = (oracle("O09", "drop_10_awg"), oracle("O09", "drop_8_awg"));
    let feet = ten.input("conductor_ft");
    let mut choices = Vec::new();
    for gauge in ["10", "8", "6"] {
        let gauge = Gauge::from_text(gauge).expect("a gauge");
        let per_m = tables.conductor.tinned_aircraft_ohm_per_m_20c(gauge).expect("in the table");
        let ohm = per_m.value * Length::feet(feet).as_m();
        choices.push(Choice { copper: 1.0 / ohm, ohm });
    }
    let amps = ten.input("current_a");
    ten.check(choices[0].ohm * amps);
    eight.check(choices[1].ohm * amps);
    assert_eq!(single(choices, amps, ten.input("allowed_v")), 1, "8 AWG");
}
