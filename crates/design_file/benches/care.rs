//! Twenty years of monthly readings of 48 cells, read whole: the budget is 100 ms until it is shown.

use design_file::log_text;
use design_file::read::read;
use engine::care::Care;
use engine::evidence::Evidence;
use engine::facts::Ambient;
use engine::model::design::Design;
use engine::study::Study;
use engine::tables::Tables;
use engine::units::Temperature;
use jiff::civil::date;
use std::fmt::Write;

fn main() {
    divan::main();
}

/// Two strings of eight 6 V blocks.
fn design() -> Design {
    let text = "format = 1\n[rig]\nname = \"Hut\"\nkind = \"cabin\"\npractice = \"us-cabin\"\n\
                [place]\nlatitude = 45\nlongitude = -110\n\
                [block.six]\nchemistry = \"flooded\"\nvolts = \"6 V\"\nrating = \"225 Ah at 20 h\"\n\
                [bank]\nblock = \"six\"\nseries = 8\nparallel = 2\ntakeoff = \"opposite corners\"\n";
    read(text).design.expect("the design is read")
}

/// The log as text, as an import brings it.
fn text() -> String {
    let mut text = String::new();
    for month in 0..240 {
        let day = format!("{}-{:02}-03", 2006 + month / 12, month % 12 + 1);
        let mut line = |words: String| writeln!(text, "{day} {words}").expect("a string grows");
        line("01:00, bank, charge, 200 Ah, tail 6 A, end full".to_owned());
        for block in 0..16 {
            let name = format!("{}{}", ["A", "B"][block / 8], block % 8 + 1);
            line(format!(
                "08:00, {name}, rest, {} V, rested 7 h",
                6.34 + 0.01 * f64::from(month % 3)
            ));
            for cell in 1..=3 {
                let gravity = 1.262 + 0.001 * f64::from((month * 7 + cell * 5) % 9);
                line(format!("09:00, {name}.{cell}, gravity, {gravity:.3}, fluid 70 F"));
                line(format!("10:00, {name}.{cell}, water, {} cm3", 20 + (month + cell) % 7));
            }
        }
        if month % 12 == 8 {
            line("14:00, bank, capacity, 22.5 A, lasted 18.4 h, at 70 F".to_owned());
        }
    }
    text
}

#[divan::bench]
fn twenty_years_of_48_cells(bencher: divan::Bencher<'_, '_>) {
    let tables = Tables::load().expect("the tables are well formed");
    let design = design();
    let ambient = Ambient { soc: None, temperature: Temperature::celsius(20.0) };
    let study = Study::of(&design, 0, &tables, ambient).expect("the tables are whole");
    let (log, faults) = log_text::log(&text());
    assert!(faults.is_empty(), "the log is read: {faults:?}");
    let evidence = Evidence { log, readings: Vec::new(), today: Some(date(2026, 1, 5)) };
    bencher.bench_local(|| Care::of(&study, &design, &tables, &evidence));
}

#[divan::bench]
fn twenty_years_as_text_read() {
    let text = text();
    divan::black_box(log_text::log(&text));
}
