//! What professionals look for on a battery bank, and who signs what, by practice.

use super::Book;
use super::error::TableError;
use super::sheet::Row;
use crate::cite::Cite;
use crate::finding::Code;

/// The sheets of a hand-over folder that a row may name.
pub const SHEETS: [&str; 9] = [
    "diagram",
    "plan",
    "fuses",
    "set-points",
    "proving",
    "weights",
    "emergency",
    "labels",
    // Not in the folder: in the build book.
    "book",
];

/// One line of what professionals look for, as one practice has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Looked {
    /// Its number in the list.
    pub number: u8,
    /// The practices for which this row holds, by their words.
    pub practices: Vec<String>,
    /// What is looked for.
    pub what: String,
    /// On which sheets of the folder it is shown; none where it is seen at the rig alone.
    pub sheets: Vec<String>,
    /// The rules that look at it; none where no rule does.
    pub rules: Vec<Code>,
    /// Where it stands.
    pub cite: Cite,
}

/// On which rigs somebody is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Applies {
    /// On every rig of the practice.
    Always,
    /// Where there is work at house voltage.
    Mains,
    /// Where the blocks are lithium.
    Lfp,
}

/// Who may be asked to sign.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// The owner-builder.
    Owner,
    /// A licensed electrician.
    Electrician,
    /// The building or harbour office.
    Permit,
    /// The examiner of a safety scheme.
    Examiner,
    /// A surveyor.
    Surveyor,
    /// Whoever assesses a conversion.
    Assessor,
    /// A weighbridge.
    Weighbridge,
    /// The insurer.
    Insurer,
}

impl Who {
    /// As it stands in the data and as a reader knows them.
    const WORDS: [(Self, &'static str, &'static str); 8] = [
        (Self::Owner, "owner", "you, who built it"),
        (Self::Electrician, "electrician", "licensed electrician"),
        (Self::Permit, "permit", "building office"),
        (Self::Examiner, "examiner", "examiner of the safety scheme"),
        (Self::Surveyor, "surveyor", "surveyor"),
        (Self::Assessor, "assessor", "assessor of the conversion"),
        (Self::Weighbridge, "weighbridge", "weighbridge"),
        (Self::Insurer, "insurer", "insurer"),
    ];

    /// As a reader knows them.
    #[must_use]
    pub fn says(self) -> &'static str {
        Self::WORDS.iter().find(|w| w.0 == self).map_or("", |w| w.2)
    }
}

/// One row of who signs what.
#[derive(Clone, Debug, PartialEq)]
pub struct Signs {
    /// Who.
    pub who: Who,
    /// The practices for which this row holds, by their words.
    pub practices: Vec<String>,
    /// What they sign, and when they are asked.
    pub what: String,
    /// On which rigs.
    pub applies: Applies,
    /// Where it stands.
    pub cite: Cite,
}

/// Both lists.
#[derive(Debug)]
pub struct ExaminerTables {
    /// What is looked for, in the order of the list.
    pub items: Vec<Looked>,
    /// Who signs, in the order in which they are asked.
    pub signs: Vec<Signs>,
}

impl ExaminerTables {
    pub(super) fn read(book: &Book<'_>) -> Result<Self, TableError> {
        let items = book.rows("rules/examiner_items.csv", |row, cite| {
            let number = row.word("item_number")?.parse();
            Ok(Looked {
                number: number.map_err(|_| row.wrong("item_number", "is not a small number"))?,
                practices: practices(row)?,
                what: row.word("what")?.to_owned(),
                sheets: sheets(row)?,
                rules: rules(row)?,
                cite,
            })
        })?;
        let signs = book.rows("rules/examiner_signs.csv", |row, cite| {
            let word = row.word("who")?;
            let who = Who::WORDS.iter().find(|w| w.1 == word);
            let applies = match row.word("applies")? {
                "always" => Applies::Always,
                "mains" => Applies::Mains,
                "lfp" => Applies::Lfp,
                _ => return Err(row.wrong("applies", "is neither always, mains nor lfp")),
            };
            Ok(Signs {
                who: who.ok_or_else(|| row.wrong("who", "names nobody who signs"))?.0,
                practices: practices(row)?,
                what: row.word("what")?.to_owned(),
                applies,
                cite,
            })
        })?;
        Ok(Self { items, signs })
    }
}

/// The words of its practices; that each names one is held by a test of `hand_over`.
fn practices(row: &Row<'_>) -> Result<Vec<String>, TableError> {
    Ok(row.word("practice")?.split(' ').map(str::to_owned).collect())
}

fn sheets(row: &Row<'_>) -> Result<Vec<String>, TableError> {
    let of = |word: &str| {
        let known = SHEETS.contains(&word);
        let wrong = || row.wrong("sheets", &format!("names no sheet: \"{word}\""));
        known.then(|| word.to_owned()).ok_or_else(wrong)
    };
    row.text("sheets")?.split_whitespace().map(of).collect()
}

fn rules(row: &Row<'_>) -> Result<Vec<Code>, TableError> {
    let of = |word: &str| {
        let number = word.strip_prefix('R').and_then(|n| n.parse().ok()).map(Code);
        number.ok_or_else(|| row.wrong("rules", &format!("is no rule: \"{word}\"")))
    };
    row.text("rules")?.split_whitespace().map(of).collect()
}
