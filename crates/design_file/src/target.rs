//! Which key of which table a dotted path means, by the schema and by what stands in the file.

use crate::fault::{Fault, Trouble};
use crate::nearest;
use crate::read::read;
use crate::schema::{self, Child, Field, Table};
use crate::words;
use engine::model::bank::BlockId;
use toml_edit::Item;

/// One step down the document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Step {
    /// A key or a name.
    Key(String),
    /// One table of an array of tables.
    Nth(usize),
}

/// What a path means.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// The steps from the top of the document.
    pub(crate) steps: Vec<Step>,
    /// The key, where the path ends at one.
    pub(crate) field: Option<&'static Field>,
    /// How a sentence names it: `lead 8, size`.
    pub(crate) subject: String,
}

/// Resolves paths against one document.
pub(crate) struct Resolver<'a> {
    pub(crate) text: &'a str,
    pub(crate) root: &'a Item,
    pub(crate) path: &'a str,
    pub(crate) stage: Option<&'a str>,
}

impl Resolver<'_> {
    fn fault(&self, trouble: Trouble) -> Box<Fault> {
        trouble.anywhere(self.path)
    }

    /// The target of the path.
    pub(crate) fn target(&self) -> Result<Target, Box<Fault>> {
        let pieces = pieces(self.path);
        let mut table: &'static Table = &schema::rig_side::FIRST[0];
        let mut subject = String::new();
        let mut steps: Vec<Step> = Vec::new();
        let mut at = 0;
        while let Some(piece) = pieces.get(at) {
            at += 1;
            if let Some(field) = table.field(piece) {
                steps.push(Step::Key(piece.clone()));
                let comma = if subject.is_empty() { "" } else { ", " };
                let subject = format!("{subject}{comma}{piece}");
                if let Some(more) = pieces.get(at) {
                    return Err(self.fault(words::nothing_below(&subject, more)));
                }
                return Ok(Target { steps, field: Some(field), subject });
            }
            let block = table.path == "bank" && BlockId::from_text(piece).is_some();
            let child = if block {
                schema::tables().find(|t| t.path == "bank.*").map(Child::Table)
            } else {
                schema::child(table.path, piece)
            };
            steps.push(Step::Key(piece.clone()));
            match child {
                Some(Child::Table(next)) => {
                    table = next;
                    subject = next.label.to_owned();
                    if block {
                        subject = format!("{subject} {piece}");
                    }
                    if next.path == "bank" {
                        at += self.which_bank(&mut steps, pieces.get(at))?;
                    }
                }
                Some(Child::Group(next)) => {
                    let Some(name) = pieces.get(at) else {
                        return Err(self.fault(words::name_wanted(self.path)));
                    };
                    self.known_name(&steps, name, pieces.get(at + 1))?;
                    at += 1;
                    steps.push(Step::Key(name.clone()));
                    table = next;
                    subject = format!("{} {name}", next.label);
                }
                None => return Err(self.fault(unknown(table, &subject, piece))),
            }
        }
        if steps.is_empty() {
            return Err(self.fault(words::empty_path()));
        }
        Ok(Target { steps, field: None, subject })
    }

    /// Adds the bank that is meant where several are given; tells how many pieces that used up.
    fn which_bank(
        &self,
        steps: &mut Vec<Step>,
        next: Option<&String>,
    ) -> Result<usize, Box<Fault>> {
        let Some(list) = self.root.get("bank").and_then(Item::as_array_of_tables) else {
            return Ok(0);
        };
        if let Some(nth) = next.and_then(|n| n.parse::<usize>().ok()) {
            if nth < list.len() {
                steps.push(Step::Nth(nth));
                return Ok(1);
            }
            return Err(self.fault(words::no_such_bank(nth, list.len())));
        }
        steps.push(Step::Nth(self.bank_in_force(list.len())?));
        Ok(0)
    }

    /// The bank in force at the stage asked for, or at the present one.
    fn bank_in_force(&self, count: usize) -> Result<usize, Box<Fault>> {
        let last = count.saturating_sub(1);
        let Some(design) = read(self.text).design else {
            return Ok(last);
        };
        let stage = match self.stage {
            None => design.present_stage(),
            Some(name) => design.stage_index(name).ok_or_else(|| {
                let known: Vec<String> = design.stages.iter().map(|s| s.name.clone()).collect();
                self.fault(words::leads_nowhere("stage", "stage", name, &known))
            })?,
        };
        let bank = design.bank_at(stage).or_else(|| design.bank());
        let nth = bank.and_then(|b| b.path.strip_prefix("bank.")).and_then(|n| n.parse().ok());
        Ok(nth.filter(|n| *n < count).unwrap_or(last))
    }

    /// A name that is new and nearly one that exists is a slip, unless its first key is given.
    fn known_name(
        &self,
        steps: &[Step],
        name: &str,
        key: Option<&String>,
    ) -> Result<(), Box<Fault>> {
        let group = find(self.root, steps).and_then(Item::as_table_like);
        let names: Vec<&str> =
            group.map(|g| g.iter().map(|(name, _)| name).collect()).unwrap_or_default();
        // A link's number and a post that nothing was said of yet are new on purpose.
        let number = name.chars().all(|c| c.is_ascii_digit())
            || engine::model::lead::Terminal::from_text(name).is_some_and(|t| t.block().is_some());
        let founds = key.is_some_and(|k| matches!(k.as_str(), "kind" | "from" | "chemistry"));
        if number || founds || names.contains(&name) {
            return Ok(());
        }
        match nearest::word(name, names) {
            Some(meant) => Err(self.fault(words::no_such_name(self.path, name, &meant))),
            None => Ok(()),
        }
    }
}

fn unknown(table: &Table, subject: &str, piece: &str) -> Trouble {
    let tables = schema::child_words(table.path);
    if table.path.is_empty() {
        return words::unknown_table((piece, piece), &tables, &schema::bank_side::DEVICE_KINDS);
    }
    let known: Vec<&str> =
        table.all_fields().map(|f| f.key).chain(tables.iter().copied()).collect();
    words::unknown_key(subject, piece, &known)
}

/// The pieces of a dotted path; quotes keep a name with dots whole.
pub(crate) fn pieces(path: &str) -> Vec<String> {
    let mut pieces = Vec::new();
    let mut piece = String::new();
    let mut quote = None;
    for c in path.trim().chars() {
        match (quote, c) {
            (None, '"' | '\'') => quote = Some(c),
            (Some(open), c) if c == open => quote = None,
            (None, '.') => pieces.push(std::mem::take(&mut piece).trim().to_owned()),
            _ => piece.push(c),
        }
    }
    pieces.push(piece.trim().to_owned());
    pieces.retain(|p| !p.is_empty());
    pieces
}

/// What stands at the end of some steps.
pub(crate) fn find<'a>(root: &'a Item, steps: &[Step]) -> Option<&'a Item> {
    let mut item = root;
    for (nth, step) in steps.iter().enumerate() {
        // A table of an array is no item of its own; the key after it is looked up through it.
        match step {
            Step::Nth(_) => {}
            Step::Key(key) => {
                let before = nth.checked_sub(1).and_then(|n| steps.get(n));
                item = match before {
                    Some(Step::Nth(n)) => item.as_array_of_tables()?.get(*n)?.get(key)?,
                    _ => item.as_table_like()?.get(key)?,
                };
            }
        }
    }
    Some(item)
}

#[cfg(test)]
mod tests {
    use super::pieces;

    #[test]
    fn quotes_keep_a_name_whole() {
        for (path, want) in [
            ("lead.8.size", &["lead", "8", "size"][..]),
            ("lead.\"to.panel\".size", &["lead", "to.panel", "size"]),
            ("as_built.post.A1 +.torque", &["as_built", "post", "A1 +", "torque"]),
            ("", &[]),
        ] {
            assert_eq!(pieces(path), want, "{path}");
        }
    }
}
