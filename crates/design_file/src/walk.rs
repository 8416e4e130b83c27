//! Walks the document along the schema: every key is read as its row says, every key without a row
//! is named, and what comes out is a tree of understood values with their places.

use crate::fault::{Fault, Trouble};
use crate::schema::{self, Child, Table, joined};
use crate::spans::{Lines, Spans};
use crate::syntax;
use crate::value::{Reading, Value};
use crate::words;
use engine::model::bank::BlockId;
use std::collections::BTreeMap;
use std::ops::Range;
use toml_edit::{Item, TableLike};

/// A value with its place.
#[derive(Clone, Debug)]
pub(crate) struct Cell {
    pub(crate) value: Value,
    pub(crate) span: Range<usize>,
}

/// A table understood.
#[derive(Clone, Debug)]
pub(crate) struct Node {
    pub(crate) table: &'static Table,
    /// The name in the header, where the owner chose it.
    pub(crate) name: String,
    pub(crate) path: String,
    pub(crate) span: Range<usize>,
    pub(crate) cells: BTreeMap<String, Cell>,
    /// Every key that stands there, understood or not.
    pub(crate) keys: Vec<String>,
    pub(crate) children: Vec<Self>,
}

impl Node {
    /// How a sentence names the thing: `lead 8`, `block A1`, `rig`.
    pub(crate) fn subject(&self) -> String {
        subject(self.table, &self.name)
    }

    /// The children of a table of the schema, in file order.
    pub(crate) fn of<'a>(&'a self, path: &'a str) -> impl Iterator<Item = &'a Self> {
        self.children.iter().filter(move |c| c.table.path == path)
    }
}

fn subject(table: &Table, name: &str) -> String {
    match name {
        "" if table.path.ends_with('*') => format!("{} without a name", table.label),
        "" => table.label.to_owned(),
        name => format!("{} {name}", table.label),
    }
}

/// A name to show in a header that lacks one.
fn example_name(table: &Table) -> &'static str {
    match table.path {
        "lead.*" | "joint.*" => "1",
        "stock.cable.*" | "stock.sold.*" => "red",
        "load.*" => "fridge",
        "stage.*" => "first",
        _ => "main",
    }
}

/// Collects faults and places while reading.
pub(crate) struct Walk<'a> {
    pub(crate) lines: &'a Lines,
    pub(crate) faults: Vec<Fault>,
    pub(crate) spans: Spans,
    pub(crate) lost: &'a [String],
}

/// Where a table stands: its path in the schema's terms is in its row.
struct Spot<'a> {
    table: &'static Table,
    name: &'a str,
    path: String,
    span: Range<usize>,
}

impl Walk<'_> {
    /// Notes a trouble at a place.
    pub(crate) fn fault(&mut self, trouble: Trouble, path: &str, span: Range<usize>) {
        self.faults.push(trouble.at(path, span, self.lines));
    }

    /// The whole document.
    pub(crate) fn root(&mut self, root: &dyn TableLike) -> Node {
        // The first row of the schema is the top of the file.
        let table = &schema::rig_side::FIRST[0];
        self.table(root, Spot { table, name: "", path: String::new(), span: 0..0 })
    }

    fn table(&mut self, items: &dyn TableLike, spot: Spot<'_>) -> Node {
        let Spot { table, name, path, span } = spot;
        let mut node = Node {
            table,
            name: name.to_owned(),
            path,
            span,
            cells: BTreeMap::new(),
            keys: Vec::new(),
            children: Vec::new(),
        };
        if !node.path.is_empty() {
            self.spans.put(&node.path, node.span.clone(), self.lines);
        }
        for (key, item) in items.iter() {
            if item.is_none() {
                continue;
            }
            let key_span = items.key(key).and_then(toml_edit::Key::span).unwrap_or(0..0);
            node.keys.push(key.to_owned());
            self.entry(&mut node, key, item, key_span);
        }
        self.missing(&node);
        node
    }

    fn entry(&mut self, node: &mut Node, key: &str, item: &Item, key_span: Range<usize>) {
        let path = joined(&node.path, key);
        if let Some(field) = node.table.field(key) {
            let subject = match (node.table.path, field.key) {
                ("", _) => key.to_owned(),
                (_, "*") => format!("{} \"{key}\"", node.subject()),
                _ => format!("{}, {key}", node.subject()),
            };
            let Some(value) = item.as_value() else {
                let trouble = words::wrong_type(
                    &subject,
                    "a table",
                    "a single value",
                    &format!("Write {key} = and the value, on one line."),
                );
                return self.fault(trouble, &path, key_span);
            };
            let span = value.span().unwrap_or(key_span);
            self.spans.put(&path, span.clone(), self.lines);
            let mut reading = Reading::new(&subject, field);
            let understood = reading.value(value);
            for misread in reading.misread {
                self.faults.push(misread.trouble.at(&path, misread.span, self.lines));
            }
            if let Some(value) = understood {
                node.cells.insert(key.to_owned(), Cell { value, span });
            }
            return;
        }
        match schema::child(node.table.path, key) {
            Some(Child::Table(table)) => self.single(node, (key, table), item, key_span),
            Some(Child::Group(table)) => self.group(node, (key, table), item, key_span),
            None => self.unknown(node, key, item, key_span),
        }
    }

    fn single(
        &mut self,
        node: &mut Node,
        (key, table): (&str, &'static Table),
        item: &Item,
        span: Range<usize>,
    ) {
        let path = joined(&node.path, key);
        if let Some(list) = item.as_array_of_tables()
            && key == "bank"
        {
            for (at, one) in list.iter().enumerate() {
                let span = one.span().unwrap_or(span.clone());
                self.spans.put(&path, span.clone(), self.lines);
                let path = format!("{path}.{at}");
                let child = self.table(one, Spot { table, name: "", path, span });
                node.children.push(child);
            }
            return;
        }
        match item.as_table_like() {
            Some(items) => {
                let child = self.table(items, Spot { table, name: "", path, span });
                node.children.push(child);
            }
            None if item.is_array_of_tables() => {
                self.fault(words::not_a_list_of_tables(&path, None), &path, span);
            }
            None => self.fault(words::table_wanted(&path), &path, span),
        }
    }

    fn group(
        &mut self,
        node: &mut Node,
        (key, table): (&str, &'static Table),
        item: &Item,
        span: Range<usize>,
    ) {
        let path = joined(&node.path, key);
        let Some(items) = item.as_table_like() else {
            let trouble = if item.is_array_of_tables() {
                let first = item.as_array_of_tables().and_then(|list| list.get(0));
                let name = first.and_then(|t| t.get("name")).and_then(Item::as_str);
                words::not_a_list_of_tables(&path, name)
            } else {
                words::name_missing(&path, example_name(table))
            };
            return self.fault(trouble, &path, span);
        };
        // A group that has no header of its own stands nowhere.
        if item.as_table().is_none_or(|t| !t.is_implicit()) {
            self.spans.put(&path, span, self.lines);
        }
        let mut nameless = false;
        for (name, item) in items.iter() {
            let span = items.key(name).and_then(toml_edit::Key::span).unwrap_or(0..0);
            let path = joined(&path, name);
            match item.as_table_like() {
                Some(items) => {
                    let child = self.table(items, Spot { table, name, path, span });
                    node.children.push(child);
                }
                None if item.is_none() || nameless => {}
                None => {
                    nameless = true;
                    let group = joined(&node.path, key);
                    self.fault(words::name_missing(&group, example_name(table)), &group, span);
                }
            }
        }
    }

    fn unknown(&mut self, node: &mut Node, key: &str, item: &Item, span: Range<usize>) {
        let path = joined(&node.path, key);
        if node.table.path == "bank" && BlockId::from_text(key).is_some() {
            let row = schema::tables().find(|t| t.path == "bank.*");
            if let (Some(items), Some(table)) = (item.as_table_like(), row) {
                let child = self.table(items, Spot { table, name: key, path, span });
                node.children.push(child);
                return;
            }
            return self.fault(words::table_wanted(&path), &path, span);
        }
        if node.table.path == "bank" && item.is_table_like() && key.len() <= 3 {
            return self.fault(words::not_a_block(key), &path, span);
        }
        let tables = schema::child_words(node.table.path);
        if node.path.is_empty() {
            let inner = item
                .as_table_like()
                .and_then(|t| t.iter().find(|(_, i)| i.is_table_like()).map(|(name, _)| name));
            let names = (key, inner.unwrap_or(key));
            let trouble = words::unknown_table(names, &tables, &schema::bank_side::DEVICE_KINDS);
            return self.fault(trouble, &path, span);
        }
        let known: Vec<&str> =
            node.table.all_fields().map(|f| f.key).chain(tables.iter().copied()).collect();
        let trouble = words::unknown_key(&node.subject(), key, &known);
        // The key that was meant is not told to be missing as well.
        node.keys.extend(trouble.meant.clone());
        self.fault(trouble, &path, span);
    }

    fn missing(&mut self, node: &Node) {
        // The rig's own words have a stated fallback and are told where it is chosen.
        if node.table.path == "rig" {
            return;
        }
        for field in node.table.all_fields().filter(|f| f.required) {
            let there = node.keys.iter().any(|k| k == field.key);
            if there || syntax::spoke_of(self.lost, field.key) {
                continue;
            }
            let example = crate::reference::example(field);
            let trouble = words::missing_key(&node.subject(), field.key, &example);
            self.fault(trouble, &joined(&node.path, field.key), node.span.clone());
        }
    }
}
