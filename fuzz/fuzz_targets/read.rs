//! Reading any text, showing its faults and changing it must never panic; every place that is told
//! lies inside the text, and a change that is accepted can be read back.

#![no_main]

use design_file::edit::{remove, set};
use design_file::read::read;
use design_file::render::render;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let got = read(text);
    for fault in &got.faults {
        assert!(fault.span.end <= text.len(), "a place inside the text: {fault:?}");
        assert!(text.is_char_boundary(fault.span.start), "a whole character: {fault:?}");
        assert!(!fault.says.is_empty() && !fault.write.is_empty(), "words: {fault:?}");
    }
    let _ = render(text, "rig.toml", &got.faults);
    for (path, value) in [
        ("bank.parallel", "3"),
        ("bank.A1.age", "5 years"),
        ("lead.4.length", "400 mm"),
        ("format", "1"),
    ] {
        if let Ok(edited) = set(text, path, value, None) {
            let again = set(&edited, path, value, None);
            assert_eq!(again.as_deref(), Ok(edited.as_str()), "{path} set twice");
        }
    }
    let _ = remove(text, "lead.plus", None);
    let _ = remove(text, "bank.series", None);
});
