//! Reading any text as a file of readings must never panic, every place that is told lies inside the
//! text, and what a file says twice is read once.

#![no_main]

use design_file::readings_file::{Known, read_readings};
use design_file::render::render;
use engine::units::reading::Quantity;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let of = |id: &str, quantity| Known { id: id.to_owned(), quantity };
    let known = [
        of("A1", Quantity::Volts),
        of("string A", Quantity::Volts),
        of("5.from", Quantity::Millivolts),
        of("clamp A", Quantity::Amps),
    ];
    for known in [&known[..], &[]] {
        let got = read_readings(text, known);
        for fault in &got.faults {
            assert!(fault.span.end <= text.len(), "a place inside the text: {fault:?}");
            assert!(text.is_char_boundary(fault.span.start), "a whole character: {fault:?}");
            assert!(!fault.says.is_empty() && !fault.write.is_empty(), "words: {fault:?}");
        }
        let _ = render(text, "readings", &got.faults);
        let mut names: Vec<&str> = got.readings.taken.iter().map(|r| r.what.as_str()).collect();
        let all = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), all, "each name once");
        assert!(got.readings.taken.iter().all(|r| r.value.is_finite()), "finite figures");
    }
});
