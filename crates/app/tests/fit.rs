//! `fit` keeps its contract: every key of `docs/json.md` is there on every demo, and words and JSON
//! show the same figures.

mod bankwright;

use bankwright::run;
use serde_json::Value;

const RIGS: [&str; 3] =
    ["examples/alder-fen.toml", "examples/withy-reach.toml", "examples/rime-hollow.toml"];

fn fit(rig: &str, more: &[&str]) -> Value {
    let mut arguments = vec!["fit", rig, "--json"];
    arguments.extend_from_slice(more);
    let answer = run(&arguments);
    assert_eq!(answer.code, 0, "{rig}: {}", answer.err);
    serde_json::from_str(&answer.out).expect("it prints JSON")
}

fn has(value: &Value, keys: &[&str], what: &str) {
    for key in keys {
        assert!(value.get(key).is_some(), "{what} has {key}: {value}");
    }
}

#[test]
fn every_key_is_there_on_every_demo() {
    for rig in RIGS {
        let answer = fit(rig, &[]);
        let parts =
            ["box", "clashes", "leads", "better", "weight", "hold_down", "vent", "stop_count"];
        has(&answer, &parts, rig);
        has(&answer["box"], &["clear_mm"], rig);
        let rows = |key: &str, keys: &[&str]| {
            for row in answer[key].as_array().into_iter().flatten() {
                has(row, keys, &format!("{rig} {key}"));
            }
        };
        rows("leads", &["id", "route_mm", "cut_mm", "in_hand_mm", "spare_mm", "helps"]);
        rows("better", &["change", "copper_m", "spread_percent"]);
        let held = ["case", "direction", "demand_n", "capacity_n", "governed_by", "status"];
        rows("hold_down", &held);
        rows("vent", &["rule", "stage", "q_m3h", "area_cm2", "holes", "drill_mm", "governs"]);
        has(&answer["weight"], &["before", "after", "band_mm"], rig);
        for state in ["before", "after"] {
            let state = &answer["weight"][state];
            let keys = [
                "ball_kg",
                "axles",
                "gross_kg",
                "plate_kg",
                "ball_percent",
                "list_kgm",
                "trim_kgm",
            ];
            has(state, &keys, rig);
            for axle in state["axles"].as_array().into_iter().flatten() {
                has(axle, &["id", "kg", "plate_kg"], rig);
            }
        }
    }
}

#[test]
fn the_demos_weights_and_vents_are_told_alike_in_words_and_json() {
    // The scenario's own figures: 139 kg on the ball, 10.9 %, 1,131 kg on the axle, a band from 1,220 to
    // 1,860 mm; vents of 96 cm2 at 2.40 V per cell and 288 cm2 if equalised, beside the 11 cm2 of the code.
    let answer = fit(RIGS[0], &[]);
    let weight = &answer["weight"];
    let figure = |v: &Value| v.as_f64().expect("a number");
    assert!((figure(&weight["after"]["ball_kg"]) - 139.0).abs() < 1.0, "{weight}");
    assert!((figure(&weight["after"]["ball_percent"]) - 10.9).abs() < 0.1, "{weight}");
    assert!((figure(&weight["after"]["axles"][0]["kg"]) - 1131.0).abs() < 1.0, "{weight}");
    let ends: Vec<f64> = weight["band_mm"].as_array().expect("a band").iter().map(figure).collect();
    assert!((ends[0] - 1220.0).abs() < 0.01 && (ends[1] - 1860.0).abs() < 0.01, "{ends:?}");
    let vents = answer["vent"].as_array().expect("lead blocks gas");
    let areas: Vec<f64> = vents.iter().map(|v| figure(&v["area_cm2"])).collect();
    for wanted in [96.0, 288.0, 11.0] {
        // The scenario takes three times its rounded 96 for 288; 287.3 is the same to a square centimetre.
        assert!(areas.iter().any(|a| (a - wanted).abs() < 1.0), "{wanted} cm2 in {areas:?}");
    }
    let words = run(&["fit", RIGS[0]]).out;
    for shown in ["139 kg", "10.9 %", "1131 kg", "1220 mm to 1860 mm ahead of the axle", "96 cm²"]
    {
        assert!(words.contains(shown), "{shown} in {words}");
    }
}

#[test]
fn a_change_is_tried_without_writing_it() {
    let answer = fit(RIGS[0], &["--stage", "bank", "--set", "box.behind_ball=3.35 m"]);
    let after = &answer["weight"]["after"];
    // Hand worked in design_file/tests/fit_weight.rs: 78.1 kg of 1,270.
    assert!((after["ball_kg"].as_f64().expect("known") - 78.0).abs() < 1.0, "{after}");
    assert!(0 < answer["stop_count"].as_u64().expect("a count"), "too light is a STOP");
}
