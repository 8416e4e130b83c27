//! `explain --json`.

use crate::glossary::Term;
use engine::checks::registry::{LAST, NOT_THERE_YET, RULES, Rule};
use engine::finding::{Code, Gate};
use serde::Serialize;

/// Every rule, those not yet checked included.
#[derive(Debug, Serialize)]
pub(crate) struct Rules {
    rules: Vec<RuleJson>,
}

#[derive(Debug, Serialize)]
struct RuleJson {
    code: String,
    name: Option<&'static str>,
    there: bool,
    gates: Vec<&'static str>,
}

impl Rules {
    /// All of them, in order of their codes.
    pub(crate) fn all() -> Self {
        let one = |number: u8| {
            let rule = RULES.iter().find(|r| r.code == Code(number));
            if rule.is_none() && !NOT_THERE_YET.contains(&number) {
                return None;
            }
            Some(RuleJson {
                code: Code(number).to_string(),
                name: rule.map(|r| r.name),
                there: rule.is_some(),
                gates: rule.map(gate_words).unwrap_or_default(),
            })
        };
        Self { rules: (1..=LAST).filter_map(one).collect() }
    }
}

/// The gates that a STOP of a rule holds; a rule that names none holds all.
pub(crate) fn gate_words(rule: &Rule) -> Vec<&'static str> {
    let gates = if rule.gates.is_empty() { &Gate::ALL[..] } else { rule.gates };
    gates.iter().map(|g| g.word()).collect()
}

/// One rule with its page.
#[derive(Debug, Serialize)]
pub(crate) struct Page {
    code: String,
    name: &'static str,
    gates: Vec<&'static str>,
    page: &'static str,
}

impl Page {
    /// The page of a rule.
    pub(crate) fn of(rule: &Rule) -> Self {
        let code = rule.code.to_string();
        Self { code, name: rule.name, gates: gate_words(rule), page: rule.page }
    }
}

/// Words of the trade.
#[derive(Debug, Serialize)]
pub(crate) struct Terms {
    terms: Vec<TermJson>,
}

#[derive(Debug, Serialize)]
struct TermJson {
    term: String,
    meaning: String,
    unit: String,
    symbol: String,
    us: String,
    uk: String,
}

impl Terms {
    /// These terms.
    pub(crate) fn of(terms: Vec<Term>) -> Self {
        let one = |t: Term| TermJson {
            term: t.term,
            meaning: t.meaning,
            unit: t.unit,
            symbol: t.symbol,
            us: t.us,
            uk: t.uk,
        };
        Self { terms: terms.into_iter().map(one).collect() }
    }
}
