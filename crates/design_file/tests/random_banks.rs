//! Random banks, read from design files as an owner would write them, solved three times: by the
//! engine, by ngspice on the exported deck, and by plain elimination on a network that this test
//! builds from the same numbers and not from the deck.
//!
//! Sixty banks each time; a thousand with `SLOW=1`. Two to forty-eight blocks, everything unequal,
//! every kind of take-off. Agreement is asked to 1e-6 of the largest branch current and of the
//! bank's volts.

#![expect(clippy::disallowed_methods, reason = "this test runs another program on a file")]
#![expect(clippy::print_stdout, reason = "a test that is skipped says so")]

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use std::process::Command;

use engine::circuit::network::Injection;
use engine::circuit::share::Draw;
use engine::circuit::spice::{BANK_VOLTS, deck};
use engine::facts::Ambient;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::{Current, Temperature};

/// A small generator, so that the same banks are tried everywhere.
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

    /// A number between two others, rounded to what a design file shows.
    fn between(&mut self, low: f64, high: f64) -> f64 {
        let value = low + (high - low) * self.part();
        (value * 1e4).round() / 1e4
    }

    /// A whole number under `count`.
    fn under(&mut self, count: u32) -> u32 {
        let wanted = self.part() * f64::from(count);
        (0..count).find(|&n| wanted < f64::from(n + 1)).unwrap_or(count - 1)
    }
}

/// One end of something: a post of a block, or a busbar.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum End {
    Post { string: u32, place: u32, plus: bool },
    Bar { plus: bool },
}

struct Block {
    rest_v: f64,
    mohm: f64,
    plus: End,
    minus: End,
}

struct Link {
    gauge: &'static str,
    length_mm: f64,
    celsius: f64,
    joints_mohm: [f64; 2],
    from: End,
    to: End,
}

/// A bank as numbers; the design file and the test's own network are both made from it.
struct RandomBank {
    series: u32,
    parallel: u32,
    takeoff: String,
    plus: End,
    minus: End,
    blocks: Vec<Block>,
    links: Vec<Link>,
    load_a: f64,
}

/// Sizes used, as printed on the jacket.
const GAUGES: [&str; 5] = ["6 AWG", "2 AWG", "1/0 AWG", "2/0 AWG", "4/0 AWG"];

/// The published conductor table, split here by hand so that no reader of the engine takes part.
const AWG_LAW: &str = include_str!("../../../data/conductor/awg_law.csv");

fn post(string: u32, place: u32, plus: bool) -> End {
    End::Post { string, place, plus }
}

fn roll(seed: u64) -> RandomBank {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    let series = 1 + dice.under(8);
    let most = (48 / series).min(12);
    let parallel = if series == 1 { 2 + dice.under(most - 1) } else { 1 + dice.under(most) };
    let last = post(parallel - 1, series - 1, false);
    let (takeoff, plus, minus) = match dice.under(4) {
        0 => ("\"same end\"".to_owned(), post(0, 0, true), post(0, series - 1, false)),
        1 => ("\"opposite corners\"".to_owned(), post(0, 0, true), last),
        2 => {
            let (p, m) = (dice.under(parallel), dice.under(parallel));
            let text =
                format!("{{ plus = \"{}1 +\", minus = \"{}{series} -\" }}", letter(p), letter(m));
            (text, post(p, 0, true), post(m, series - 1, false))
        }
        _ => (
            "{ plus = \"red bar\", minus = \"black bar\" }".to_owned(),
            End::Bar { plus: true },
            End::Bar { plus: false },
        ),
    };
    let mut blocks = Vec::new();
    for string in 0..parallel {
        for place in 0..series {
            let (rest_v, mohm) = (dice.between(5.9, 6.4), dice.between(1.5, 9.0));
            let ends = (post(string, place, true), post(string, place, false));
            blocks.push(Block { rest_v, mohm, plus: ends.0, minus: ends.1 });
        }
    }
    let links = ends_of_links(series, parallel, &plus)
        .into_iter()
        .map(|(from, to)| Link {
            gauge: GAUGES[dice.under(5) as usize],
            length_mm: dice.between(120.0, 900.0),
            celsius: dice.between(-10.0, 80.0),
            joints_mohm: [dice.between(0.001, 0.5), dice.between(0.001, 3.0)],
            from,
            to,
        })
        .collect();
    let load_a = dice.between(-120.0, 400.0);
    RandomBank { series, parallel, takeoff, plus, minus, blocks, links, load_a }
}

fn letter(string: u32) -> char {
    char::from(b'A' + u8::try_from(string).expect("at most twelve strings"))
}

/// The links that the shape implies, in the order of their numbers in the format's description.
fn ends_of_links(series: u32, parallel: u32, plus: &End) -> Vec<(End, End)> {
    let mut ends = Vec::new();
    for string in 0..parallel {
        for place in 1..series {
            ends.push((post(string, place - 1, false), post(string, place, true)));
        }
    }
    if matches!(plus, End::Bar { .. }) {
        ends.extend((0..parallel).map(|s| (post(s, 0, true), End::Bar { plus: true })));
        ends.extend((0..parallel).map(|s| (post(s, series - 1, false), End::Bar { plus: false })));
        return ends;
    }
    ends.extend((1..parallel).map(|s| (post(s - 1, 0, true), post(s, 0, true))));
    ends.extend(
        (1..parallel).map(|s| (post(s - 1, series - 1, false), post(s, series - 1, false))),
    );
    ends
}

impl RandomBank {
    fn design_text(&self) -> String {
        let mut text = String::from(
            "format = 1\n[rig]\nname = \"random\"\nkind = \"cabin\"\npractice = \"us-cabin\"\n\
             [block.b]\nchemistry = \"flooded\"\nvolts = \"6 V\"\nrating = \"200 Ah at 20 h\"\n\
             case = \"GC2\"\n[device.\"red bar\"]\nkind = \"busbar\"\n[device.\"black bar\"]\n\
             kind = \"busbar\"\n[bank]\nblock = \"b\"\n",
        );
        let (s, p, t) = (self.series, self.parallel, &self.takeoff);
        let _ = writeln!(text, "series = {s}\nparallel = {p}\ntakeoff = {t}");
        for block in &self.blocks {
            let End::Post { string, place, .. } = block.plus else { continue };
            let _ = writeln!(
                text,
                "[bank.{}{}]\nrest = \"{} V\"\nresistance = \"{} mohm\"",
                letter(string),
                place + 1,
                block.rest_v,
                block.mohm
            );
        }
        for (number, link) in self.links.iter().enumerate() {
            let n = number + 1;
            let _ = writeln!(
                text,
                "[lead.{n}]\nsize = \"{}\"\nlength = \"{} mm\"\ntemperature = \"{} C\"\n\
                 [joint.{n}]\nfrom = \"{} mohm\"\nto = \"{} mohm\"",
                link.gauge, link.length_mm, link.celsius, link.joints_mohm[0], link.joints_mohm[1]
            );
        }
        text
    }

    /// The test's own network, by plain elimination: currents of the blocks and the bank's volts.
    fn eliminated(&self) -> (Vec<f64>, f64) {
        let mut nodes: BTreeMap<End, usize> = BTreeMap::new();
        for block in &self.blocks {
            for end in [&block.plus, &block.minus] {
                let next = nodes.len();
                nodes.entry(end.clone()).or_insert(next);
            }
        }
        for end in [&self.plus, &self.minus] {
            let next = nodes.len();
            nodes.entry(end.clone()).or_insert(next);
        }
        let n = nodes.len();
        let mut a = vec![vec![0.0; n + 1]; n];
        let stamp = |a: &mut Vec<Vec<f64>>, from: usize, to: usize, siemens: f64| {
            a[from][from] += siemens;
            a[to][to] += siemens;
            a[from][to] -= siemens;
            a[to][from] -= siemens;
        };
        for block in &self.blocks {
            let (plus, minus) = (nodes[&block.plus], nodes[&block.minus]);
            let siemens = 1000.0 / block.mohm;
            stamp(&mut a, plus, minus, siemens);
            a[plus][n] += block.rest_v * siemens;
            a[minus][n] -= block.rest_v * siemens;
        }
        for link in &self.links {
            stamp(&mut a, nodes[&link.from], nodes[&link.to], 1.0 / link.ohm());
        }
        a[nodes[&self.plus]][n] -= self.load_a;
        a[nodes[&self.minus]][n] += self.load_a;
        let ground = nodes[&self.minus];
        a[ground] = vec![0.0; n + 1];
        a[ground][ground] = 1.0;
        let volts = eliminate(a);
        let currents = self
            .blocks
            .iter()
            .map(|b| {
                (b.rest_v - (volts[nodes[&b.plus]] - volts[nodes[&b.minus]])) * 1000.0 / b.mohm
            })
            .collect();
        (currents, volts[nodes[&self.plus]] - volts[ground])
    }
}

impl Link {
    /// From stud to stud [ohm]: the table's resistance at 20 C warmed by
    /// R2/R1 = (234.5 + T2) / (234.5 + T1) (FAA AC 43.13-1B), and the two joints.
    fn ohm(&self) -> f64 {
        let gauge = self.gauge.trim_end_matches(" AWG");
        let row: Vec<&str> = AWG_LAW
            .lines()
            .map(|l| l.split(',').collect::<Vec<_>>())
            .find(|cells| cells[0] == gauge)
            .expect("the gauge is in the table");
        let per_km: f64 = row[5].parse().expect("a number of ohms per km");
        let warm = (234.5 + self.celsius) / 254.5;
        let conductor = per_km * self.length_mm / 1e6 * warm;
        conductor + (self.joints_mohm[0] + self.joints_mohm[1]) / 1000.0
    }
}

/// Gauss with the largest pivot of each column.
fn eliminate(mut a: Vec<Vec<f64>>) -> Vec<f64> {
    let n = a.len();
    for column in 0..n {
        let pivot = (column..n)
            .max_by(|&x, &y| a[x][column].abs().total_cmp(&a[y][column].abs()))
            .expect("there are rows left");
        a.swap(column, pivot);
        let top = a[column].clone();
        for row in a.iter_mut().skip(column + 1) {
            let factor = row[column] / top[column];
            for (value, above) in row.iter_mut().zip(&top).skip(column) {
                *value -= factor * above;
            }
        }
    }
    let mut x = vec![0.0; n];
    for row in (0..n).rev() {
        let known: f64 = ((row + 1)..n).map(|k| a[row][k] * x[k]).sum();
        x[row] = (a[row][n] - known) / a[row][row];
    }
    x
}

/// What ngspice prints for a deck: each name and its value.
fn simulated(folder: &Path, text: &str) -> BTreeMap<String, f64> {
    let file = folder.join("random_bank.cir");
    std::fs::write(&file, text).expect("the deck is written");
    let output = Command::new("ngspice").arg("-b").arg(&file).output().expect("ngspice starts");
    let printed = String::from_utf8_lossy(&output.stdout).into_owned();
    let value = |line: &str| {
        let (name, value) = line.split_once(" = ")?;
        Some((name.trim().to_owned(), value.trim().parse().ok()?))
    };
    printed.lines().filter_map(value).collect()
}

fn simulator_is_here() -> bool {
    let here = Command::new("ngspice").arg("--version").output().is_ok();
    if !here {
        println!("skipped: ngspice not found");
        assert!(std::env::var("CI").is_err(), "CI runs this test, so ngspice must be installed");
    }
    here
}

fn check(seed: u64, tables: &Tables, simulate: bool) {
    let bank = roll(seed);
    let text = bank.design_text();
    let read = design_file::read::read(&text);
    assert!(!read.has_errors(), "bank {seed} reads: {:?}\n{text}", read.faults);
    let design = read.design.expect("a design without errors is there");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(20.0) };
    let study = Study::of(&design, 0, tables, ambient).expect("the tables answer");
    let share = study.share(&Draw::Amps(Current::amps(bank.load_a))).expect("the bank solves");
    let largest = share.blocks.iter().map(|b| b.amps.abs()).fold(1.0, f64::max);
    let (currents, bank_v) = bank.eliminated();
    for (ours, theirs) in share.blocks.iter().zip(&currents) {
        let apart = (ours.amps - theirs).abs() / largest;
        assert!(apart < 1e-6, "bank {seed} {}: {} and {theirs}", ours.id, ours.amps);
    }
    assert!((share.bank_volts - bank_v).abs() < 1e-6 * bank_v.abs(), "bank {seed}: volts");
    if simulate {
        against_ngspice(seed, &study, &bank, largest);
    }
}

fn against_ngspice(seed: u64, study: &Study, bank: &RandomBank, largest: f64) {
    let at = study.netlist.bank.expect("the bank has a take-off");
    let mut network = study.netlist.network.clone();
    network.add_injection(Injection {
        name: "load".to_owned(),
        from: at.plus,
        to: at.minus,
        amp: bank.load_a,
    });
    let share = study.share(&Draw::Amps(Current::amps(bank.load_a))).expect("the bank solves");
    let deck = deck(&network, &format!("bank {seed}"), at).expect("a deck");
    let printed = simulated(Path::new(env!("CARGO_TARGET_TMPDIR")), &deck.text);
    for ((element, name), block) in deck.sources.iter().zip(&share.blocks) {
        let listed = study.netlist.blocks.iter().any(|(id, e)| id == &block.id && e == element);
        assert!(listed, "bank {seed}: {name} is {}", block.id);
        let theirs = printed.get(name).unwrap_or_else(|| panic!("{name} is printed"));
        let apart = (block.amps - theirs).abs() / largest;
        assert!(apart < 1e-6, "bank {seed} {name}: {} and {theirs}", block.amps);
    }
    let apart = (share.bank_volts - printed[BANK_VOLTS]).abs() / share.bank_volts.abs();
    assert!(apart < 1e-6, "bank {seed}: {} V and {} V", share.bank_volts, printed[BANK_VOLTS]);
}

#[test]
fn random_banks_agree_with_elimination_and_with_a_simulator() {
    let tables = Tables::load().expect("the tables are well formed");
    let simulate = simulator_is_here();
    let count = if std::env::var("SLOW").is_ok() { 1000 } else { 60 };
    for seed in 1..=count {
        check(seed, &tables, simulate);
    }
    println!("{count} banks, ngspice: {simulate}");
}
