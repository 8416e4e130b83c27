//! The proving sheet: what stands on it is what was read, expected and found, and nothing is lost.

use book::paper::Paper;
use book::proving_sheet::{KIND, ProvingSheet, write_sheet};
use engine::evidence::readings::{MeterWords, Readings, TakenReading};
use engine::facts::Ambient;
use engine::model::as_built::PostRecord;
use engine::model::bank::BlockId;
use engine::model::lead::Terminal;
use engine::prove::sheet::expected;
use engine::prove::{
    Estimate, ExpectIf, Expected, FaultKind, Found, Judged, Next, Part, Proof, Suspect, Test,
    Verdict,
};
use engine::study::Study;
use engine::tables::Tables;
use engine::units::reading::Quantity;
use engine::units::{Current, Duration, Temperature, Torque};

/// A stage with the day of its proving; the proof is written by hand, for only the print is tested.
struct Day {
    study: Study,
    expected: Vec<Expected>,
    readings: Readings,
    proof: Proof,
    aside: Vec<TakenReading>,
}

fn taken(what: &str, value: f64, quantity: Quantity) -> TakenReading {
    TakenReading { what: what.to_owned(), value, quantity, amps: None, line: None }
}

fn joint() -> Part {
    let terminal = Terminal::plus(BlockId { string: 1, place: 0 });
    Part::Joint { lead: "4".to_owned(), at_start: false, terminal }
}

fn proof(list: &[Expected], readings: &Readings, verdict: Verdict) -> Proof {
    let judged = readings.taken.iter().map(|t| {
        let of = list.iter().find(|e| e.id == t.what).expect("it is on the list");
        let within = of.low.is_none_or(|l| l <= t.value) && of.high.is_none_or(|h| t.value <= h);
        Judged {
            id: t.what.clone(),
            quantity: t.quantity,
            test: of.test,
            expected: of.expect,
            low: of.low,
            high: of.high,
            measured: t.value,
            verdict: if within { Found::Within } else { Found::Outside },
            says: String::new(),
            line: None,
        }
    });
    let suspect = Suspect {
        or_in: None,
        part: joint(),
        kind: FaultKind::LooseJoint,
        probability: 0.81,
        estimate: Some(Estimate { value: 2.05, low: 1.7, high: 2.4, unit: "mohm" }),
        says: "The joint of lead 4 at B1 + has more resistance than it should: about 2.05 mohm (1.70 to 2.40)."
            .to_owned(),
        do_: "Open the isolator, undo the nut, clean both faces, and tighten it to the maker's \
              figure."
            .to_owned(),
        gate: false,
        parts: Vec::new(),
    };
    let next = Next {
        id: "4.to".to_owned(),
        quantity: Quantity::Millivolts,
        test: Test::Load,
        probes: "one tip on B1 +, one on the copper at the end of the lug's barrel".to_owned(),
        range: "200 mV DC".to_owned(),
        expect_if: vec![ExpectIf {
            suspect: Some((joint(), FaultKind::LooseJoint)),
            says: "the joint 4.to is loose".to_owned(),
            value: 64.2,
        }],
        gain_bits: 0.7,
        why: "It parts the two joints of lead 4.".to_owned(),
    };
    Proof {
        readings: judged.collect(),
        suspects: vec![suspect],
        sound: 0.07,
        next: Some(next),
        verdict,
        unknown: Vec::new(),
        rests_on: vec!["Errors of meter and clamp: common practice, no source.".to_owned()],
    }
}

fn day(verdict: Verdict) -> Day {
    let text = include_str!("../../../examples/alder-fen.toml");
    let whole = design_file::read::read(text).design.expect("the demo reads");
    let tables = Tables::load().expect("the tables are whole");
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(25.0) };
    let stage = whole.stage_index("bank").expect("the stage is planned");
    let study = Study::of(&whole, stage, &tables, ambient).expect("the tables answer");
    let post = PostRecord {
        terminal: Terminal::plus(BlockId { string: 0, place: 0 }),
        torque: Some(Torque::newton_metres(11.0)),
        stack: vec!["lug 4".to_owned(), "flat washer".to_owned(), "nut".to_owned()],
        boot: Some(true),
    };
    let readings = Readings {
        date: Some("2026-05-03".parse().expect("a date")),
        by: Some("R. Alder".to_owned()),
        meter: Some("yellow hand meter".to_owned()),
        errors: MeterWords { volts: Some(0.02), clamp_share: Some(0.02), ..MeterWords::default() },
        temperature: Some(Temperature::celsius(14.0)),
        rested: Some(Duration::hours(5.0)),
        test: Some(Current::amps(45.0)),
        charge: None,
        taken: vec![
            taken("A1", 6.37, Quantity::Volts),
            taken("lead 4", 73.4, Quantity::Millivolts),
            taken("clamp B", 14.6, Quantity::Amps),
        ],
        posts: vec![post],
        ticks: vec!["blocks in place".to_owned()],
        notes: vec!["C2 had a wet lid".to_owned()],
    };
    let expected = expected(&study, &tables, &readings).expect("the network answers");
    let proof = proof(&expected, &readings, verdict);
    let aside = vec![taken("ball load", 131.0, Quantity::Kilograms)];
    Day { study, expected, readings, proof, aside }
}

fn printed(day: &Day, paper: Paper) -> String {
    write_sheet(&ProvingSheet {
        study: &day.study,
        stage: "bank",
        readings: &day.readings,
        proof: &day.proof,
        expected: &day.expected,
        aside: &day.aside,
        paper,
    })
}

/// The words of a page, without its tags.
fn plain(html: &str) -> String {
    let body = html.split_once("</style>").map_or(html, |p| p.1);
    let mut out = String::new();
    let mut in_tag = false;
    for sign in body.chars() {
        match sign {
            '<' => in_tag = true,
            '>' => {
                in_tag = false;
                out.push(' ');
            }
            _ if !in_tag => out.push(sign),
            _ => {}
        }
    }
    out.replace('\u{a0}', " ").replace("&#39;", "'")
}

#[test]
fn everything_that_was_read_and_found_stands_on_it() {
    let day = day(Verdict::Remake);
    let text = plain(&printed(&day, Paper::Letter));
    for words in [
        "Put right and read again",
        "2026-05-03",
        "R. Alder",
        "yellow hand meter",
        "0.02 V at 12 V, clamp 2 %",
        "14 °C",
        "5 h",
        "45 A",
        "81 in 100",
        "4.to",
        "loose joint",
        "about 2.05 mohm (1.70 to 2.40)",
        "tighten it to the maker's",
        "64.2 mV",
        "6.37 V",
        "73.4 mV",
        "14.6 A",
        "outside",
        "131 kg",
        "11 N m",
        "lug 4, flat washer, nut",
        "C2 had a wet lid",
        "common practice, no source",
        "signature",
    ] {
        assert!(text.contains(words), "{words} stands on the sheet");
    }
    for expected in &day.expected {
        let id = expected.id.replace('\u{a0}', " ");
        assert!(text.contains(&id), "{id}: read, or told as not read");
    }
}

#[test]
fn a_day_without_readings_prints_a_sheet_to_fill_in() {
    let mut day = day(Verdict::GoodAsFar { read: 0, of: 9 });
    day.readings.taken.clear();
    day.proof.readings.clear();
    let html = printed(&day, Paper::A4);
    let blanks = html.matches("<td data-label=\"measured\" class=\"write\">").count();
    assert_eq!(blanks, day.expected.len(), "every reading has room for a hand");
}

#[test]
fn a_stop_is_the_first_thing_said() {
    let text = plain(&printed(&day(Verdict::Stop), Paper::A4));
    let stop = text.find("STOP").expect("it says STOP");
    let first = text.find("R. Alder").expect("it says who read");
    assert!(stop < first, "before anything else");
}

#[test]
fn a_program_knows_its_own_print_and_the_same_day_prints_the_same_bytes() {
    for paper in Paper::ALL {
        let once = printed(&day(Verdict::Remake), paper);
        assert!(once.contains(&format!(": {KIND}</title>")), "the title says what it is");
        assert_eq!(once, printed(&day(Verdict::Remake), paper), "the same bytes");
    }
}
