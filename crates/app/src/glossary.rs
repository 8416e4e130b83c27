//! Words of the trade, from `data/nomenclature.csv`.

use std::cmp::Reverse;

/// The table as it stands in the repository.
const TABLE: &str = include_str!("../../../data/nomenclature.csv");

/// Nearest words offered when none is meant.
const OFFERED: usize = 3;

/// Two words this alike may be the same word mistyped; below it the offer would only puzzle.
const ALIKE: f64 = 0.75;

/// One word of the trade.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Term {
    /// The word used here.
    pub(crate) term: String,
    /// What it means.
    pub(crate) meaning: String,
    /// The unit it is told in; empty for none.
    pub(crate) unit: String,
    /// The letter formulas use; empty for none.
    pub(crate) symbol: String,
    /// Other words, American ones; empty for none.
    pub(crate) us: String,
    /// Other words, British ones; empty for none.
    pub(crate) uk: String,
}

impl Term {
    fn words(&self) -> impl Iterator<Item = &str> {
        let own = [self.term.as_str(), self.symbol.as_str()];
        let other = self.us.split(';').chain(self.uk.split(';'));
        own.into_iter().chain(other).map(str::trim).filter(|w| !w.is_empty())
    }
}

/// Every word, in the order of the table.
pub(crate) fn terms() -> Vec<Term> {
    let mut reader = csv::Reader::from_reader(TABLE.as_bytes());
    let row = |r: csv::StringRecord| {
        let at = |n: usize| r.get(n).unwrap_or("").trim().to_owned();
        Term { term: at(0), meaning: at(1), unit: at(2), symbol: at(3), us: at(4), uk: at(5) }
    };
    reader.records().filter_map(Result::ok).map(row).collect()
}

/// Every term that a word means, whichever side of the water it comes from.
pub(crate) fn explained(word: &str) -> Vec<Term> {
    let wanted = bare(word);
    let mut found: Vec<Term> =
        terms().into_iter().filter(|t| t.words().any(|w| bare(w) == wanted)).collect();
    // The term of that very name comes first, before those it is another word for.
    found.sort_by_key(|t| bare(&t.term) != wanted);
    found
}

/// The words nearest to one that is not known.
pub(crate) fn near(word: &str) -> Vec<String> {
    let wanted = bare(word);
    let mut scored: Vec<(f64, String)> = terms()
        .iter()
        .flat_map(|t| t.words().map(str::to_owned).collect::<Vec<_>>())
        .map(|w| (strsim::jaro_winkler(&bare(&w), &wanted), w))
        .filter(|(alike, _)| ALIKE < *alike)
        .collect();
    scored.sort_by(|a, b| b.0.total_cmp(&a.0).then_with(|| Reverse(&b.1).cmp(&Reverse(&a.1))));
    scored.dedup_by(|a, b| a.1 == b.1);
    scored.into_iter().take(OFFERED).map(|(_, word)| word).collect()
}

/// A word without case, hyphens and spaces, so that "take off" finds "take-off".
fn bare(word: &str) -> String {
    word.chars()
        .filter(|c| !matches!(c, ' ' | '-' | '\u{a0}'))
        .flat_map(char::to_lowercase)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{TABLE, explained, near, terms};

    #[test]
    fn every_row_is_read_and_says_something() {
        let all = terms();
        assert_eq!(all.len(), TABLE.lines().count() - 1, "every line but the head is a term");
        for term in &all {
            assert!(!term.meaning.is_empty(), "{} has a meaning", term.term);
            let same = all.iter().filter(|t| t.term == term.term).count();
            assert_eq!(same, 1, "{} stands once", term.term);
        }
    }

    #[test]
    fn a_word_is_found_from_either_side_of_the_water() {
        for (word, term) in [
            ("Take off", "take-off"),
            ("tongue weight", "ball load"),
            ("noseweight", "ball load"),
            ("breaking capacity", "interrupt rating"),
            ("GFCI", "RCD"),
        ] {
            let found = explained(word);
            assert!(found.iter().any(|t| t.term == term), "{word} means {term}: {found:?}");
        }
    }

    #[test]
    fn a_term_of_that_name_comes_before_its_other_meanings() {
        let names: Vec<String> = explained("isolator").into_iter().map(|t| t.term).collect();
        assert_eq!(names, ["isolator", "split-charge relay"], "the switch first");
    }

    #[test]
    fn a_slip_is_met_with_what_was_meant() {
        assert_eq!(near("bussbar").first().map(String::as_str), Some("busbar"), "one letter more");
        assert!(near("qqqq").is_empty(), "nothing is like it");
    }
}
