//! Gives the blocks of a bank other names wherever a design file speaks of them, and takes out what it
//! says of blocks that go. Every other byte stays as it is.

use crate::edit::{checked, document, remove, set};
use crate::fault::Fault;
use crate::splice::line_start;
use engine::model::bank::BlockId;
use engine::model::lead::Terminal;
use std::ops::Range;
use toml_edit::{Item, Key, Table, TableLike, Value};

/// Which names change.
pub struct Renumber<'a> {
    /// Path of the bank, as [`engine::model::bank::Bank::path`] has it.
    pub bank: &'a str,
    /// The leads whose ends and names follow; leads of another bank are left out.
    pub leads: &'a [&'a str],
    /// The new name of a block; `None` when it goes.
    pub block: &'a dyn Fn(BlockId) -> Option<BlockId>,
    /// The block, by its new name, on which an end lies afterwards.
    pub end: &'a dyn Fn(BlockId) -> BlockId,
    /// The new name of a link that the file says something of; `None` when it goes.
    pub link: &'a dyn Fn(&str) -> Option<String>,
}

/// The text with every block of a bank called by its new name.
///
/// What is said of a block that goes goes with it.
///
/// # Errors
/// When the text is no document, or a change would leave none.
pub fn renumber(text: &str, names: &Renumber<'_>) -> Result<String, Box<Fault>> {
    let mut text = text.to_owned();
    for path in leaving(document(&text)?.as_item(), names) {
        text = remove(&text, &path, None)?;
    }
    for (path, value) in straps(document(&text)?.as_item(), names) {
        text = set(&text, &path, &value, None)?;
    }
    let root = document(&text)?;
    let mut edits: Vec<(Range<usize>, String)> = Vec::new();
    let mut put = |span: Option<Range<usize>>, old: &str, new: &str, key: bool| {
        edits.extend(span.and_then(|span| within(&text, span, old, new, key)));
    };
    if let Some(bank) = bank_table(root.as_item(), names.bank) {
        for (name, item) in bank.iter() {
            let new = BlockId::from_text(name).and_then(names.block);
            if let Some(new) = new {
                each_name(&text, bank, name, item, &mut |span| {
                    put(Some(span), name, &new.to_string(), true);
                });
            }
        }
        let ends = bank.get("takeoff").and_then(Item::as_value).and_then(Value::as_inline_table);
        for (_, end) in ends.into_iter().flat_map(toml_edit::InlineTable::iter) {
            renamed_end(end, names, &mut put);
        }
    }
    for (name, lead) in tables(root.as_item(), &["lead"]) {
        if names.leads.contains(&name) {
            for end in ["from", "to"] {
                if let Some(value) = lead.get(end).and_then(Item::as_value) {
                    renamed_end(value, names, &mut put);
                }
            }
        }
    }
    for (_, device) in tables(root.as_item(), &["device"]) {
        if let Some(value) = device.get("mounted_on").and_then(Item::as_value) {
            renamed_end(value, names, &mut put);
        }
    }
    for group in ["post", "volts"] {
        named(&text, root.as_item(), &["as_built", group], &|name| as_built(name, names), &mut put);
    }
    named(&text, root.as_item(), &["lead"], &|name| link(name, names), &mut put);
    edits.sort_by_key(|(span, _)| span.start);
    edits.dedup_by(|a, b| a.0 == b.0);
    for (span, new) in edits.iter().rev() {
        text.replace_range(span.clone(), new);
    }
    checked(Some(text), names.bank)
}

/// What becomes of a name.
enum Fate {
    Stays,
    Becomes(String),
    Goes,
}

impl Fate {
    fn of(new: Option<String>, old: &str) -> Self {
        match new {
            None => Self::Goes,
            Some(new) if new == old => Self::Stays,
            Some(new) => Self::Becomes(new),
        }
    }
}

/// A post, a block, a string or a gap in the records of what was built.
fn as_built(name: &str, names: &Renumber<'_>) -> Fate {
    if let Some(gap) = name.strip_prefix("gap ") {
        return match link(gap, names) {
            Fate::Becomes(new) => Fate::Becomes(format!("gap {new}")),
            other => other,
        };
    }
    if let Some(letters) = name.strip_prefix("string ") {
        let first = BlockId::from_text(&format!("{letters}1"));
        return first.map_or(Fate::Stays, |first| {
            // The first place may go from a string that stays.
            let second = BlockId { place: 1, ..first };
            let new = (names.block)(first).or_else(|| (names.block)(second));
            let new = new.map(|b| format!("string {}", BlockId::string_letters(b.string)));
            Fate::of(new, name)
        });
    }
    if let Some(block) = BlockId::from_text(name) {
        return Fate::of((names.block)(block).map(|b| b.to_string()), name);
    }
    let block = Terminal::from_text(name).and_then(|t| t.block());
    block.map_or(Fate::Stays, |old| {
        let new =
            (names.block)(old).map(|new| name.replacen(&old.to_string(), &new.to_string(), 1));
        Fate::of(new, name)
    })
}

/// A link of the bank that the file says something of.
fn link(name: &str, names: &Renumber<'_>) -> Fate {
    if names.leads.contains(&name) && name.chars().all(|c| c.is_ascii_digit()) {
        return Fate::of((names.link)(name), name);
    }
    Fate::Stays
}

/// Paths of what goes.
fn leaving(root: &Item, names: &Renumber<'_>) -> Vec<String> {
    let mut paths = Vec::new();
    for (name, _) in bank_table(root, names.bank).into_iter().flat_map(Table::iter) {
        if BlockId::from_text(name).is_some_and(|b| (names.block)(b).is_none()) {
            paths.push(format!("{}.{name}", names.bank));
        }
    }
    for group in ["post", "volts"] {
        for name in keys(root, &["as_built", group]) {
            if matches!(as_built(name, names), Fate::Goes) {
                paths.push(format!("as_built.{group}.\"{name}\""));
            }
        }
    }
    for name in keys(root, &["lead"]) {
        if matches!(link(name, names), Fate::Goes) {
            paths.push(format!("lead.{name}"));
        }
    }
    paths
}

/// The straps that pass over blocks whose names change, with what they pass over afterwards.
fn straps(root: &Item, names: &Renumber<'_>) -> Vec<(String, String)> {
    let over = |strap: &dyn TableLike| -> Option<(Vec<BlockId>, Vec<BlockId>)> {
        let all = strap.get("over")?.as_array()?;
        let was: Vec<BlockId> =
            all.iter().filter_map(|v| BlockId::from_text(v.as_str()?)).collect();
        let is = was.iter().filter_map(|b| (names.block)(*b)).collect();
        Some((was, is))
    };
    let changed = |(name, strap): (&str, &dyn TableLike)| {
        let (was, is) = over(strap)?;
        let list: Vec<String> = is.iter().map(|b| format!("\"{b}\"")).collect();
        (was != is).then(|| (format!("hold.\"{name}\".over"), format!("[{}]", list.join(", "))))
    };
    tables(root, &["hold"]).into_iter().filter_map(changed).collect()
}

fn at<'a>(root: &'a Item, path: &[&str]) -> Option<&'a dyn TableLike> {
    path.iter().try_fold(root, |item, key| item.as_table_like()?.get(key))?.as_table_like()
}

fn keys<'a>(root: &'a Item, path: &[&str]) -> Vec<&'a str> {
    at(root, path).map_or_else(Vec::new, |t| t.iter().map(|(name, _)| name).collect())
}

/// The tables of a group with their names.
fn tables<'a>(root: &'a Item, path: &[&str]) -> Vec<(&'a str, &'a dyn TableLike)> {
    let all = at(root, path).map(|t| t.iter().filter_map(|(n, i)| Some((n, i.as_table_like()?))));
    all.map_or_else(Vec::new, Iterator::collect)
}

fn bank_table<'a>(root: &'a Item, path: &str) -> Option<&'a Table> {
    let bank = root.get("bank")?;
    match path.strip_prefix("bank.").and_then(|n| n.parse::<usize>().ok()) {
        Some(nth) => bank.as_array_of_tables()?.get(nth),
        None => bank.as_table().or_else(|| bank.as_array_of_tables()?.get(0)),
    }
}

type Put<'a> = dyn FnMut(Option<Range<usize>>, &str, &str, bool) + 'a;

/// The end of a lead that comes to lie on a block of another name.
fn renamed_end(value: &Value, names: &Renumber<'_>, put: &mut Put<'_>) {
    let Some(words) = value.as_str() else { return };
    let Some(old) = Terminal::from_text(words).and_then(|t| t.block()) else { return };
    let new = (names.end)(old);
    if new != old {
        put(value.span(), &old.to_string(), &new.to_string(), false);
    }
}

/// The names of a group that change.
fn named(text: &str, root: &Item, path: &[&str], fate: &dyn Fn(&str) -> Fate, put: &mut Put<'_>) {
    let group = path.iter().try_fold(root, |item, key| item.as_table_like()?.get(key));
    let Some(group) = group else { return };
    for (name, item) in group.as_table_like().into_iter().flat_map(|t| t.iter()) {
        let Fate::Becomes(new) = fate(name) else { continue };
        match group {
            Item::Table(table) => {
                each_name(text, table, name, item, &mut |span| put(Some(span), name, &new, true));
            }
            // In braces a name stands once, where its key stands.
            _ => {
                let key = group.as_table_like().and_then(|t| t.key(name));
                put(key.and_then(Key::span), name, &new, true);
            }
        }
    }
}

/// Every place at which a name of a table stands: its header, the lines of its dotted keys, its key.
fn each_name(
    text: &str,
    above: &Table,
    name: &str,
    item: &Item,
    found: &mut dyn FnMut(Range<usize>),
) {
    match item {
        Item::Table(table) if table.is_dotted() => {
            for key in dotted_keys(table) {
                found(line_start(text, key.start)..key.start);
            }
        }
        Item::Table(table) => {
            if let Some(span) = table.span() {
                found(span);
            }
        }
        _ => {
            if let Some(span) = above.key(name).and_then(Key::span) {
                found(span);
            }
        }
    }
}

fn dotted_keys(table: &Table) -> Vec<Range<usize>> {
    let mut all = Vec::new();
    for (name, item) in table.iter() {
        match item {
            Item::Table(inner) if inner.is_dotted() => all.extend(dotted_keys(inner)),
            _ => all.extend(table.key(name).and_then(Key::span)),
        }
    }
    all
}

/// Where within a span a name stands, and its new spelling. Of a key the last piece is meant, of a
/// value the whole of it.
fn within(
    text: &str,
    span: Range<usize>,
    old: &str,
    new: &str,
    key: bool,
) -> Option<(Range<usize>, String)> {
    let stretch = text.get(span.clone())?;
    let from = if key { stretch.rfind(old)? } else { stretch.find(old)? };
    let start = span.start + from;
    Some((start..start + old.len(), new.to_owned()))
}
