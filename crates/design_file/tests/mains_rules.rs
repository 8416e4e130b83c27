//! Mains, generator, gas and the hardest start: what the pages of these rules do not run.

use design_file::read::read;
use engine::checks::context::Context;
use engine::checks::registry::{ask, rule};
use engine::facts::Ambient;
use engine::finding::{Code, Finding, Gate};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

/// What one rule says of a design with every block at this state of charge.
fn said(text: &str, code: u8, soc: Option<f64>) -> Vec<Finding> {
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    let result = read(text);
    assert!(result.faults.is_empty(), "{:#?}", result.faults);
    let design = result.design.expect("a design without a fault is there");
    let ambient = Ambient { soc, temperature: Temperature::celsius(25.0) };
    let study = Study::of(&design, 0, &tables, ambient).expect("the tables are whole");
    let cx = Context {
        study: &study,
        tables: &tables,
        whole: &design,
        evidence: &engine::evidence::NONE,
    };
    ask(&cx, rule(Code(code)).expect("the rule is there"))
}

const HUT: &str = r#"format = 1
[rig]
name = "Hut"
kind = "cabin"
practice = "eu-cabin"
[block.solo]
chemistry = "AGM"
volts = "12 V"
rating = "400 Ah at 20 h"
resistance = "9 mohm"
short_circuit = "2000 A"
[bank]
block = "solo"
series = 1
parallel = 1
[device]
fuse = { kind = "fuse", family = "class T", rating = "100 A" }
panel = { kind = "panel", rating = "20 A" }
INVERTER
GENERATOR
[lead]
plus = { from = "bank +", to = "fuse in", size = "35 mm2", length = "150 mm" }
feed = { from = "fuse out", to = "panel +", size = "35 mm2", length = "900 mm" }
minus = { from = "panel -", to = "bank -", size = "35 mm2", length = "900 mm" }
LEADS
"#;

const INVERTER: &str = "inverter = { kind = \"inverter\", power = \"600 W\", efficiency = 0.9, \
                        cut_off = \"10.8 V\", transfer = true }";
const GENERATOR: &str = "generator = { kind = \"generator\", distance = \"9 m\", \
                         exhaust_away = true }";
const LEADS: &str = r#"inverter2 = { from = "fuse out", to = "inverter +", size = "35 mm2", length = "900 mm" }
inverter3 = { from = "inverter -", to = "bank -", size = "35 mm2", length = "900 mm" }"#;

/// A hut with an inverter, a generator or neither, and what else the file says.
fn hut(inverter: bool, generator: bool, rest: &str) -> String {
    let or_not = |there: bool, text: &'static str| if there { text } else { "" };
    HUT.replace("INVERTER", or_not(inverter, INVERTER))
        .replace("GENERATOR", or_not(generator, GENERATOR))
        .replace("LEADS", or_not(inverter, LEADS))
        + rest
}

#[test]
fn a_rig_without_mains_generator_or_gas_is_not_asked_about_them() {
    for code in [39, 40, 42, 55, 56, 60, 61, 62, 63] {
        let said = said(&hut(false, false, ""), code, None);
        assert_eq!(said, [], "R{code}");
    }
}

#[test]
fn silence_about_mains_holds_the_gates() {
    // A file with an inverter and a generator and no word of mains.
    let text = hut(true, true, "");
    let meet = said(&text, 40, None);
    assert_eq!(meet.len(), 1, "{meet:#?}");
    assert!(meet[0].says.starts_with("It is not known"), "{}", meet[0].says);
    assert_eq!(meet[0].blocks, [Gate::Energise, Gate::Charge], "what makes mains live");
    assert_eq!(said(&text, 61, None).len(), 2, "one for each source");
}

#[test]
fn what_keeps_sources_apart_must_keep_each_two_apart() {
    // Three sources and the inverter's own switch: shore and generator can still meet.
    for (sources, changeover, stops) in [
        ("\"shore\", \"generator\", \"inverter\"", "switch", 0),
        ("\"shore\", \"generator\", \"inverter\"", "built-in", 1),
        ("\"generator\", \"inverter\"", "built-in", 0),
        ("\"generator\", \"inverter\"", "plug", 1),
        ("\"generator\", \"inverter\"", "none", 1),
        // The shore is not listed, and a generator beside an inverter is.
        ("\"shore\", \"inverter\"", "none", 1),
    ] {
        let mains = format!("[mains]\nsources = [{sources}]\nchangeover = \"{changeover}\"\n");
        let found = said(&hut(true, true, &mains), 40, None);
        assert_eq!(found.len(), stops, "{sources}, {changeover}: {found:#?}");
    }
}

#[test]
fn a_start_trips_below_the_charge_the_finding_names_and_not_above() {
    let text = hut(
        true,
        false,
        "[load.kettle]\npower = \"1100 W\"\nfed_from = \"inverter\"\nmains = true\n",
    );
    let half = said(&text, 39, None);
    assert_eq!(half.len(), 1, "judged at half where nothing is asked");
    let words = &half[0].says;
    let (_, after) = words.split_once("It begins below ").expect("says where it begins");
    let percent: f64 = after.trim_end_matches(" %.").parse().expect("a number of percent");
    // The search stops within one percent of the edge and the words are rounded to one.
    assert_eq!(said(&text, 39, Some(percent / 100.0 + 0.02)), [], "above {percent} %");
    assert_eq!(said(&text, 39, Some(percent / 100.0 - 0.02)).len(), 1, "below {percent} %");
    assert_eq!(said(&text, 39, Some(1.0)), [], "full");
}

#[test]
fn the_volts_of_a_start_are_those_of_the_formula() {
    // Hand worked: E - V = R P / V at each of two powers, so with k = P_b V_a / (P_a V_b) the
    // open volts are E = (k V_a - V_b) / (k - 1), whatever the resistance of the network is.
    let volts = |watts: f64| {
        let load = format!(
            "[load.kettle]\npower = \"{watts} W\"\nfed_from = \"inverter\"\nmains = true\n"
        );
        let found = said(&hut(true, false, &load), 39, None);
        let says = found.first().map_or_else(String::new, |f| f.says.clone());
        let (_, after) = says.split_once("pulls the volts to ").expect("says the volts");
        let (number, _) = after.split_once(" V").expect("with their unit");
        number.parse::<f64>().expect("a number of volts")
    };
    let (a, b) = (volts(1200.0), volts(1800.0));
    let k = 1800.0 * a / (1200.0 * b);
    let emf = (k * a - b) / (k - 1.0);
    let tables = Tables::load().unwrap_or_else(|e| panic!("{e}"));
    let cell = tables.battery.rest_voltage("AGM", 50.0).expect("AGM is in the rest tables");
    // Volts are shown to a hundredth; k near 1.7 makes up to three hundredths of that.
    let rest = cell.value.as_volts() * 6.0;
    assert!((emf - rest).abs() < 0.03, "{emf} and the table's {rest}");
    assert!(b < a, "more power, fewer volts");
}
