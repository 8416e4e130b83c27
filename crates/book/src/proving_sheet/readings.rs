//! Every reading of the sheet: what was expected beside what was measured, test by test.

use super::ProvingSheet;
use crate::part::{Cell, Part, Parts, Table, figures, words};
use engine::prove::{Expected, Judged, Test};
use engine::units::reading::Quantity;
use engine::units::show::fixed;

pub(super) fn parts(input: &ProvingSheet<'_>, width: f64) -> Vec<Part> {
    let mut parts = Parts::new(width);
    parts.paragraph(
        "Low and high are what a sound bank may show with these meters, at this temperature and \
         charge. Do not go on to the next test while a reading of the one before is outside.",
    );
    let mut tests: Vec<Test> = Vec::new();
    for expected in input.expected {
        if !tests.contains(&expected.test) {
            tests.push(expected.test);
        }
    }
    tests.sort();
    for test in tests {
        parts.heading(&crate::words::capital(test.word()));
        let rows = table(input, test);
        if !rows.rows.is_empty() {
            parts.push(rows);
        }
        let left = not_read(input, test);
        if !left.is_empty() {
            parts.paragraph(&format!("Not read: {}.", left.join(", ")));
        }
    }
    if !input.aside.is_empty() {
        parts.heading("Written down and not judged here");
        let mut table = Table::new(vec![words("reading", 2.0), figures("measured", 1.0)]);
        for taken in input.aside {
            table.row(vec![
                Cell::Bold(taken.what.clone()),
                figure(taken.quantity, Some(taken.value)).into(),
            ]);
        }
        parts.push(table);
    }
    parts.all
}

fn table(input: &ProvingSheet<'_>, test: Test) -> Table {
    let mut table = Table::new(vec![
        words("reading", 1.4),
        words("where", 3.1),
        figures("expect", 0.9),
        figures("low", 0.8),
        figures("high", 0.8),
        figures("measured", 1.0),
        words("", 1.1),
    ]);
    for expected in input.expected.iter().filter(|e| e.test == test) {
        let judged = judged(input, expected);
        if judged.is_some() || is_blank(input) {
            table.row(row(expected, judged));
        }
    }
    table
}

fn judged<'a>(input: &ProvingSheet<'a>, expected: &Expected) -> Option<&'a Judged> {
    input.proof.readings.iter().find(|j| j.id == expected.id)
}

/// Nothing was read yet: every reading gets room for a hand.
fn is_blank(input: &ProvingSheet<'_>) -> bool {
    input.proof.readings.is_empty()
}

/// Names of a test that nobody read, on a day on which others were.
fn not_read(input: &ProvingSheet<'_>, test: Test) -> Vec<String> {
    let of_test = input.expected.iter().filter(|e| e.test == test && !is_blank(input));
    of_test.filter(|e| judged(input, e).is_none()).map(|e| e.id.clone()).collect()
}

fn row(expected: &Expected, judged: Option<&Judged>) -> Vec<Cell> {
    let shown = |value: Option<f64>| figure(expected.quantity, value);
    let (measured, verdict) = match judged {
        Some(judged) => (
            Cell::Bold(shown(Some(judged.measured))),
            if judged.verdict == engine::prove::Found::Within {
                Cell::Text(judged.verdict.word().to_owned())
            } else {
                Cell::Bold(judged.verdict.word().to_owned())
            },
        ),
        None => (Cell::Write, Cell::Tick),
    };
    vec![
        Cell::Bold(expected.id.clone()),
        expected.probes.as_str().into(),
        shown(expected.expect).into(),
        shown(expected.low).into(),
        shown(expected.high).into(),
        measured,
        verdict,
    ]
}

/// A figure with its unit; nothing where there is none.
fn figure(quantity: Quantity, value: Option<f64>) -> String {
    value.map_or_else(String::new, |v| {
        let number = fixed(v, quantity.digits()).replace('-', "\u{2212}");
        format!("{number}\u{a0}{}", quantity.unit())
    })
}
