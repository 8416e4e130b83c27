//! Files of readings: what is understood, and eighteen with mistakes people make and what they are
//! told. `UPDATE_EXPECT=1` writes the expected texts anew; read them as the owner would.

#![expect(clippy::disallowed_methods, reason = "a test reads its cases from files")]

mod cases;

use cases::cases;
use design_file::readings_file::{Known, ReadingsRead, read_readings};
use design_file::render::render;
use engine::evidence::readings::TakenReading;
use engine::units::reading::Quantity;

/// How many cases there are; one that is lost must be missed.
const CASES: usize = 18;

/// Names as the book of a bank of three strings of two prints them.
fn known() -> Vec<Known> {
    let blocks = ["A1", "A2", "B1", "B2", "C1", "C2", "string A", "gap 5", "bank under load"];
    let of = |ids: &[&str], quantity| -> Vec<Known> {
        ids.iter().map(|id| Known { id: (*id).to_owned(), quantity }).collect()
    };
    let mut all = of(&blocks, Quantity::Volts);
    all.extend(of(&["5.from", "5.to"], Quantity::Millivolts));
    all.extend(of(&["clamp A", "standby"], Quantity::Amps));
    all
}

#[test]
fn every_broken_file_is_told_what_to_write() {
    let update = std::env::var("UPDATE_EXPECT").is_ok();
    let files = cases("broken_readings", &["toml", "csv"]);
    assert_eq!(files.len(), CASES, "every case is there");
    for file in &files {
        let name = file.file_name().and_then(|n| n.to_str()).expect("a plain name");
        let text = std::fs::read_to_string(file).expect("a readable case");
        let got = read_readings(&text, &known());
        let shown = render(&text, name, &got.faults);
        let expected = file.with_extension("expected");
        if update {
            std::fs::write(&expected, &shown).expect("a writable folder");
        }
        let want = std::fs::read_to_string(&expected).unwrap_or_default();
        assert_eq!(shown, want, "{name}");
        assert!(got.has_errors(), "{name} is broken");
        assert!(got.faults.iter().all(|f| !f.write.is_empty()), "{name}: each says what to write");
    }
}

#[test]
fn no_expected_text_is_left_without_its_case() {
    for file in cases("broken_readings", &["expected"]) {
        let there = ["toml", "csv"].iter().any(|e| file.with_extension(e).exists());
        assert!(there, "{} has a case", file.display());
    }
}

fn whole(text: &str) -> ReadingsRead {
    let read = read_readings(text, &known());
    assert_eq!(read.faults, [], "no fault in\n{text}");
    read
}

fn check(text: &str, want: &[(&str, f64, Quantity, Option<f64>)]) {
    let read = whole(text);
    assert_eq!(read.readings.taken.len(), want.len(), "how many readings in\n{text}");
    for (got, (what, value, quantity, amps)) in read.readings.taken.iter().zip(want) {
        assert_eq!(&got.what, what, "name in\n{text}");
        assert!((got.value - value).abs() < 1e-9, "{what}: {} in\n{text}", got.value);
        assert_eq!(got.quantity, *quantity, "{what}: unit in\n{text}");
        assert_eq!(got.amps.map(|a| a.as_amps()), *amps, "{what}: amps in\n{text}");
    }
}

#[test]
fn one_line_is_enough() {
    let want = [("A1", 6.31, Quantity::Volts, None)];
    for text in [
        "A1 = \"6.31 V\"",
        "[read]\nA1 = \"6.31 V\"",
        "read.a1 = \"6310 mV\"",
        "A1,6.31",
        "A1;6,31 V",
        "A1\t6,31",
        "\u{feff}reading,value\r\nA1,6.31\r\n",
        "value;unit;reading\n\n6,31;V;A1\n",
        "\u{feff}[read]\nA1 = \"6.31 V\"",
        "note,reading,amps,value\n,A1,,\"6,31 V\"",
    ] {
        check(text, &want);
    }
}

#[test]
fn both_forms_say_the_same() {
    let want = [
        ("A1", -6.31, Quantity::Volts, None),
        ("gap 5", 0.012, Quantity::Volts, None),
        ("5.from", 6.0, Quantity::Millivolts, Some(49.5)),
        ("5.to", 5.5, Quantity::Millivolts, Some(49.5)),
        ("clamp A", 16.7, Quantity::Amps, None),
    ];
    check(
        "[read]\nA1 = \"\u{2212}6.31 V\"\nA2 = \"\"\nB1 = \" V\"\n\"gap 5\" = \"12 mV\"\n\
         5.from = { value = \"6 mV\", amps = \"49.5 A\" }\n\
         \"5.to\" = { value = \"0.0055 V\", amps = \"49.5 A\" }\n\"clamp A\" = \"16.7 A\"\n",
        &want,
    );
    check(
        "amps;reading;unit;value\n;A1;V;-6,31\n;A2;V;\n;gap 5;mV;12\n49,5;5.from;mV;6\n\
         49,5 A;5.to;;5,5\n;clamp a;A;16,7\n",
        &want,
    );
}

#[test]
fn the_day_is_read_in_both_forms() {
    let toml = whole(
        "[day]\ndate = 2026-05-03\nby = \"R. Alder\"\nmeter = \"yellow one\"\ntemperature = \"57.2 F\"\n\
         rested = \"5 h\"\ntest = \"50 A\"\ncharge = \"30 A\"\nvolts_error = \"0.02 V\"\n\
         millivolts_error = \"0.5 mV\"\nclamp_error = \"2 %\"\nclamp_zero = \"0.2 A\"\n\
         ticks = [\"blocks in\"]\nnotes = [\"cold\"]\n[read]\nA1 = \"6.31 V\"\n\
         [post.\"A1 +\"]\ntorque = \"12 Nm\"\nstack = [\"lug 4\", \"nut\"]\nboot = true\n",
    )
    .readings;
    let csv = whole(
        "date,2026-05-03\nby,R. Alder\nmeter,yellow one\ntemperature,57.2 F\nrested,5 h\n\
         test,50 A\ncharge,30 A\nvolts_error,0.02 V\nmillivolts_error,0.5 mV\nclamp_error,2 %\n\
         clamp_zero,0.2 A\nA1,6.31,V\n",
    )
    .readings;
    let date = jiff_date(&toml.date);
    assert_eq!(date, "2026-05-03", "the date");
    assert_eq!(toml.by.as_deref(), Some("R. Alder"), "who");
    assert_eq!(toml.posts.len(), 1, "one post");
    assert_eq!(toml.posts[0].boot, Some(true), "with its boot");
    assert_eq!(toml.notes, ["cold"], "the note");
    assert!((toml.errors.millivolts.expect("said") - 0.5).abs() < 1e-12, "in millivolts");
    assert!((toml.temperature.expect("said").as_celsius() - 14.0).abs() < 1e-9, "57.2 F is 14 C");
    assert_eq!(
        (csv.date, &csv.by, &csv.meter, csv.errors, csv.test, csv.rested),
        (toml.date, &toml.by, &toml.meter, toml.errors, toml.test, toml.rested),
        "both forms hold the same day"
    );
}

fn jiff_date(date: &Option<impl ToString>) -> String {
    date.as_ref().map_or_else(String::new, ToString::to_string)
}

#[test]
fn what_is_understood_is_kept_beside_what_is_not() {
    let read = read_readings("[read]\nA1 = \"6.31 V\"\nA2 = \"OL\"\nB1 = \"6.30 V\"\n", &known());
    let names: Vec<&str> = read.readings.taken.iter().map(|r| r.what.as_str()).collect();
    assert_eq!(names, ["A1", "B1"], "two of three");
    assert_eq!(read.readings.taken.last().and_then(|r| r.line), Some(4), "with their lines");
    assert_eq!(read.faults.len(), 1, "and one is told");
}

#[test]
fn without_known_names_every_name_is_taken_as_it_stands() {
    let read = read_readings("bow locker = \"x\"\n\"bow locker\" = \"12.6 V\"\n", &[]);
    let want = TakenReading {
        what: "bow locker".to_owned(),
        value: 12.6,
        quantity: Quantity::Volts,
        amps: None,
        line: Some(2),
    };
    assert_eq!(read.readings.taken, [want], "its own name, unit as written");
    assert_eq!(read.faults.len(), 1, "a key with a space wants quotes");
}

#[test]
fn garbled_files_never_end_the_program() {
    let pieces = [
        "A1",
        "=",
        "\"6.31 V\"",
        "\n",
        ",",
        ";",
        "[read]",
        "[day]",
        "{",
        "}",
        "\"",
        "6,31",
        "OL",
        "\u{feff}",
        "value",
        "reading",
        ".",
        "5",
        "from",
        "\u{2212}",
        "[post.\"A1 +\"]",
        "date",
        "\t",
        "#",
        "µ",
    ];
    // A small generator, so that the same texts are tried everywhere.
    let mut state = 0x2545_F491_4F6C_DD1D_u64;
    let mut under = |count: usize| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        usize::try_from(state >> 33).unwrap_or(0) % count
    };
    for _ in 0..4000 {
        let text: String = (0..=under(14)).map(|_| pieces[under(pieces.len())]).collect();
        let read = read_readings(&text, &known());
        for fault in &read.faults {
            assert!(fault.span.end <= text.len(), "a place inside the text: {fault:?}");
            assert!(text.is_char_boundary(fault.span.start), "a whole character: {fault:?}");
            assert!(!fault.says.is_empty() && !fault.write.is_empty(), "words: {fault:?}");
        }
        let _ = render(&text, "readings", &read.faults);
    }
}
