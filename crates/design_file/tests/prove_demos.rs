//! Proving on the three demos: what a meter shows is worked by node volts (`circuit::solve`), not by
//! the loops `prove` reasons with; joints, thin leads, blocks and moved links are recognised on each,
//! missing links and misread figures too, and a sound rig passes.
//!
//! Random faults and meter errors, solved in ngspice, are held against `prove` elsewhere.

use engine::circuit::netlist::{Fitted, LeadOhms, Netlist};
use engine::circuit::network::{Injection, NodeId, Terminals};
use engine::circuit::wiring::Wiring;
use engine::evidence::readings::{Readings, TakenReading};
use engine::facts::{Ambient, Facts};
use engine::model::lead::Terminal;
use engine::prove::sheet::expected;
use engine::prove::{At, Clamped, Expected, FaultKind, Part, Point, Proof, Test, Verdict};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::reading::Quantity;
use engine::units::show::fixed;
use engine::units::{Temperature, Voltage};

const DEMOS: [(&str, &str); 3] = [
    ("alder-fen", include_str!("../../../examples/alder-fen.toml")),
    ("withy-reach", include_str!("../../../examples/withy-reach.toml")),
    ("rime-hollow", include_str!("../../../examples/rime-hollow.toml")),
];

/// A demo at its last stage with its sheet.
struct Demo {
    name: &'static str,
    study: Study,
    tables: Tables,
    sheet: Vec<Expected>,
}

/// What is really in the box.
#[derive(Clone)]
struct Box {
    wiring: Wiring,
    facts: Facts,
    ohms: Vec<LeadOhms>,
}

fn demos() -> Vec<Demo> {
    DEMOS
        .into_iter()
        .map(|(name, text)| {
            let tables = Tables::load().expect("the tables are well formed");
            let design = design_file::read::read(text).design.expect("the demo is read");
            let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
            let last = design.stages.len().saturating_sub(1);
            let study = Study::of(&design, last, &tables, ambient).expect("the tables hold");
            let sheet = expected(&study, &tables, &Readings::default()).expect("it solves");
            Demo { name, study, tables, sheet }
        })
        .collect()
}

impl Demo {
    fn planned(&self) -> Box {
        Box {
            wiring: self.study.wiring.clone(),
            facts: self.study.facts.clone(),
            ohms: self.study.ohms.clone(),
        }
    }

    /// What a faultless meter shows at every reading of the sheet.
    fn measure(&self, real: &Box) -> Vec<TakenReading> {
        let shown = |e: &Expected| self.shows(real, e);
        self.sheet.iter().filter_map(|e| Some((e, shown(e)?))).map(|(e, v)| taken(e, v)).collect()
    }

    fn shows(&self, real: &Box, e: &Expected) -> Option<f64> {
        let under_load = self.stands(real, e)?;
        if !e.moves {
            return Some(under_load);
        }
        let at_rest = self.stands(real, &Expected { drawn: None, ..e.clone() })?;
        let rises = under_load - at_rest;
        Some(if e.quantity == Quantity::Amps { rises } else { -rises })
    }

    /// What stands in the display with what is drawn in the test.
    fn stands(&self, real: &Box, e: &Expected) -> Option<f64> {
        if e.at == At::Standby {
            return e.expect;
        }
        let lead = |id: &str| e.state.leads.contains(id);
        let device = |id: &str| e.state.devices.contains(id);
        let fitted = Fitted { lead: &lead, device: &device };
        let net = Netlist::of(&self.study.design, &real.wiring, &real.facts, &real.ohms, &fitted);
        let drawn = e.drawn.as_ref().and_then(|d| {
            let at = match &d.device {
                Some(name) => net.device_terminals(name),
                None => net.bank,
            }?;
            Some(Injection { name: "load".into(), from: at.plus, to: at.minus, amp: d.amps })
        });
        let factored = net.network.factor().ok()?;
        let solution = factored.solve_with(drawn.as_slice()).ok()?;
        let point = |p: &Point| -> Option<NodeId> {
            match p {
                Point::Terminal(terminal) => {
                    let id = e.id.strip_suffix(" charging").unwrap_or(&e.id);
                    let joint = id.strip_suffix(".from").or_else(|| id.strip_suffix(".to"));
                    let lead = joint.or_else(|| id.strip_prefix("lead "));
                    let lead = lead.or_else(|| id.strip_prefix("gap "));
                    // Beside a lug the tips go where the lug really is.
                    let planned = lead.and_then(|l| self.study.wiring.lead(l));
                    let now = match (planned, lead.and_then(|l| real.wiring.lead(l))) {
                        (Some(was), Some(is)) if was.from == *terminal => &is.from,
                        (Some(was), Some(is)) if was.to == *terminal => &is.to,
                        _ => terminal,
                    };
                    net.nodes.get(now).copied()
                }
                Point::Lug { lead, at_start } => {
                    let ends = net.network.element(net.lead(lead)?.conductor).ends();
                    Some(if *at_start { ends.0 } else { ends.1 })
                }
            }
        };
        let value = match &e.at {
            At::Between { red, black, .. } => {
                let at = Terminals { plus: point(red)?, minus: point(black)? };
                solution.volts_between(at).unwrap_or(0.0)
            }
            At::Clamp(Clamped::Lead { lead, backwards }) => {
                let amps = solution.current_a(net.lead(lead)?.conductor);
                if *backwards { -amps } else { amps }
            }
            At::Clamp(Clamped::Block(id)) => {
                solution.current_a(net.blocks.iter().find(|b| b.0 == *id)?.1)
            }
            At::Clamp(Clamped::Drawn) => e.drawn.as_ref()?.amps,
            At::Standby => return e.expect,
        };
        Some(if e.quantity == Quantity::Millivolts { 1000.0 * value } else { value })
    }

    fn proof(&self, taken: Vec<TakenReading>) -> Proof {
        let readings = Readings { taken, ..Readings::default() };
        Proof::of(&self.study, &self.tables, &readings).expect("the plan solves")
    }

    /// Fails unless the fault comes first.
    fn check(&self, taken: Vec<TakenReading>, part: &str, kind: FaultKind) {
        let proof = self.proof(taken);
        let first = proof.suspects.first().map(|s| (s.part.to_string(), s.kind));
        assert_eq!(
            first,
            Some((part.to_owned(), kind)),
            "{}: sound {:.3}, suspects {:?}",
            self.name,
            proof.sound,
            proof.suspects.iter().take(4).map(|s| (&s.says, s.probability)).collect::<Vec<_>>()
        );
    }

    /// A joint in the middle of the sheet that the load goes through.
    fn joint(&self) -> usize {
        let leads = &self.study.wiring.leads;
        let on = |id: &str| self.sheet.iter().any(|e| e.id == format!("{id}.to"));
        leads.iter().position(|l| l.role.is_link() && on(&l.id)).expect("a link carries the load")
    }
}

/// A meter reads three figures behind the point at the most.
fn taken(e: &Expected, value: f64) -> TakenReading {
    let value = (value * 1000.0).round() / 1000.0;
    let signed = !matches!(e.at, At::Between { signed: false, .. });
    let value = if signed { value } else { value.abs() };
    TakenReading { what: e.id.clone(), value, quantity: e.quantity, amps: None, line: None }
}

#[test]
fn a_sound_rig_is_good_and_every_reading_lies_in_its_band() {
    for demo in demos() {
        let proof = demo.proof(demo.measure(&demo.planned()));
        assert!(
            matches!(proof.verdict, Verdict::Good | Verdict::GoodAsFar { .. }),
            "{}: {:?}, {:?}",
            demo.name,
            proof.verdict,
            proof.suspects.first()
        );
        // What no reading of the sheet can see, such as a lead to an idle device, keeps its odds.
        assert!(proof.sound > 0.7, "{}: sound {}", demo.name, proof.sound);
        for judged in &proof.readings {
            let (Some(low), Some(high)) = (judged.low, judged.high) else { continue };
            let inside = low <= judged.measured && judged.measured <= high;
            assert!(inside, "{}: {} {}", demo.name, judged.id, judged.says);
        }
    }
}

#[test]
fn a_loose_joint_is_found_with_its_size() {
    for demo in demos() {
        let lead = demo.joint();
        let id = demo.study.wiring.leads[lead].id.clone();
        for extra in [0.5e-3, 2e-3, 10e-3] {
            let mut real = demo.planned();
            real.ohms[lead].to_joint += extra;
            let readings = demo.measure(&real);
            demo.check(readings.clone(), &format!("{id}.to"), FaultKind::LooseJoint);
            let proof = demo.proof(readings);
            let size = proof.suspects[0].estimate.expect("a joint has a size");
            let right = size.low <= 1000.0 * extra && 1000.0 * extra <= size.high;
            assert!(right, "{}: {extra} ohm told as {size:?}", demo.name);
        }
    }
}

#[test]
fn two_joints_of_a_lead_are_one_line_until_a_reading_tells_them_apart() {
    for demo in demos() {
        let lead = demo.joint();
        let id = demo.study.wiring.leads[lead].id.clone();
        let mut real = demo.planned();
        real.ohms[lead].to_joint += 2e-3;
        let all = demo.measure(&real);
        // No block is at fault, for each was read by itself.
        let apart = |what: &str| {
            demo.sheet.iter().any(|e| e.id == what && matches!(e.test, Test::Apart | Test::Strings))
        };
        let of = |names: &[String]| -> Vec<TakenReading> {
            let wanted = |r: &&TakenReading| apart(&r.what) || names.contains(&r.what);
            all.iter().filter(wanted).cloned().collect()
        };
        let whole = demo.proof(of(&[format!("lead {id}")]));
        let joint = |proof: &Proof| {
            proof.suspects.iter().find(|s| s.kind == FaultKind::LooseJoint).cloned()
        };
        let first = joint(&whole).expect("a joint of a lead of 2 mohm too much is suspected");
        assert!(first.or_in.is_some(), "{}: {}", demo.name, first.named());
        for end in ["from", "to"] {
            let name = format!("{id}.{end}");
            assert!(first.named().contains(&name), "{}: {}", demo.name, first.named());
            assert!(first.do_.contains(&name), "{}: {}", demo.name, first.do_);
        }
        let told = demo.proof(of(&[format!("lead {id}"), format!("{id}.to")]));
        let first = joint(&told).expect("it is suspected");
        assert_eq!((first.named(), &first.or_in), (format!("{id}.to"), &None), "{}", demo.name);
    }
}

#[test]
fn each_figure_of_the_next_reading_is_told_once() {
    for demo in demos() {
        for readings in [Vec::new(), demo.measure(&demo.planned())] {
            let Some(next) = demo.proof(readings).next else { continue };
            let digits = next.quantity.digits();
            let told: Vec<String> = next.expect_if.iter().map(|e| fixed(e.value, digits)).collect();
            let once: std::collections::BTreeSet<&String> = told.iter().collect();
            assert_eq!(once.len(), told.len(), "{}: {told:?}", demo.name);
        }
        let first = demo.proof(Vec::new()).next.expect("nothing was read yet");
        assert!(1 < first.expect_if.len(), "{}: {:?}", demo.name, first.expect_if);
    }
}

#[test]
fn a_clamp_that_was_not_used_is_no_suspect() {
    for demo in demos() {
        let all = demo.measure(&demo.planned());
        let volts = all.into_iter().filter(|r| r.quantity == Quantity::Volts).collect();
        let proof = demo.proof(volts);
        assert!(proof.suspects.iter().all(|s| s.part != Part::Clamp), "{}", demo.name);
    }
}

#[test]
fn a_thin_lead_is_found() {
    for demo in demos() {
        let lead = demo.joint();
        let id = demo.study.wiring.leads[lead].id.clone();
        let mut real = demo.planned();
        real.ohms[lead].conductor *= 4.0;
        demo.check(demo.measure(&real), &id, FaultKind::ThinLead);
    }
}

#[test]
fn reversed_weak_and_flat_blocks_are_found() {
    for demo in demos() {
        let block = demo.study.facts.blocks.len() / 2;
        let id = demo.study.facts.blocks[block].id.to_string();
        let mut real = demo.planned();
        real.facts.blocks[block].reversed = true;
        let readings = demo.measure(&real);
        demo.check(readings.clone(), &id, FaultKind::Reversed);
        assert_eq!(demo.proof(readings).verdict, Verdict::Stop, "{}", demo.name);
        let mut real = demo.planned();
        let old = real.facts.blocks[block].resistance;
        real.facts.blocks[block].resistance = old * 4.0;
        demo.check(demo.measure(&real), &id, FaultKind::Weak);
        let mut real = demo.planned();
        let facts = &mut real.facts.blocks[block];
        let cell = demo.tables.battery.rest_voltage(facts.chemistry.word(), 30.0).expect("a row");
        facts.emf = Voltage::volts(cell.value.as_volts() * f64::from(facts.cells));
        demo.check(demo.measure(&real), &id, FaultKind::Undercharged);
    }
}

#[test]
fn a_link_on_the_wrong_post_is_found() {
    for demo in demos().into_iter().filter(|d| d.study.facts.blocks.len() > 2) {
        let lead = demo.joint();
        let id = demo.study.wiring.leads[lead].id.clone();
        let mut real = demo.planned();
        let Terminal::Post { block, plus } = real.wiring.leads[lead].to.clone() else { continue };
        real.wiring.leads[lead].to = Terminal::Post { block, plus: !plus };
        let readings = demo.measure(&real);
        demo.check(readings.clone(), &id, FaultKind::MovedLead);
    }
}

#[test]
fn a_missing_link_is_found() {
    for demo in demos() {
        let lead = demo.joint();
        let mut real = demo.planned();
        let gone = real.wiring.leads.remove(lead);
        real.ohms.remove(lead);
        // Nobody puts tips to the lugs of a lead that is not there.
        let of_it = |what: &str| {
            let name = what.strip_suffix(" charging").unwrap_or(what);
            let joint = name.strip_suffix(".from").or_else(|| name.strip_suffix(".to"));
            joint.or_else(|| name.strip_prefix("gap ")) == Some(&gone.id)
        };
        let mut readings = demo.measure(&real);
        readings.retain(|r| !of_it(&r.what));
        demo.check(readings, &gone.id, FaultKind::MissingLead);
    }
}

#[test]
fn a_misread_figure_is_found_and_asked_for_again() {
    for demo in demos() {
        let id = format!("lead {}", demo.study.wiring.leads[demo.joint()].id);
        let sound = demo.measure(&demo.planned());
        let misread = |what: &str, change: &dyn Fn(f64) -> f64| {
            let mut readings = sound.clone();
            let one = readings.iter_mut().find(|r| r.what == what).expect("it is on the sheet");
            one.value = change(one.value);
            readings
        };
        for factor in [0.1, 10.0] {
            demo.check(misread(&id, &|v| v * factor), &id, FaultKind::WrongRange);
        }
        let block = demo.study.facts.blocks[0].id;
        let at_rest = format!("{block} at rest");
        demo.check(misread(&at_rest, &|v| -v), &at_rest, FaultKind::Swapped);
        let readings = misread(&at_rest, &|v| 1.3 * v);
        demo.check(readings.clone(), &at_rest, FaultKind::Mistyped);
        let next = demo.proof(readings).next.expect("it is read again");
        assert_eq!(next.id, at_rest, "{}: the doubtful figure comes first", demo.name);
    }
}

#[test]
fn behind_a_gap_that_shows_volts_nothing_is_asked_for() {
    for demo in demos() {
        let Some(gap) = demo.sheet.iter().find(|e| e.test == Test::Gap) else { continue };
        let high = gap.high.expect("a gap has a band");
        let next = demo.proof(vec![taken(gap, 3.0 * high)]).next;
        let safe = next.is_none_or(|n| matches!(n.test, Test::Apart | Test::Strings | Test::Gap));
        assert!(safe, "{}: {} stands at {:.2} V", demo.name, gap.id, 3.0 * high);
    }
}

#[test]
fn the_order_of_readings_and_a_reading_that_tells_nothing_change_nothing() {
    for demo in demos() {
        let mut real = demo.planned();
        real.ohms[demo.joint()].from_joint += 1e-3;
        let readings = demo.measure(&real);
        let first = demo.proof(readings.clone());
        let mut turned = readings.clone();
        turned.reverse();
        assert_eq!(demo.proof(turned), first, "{}: the order of readings counts", demo.name);
        let without: Vec<_> = readings.into_iter().filter(|r| r.what != "standby").collect();
        let second = demo.proof(without);
        assert_eq!(second.suspects, first.suspects, "{}: standby moves the odds", demo.name);
    }
}

#[test]
fn with_nothing_read_a_safe_reading_comes_first() {
    for demo in demos() {
        let proof = demo.proof(Vec::new());
        let next = proof.next.expect("something can be read");
        let before = matches!(next.test, Test::Apart | Test::Strings | Test::Gap);
        assert!(before, "{}: {} under {:?}", demo.name, next.id, next.test);
        assert!(proof.readings.is_empty(), "{}: nothing was read", demo.name);
        // A reversed block seen: nothing under load is asked for.
        let id = demo.study.facts.blocks[0].id;
        let volts = -demo.study.facts.blocks[0].emf.as_volts();
        let e = demo.sheet.iter().find(|e| e.id == id.to_string()).expect("the block is listed");
        let next = demo.proof(vec![taken(e, volts)]).next;
        let safe = next.is_none_or(|n| matches!(n.test, Test::Apart | Test::Strings | Test::Gap));
        assert!(safe, "{}: a load is asked for with a reversed block", demo.name);
    }
}

#[test]
fn a_name_that_is_none_gets_the_nearest() {
    let demo = demos().into_iter().next().expect("a demo");
    let taken = TakenReading {
        what: "bank undr load".to_owned(),
        value: 12.4,
        quantity: Quantity::Volts,
        amps: None,
        line: Some(7),
    };
    let proof = demo.proof(vec![taken]);
    let unknown = proof.unknown.first().expect("it is told");
    assert_eq!(unknown.nearest.as_deref(), Some("bank under load"), "the nearest name");
    assert_eq!(unknown.line, Some(7), "its line");
}
