//! Entries of the log as text: what an owner would write is understood, what cannot be meant is
//! told, and nothing is lost on the way out and back.

use design_file::log_text::{entry, line, log, text};
use engine::evidence::log::{CellId, ChargeEnd, Entry, Event, Level, Log, Subject, WaterKind};
use engine::model::bank::BlockId;
use engine::units::{Current, Duration, Temperature, Voltage};
use jiff::civil::{DateTime, date};
use proptest::option::of;
use proptest::prelude::{Just, Strategy, any, prop_oneof, proptest};

fn read(line: &str) -> Entry {
    entry(line, 7).unwrap_or_else(|f| panic!("{line}: {}", f.one_line()))
}

#[test]
fn a_line_as_an_owner_writes_it() {
    let found = read("2026-05-03 09:00, A1.2, gravity, 1.265, fluid 68 F, charged 90 min");
    assert_eq!(found.at, date(2026, 5, 3).at(9, 0, 0, 0), "when");
    assert_eq!(found.subject, Subject::Cell(CellId::from_text("A1.2").expect("a cell")), "of what");
    let Event::Gravity { gravity, fluid, charged_since_water, rested } = found.event else {
        panic!("a gravity: {found:?}");
    };
    let whole = (gravity - 1.265).abs() < 1e-12
        && fluid.is_some_and(|t| (t.as_celsius() - 20.0).abs() < 1e-9)
        && charged_since_water.is_some_and(|t| (t.as_hours() - 1.5).abs() < 1e-9);
    assert!(whole && rested.is_none(), "68 F is 20 C, 90 min are 1.5 h: {gravity} {fluid:?}");
    assert_eq!((found.id, found.corrects), (7, None), "the number it was given");
}

#[test]
fn faults_say_what_to_write() {
    for (line, says) in [
        ("3.5.2026, A1.2, gravity, 1.265", "is no date"),
        ("2026-05-03, A1.2, gravity, 1,265", "not understood after gravity"),
        ("2026-05-03, Q, gravity, 1.265", "names no part"),
        ("2026-05-03, A1.2, gravty, 1.265", "\"gravty\" is not a thing"),
        ("2026-05-03, A1.2, gravity", "A figure is missing"),
        ("2026-05-03, A1.2, gravity, 1.265, fluid 68", "The unit is missing"),
        ("2026-05-03, A1.2, water, 4 spoons", "not a number with its unit"),
        ("2026-05-03, bank, capacity, 11 A", "A figure is missing"),
        ("2026-05-03, bank, note, \"open", "never closed"),
        ("2026-05-03", "An entry needs at least"),
    ] {
        let fault = entry(line, 1).expect_err(line).one_line();
        assert!(fault.contains(says), "{line}: {fault}");
    }
}

#[test]
fn a_file_keeps_what_is_good_and_names_the_rest() {
    let (log, faults) = log(
        "\u{feff}when,subject,event,value,more\n# by hand\n\n2026-05-03, bank, rest, 12.62 V\n\
         2026-05-04, bank, rest, twelve\n2026-05-05, bank, equalize, , lasted 3 h, id 40\n\
         2026-05-06, bank, note, fine\n",
    );
    let ids: Vec<i64> = log.entries.iter().map(|e| e.id).collect();
    assert_eq!(ids, [1, 40, 41], "numbers go on after the largest");
    let lines: Vec<usize> = faults.iter().map(|f| f.line).collect();
    assert_eq!(lines, [5], "the bad line by its number: {faults:?}");
}

fn words() -> impl Strategy<Value = String> {
    prop_oneof![
        "[ -~]{0,12}",
        any::<Vec<char>>().prop_map(|letters| letters.into_iter().take(8).collect()),
        Just("a, \"b\"\r\n\\n".to_owned()),
    ]
}

fn number() -> impl Strategy<Value = f64> {
    prop_oneof![(-20_000_i32..200_000).prop_map(|n| f64::from(n) / 1000.0), -1e6..1e6_f64]
}

fn hours() -> impl Strategy<Value = Duration> {
    prop_oneof![
        (0_u32..4000).prop_map(|m| Duration::minutes(f64::from(m))),
        (0.0..1e4_f64).prop_map(Duration::hours)
    ]
}

fn warmth() -> impl Strategy<Value = Temperature> {
    prop_oneof![
        (-40_i32..150).prop_map(|f| Temperature::fahrenheit(f64::from(f))),
        (-90.0..300.0_f64).prop_map(Temperature::celsius)
    ]
}

fn volts() -> impl Strategy<Value = Voltage> {
    number().prop_map(Voltage::volts)
}

fn amps() -> impl Strategy<Value = Current> {
    number().prop_map(Current::amps)
}

fn block() -> impl Strategy<Value = BlockId> {
    (0_u32..702, 0_u32..999).prop_map(|(string, place)| BlockId { string, place })
}

fn subject() -> impl Strategy<Value = Subject> {
    prop_oneof![
        Just(Subject::Bank),
        (0_u32..702).prop_map(Subject::String),
        block().prop_map(Subject::Block),
        (block(), 0_u32..99).prop_map(|(block, cell)| Subject::Cell(CellId { block, cell })),
        words().prop_map(Subject::Joint),
    ]
}

fn read_events() -> impl Strategy<Value = Event> {
    let levels = [Level::PlatesBare, Level::Low, Level::Right, Level::Over];
    let waters = [WaterKind::Distilled, WaterKind::Tap];
    prop_oneof![
        (number(), of(warmth()), of(hours()), of(hours())).prop_map(
            |(gravity, fluid, charged_since_water, rested)| Event::Gravity {
                gravity,
                fluid,
                charged_since_water,
                rested
            }
        ),
        (0_usize..4).prop_map(move |n| Event::Looked { level: levels[n] }),
        (of(number()), of(0_usize..2), of(any::<bool>())).prop_map(
            move |(volume_cm3, kind, before_charge)| Event::Water {
                volume_cm3,
                kind: kind.map(|n| waters[n]),
                before_charge
            }
        ),
        (volts(), of(hours()), of(warmth())).prop_map(|(volts, rested, temperature)| {
            Event::Rest { volts, rested, temperature }
        }),
        (number(), amps()).prop_map(|(millivolts, current)| Event::Joint { millivolts, current }),
    ]
}

fn done_events() -> impl Strategy<Value = Event> {
    let ends = [ChargeEnd::Full, ChargeEnd::Clock, ChargeEnd::Broken];
    prop_oneof![
        (amps(), of(hours()), of(volts())).prop_map(|(current, lasted, volts)| Event::Load {
            current,
            lasted,
            volts
        }),
        (of(words()), of(hours()), of(number()), of(volts()), of(amps()), of(0_usize..3)).prop_map(
            move |(from, lasted, amp_hours, volts, tail, end)| Event::Charge {
                from,
                lasted,
                amp_hours,
                volts,
                tail,
                end: end.map(|n| ends[n])
            }
        ),
        (of(hours()), of(volts()), of(warmth()))
            .prop_map(|(lasted, volts, hottest)| Event::Equalise { lasted, volts, hottest }),
        (amps(), hours(), of(volts()), of(warmth())).prop_map(
            |(current, lasted, end, temperature)| Event::Capacity {
                current,
                lasted,
                end,
                temperature
            }
        ),
        of(words()).prop_map(|model| Event::Replaced { model }),
        words().prop_map(|file| Event::Photo { file }),
        Just(Event::Note),
        Just(Event::Withdrawn),
    ]
}

fn moment() -> impl Strategy<Value = DateTime> {
    (1900_i16..2200, 1_i8..13, 1_i8..29, 0_i8..24, 0_i8..60, 0_i32..3).prop_map(
        |(year, month, day, hour, minute, fine)| {
            let (second, nanos) = if fine == 0 { (0, 0) } else { (59, fine * 1_234_567) };
            date(year, month, day).at(hour, minute, second, nanos)
        },
    )
}

fn entries() -> impl Strategy<Value = Entry> {
    let event = prop_oneof![read_events(), done_events()];
    (any::<i64>(), moment(), subject(), event, words(), of(any::<i64>())).prop_map(
        |(id, at, subject, event, note, corrects)| Entry { id, at, subject, event, note, corrects },
    )
}

proptest! {
    #[test]
    fn out_and_back_is_the_same(entry_out in entries()) {
        let line = line(&entry_out);
        assert!(!line.contains(['\n', '\r']), "one line: {line:?}");
        let back = entry(&line, -1);
        assert_eq!(back.as_ref(), Ok(&entry_out), "{line}");
    }

    #[test]
    fn no_line_panics(line in ".{0,60}", event in 0_usize..4, tail in ".{0,30}") {
        let word = ["gravity", "water", "capacity", "charge"][event];
        let _ = entry(&line, 1);
        let _ = entry(&format!("2026-05-03, A1.1, {word}, {line}, {tail}"), 1);
    }
}

#[test]
fn a_file_of_entries_is_read_back_whole() {
    let (first, faults) = log("2026-05-03 09:00, A1.2, gravity, 1.265, fluid 20 C, id 3\n\
                               2026-05-03 09:10, bank, charge, 85 Ah, from charger, tail 3 A, end full, id 9\n");
    assert!(faults.is_empty(), "{faults:?}");
    assert_eq!(log(&text(&first)), (first.clone(), Vec::new()), "{}", text(&first));
    assert_eq!(log(&text(&Log::default())).0, Log::default(), "an empty one stays empty");
}
