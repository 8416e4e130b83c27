//! What a hand-over folder says of the rig to those who look at it later: what professionals look
//! for, what the checks found of each, and who signs what.

use crate::cite::Cite;
use crate::finding::{Code, Finding};
use crate::model::block::Chemistry;
use crate::model::design::Design;
use crate::model::device::DeviceKind;
use crate::model::rig::{Practice, RigKind};
use crate::report::Report;
use crate::tables::Tables;
use crate::tables::examiner::{Applies, Looked, Signs, Who};

/// One line of what professionals look for, with what the checks found.
#[derive(Clone, Debug, PartialEq)]
pub struct Item<'a> {
    /// The line.
    pub looked: &'a Looked,
    /// Findings of the rules that look at it.
    pub findings: Vec<&'a Finding>,
}

/// The lists of the folder, those lines alone that this rig meets.
#[derive(Clone, Debug, PartialEq)]
pub struct HandOver<'a> {
    /// What is looked for.
    pub items: Vec<Item<'a>>,
    /// Who signs what.
    pub signs: Vec<&'a Signs>,
}

/// The line of what professionals look for at house voltage, the bond, and lithium.
const HOUSE: [u8; 2] = [14, 15];
const LITHIUM: u8 = 16;

impl<'a> HandOver<'a> {
    /// The lists for a stage that was judged.
    #[must_use]
    pub fn of(report: &'a Report, tables: &'a Tables) -> Self {
        let design = &report.study.design;
        let practice = design.rig.practice;
        let (mains, lfp) = (has_mains(design), has_lfp(design));
        let of = |looked: &'a Looked| {
            let findings = report.findings.iter().filter(|f| looked.rules.contains(&f.code));
            Item { looked, findings: findings.collect() }
        };
        let met = |l: &&Looked| {
            l.practices.iter().any(|p| p == practice.word())
                && (mains || !HOUSE.contains(&l.number))
                && (lfp || l.number != LITHIUM)
        };
        let asked = |s: &&Signs| {
            let applies = match s.applies {
                Applies::Always => true,
                Applies::Mains => mains,
                Applies::Lfp => lfp,
            };
            let weighed = matches!(design.rig.kind, RigKind::Trailer | RigKind::Van);
            s.practices.iter().any(|p| p == practice.word())
                && applies
                && (weighed || s.who != Who::Weighbridge)
        };
        Self {
            items: tables.examiner.items.iter().filter(met).map(of).collect(),
            signs: tables.examiner.signs.iter().filter(asked).collect(),
        }
    }

    /// Every source of the lists.
    pub fn sources(&self) -> impl Iterator<Item = &Cite> {
        self.items.iter().map(|i| &i.looked.cite).chain(self.signs.iter().map(|s| &s.cite))
    }
}

/// Whether anything at house voltage is on the rig at this stage.
#[must_use]
pub fn has_mains(design: &Design) -> bool {
    design.mains.as_ref().is_some_and(|m| !m.sources.is_empty())
        || design.devices_of(DeviceKind::Inverter).next().is_some()
        || crate::plan::card::has_mains_source(design)
}

fn has_lfp(design: &Design) -> bool {
    let model = design.bank().and_then(|b| design.block_model(&b.block));
    model.is_some_and(|m| m.chemistry == Some(Chemistry::Lfp))
}

/// Whether a rule that an item names is one that this program has.
#[must_use]
pub fn looks(code: Code) -> bool {
    crate::checks::registry::RULES.iter().any(|r| r.code == code)
}

/// The practices as a reader of the folder knows them.
#[must_use]
pub const fn practice_says(practice: Practice) -> &'static str {
    match practice {
        Practice::UsTrailer => "trailers and vans, United States",
        Practice::UsBoat => "boats, United States",
        Practice::UsCabin => "cabins, United States",
        Practice::EuVehicle => "trailers, caravans and vans, Europe",
        Practice::EuBoat => "boats, Europe",
        Practice::EuCabin => "cabins, Europe",
    }
}

#[cfg(test)]
mod tests {
    use crate::model::rig::Practice;
    use crate::tables::Tables;
    use crate::tables::examiner::Who;
    use std::collections::BTreeSet;

    /// The list that professionals go by has 18 lines; 4 and 6 are of boats, 12 of US trailers, 13 of
    /// European caravans, and each other line stands once for every practice.
    #[test]
    fn each_practice_has_each_line_once() {
        let tables = Tables::load().expect("the tables are whole");
        for practice in Practice::ALL {
            let of = tables
                .examiner
                .items
                .iter()
                .filter(|i| i.practices.iter().any(|p| p == practice.word()));
            let numbers: Vec<u8> = of.map(|i| i.number).collect();
            let mut want: BTreeSet<u8> = (1..=18).collect();
            let cabin = matches!(practice, Practice::UsCabin | Practice::EuCabin);
            if !practice.is_boat() {
                want.remove(&6);
                if !cabin {
                    want.remove(&4);
                }
            }
            if practice != Practice::UsTrailer {
                want.remove(&12);
            }
            if practice != Practice::EuVehicle {
                want.remove(&13);
            }
            assert_eq!(numbers, want.into_iter().collect::<Vec<_>>(), "{}", practice.word());
            let who = tables
                .examiner
                .signs
                .iter()
                .filter(|s| s.practices.iter().any(|p| p == practice.word()));
            let who: BTreeSet<Who> = who.map(|s| s.who).collect();
            for always in [Who::Owner, Who::Electrician, Who::Insurer] {
                assert!(who.contains(&always), "{}: {always:?}", practice.word());
            }
        }
    }

    #[test]
    fn every_practice_that_a_row_names_is_one() {
        let tables = Tables::load().expect("the tables are whole");
        let items = tables.examiner.items.iter().flat_map(|i| &i.practices);
        for word in items.chain(tables.examiner.signs.iter().flat_map(|s| &s.practices)) {
            assert!(Practice::ALL.iter().any(|p| p.word() == word), "\"{word}\" is no practice");
        }
    }

    #[test]
    fn every_rule_that_a_line_names_is_there() {
        let tables = Tables::load().expect("the tables are whole");
        for code in tables.examiner.items.iter().flat_map(|i| &i.rules) {
            assert!(super::looks(*code), "{code} is no rule of this program");
        }
    }
}
