//! How long one step of the bank takes in the batch kernel, and the same reduced work in `NumPy`.
//!
//! Budget: 3 ns a step and core, goal 1.5. `reduced` is two wells, both charge limits and a floor, the
//! work of `kernel_numpy.py`, which runs beside it where Python has it; the checksums must agree, so
//! it is the same work. `whole` is the step of the product with rest volts, resistance, cold, gas,
//! self-discharge, cut-off and the account of energy.

#![expect(clippy::print_stdout, reason = "a bench prints its figures")]
#![expect(clippy::disallowed_methods, reason = "a bench reads the clock")]

use engine::calc::kinetic_battery::Wells;
use engine::sim::bank::{BankModel, BankTraits, Knees};
use engine::sim::hour::{BankState, Hour};
use engine::sim::kernel::{BankLanes, FlowLanes, HourLanes, step_lanes};
use engine::sim::vector::{Work, widest};
use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

/// Years a run.
const YEARS: [usize; 3] = [100, 1000, 4000];
/// Lanes side by side.
const LANES: usize = 16;
const DAYS: usize = 365;
const WELLS: Wells =
    Wells { available_share: 0.463_239, rate_per_h: 0.490_854, charge_max_ah: 638.902 };
/// Half of the charge: the floor of the reduced step.
const FLOOR_AH: f64 = 319.451;

fn main() {
    let numpy = numpy();
    println!("ns per step on one core, best of three; a step is an hour of one weather year");
    println!("years   reduced     NumPy  times     whole  whole LFP");
    for (i, years) in YEARS.into_iter().enumerate() {
        let (reduced, sum) = best(|| widest(Reduced(years)), years);
        let (whole, _) = best(|| whole_years(years, None), years);
        let (lfp, _) = best(|| whole_years(years, Some(KNEES)), years);
        let beside = numpy.get(i).map(|(ns, theirs)| {
            let same = (sum - theirs).abs() <= 1e-9 * sum.abs();
            assert!(same, "not the same work: {sum} here, {theirs} in NumPy");
            format!("{ns:9.2} {:6.1}", ns / reduced)
        });
        let beside = beside.unwrap_or_else(|| "no NumPy here".to_owned());
        println!("{years:5} {reduced:9.2} {beside} {whole:9.2} {lfp:9.2}");
    }
}

/// Nanoseconds a step, the best of three, and what the run came to.
fn best(run: impl Fn() -> f64, years: usize) -> (f64, f64) {
    let steps = u32::try_from(years * DAYS * 24).map_or(f64::NAN, f64::from);
    let mut least = f64::MAX;
    let mut sum = 0.0;
    for _ in 0..3 {
        let start = Instant::now();
        sum = black_box(run());
        least = least.min(start.elapsed().as_secs_f64() * 1e9 / steps);
    }
    (least, sum)
}

/// Load amps and full-sun amps at an hour of the day.
fn amps(hour: u32) -> (f64, f64) {
    let away = f64::from(hour) - 12.0;
    let evening = if (18..23).contains(&hour) { 8.0 } else { 0.0 };
    (4.0 + evening, (60.0 - 1.7 * away * away).max(0.0))
}

/// Lanes of a block with the cloud each year starts with, and how many of them count.
fn clouds(years: usize, first: usize) -> ([f64; LANES], usize) {
    let whole = |n: usize| u32::try_from(n).map_or(f64::NAN, f64::from);
    let cloud = std::array::from_fn(|i| (whole(first + i) + 0.5) / whole(years));
    (cloud, LANES.min(years - first))
}

#[inline(always)]
fn next_day(cloud: &mut [f64; LANES]) {
    for c in cloud {
        *c = (1.0 - *c) * (*c * 3.9);
    }
}

/// So many years of the reduced step.
struct Reduced(usize);

impl Work for Reduced {
    type Out = f64;

    #[inline(always)]
    fn work(self) -> f64 {
        reduced_years(self.0)
    }
}

/// Two wells, both charge limits, floor; the same operations as the script.
#[inline(always)]
fn reduced_years(years: usize) -> f64 {
    let (c, k, all) = (WELLS.available_share, WELLS.rate_per_h, WELLS.charge_max_ah);
    let r = engine::number::exp(-k);
    let per_amp = ((1.0 - r) + c * (k - 1.0 + r)) / k;
    let (give, part, accept) = (1.0 / per_amp, c * (1.0 - r), 1.0 - engine::number::exp(-1.0));
    let table: [(f64, f64); 24] = std::array::from_fn(|h| amps(u32::try_from(h).unwrap_or(0)));
    let mut sum = 0.0;
    for first in (0..years).step_by(LANES) {
        let (mut cloud, lanes) = clouds(years, first);
        let (mut q1, mut q2) = ([c * all; LANES], [(1.0 - c) * all; LANES]);
        let mut count = [0.0; LANES];
        for _ in 0..DAYS {
            next_day(&mut cloud);
            for (load, sun) in &table {
                for i in 0..LANES {
                    let whole = q1[i] + q2[i];
                    let free = q1[i] * r + whole * part;
                    let mut amp = cloud[i] * -sun + load;
                    amp = if free * give < amp { free * give } else { amp };
                    let room = (free - c * all) * give;
                    amp = if amp < room { room } else { amp };
                    let missing = (whole - all) * accept;
                    amp = if amp < missing { missing } else { amp };
                    let dropped = whole < FLOOR_AH && 0.0 < amp;
                    amp = if dropped { 0.0 } else { amp };
                    count[i] += if dropped { 1.0 } else { 0.0 };
                    q1[i] = free - amp * per_amp;
                    q2[i] = whole - amp - q1[i];
                }
            }
        }
        sum += (0..lanes).map(|i| q1[i] + q2[i] + count[i]).sum::<f64>();
    }
    sum
}

const KNEES: Knees = Knees { low_v: -4.0, high_v: 0.2 };

/// The demo bank of 570 Ah at 12 V; with knees, as if of LFP.
fn bank(knees: Option<Knees>) -> BankModel {
    let traits = BankTraits {
        wells: WELLS,
        rated_ah: 570.0,
        cells: 6.0,
        rest_empty_v: 11.8,
        rest_rise_v: 0.84,
        knees,
        resistance_ohm: 0.0021,
        resistance_rise: 0.062,
        transfer_ohm: 0.0039,
        transfer_full: 1.001,
        cold_resistance: [-0.003, 0.00087],
        cold_resistance_last_k: 42.0,
        cold_capacity: [0.01, 0.000_056],
        cold_capacity_least: 0.05,
        acceptance_per_h: 1.0,
        charge_max_a: 200.0,
        charge_min_c: -40.0,
        discharge_min_c: -60.0,
        near_full_gas: 2.0,
        gas_a: 0.097,
        gas_reference_v: 2.23,
        gas_per_volt: 11.0,
        gas_per_kelvin: 0.06,
        self_per_h: [(10.0, 8.3e-5), (26.7, 2.8e-4), (37.8, 6.9e-4)],
        loses_water: true,
    };
    BankModel::new(traits, 1.0)
}

/// The step of the product, with what a run over the year adds up.
fn whole_years(years: usize, knees: Option<Knees>) -> f64 {
    let model = bank(knees);
    let mut sum = 0.0;
    for first in (0..years).step_by(LANES) {
        let (mut cloud, lanes) = clouds(years, first);
        let mut banks: BankLanes<LANES> = BankLanes::all(model.full());
        let quiet = Hour {
            load_w: 0.0,
            cut_off_v: 10.8,
            sun_w: 0.0,
            sun_max_a: 60.0,
            set_v: 14.6,
            other_a: 0.0,
            cell_c: 25.0,
        };
        let mut hours = HourLanes::all(quiet);
        let mut flows = FlowLanes::NONE;
        let (mut served, mut shed, mut lost, mut gas) =
            ([0.0; LANES], [0.0; LANES], [0.0; LANES], [0.0; LANES]);
        for _ in 0..DAYS {
            next_day(&mut cloud);
            for hour in 0..24 {
                let (load, sun) = amps(hour);
                hours.load_w = [load * 12.2; LANES];
                hours.sun_w = cloud.map(|c| sun * 12.2 * c);
                hours.cell_c = cloud.map(|c| 5.0 + 0.2 * sun + 5.0 * c);
                step_lanes(&model, &mut banks, &hours, &mut flows);
                for i in 0..LANES {
                    served[i] += flows.served_w[i];
                    shed[i] += flows.shed[i];
                    lost[i] += flows.lost_w[i];
                    gas[i] += flows.gas_ah[i];
                }
            }
        }
        for i in 0..lanes {
            let BankState { available_ah, bound_ah } = banks.lane(i);
            sum += available_ah + bound_ah + served[i] + shed[i] + lost[i] + gas[i];
        }
    }
    sum
}

/// Nanoseconds a step and the checksum of each count of years, where Python has `NumPy`.
fn numpy() -> Vec<(f64, f64)> {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/benches/kernel_numpy.py");
    let output = Command::new("python3").arg(script).args(YEARS.map(|y| y.to_string())).output();
    let Ok(output) = output else {
        return Vec::new();
    };
    let text = String::from_utf8_lossy(&output.stdout);
    let line = |l: &str| {
        let words: Vec<f64> = l.split(' ').filter_map(|w| w.parse().ok()).collect();
        Some((*words.get(1)?, *words.get(2)?))
    };
    text.lines().filter_map(line).collect()
}
