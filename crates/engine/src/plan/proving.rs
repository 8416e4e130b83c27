//! What the finished bank must show: strings under a test load, and every joint by its own amps.

use super::build::Reading;
use super::job::Job;
use super::readings::meter_error;
use crate::circuit::error::SolveError;
use crate::circuit::netlist::{Fitted, Netlist};
use crate::circuit::share::{Draw, JointShare, Share, ShareInput};
use crate::circuit::wiring::WiredLead;
use crate::cite::Status;
use crate::facts::device::{load_amps, nominal_volts};
use crate::model::device::DeviceKind;
use crate::model::lead::Terminal;
use crate::units::Current;
use crate::units::reading::Quantity;
use crate::units::show::{decimal, fixed};

/// A joint with what a meter shows over it under the test load.
#[derive(Clone, Debug, PartialEq)]
pub struct JointProof {
    /// Its name: `5.from`.
    pub id: String,
    /// The lead.
    pub lead: String,
    /// The post or stud.
    pub terminal: Terminal,
    /// Its own amps in the test.
    pub amps: f64,
    /// Its computed resistance in microohms.
    pub micro_ohm: f64,
    /// What the meter shows over it.
    pub expect_mv: f64,
    /// More than this and it is remade.
    pub high_mv: f64,
    /// Whether the test load is enough to judge it.
    pub judged: Judged,
}

/// Whether a joint can be judged by a load.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Judged {
    /// By this load.
    Here,
    /// By a larger one [A].
    Larger(f64),
    /// It would take this [A], and the circuit may not carry that.
    Never(f64),
    /// It carries nothing in this test.
    Idle,
}

/// The proving sheet of a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct Proving {
    /// The test load [A].
    pub test_a: f64,
    /// Why not more.
    pub test_why: String,
    /// The same as watts at the bank [W].
    pub test_w: f64,
    /// Where it is taken.
    pub consumer: String,
    /// Volts of the bank under it.
    pub bank_volts: f64,
    /// Amps of each string.
    pub clamps: Vec<Reading>,
    /// Every joint that carries current in the test.
    pub joints: Vec<JointProof>,
    /// Current with everything off.
    pub standby: Reading,
}

impl Proving {
    /// Works the finished circuit through under the test load.
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn of(job: &Job<'_>) -> Result<Self, SolveError> {
        Self::at(job, None)
    }

    /// As [`Self::of`], under the load that was really drawn [A].
    ///
    /// # Errors
    /// When the network has no answer; the error names the part.
    pub fn at(job: &Job<'_>, drawn: Option<f64>) -> Result<Self, SolveError> {
        let mut test = test_load(job);
        if let Some(amps) = drawn {
            test.test_a = amps;
            "the load as drawn".clone_into(&mut test.why);
        }
        let netlist = Netlist::of(job.design, job.wiring, &upright(job), job.ohms, &Fitted::ALL);
        let input = ShareInput {
            design: job.design,
            wiring: job.wiring,
            netlist: &netlist,
            consumer: job.consumer,
            status: Status::Computed,
        };
        let share = Share::of(&input, &Draw::Amps(Current::amps(test.test_a)))?;
        let joints = share.joints.iter().map(|j| joint(job, j, &test)).collect();
        Ok(Self {
            test_a: test.test_a,
            test_w: test.test_a * share.bank_volts,
            test_why: test.why,
            consumer: job.consumer.device.clone().unwrap_or_else(|| "the bank's main leads".into()),
            bank_volts: share.bank_volts,
            clamps: clamps(job, &share),
            joints,
            standby: standby(job),
        })
    }

    /// The joints of one lead, from its start to its end.
    pub fn of_lead<'a>(&'a self, lead: &'a WiredLead) -> impl Iterator<Item = &'a JointProof> {
        self.joints.iter().filter(move |j| j.lead == lead.id)
    }
}

/// The facts with every block the right way round.
fn upright(job: &Job<'_>) -> crate::facts::Facts {
    let mut facts = job.facts.clone();
    for block in &mut facts.blocks {
        block.reversed = false;
    }
    facts
}

/// The load of the test.
struct TestLoad {
    /// What is drawn [A].
    test_a: f64,
    /// Why not more.
    why: String,
    /// The most the circuit may carry for a while [A].
    most_a: f64,
}

/// The test load and what limits it: the gate's usual amps, the fuses, the blocks, the consumer.
fn test_load(job: &Job<'_>) -> TestLoad {
    let mut limits: Vec<(f64, String)> = Vec::new();
    for device in job.design.devices.iter().filter(|d| d.kind.is_overcurrent()) {
        let on_way = job.consumer.device.as_ref().is_none_or(|c| guards(job, c, &device.part.name));
        if let Some(rating) = device.rating.filter(|_| on_way) {
            let amps = (rating.as_amps() / job.figures.fuse_over_load).floor();
            limits.push((amps, format!("{} may carry no more for long", device.part.name)));
        }
    }
    if let Some(bank) = job.design.bank() {
        let strings = f64::from(bank.parallel);
        let block = job.facts.blocks.iter().filter_map(|b| job.model_of(b.id)?.discharge_max);
        if let Some(most) = block.map(Current::as_amps).min_by(f64::total_cmp) {
            limits.push((most * strings, "the blocks may give no more".to_owned()));
        }
    }
    if let Some(amps) = job.consumer_amps {
        let name = job.consumer.device.clone().unwrap_or_default();
        limits.push((amps.floor(), format!("{name} takes no more")));
    }
    limits.retain(|(amps, _)| *amps > 0.0);
    let tightest = limits.into_iter().min_by(|a, b| a.0.total_cmp(&b.0));
    let usual = job.figures.test_a;
    match tightest {
        Some((most_a, why)) if most_a < usual => TestLoad { test_a: most_a, why, most_a },
        other => TestLoad {
            test_a: usual,
            why: "the usual test load".to_owned(),
            most_a: other.map_or(f64::INFINITY, |o| o.0),
        },
    }
}

/// Whether a fuse lies on the way to a device.
fn guards(job: &Job<'_>, consumer: &str, fuse: &str) -> bool {
    use crate::circuit::paths::{Step, way_out};
    let way = way_out(job.design, job.wiring, consumer).unwrap_or_default();
    way.contains(&Step::Device(fuse.to_owned()))
}

fn clamps(job: &Job<'_>, share: &Share) -> Vec<Reading> {
    let mean = share.total_amps / f64::from(u32::try_from(share.strings.len()).unwrap_or(1).max(1));
    let band = job.figures.clamp_spread * mean;
    let mut readings = Vec::new();
    for string in &share.strings {
        let error = job.figures.clamp_ratio * mean + job.figures.clamp_drift_a;
        let outside = (string.amps - mean).abs() > band;
        readings.push(Reading {
            id: format!("clamp {}", string.id),
            quantity: Quantity::Amps,
            expect: Some(string.amps),
            low: Some(mean - band - error),
            high: Some(mean + band + error),
            range: "DC amps, zeroed".to_owned(),
            probes: format!("clamp one lead of string {}, arrow to plus", string.id),
            between: None,
            note: outside.then(|| {
                let share = decimal((string.amps / mean - 1.0) * 100.0, 0);
                format!(
                    "by this design it is {share} % off the mean: see the finding on the take-off"
                )
            }),
        });
    }
    readings
}

/// What a meter shows over one joint, and whether the load is enough to judge it.
///
/// # Formula
/// U = I * R; M = max((1 + s) * R, R + d) * I + e
/// # Symbols
/// - I, the joint's own amps in the test [A]
/// - R, its computed resistance [ohm]
/// - e, error of the meter on millivolts [mV]
/// - `joint_over`: s, share by which it may be over like joints [1]
/// - `joint_step_ohm`: d, smallest step worth remaking it for [ohm]
/// - returns U and its limit M [mV]
/// # Valid
/// Steady DC. Under `e` the reading is noise: the joint is not judged then.
/// # Source
/// data/rules/limits.csv joint-over-like-max, joint-new-over-average-step, meter-millivolt-error
/// # Checked by
/// `joints_are_judged_by_their_own_amps`; this cannot detect a lug that is loose but touching
fn joint(job: &Job<'_>, share: &JointShare, test: &TestLoad) -> JointProof {
    let ohm = share.micro_ohm * 1e-6;
    let amps = share.amps.abs();
    let expect_mv = amps * ohm * 1000.0;
    let most = (ohm * (1.0 + job.figures.joint_over)).max(ohm + job.figures.joint_step_ohm);
    let carries = amps > 1e-6 && ohm > 0.0;
    // Rounded up to the next ten amps, as a person would set a load.
    let enough = (test.test_a * job.figures.meter_mv / expect_mv.max(1e-12) / 10.0).ceil() * 10.0;
    let judged = if !carries {
        Judged::Idle
    } else if expect_mv >= job.figures.meter_mv {
        Judged::Here
    } else if enough <= test.most_a {
        Judged::Larger(enough)
    } else {
        Judged::Never(enough)
    };
    JointProof {
        id: share.id.clone(),
        lead: share.id.rsplit_once('.').map_or(&*share.id, |(lead, _)| lead).to_owned(),
        terminal: share.terminal.clone(),
        amps,
        micro_ohm: share.micro_ohm,
        expect_mv,
        high_mv: most * amps * 1000.0 + job.figures.meter_mv,
        judged,
    }
}

impl JointProof {
    /// Whether current flows in it in the test.
    #[must_use]
    pub fn carries(&self) -> bool {
        self.judged != Judged::Idle
    }

    /// The reading on the page.
    #[must_use]
    pub fn reading(&self, test_a: f64) -> Reading {
        let small = format!("this load of {} A is too small to judge it", decimal(test_a, 0));
        let note = match self.judged {
            Judged::Here => None,
            Judged::Larger(enough) => Some(format!("{small}: {} A would do", decimal(enough, 0))),
            Judged::Never(enough) => Some(format!(
                "{small}; it would take {} A, more than this circuit may carry: feel for warmth \
                 and compare with joints like it",
                decimal(enough, 0)
            )),
            Judged::Idle => Some("it carries nothing in this test".to_owned()),
        };
        Reading {
            id: self.id.clone(),
            quantity: Quantity::Millivolts,
            expect: Some(self.expect_mv),
            low: None,
            high: (self.judged == Judged::Here).then_some(self.high_mv),
            range: "200 mV DC".to_owned(),
            probes: format!(
                "one tip on {}, one on the copper at the end of the lug's barrel; {} A flow in it",
                self.terminal,
                fixed(self.amps, 1)
            ),
            between: None,
            note,
        }
    }
}

/// Current with everything switched off: what the owner marked as standby.
fn standby(job: &Job<'_>) -> Reading {
    let nominal = nominal_volts(job.design);
    let listed = job.design.loads.iter().filter(|l| l.standby == Some(true));
    let amps: Vec<f64> =
        listed.filter_map(|l| load_amps(l, nominal?).map(Current::as_amps)).collect();
    let known = !amps.is_empty();
    let total: f64 = amps.iter().sum();
    let error = job.figures.clamp_ratio * total + job.figures.clamp_drift_a / 5.0;
    let (probes, range) = standby_meter(job, total);
    Reading {
        id: "standby".to_owned(),
        quantity: Quantity::Amps,
        expect: known.then_some(total),
        low: known.then_some((total - error).max(0.0)),
        high: known.then_some(total + error),
        range,
        probes,
        between: None,
        note: (!known).then(|| {
            "no load is marked as standby: list what runs with everything off, and write what you \
             read"
                .to_owned()
        }),
    }
}

/// A shunt is read in millivolts where that shows enough; otherwise the clamp with five turns.
fn standby_meter(job: &Job<'_>, amps: f64) -> (String, String) {
    let shunt = job.design.devices_of(DeviceKind::Shunt).next();
    if let Some(shunt) = shunt {
        let ohm = job.facts.devices.get(&shunt.part.name).map_or(0.0, |r| r.as_ohms());
        let shown_mv = amps * ohm * 1000.0;
        if shown_mv >= job.figures.meter_mv {
            let name = &shunt.part.name;
            let text = format!("across {name}: {} mV is this current", fixed(shown_mv, 1));
            return (text, "200 mV DC".to_owned());
        }
    }
    let text = "clamp round the main minus lead passed five times, and divide by five; never a \
                meter in series between two posts";
    (text.to_owned(), "DC amps, zeroed".to_owned())
}

/// Error of the owner's meter on the bank's volts.
#[must_use]
pub fn bank_error(job: &Job<'_>) -> f64 {
    meter_error(job.figures.meter_v, job.string_volts())
}
