//! Published worked answers for the tests beside the formulas.

use super::files;
use super::sheet::Sheet;
use super::sources::Sources;
use std::collections::BTreeMap;

/// One published answer.
#[derive(Debug)]
pub(crate) struct Oracle {
    /// Inputs by name, as numbers.
    inputs: BTreeMap<String, String>,
    /// The right answer.
    pub(crate) expected: f64,
    /// What the source prints, where that differs or where it prints anything.
    pub(crate) printed: Option<f64>,
    /// How far from `expected` a calculation may be, as a share of it.
    tolerance: f64,
    label: String,
}

/// The row of an oracle of wiring and a quantity.
pub(crate) fn oracle(id: &str, quantity: &str) -> Oracle {
    let text = include_str!("../../../../data/oracles/wiring.csv");
    row_of(("oracles/wiring.csv", text), id, quantity)
}

/// The row of an oracle of the sky and a quantity.
pub(crate) fn sky_oracle(id: &str, quantity: &str) -> Oracle {
    let text = include_str!("../../../../data/oracles/sky.csv");
    row_of(("oracles/sky.csv", text), id, quantity)
}

/// The row of an oracle of a vehicle or its box and a quantity.
pub(crate) fn vehicle_oracle(id: &str, quantity: &str) -> Oracle {
    let text = include_str!("../../../../data/oracles/vehicle.csv");
    row_of(("oracles/vehicle.csv", text), id, quantity)
}

/// The row of an oracle of what holds the bank down and lets it breathe.
pub(crate) fn enclosure_oracle(id: &str, quantity: &str) -> Oracle {
    let text = include_str!("../../../../data/oracles/enclosure.csv");
    row_of(("oracles/enclosure.csv", text), id, quantity)
}

/// The row of an oracle of the battery and a quantity.
pub(crate) fn battery_oracle(id: &str, quantity: &str) -> Oracle {
    let text = include_str!("../../../../data/oracles/battery.csv");
    row_of(("oracles/battery.csv", text), id, quantity)
}

fn row_of(file: (&'static str, &str), id: &str, quantity: &str) -> Oracle {
    let sheet = Sheet::read(file.0, file.1).expect("the oracle file is a table");
    let sources = Sources::parse(files::SOURCES).expect("the bibliography is readable");
    let row = sheet
        .rows()
        .find(|r| r.text("id") == Ok(id) && r.text("quantity") == Ok(quantity))
        .unwrap_or_else(|| panic!("no oracle {id} {quantity}"));
    row.cite(&sources).expect("the oracle names its source");
    let inputs = row.text("inputs").expect("the column is there");
    let inputs = inputs.split(';').filter_map(|pair| pair.split_once('='));
    Oracle {
        inputs: inputs.map(|(k, v)| (k.trim().to_owned(), v.trim().to_owned())).collect(),
        expected: row.number("expected_value").expect("an answer"),
        printed: row.optional("printed_value").expect("a number or nothing"),
        tolerance: row.number("tolerance_percent").expect("a tolerance") / 100.0,
        label: format!("{id} {quantity}"),
    }
}

impl Oracle {
    /// An input as written.
    pub(crate) fn word(&self, name: &str) -> &str {
        self.inputs.get(name).unwrap_or_else(|| panic!("{} has no input {name}", self.label))
    }

    /// An input as a number.
    pub(crate) fn input(&self, name: &str) -> f64 {
        let word = self.word(name);
        word.parse().unwrap_or_else(|_| panic!("{} {name} is no number: {word}", self.label))
    }

    /// Whether a value lies within the tolerance of the right answer.
    pub(crate) fn accepts(&self, value: f64) -> bool {
        (value - self.expected).abs() <= self.tolerance * self.expected.abs()
    }

    /// Fails the test unless the value lies within the tolerance of the right answer.
    pub(crate) fn check(&self, value: f64) {
        let (label, want) = (&self.label, self.expected);
        assert!(self.accepts(value), "{label}: {value} instead of {want}");
    }
}
