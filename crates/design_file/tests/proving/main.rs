//! The whole proving, held against an independent bench: faults are put into the three demos through
//! the design file's own edits, ngspice solves what every meter would show, the meters err as an
//! owner's do, and `prove` is told the sheet and nothing else.
//!
//! **What is put in**: one more milliohm figure in each joint in turn (+0.5, +2, +10), each block
//! reversed, weak (twice, three and five times its resistance) or undercharged (60, 40, 20 % charge),
//! each link of the bank with one end on another post that a hand may take for the right one. A fifth
//! of the sheets is healthy.
//!
//! **What nobody knows**: block resistance ±20 %, rest volts ±0.05 V a block, length of every lead
//! ±5 %, the load ±5 %, all even; the errors of the meters by job.md's table, with a zero of the clamp.
//!
//! **What does not count as a fault**: one that no meter on the whole sheet can see. That is decided
//! by ngspice on the exact figures: at least one reading must differ from the sound rig by more than
//! the meter's honest error. A moved link that makes the same circuit, a joint that carries nothing,
//! and a link over its own block, which sparks before anything is read, fall out so. An undercharged block must lie outside what sound
//! blocks may differ by. A link that the bank's shape implies has no ends in the file; it is moved in
//! the wiring that is solved.
//!
//! **What a sheet holds**: the readings of the work in its order, up to where an owner must stop: a
//! gap that shows volts is not closed, a bank in which 50 A run by themselves is not loaded.
//!
//! **Five readings asked for**: each is the one `prove` asks for next. Where a gap on the way to it
//! shows volts, the owner stops there and hands in that one, as `prove` says; it counts as one of the
//! five. A line of the list that names both joints of one lead, because nothing read tells the two
//! apart, is true when it is one of them; the same with each joint on a line of its own is printed
//! beside it.
//!
//! Seeds are odd while building; the even ones are held back and only their sums are printed.

#![expect(clippy::disallowed_methods, reason = "this test runs another program on a file")]
#![expect(clippy::print_stdout, reason = "a bench prints its figures")]

mod circuit;
mod dice;
mod fault;
mod score;
mod sheet;

use circuit::{Deck, Rig, Solved, Tests};
use dice::Dice;
use engine::prove::{Proof, Test};
use engine::study::Study;
use engine::tables::Tables;
use fault::{Demo, Fault};
use score::{Outcome, Read, kinds, misses, reliability, told};
use sheet::{Bench, Meter, REST_OUTSIDE_V, Shown, handed_in, honest, stands};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

/// Circuits that one run of ngspice solves side by side.
const SIDE_BY_SIDE: usize = 40;

fn simulator_is_here() -> bool {
    let here = Command::new("ngspice").arg("--version").output().is_ok();
    if !here {
        println!("skipped: ngspice not found");
        assert!(std::env::var("CI").is_err(), "CI runs this test, so ngspice must be installed");
    }
    here
}

/// Solves decks side by side, each with names of its own.
fn simulated(name: &str, decks: &[Deck]) -> Vec<Solved> {
    let runs: Vec<(usize, &[Deck])> = decks.chunks(SIDE_BY_SIDE).enumerate().collect();
    let solved = on_all_cores(&runs, |(run, some)| {
        let printed = run_ngspice(&format!("{name}_{run}"), &together(some));
        let one = |(number, deck): (usize, &Deck)| {
            let value = |name: &str| {
                let name = match name.strip_prefix("v_") {
                    Some(rest) if name.ends_with("#branch") => format!("v_k{number}_{rest}"),
                    _ => format!("k{number}_{name}"),
                };
                printed.get(&name).copied()
            };
            Solved::of(deck, &value)
        };
        some.iter().enumerate().map(one).collect::<Vec<Solved>>()
    });
    solved.into_iter().flatten().collect()
}

/// One deck of many circuits that have nothing in common but nought.
fn together(some: &[Deck]) -> String {
    let mut text = String::from("* sheets side by side\n");
    for (number, deck) in some.iter().enumerate() {
        for line in &deck.elements {
            let mut words = line.split(' ');
            let (element, a, b) = (words.next(), words.next(), words.next());
            let (Some(element), Some(a), Some(b)) = (element, a, b) else { continue };
            let (kind, rest) = element.split_at(1);
            let point = |p: &str| if p == "0" { p.to_owned() } else { format!("k{number}_{p}") };
            let values: Vec<&str> = words.collect();
            let (a, b, values) = (point(a), point(b), values.join(" "));
            let written = writeln!(text, "{kind}_k{number}{rest} {a} {b} {values}");
            assert!(written.is_ok(), "a string takes every line");
        }
    }
    text.push_str(".options reltol=1e-9 abstol=1e-15 vntol=1e-12 gmin=1e-20 pivtol=1e-30\n");
    text.push_str(".control\nset numdgt=14\nset width=200\nop\nprint all\nquit\n.endc\n.end\n");
    text
}

fn run_ngspice(name: &str, text: &str) -> BTreeMap<String, f64> {
    let file = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}.cir"));
    std::fs::write(&file, text).expect("the deck is written");
    let output = Command::new("ngspice").arg("-b").arg(&file).output().expect("ngspice starts");
    let printed = String::from_utf8_lossy(&output.stdout);
    let value = |line: &str| {
        let (name, value) = line.split_once(" = ")?;
        Some((name.trim().to_owned(), value.trim().parse().ok()?))
    };
    printed.lines().filter_map(value).collect()
}

/// Every moment of every rig, solved.
fn benches<'a>(name: &str, rigs: Vec<Rig<'a>>) -> Vec<Bench<'a>> {
    let decks = |rig: &Rig<'a>| -> Vec<Deck> {
        rig.tests.moments.iter().map(|moment| rig.deck(moment)).collect()
    };
    let all: Vec<Deck> = rigs.iter().flat_map(decks).collect();
    let mut solved = simulated(name, &all).into_iter();
    rigs.into_iter()
        .map(|rig| {
            let solved = solved.by_ref().take(rig.tests.moments.len()).collect();
            Bench { rig, solved }
        })
        .collect()
}

/// A demo with its tests and what was made of its faults so far.
struct Ready {
    demo: Demo,
    tests: Tests,
}

/// Does something with each of many things, on as many cores as there are, in their order.
fn on_all_cores<T: Sync, R: Send>(all: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let part = all.len().div_ceil(cores).max(1);
    let work = &work;
    std::thread::scope(|scope| {
        let parts: Vec<_> = all
            .chunks(part)
            .map(|some| scope.spawn(move || some.iter().map(work).collect::<Vec<R>>()))
            .collect();
        parts.into_iter().flat_map(|p| p.join().expect("the work ends by itself")).collect()
    })
}

/// Faults of which a seed takes the first that can be seen.
const TRIES: usize = 12;

/// What a seed is about: a demo and, for four in five, faults in the order of its choice.
fn rolled(seed: u64, ready: &[Ready]) -> (usize, Vec<usize>) {
    let mut dice = Dice::new(seed, 1);
    let demo = dice.under(ready.len());
    if dice.part() < 0.2 {
        return (demo, Vec::new());
    }
    let faulty = ready[demo].demo.faults.len() - 1;
    (demo, (0..TRIES).map(|_| 1 + dice.under(faulty)).collect())
}

/// Which faults of a demo some meter can see, decided on the exact figures.
fn seen(
    ready: &Ready,
    wanted: &BTreeSet<usize>,
    studies: &BTreeMap<usize, Study>,
) -> BTreeSet<usize> {
    let faults = &ready.demo.faults;
    let mut rigs = vec![Rig::exact(&ready.demo.study, &ready.tests, &Fault::Healthy)];
    rigs.extend(wanted.iter().map(|f| Rig::exact(&studies[f], &ready.tests, &faults[*f])));
    let benches = benches(&format!("exact_{}", ready.demo.name), rigs);
    let sound = benches[0].sheet();
    let differs = |bench: &Bench<'_>| {
        let sheet: BTreeMap<usize, Shown> = bench.sheet().into_iter().collect();
        // Whether a fault counts is told by the figures themselves, not by how far they move.
        sound.iter().filter(|(_, s)| s.rest.is_none()).any(|(reading, one)| {
            let error = honest(ready.tests.expected[*reading].quantity, one.value);
            sheet.get(reading).is_some_and(|shown| error < (shown.value - one.value).abs())
        })
    };
    let apart = |bench: &Bench<'_>| {
        let sheet: BTreeMap<usize, Shown> = bench.sheet().into_iter().collect();
        sound.iter().any(|(reading, one)| {
            let expected = &ready.tests.expected[*reading];
            let outside = REST_OUTSIDE_V + honest(expected.quantity, one.value);
            let off = sheet.get(reading).map_or(0.0, |shown| (shown.value - one.value).abs());
            expected.test == Test::Apart && outside < off
        })
    };
    let counts = |fault: &Fault, bench: &Bench<'_>| match fault {
        Fault::Undercharged(..) => apart(bench),
        _ => differs(bench),
    };
    let pairs = wanted.iter().zip(&benches[1..]);
    pairs.filter(|(f, bench)| counts(&faults[**f], bench)).map(|(f, _)| *f).collect()
}

/// One sheet handed in three ways.
fn judged(seed: u64, ready: &Ready, fault: &Fault, bench: &Bench<'_>, tables: &Tables) -> Outcome {
    let tests = &ready.tests;
    let mut meter = Meter::new(Dice::new(seed, 3));
    let sheet: Vec<(usize, f64)> = bench
        .sheet()
        .into_iter()
        .map(|(reading, shown)| {
            let expected = &tests.expected[reading];
            // Standby is read with the lead passed five times through the clamp.
            let turns = if expected.test == Test::Standby { 5.0 } else { 1.0 };
            (reading, meter.written(expected.quantity, turns, shown))
        })
        .collect();
    let series = ready.demo.study.design.bank().map_or(1, |b| b.series);
    let prove = |some: &[(usize, f64)]| {
        let readings = handed_in(bench, some);
        Proof::of(&ready.demo.study, tables, &readings).expect("it is judged")
    };
    let read = |proof: &Proof| Read::of(proof, fault, series);
    let whole = read(&prove(&sheet));
    let mut taken: Vec<(usize, f64)> = Vec::new();
    let (mut unsafe_asked, mut stopped) = (0, 0);
    let mut proof = prove(&taken);
    let mut path = Vec::new();
    while taken.len() < 5 {
        let Some(next) = proof.next.as_ref() else { break };
        let found = sheet.iter().find(|(r, _)| tests.expected[*r].id == next.id).or_else(|| {
            // On the way to it a gap shows volts, where the owner stops: that is what is written.
            let last = sheet.last().filter(|l| stands(&tests.expected[l.0], l.1))?;
            stopped += 1;
            (!taken.contains(last)).then_some(last)
        });
        let Some(found) = found else {
            unsafe_asked += 1;
            break;
        };
        taken.push(*found);
        let gain = next.gain_bits;
        let line = format!("{} {:.4} ({gain:.2} bit)", next.id, found.1);
        proof = prove(&taken);
        let now = read(&proof);
        let rank = now.rank.map_or_else(|| "-".to_owned(), |r| r.to_string());
        path.push(format!("{line} rank {rank} p {:.3} [{}]", now.truth, now.said));
    }
    let asked = read(&proof);
    let mut left = sheet.clone();
    let mut dice = Dice::new(seed, 4);
    let mut some = Vec::new();
    while some.len() < 5 && !left.is_empty() {
        some.push(left.swap_remove(dice.under(left.len())));
    }
    let random = read(&prove(&some));
    let demo = ready.demo.name;
    Outcome { seed, fault: fault.clone(), demo, whole, asked, random, unsafe_asked, stopped, path }
}

/// Every sheet of these seeds.
fn outcomes(seeds: &[u64], ready: &[Ready], tables: &Tables) -> Vec<Outcome> {
    let rolls: Vec<(usize, Vec<usize>)> = seeds.iter().map(|s| rolled(*s, ready)).collect();
    let mut chosen: Vec<(u64, usize, usize)> = Vec::new();
    let mut studies: Vec<BTreeMap<usize, Study>> = Vec::new();
    for (place, one) in ready.iter().enumerate() {
        let mine = || rolls.iter().zip(seeds).filter(|((demo, _), _)| *demo == place);
        let wanted: BTreeSet<usize> = mine().flat_map(|((_, faults), _)| faults.clone()).collect();
        let list: Vec<usize> = wanted.iter().copied().chain([0]).collect();
        let made = on_all_cores(&list, |f| one.demo.with(&one.demo.faults[*f], tables));
        let made: BTreeMap<usize, Study> = list.into_iter().zip(made).collect();
        let seen = seen(one, &wanted, &made);
        for ((_, faults), seed) in mine() {
            let first = faults.iter().find(|f| seen.contains(f));
            chosen.push((*seed, place, first.copied().unwrap_or(0)));
        }
        studies.push(made);
    }
    chosen.sort_unstable();
    let rigs = chosen.iter().map(|(seed, place, fault)| {
        let one = &ready[*place];
        let rig = Rig::exact(&studies[*place][fault], &one.tests, &one.demo.faults[*fault]);
        rig.spread(&mut Dice::new(*seed, 2))
    });
    let benches = benches("sheets", rigs.collect());
    let all: Vec<(&(u64, usize, usize), &Bench<'_>)> = chosen.iter().zip(&benches).collect();
    on_all_cores(&all, |((seed, place, fault), bench)| {
        let one = &ready[*place];
        judged(*seed, one, &one.demo.faults[*fault], bench, tables)
    })
}

/// So many odd seeds, evenly spread over the building half.
fn spread_over(count: u64) -> Vec<u64> {
    let count = count.clamp(1, 1000);
    (0..count).map(|n| 2 * (n * 1000 / count) + 1).collect()
}

/// So many sheets are looked at with every test of the project; all of them take some minutes.
const SOME: u64 = 300;

#[test]
fn sheets_of_faulty_rigs_are_understood() {
    if !simulator_is_here() {
        return;
    }
    let tables = Tables::load().expect("the tables are well formed");
    let demos = Demo::all(&tables).into_iter();
    let ready: Vec<Ready> = demos
        .map(|demo| {
            let tests = Tests::of(&demo, &tables);
            Ready { demo, tests }
        })
        .collect();
    // `SHEETS=40` looks at so many odd seeds while building, spread over all of them; `SHEETS=all` at
    // every sheet of the bench.
    let asked = std::env::var("SHEETS").ok();
    let every = asked.as_deref() == Some("all");
    let building = asked.as_deref().and_then(|n| n.parse::<u64>().ok());
    let most = match (every, std::env::var("SLOW").is_ok()) {
        (true, _) => 2000,
        (false, true) => SOME,
        (false, false) => 48,
    };
    let seeds: Vec<u64> = match building {
        Some(count) => spread_over(count),
        None => (1..=most).collect(),
    };
    let all = outcomes(&seeds, &ready, &tables);
    let (odd, even): (Vec<&Outcome>, Vec<&Outcome>) = all.iter().partition(|o| o.seed % 2 == 1);
    let (text, _) = told("building half", &odd);
    println!("{text}{}{}", kinds(&odd), reliability(&odd));
    if building.is_some() {
        println!("{}", misses(&odd));
        return;
    }
    let (text, held_back) = told("held-back half", &even);
    println!("{text}{}{}", kinds(&even), reliability(&even));
    if every {
        // What is wanted of it, which it does not reach yet.
        assert!(held_back.alarms < 0.05, "false alarms: {}", held_back.alarms);
        assert!(0.90 <= held_back.first_of_whole, "first: {}", held_back.first_of_whole);
        assert!(0.85 <= held_back.three_of_asked, "in three: {}", held_back.three_of_asked);
    } else if most == SOME {
        // What it reaches today on these sheets, both halves together, less what chance may take.
        let both: Vec<&Outcome> = all.iter().collect();
        let (text, today) = told("both halves", &both);
        println!("{text}");
        assert!(today.alarms < 0.05, "false alarms: {}", today.alarms);
        assert!(0.90 <= today.first_of_whole, "first: {}", today.first_of_whole);
        assert!(0.83 <= today.three_of_asked, "in three: {}", today.three_of_asked);
    }
}
