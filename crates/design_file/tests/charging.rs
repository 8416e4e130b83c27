//! The demos' charging and loads against the hand arithmetic of their scenario.

use design_file::read::read;
use engine::calc::time_to_full::TimeToFull;
use engine::checks::context::Context;
use engine::checks::registry::{ask, rule};
use engine::facts::Ambient;
use engine::finding::Code;
use engine::model::design::Design;
use engine::sim::chain::{Chain, Feed, Phase, When};
use engine::sim::hour::Hour;
use engine::sim::loads::LoadDay;
use engine::sim::storage::StorageDrain;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;

const ALDER: &str = include_str!("../../../examples/alder-fen.toml");
const WITHY: &str = include_str!("../../../examples/withy-reach.toml");
const RIME: &str = include_str!("../../../examples/rime-hollow.toml");

fn design(text: &str) -> Design {
    let read = read(text);
    assert!(!read.has_errors(), "{:?}", read.faults);
    read.design.expect("a design")
}

fn study(design: &Design, stage: &str, tables: &Tables) -> Study {
    let stage = design.stage_index(stage).expect("the stage is there");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    Study::of(design, stage, tables, ambient).expect("the tables answer")
}

fn tables() -> Tables {
    Tables::load().expect("the tables are well formed")
}

/// The scenario's daily energies. The trailer's 1,651 Wh hold 44 Wh of an inverter left on, which
/// its file does not ask for; the leads add a little. The cabin's 2,883 Wh hold the inverter's 28 W
/// all day, and here it is counted once less while something runs.
#[test]
fn a_day_of_loads_is_that_of_the_scenario() {
    let tables = tables();
    for (text, stage, trip, low, high) in [
        // 461 + 264 + 341 + 205 + 72 + 146 + 15 + 101 = 1,605, leads up to 2 % more.
        (ALDER, "bank", "october", 1600.0, 1640.0),
        // (540 + 55) + 200 / 0.9 + (900 + 900) / 0.9 = 2,817 before the leads; nothing starts by
        // itself on the inverter. The scenario's 3,721 also counts 24 h of its idle and more loads.
        (WITHY, "inverter", "week", 2810.0, 2900.0),
        // 360 / 0.92 + (450 + 1,200) / 0.92 + 28 x 22 = 2,801; the scenario says 2,883 with 24 h of
        // idle and its own rounding of the efficiency.
        (RIME, "inverter", "weekend", 2795.0, 2885.0),
    ] {
        let design = design(text);
        let study = study(&design, stage, &tables);
        let trip = design.trips.iter().find(|t| t.part.name == trip).expect("the trip");
        let day = LoadDay::of_trip(&study, &tables, trip);
        assert!(low < day.wh() && day.wh() < high, "{}: {} Wh", design.rig.name, day.wh());
        let parts: f64 = day.parts.iter().map(|p| p.wh).sum();
        assert!((parts - day.wh()).abs() < 1e-6, "the parts make the day");
        assert!(day.unknown.is_empty(), "{:?}", day.unknown);
    }
}

#[test]
fn hours_and_months_of_a_load_are_kept() {
    let tables = tables();
    let lights = "[load.lights]\npower = \"18 W\"\ndaily = \"4 h\"";
    assert!(ALDER.contains(lights), "the demo has its lights");
    let timed = format!("{lights}\nhours = \"19 to 23\"\nmonths = \"October to March\"");
    let plain = study(&design(ALDER), "bank", &tables);
    let dusk = study(&design(&ALDER.replace(lights, &timed)), "bank", &tables);
    let before = LoadDay::of_month(&plain, &tables, 10);
    let after = LoadDay::of_month(&dusk, &tables, 10);
    assert!((before.wh() - after.wh()).abs() < 1e-6, "the energy stays");
    // Hand worked: 72 Wh over 24 h are 3 W; over four hours 18 W.
    assert!((after.watts[20] - before.watts[20] - 15.0).abs() < 0.1, "more at dusk");
    assert!((before.watts[12] - after.watts[12] - 3.0).abs() < 0.1, "none at noon");
    let summer = LoadDay::of_month(&dusk, &tables, 7);
    assert!((after.wh() - summer.wh() - 72.0).abs() < 0.2, "not in July");
}

fn when(hook_up: bool) -> When {
    When {
        hour: 12,
        hook_up,
        generator_h: 0.0,
        driving_h: 0.0,
        phase: Phase::Absorb,
        cell_c: 25.0,
        posts_v: 12.6,
        into_a: 0.0,
    }
}

const NOTHING: Hour = Hour {
    load_w: 0.0,
    cut_off_v: 0.0,
    sun_w: 0.0,
    sun_max_a: 0.0,
    set_v: 0.0,
    other_a: 0.0,
    cell_c: 25.0,
};

#[test]
fn a_charger_gives_all_until_its_set_point() {
    let tables = tables();
    let design = design(ALDER);
    let chain = Chain::of(&study(&design, "charger", &tables), &tables);
    let charger = chain.source("charger").expect("the charger");
    assert_eq!(charger.feed, Feed::Shore, "on the hook-up");
    assert!((charger.amps_at(12.6, Phase::Absorb, 25.0) - 60.0).abs() < 1e-9, "all it has");
    assert!(charger.amps_at(14.8, Phase::Absorb, 25.0).abs() < 1e-9, "nothing at its set point");
    // Just under the set point the leads decide: 10 mV over the charge path.
    let near = charger.amps_at(14.79, Phase::Absorb, 25.0);
    assert!((near - (0.01 / charger.ohm).min(60.0)).abs() < 1e-6, "{near} A, {} ohm", charger.ohm);
    // The whole way to the posts, fuses, isolator and shunt included: a few milliohm.
    assert!(0.001 < charger.ohm && charger.ohm < 0.006, "{} ohm", charger.ohm);
    // Six cells at 5 mV per kelvin: 15 K colder is 0.45 V more.
    let cold = charger.set_v(Phase::Absorb, 10.0).expect("set");
    assert!((cold - 15.25).abs() < 1e-9, "{cold}");
    assert!((charger.set_v(Phase::Float, 25.0).expect("set") - 13.5).abs() < 1e-9, "float");
}

#[test]
fn the_hour_of_the_sources_is_put_together() {
    let tables = tables();
    let design = design(ALDER);
    let chain = Chain::of(&study(&design, "sun", &tables), &tables);
    let away = chain.hour(&when(false), NOTHING);
    assert!(away.other_a.abs() < 1e-12, "unplugged: {away:?}");
    assert!((away.sun_max_a - 30.0).abs() < 1e-9, "the controller's rating");
    assert!((away.set_v - 14.8).abs() < 1e-9, "held by the sun");
    let plugged = chain.hour(&when(true), NOTHING);
    assert!((plugged.other_a - 60.0).abs() < 1e-9, "on the hook-up: {plugged:?}");
    let cabin = Chain::of(&study(&self::design(RIME), "sun", &tables), &tables);
    let run = When { hour: 17, generator_h: 1.5, posts_v: 52.0, ..when(false) };
    // From 16 h for 1.5 h: half of the hour from 17.
    let half = cabin.hour(&run, NOTHING);
    assert!((half.other_a - 14.0).abs() < 1e-9, "half an hour of 28 A: {half:?}");
}

/// A generator charger of 1.5 kW returns the cabin's 8.2 usable kWh in about 5.5 h (scenario); from
/// half to 98 % is 96 Ah at 28 A, 3.5 h.
#[test]
fn hours_from_half_to_full() {
    let tables = tables();
    let cabin = Chain::of(&study(&design(RIME), "sun", &tables), &tables);
    let Some(TimeToFull::Hours(hours)) = cabin.half_to_full(&tables, 28.0, 0.0) else {
        panic!("the cabin's bank fills");
    };
    assert!((hours - 3.46).abs() < 0.05, "{hours}");
    let trailer = Chain::of(&study(&design(ALDER), "bank", &tables), &tables);
    let Some(TimeToFull::Hours(converter)) = trailer.half_to_full(&tables, 45.0, 0.0) else {
        panic!("45 A fill 570 Ah");
    };
    // 450 Ah at 45 A take 7.1 h (reference); 7.9 % in place of 10 % takes longer, and less than the
    // 11.3 h of 5 %.
    assert!(7.1 < converter && converter < 11.3, "{converter}");
}

#[test]
fn a_tow_line_gives_what_its_drop_leaves() {
    let tables = tables();
    let line = "\n[device.tow]\nkind = \"tow line\"\nrating = \"30 A\"\nrelay = true\n\
                length = \"9 m\"\nfed_volts = \"14 V\"\nresistance = \"6 mohm\"\n\
                [lead.tow]\nfrom = \"tow +\"\nto = \"plus bar\"\nsize = \"10 AWG\"\nlength = \"200 mm\"\n\
                [lead.\"tow back\"]\nfrom = \"tow -\"\nto = \"minus bar\"\nsize = \"10 AWG\"\nlength = \"200 mm\"\n";
    let design = design(&format!("{ALDER}{line}"));
    let chain = Chain::of(&study(&design, "bank", &tables), &tables);
    let tow = chain.source("tow").expect("the tow line");
    let far = tow.line.expect("a line");
    // Scenario: 10 AWG, 9 m each way: 59 mohm and the plugs.
    assert!((far.ohm - 0.065).abs() < 0.0005, "{} ohm", far.ohm);
    let amps = tow.amps_at(13.2, Phase::Absorb, 25.0);
    let want = 0.8 / (far.ohm + tow.ohm);
    assert!((amps - want).abs() < 1e-6 && amps < 12.4, "{amps} A");
    let driving = When { hour: 11, driving_h: 3.0, posts_v: 13.2, ..when(false) };
    assert!((chain.hour(&driving, NOTHING).other_a - amps).abs() < 1e-9, "while driving");
    let parked = When { hour: 15, ..driving };
    assert!(chain.hour(&parked, NOTHING).other_a.abs() < 1e-12, "not when parked");
}

#[test]
fn the_breakaway_and_the_standby_drain_a_parked_trailer() {
    let tables = tables();
    let parked = StorageDrain::of(&study(&design(ALDER), "bank", &tables), &tables);
    // 4.2 W over 12 V.
    assert!((parked.amps(false) - 0.35).abs() < 1e-9, "{parked:?}");
    assert!(parked.amps(true).abs() < 1e-12, "the isolator parts the panel: {parked:?}");
    let (slow, fast) = parked.share_gone(570.0, 30.0, false);
    // Hand worked: 0.35 x 24 x 30 / 570 = 0.442; + 3 % or + 30 %.
    assert!((slow - 0.4717).abs() < 0.001 && (fast - 0.742).abs() < 0.001, "{slow} {fast}");
}

/// What the charging rules say of a demo at a stage: severity and words, code first.
fn said(text: &str, stage: &str, code: u8) -> Vec<String> {
    let tables = tables();
    let design = design(text);
    let study = study(&design, stage, &tables);
    let cx = Context {
        study: &study,
        tables: &tables,
        whole: &design,
        evidence: &engine::evidence::NONE,
    };
    let rule = rule(Code(code)).expect("the rule is there");
    ask(&cx, rule).iter().map(|f| format!("{} {}", f.severity.word(), f.says)).collect()
}

fn holds(said: &[String], words: &str) {
    assert!(said.iter().any(|s| s.contains(words)), "\"{words}\" in {said:#?}");
}

/// Scenario: as found 13.6 V fixed and a converter for 190 Ah; at the bank 45 A are 7.9 % of 570 Ah.
#[test]
fn the_old_converter_never_fills_and_does_not_fit() {
    holds(&said(ALDER, "as found", 32), "FIX converter holds a fixed 13.60 V");
    holds(&said(ALDER, "as found", 33), "FIX 45 A from converter into 190 Ah is 23.7 %");
    holds(&said(ALDER, "bank", 32), "It will never get full");
    holds(&said(ALDER, "bank", 33), "NOTE 45 A from converter into 570 Ah is 7.9 %");
    assert_eq!(said(ALDER, "charger", 32), [""; 0], "the new charger fills it");
    assert_eq!(said(ALDER, "charger", 33), [""; 0], "60 A are 10.5 %");
}

/// Scenario: three in series 123 V at -10 °C on 150 V; four are 150 V on paper and 164 V cold.
#[test]
fn four_panels_on_the_boat_are_refused() {
    assert_eq!(said(WITHY, "solar", 35), [""; 0], "three in series pass");
    let four = WITHY.replace("series = 3\nparallel = 1\npanel", "series = 4\nparallel = 1\npanel");
    let four = said(&four, "solar", 35);
    holds(&four, "STOP 4 of roof in series stand at 164");
    holds(&four, "150.00 V on paper");
}

/// Scenario: two in series are too low in the heat, three 143.5 V at -35 °C with 4 % in hand on
/// 150 V, four 191 V.
#[test]
fn the_puzzle_of_the_cabin_is_told() {
    let with = |series: u32, volts: u32| {
        let text = RIME
            .replace(
                "series = 4\nparallel = 1\npanel",
                &format!("series = {series}\nparallel = 1\npanel"),
            )
            .replace("input_max = \"250 V\"", &format!("input_max = \"{volts} V\""));
        said(&text, "sun", 35)
    };
    holds(&with(2, 150), "FIX 2 of wall in series work at 59.6");
    let three = with(3, 150);
    holds(&three, "NOTE 3 of wall in series stand at 143.5");
    holds(&three, "4 % in hand");
    holds(&with(4, 150), "STOP 4 of wall in series stand at 191");
    assert_eq!(with(4, 250), [""; 0], "four on 250 V pass");
}

#[test]
fn a_cabin_in_the_cold_must_not_charge_without_a_lockout() {
    assert_eq!(said(RIME, "sun", 38), [""; 0], "the block's own board refuses");
    let bare = RIME.replace("lockout_below = \"2 C\"", "");
    holds(&said(&bare, "sun", 38), "STOP generator charger can charge cells colder than 32 °F");
}
