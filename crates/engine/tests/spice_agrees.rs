//! The solver and a circuit simulator that shares no line with it give the same currents.
//!
//! Forty seeded ladders, two to forty-eight strings, with joints down to a micro-ohm. Agreement is
//! asked to one part in a hundred million of the largest current: the simulator holds node volts in
//! one double each, so 50 V over a micro-ohm joint is known to 7e-9 A in tens or hundreds of
//! amperes, and a few such roundings add up.

#![expect(clippy::disallowed_methods, reason = "this test runs another program on a file")]
#![expect(clippy::print_stdout, reason = "a test that is skipped says so")]

mod ladder;

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use engine::circuit::spice::{BANK_VOLTS, deck};
use ladder::Ladder;

/// A small generator, so that the same forty ladders are tried everywhere.
struct Dice(u64);

impl Dice {
    /// A number from zero up to one.
    fn part(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        // The upper 32 bits are a whole number that f64 holds exactly.
        f64::from(u32::try_from(self.0 >> 32).expect("32 bits are left")) / 4_294_967_296.0
    }

    /// A whole number under `count`.
    fn under(&mut self, count: u16) -> usize {
        let wanted = self.part() * f64::from(count);
        (0..count).take_while(|&n| f64::from(n + 1) <= wanted).count()
    }

    /// A resistance from a micro-ohm to a tenth of an ohm, all sizes alike.
    fn ohm(&mut self) -> f64 {
        let decade = [1e-6, 1e-5, 1e-4, 1e-3, 1e-2][self.under(5)];
        decade * (1.0 + 9.0 * self.part())
    }

    /// A bank with unequal strings and links.
    fn ladder(&mut self, strings: usize) -> Ladder {
        let count = u16::try_from(strings).expect("a small bank");
        let nominal_v = [12.7, 25.4, 50.8][self.under(3)];
        Ladder {
            emf_v: (0..strings).map(|_| nominal_v + 0.3 * (self.part() - 0.5)).collect(),
            string_ohm: (0..strings).map(|_| 2e-3 + 2e-2 * self.part()).collect(),
            pos_links_ohm: (1..strings).map(|_| self.ohm()).collect(),
            neg_links_ohm: (1..strings).map(|_| self.ohm()).collect(),
            plus_at: self.under(count),
            minus_at: self.under(count),
            load_a: 400.0 * (self.part() - 0.25),
        }
    }
}

/// What the simulator prints for a deck: each name and its value.
fn run(folder: &Path, text: &str) -> Option<BTreeMap<String, f64>> {
    let file = folder.join("bank.cir");
    std::fs::write(&file, text).expect("the deck is written");
    let output = Command::new("ngspice").arg("-b").arg(&file).output().ok()?;
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    let value = |line: &str| {
        let (name, value) = line.split_once(" = ")?;
        Some((name.trim().to_owned(), value.trim().parse().ok()?))
    };
    Some(printed.lines().filter_map(value).collect())
}

/// Whether the simulator is there; where every tool must be, its absence is a failure.
fn simulator_is_here() -> bool {
    let here = Command::new("ngspice").arg("--version").output().is_ok();
    if !here {
        println!("skipped: ngspice not found");
        assert!(std::env::var("CI").is_err(), "CI runs this test, so ngspice must be installed");
    }
    here
}

/// Tries one ladder.
fn check(folder: &Path, seed: u64, strings: usize) {
    let ladder = Dice(seed).ladder(strings);
    let bank = ladder.build();
    let solution = bank.network.solve().expect("the ladder has a solution");
    let deck = deck(&bank.network, &format!("ladder {seed}"), bank.at).expect("a deck");
    let Some(printed) = run(folder, &deck.text) else { panic!("ngspice does not start") };
    let largest_a = solution.currents_a().iter().fold(0.0_f64, |most, amp| most.max(amp.abs()));
    let listed: Vec<_> = deck.sources.iter().map(|&(source, _)| source).collect();
    assert_eq!(listed, bank.sources, "each source is printed");
    for (source, name) in &deck.sources {
        let theirs_a = printed.get(name).unwrap_or_else(|| panic!("{name} is printed"));
        let ours_a = solution.current_a(*source);
        let apart = (ours_a - theirs_a).abs() / largest_a;
        assert!(apart <= 1e-8, "ladder {seed}, {name}: {ours_a} and {theirs_a}");
    }
    let ours_v = solution.volts_between(bank.at).expect("one island");
    // Largest current times a hundredth of an ohm is the scale of the volts lost.
    let apart_v = (ours_v - printed[BANK_VOLTS]).abs();
    assert!(apart_v <= 1e-8 * largest_a.max(1.0), "ladder {seed}: {apart_v} V apart");
}

#[test]
fn forty_ladders_agree_with_a_circuit_simulator() {
    if !simulator_is_here() {
        return;
    }
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    for seed in 1..=40_u64 {
        // Every seventh bank is as large as they come.
        let strings = if seed % 7 == 0 { 48 } else { 2 + Dice(seed * 977).under(10) };
        check(folder, seed * 0x9E37_79B9, strings);
    }
}
