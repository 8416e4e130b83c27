//! Whatever is done to the bytes of a design file, reading it, showing its faults and changing it
//! never panic, and every place told lies inside the text.

#![expect(clippy::disallowed_methods, reason = "SLOW=1 asks for the long run")]

use design_file::edit::{remove, set};
use design_file::read::read;
use design_file::render::render;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

const GOOD: &str = include_str!("good.toml");

/// One thing done to the bytes of a text.
#[derive(Clone, Debug)]
enum Damage {
    Delete(usize, usize),
    Double(usize, usize),
    Garble(usize, u8),
    Put(usize, &'static str),
}

fn damage() -> impl Strategy<Value = Damage> {
    let place = 0..GOOD.len();
    let piece = prop::sample::select(vec![
        "\"",
        "\"\"\"",
        "[",
        "]]",
        "{",
        "}",
        "=",
        ".",
        ",",
        "\n",
        "#",
        "\\u",
        "ü",
        "\u{0}",
        "'''",
        "[lead.8]\n",
        "[[bank]]\n",
        "1e999",
        "-",
        "nan",
        "999999999999999999999",
        " \" in",
    ]);
    prop_oneof![
        (place.clone(), 1..40_usize).prop_map(|(at, n)| Damage::Delete(at, n)),
        (place.clone(), 1..80_usize).prop_map(|(at, n)| Damage::Double(at, n)),
        (place.clone(), any::<u8>()).prop_map(|(at, b)| Damage::Garble(at, b)),
        (place, piece).prop_map(|(at, text)| Damage::Put(at, text)),
    ]
}

fn damaged(all: &[Damage]) -> String {
    let mut bytes = GOOD.as_bytes().to_vec();
    for one in all {
        let len = bytes.len();
        match *one {
            Damage::Delete(at, n) => drop(bytes.drain(at.min(len)..(at + n).min(len))),
            Damage::Double(at, n) => {
                let piece = bytes[at.min(len)..(at + n).min(len)].to_vec();
                bytes.splice(at.min(len)..at.min(len), piece);
            }
            Damage::Garble(at, byte) => bytes.iter_mut().skip(at).take(1).for_each(|b| *b = byte),
            Damage::Put(at, text) => drop(bytes.splice(at.min(len)..at.min(len), text.bytes())),
        }
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// A short run with every test, a long one where `SLOW=1` asks for it.
fn cases() -> u32 {
    if std::env::var("SLOW").is_ok() { 3000 } else { 64 }
}

proptest! {
    // Fixed, so that a red run is red again when it is looked into; the fuzz target goes on from here.
    #![proptest_config(ProptestConfig { cases: cases(), failure_persistence: None, rng_seed: RngSeed::Fixed(1), ..ProptestConfig::default() })]

    #[test]
    fn damaged_files_are_read_as_far_as_they_go(all in prop::collection::vec(damage(), 1..8)) {
        let text = damaged(&all);
        let got = read(&text);
        for fault in &got.faults {
            prop_assert!(fault.span.end <= text.len(), "{fault:?}");
            prop_assert!(text.is_char_boundary(fault.span.start), "{fault:?}");
            prop_assert!(!fault.says.is_empty() && !fault.write.is_empty(), "{fault:?}");
        }
        prop_assert!(got.faults.is_empty() || !render(&text, "x", &got.faults).is_empty(), "shown");
        if let Ok(edited) = set(&text, "bank.parallel", "3", None) {
            let close: String = edited.split_whitespace().collect();
            let parallel = read(&edited).spans.get("bank.parallel").is_some()
                || close.contains("parallel=3");
            prop_assert!(parallel, "what was set stands there");
        }
        // A refusal is as good as a change here.
        let _ = remove(&text, "lead.plus", None);
    }

    #[test]
    fn set_then_read_gives_that_value(mm in 10_u32..5000, lead in prop::sample::select(vec!["plus", "2", "back", "to panel"])) {
        let value = format!("{mm} mm");
        let edited = set(GOOD, &format!("lead.{lead}.length"), &value, None)
            .map_err(|f| TestCaseError::fail(f.one_line()))?;
        let (mut got, mut was) = (read(&edited).design, read(GOOD).design);
        for design in [&mut got, &mut was].into_iter().flatten() {
            for one in design.leads.iter_mut().filter(|l| l.part.name == lead) {
                let length = one.length.take();
                prop_assert!(!edited.is_empty() && length.is_none_or(|l| l.as_mm() > 0.0), "a length");
            }
        }
        prop_assert_eq!(got, was, "every other value is unchanged");
        let read_back = read(&edited).design.and_then(|d| d.leads.into_iter().find(|l| l.part.name == lead));
        let length = read_back.and_then(|l| l.length).map_or(0.0, |l| l.as_mm());
        prop_assert!((length - f64::from(mm)).abs() < 1e-9, "{} is {}", length, mm);
        let comments = |text: &str| text.lines().filter_map(|l| l.split_once('#').map(|c| c.1.to_owned())).collect::<Vec<_>>();
        prop_assert_eq!(comments(&edited), comments(GOOD), "every comment stays");
    }
}
