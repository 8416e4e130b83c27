//! What a page is put together from: pieces of known height, and tables that may break between rows.

use super::lettering::Size;
use super::words::text;
use maud::{Markup, html};

/// Something that is not broken over two pages.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// The element.
    pub(crate) html: Markup,
    /// Height on paper, margins and all [mm].
    pub(crate) height: f64,
    /// Stands on the same page as what follows it.
    pub(crate) with_next: bool,
}

impl Piece {
    /// A piece of a known height.
    pub(crate) const fn new(html: Markup, height: f64) -> Self {
        Self { html, height, with_next: false }
    }

    /// The same, kept on the page of what follows.
    pub(crate) const fn with_next(mut self) -> Self {
        self.with_next = true;
        self
    }
}

/// How a column leans.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    /// Words.
    Left,
    /// Figures.
    Right,
}

/// A column of a table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Column {
    /// What stands over it.
    pub(crate) name: &'static str,
    /// Its part of the width; the parts of a table are added up.
    pub(crate) part: f64,
    /// How it leans.
    pub(crate) lean: Lean,
}

/// A column of words.
pub(crate) const fn words(name: &'static str, part: f64) -> Column {
    Column { name, part, lean: Lean::Left }
}

/// A column of figures.
pub(crate) const fn figures(name: &'static str, part: f64) -> Column {
    Column { name, part, lean: Lean::Right }
}

/// A cell.
#[derive(Clone, Debug)]
pub(crate) enum Cell {
    /// Plain words.
    Text(String),
    /// Bold words.
    Bold(String),
    /// Room for a hand to write.
    Write,
    /// A box to tick.
    Tick,
    /// Anything else, measured as this text.
    Made(Markup, String),
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

/// A table.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    /// Its columns.
    pub(crate) columns: Vec<Column>,
    /// Its rows.
    pub(crate) rows: Vec<Vec<Cell>>,
    /// Least height of a row [mm]; more where a hand writes in it.
    pub(crate) row_mm: f64,
}

/// Air above and below the words of a row, and its line [mm].
const ROW_AIR: f64 = 2.0;
/// Air between two columns [mm].
const COLUMN_AIR: f64 = 2.5;
/// Least height of a row in which a hand writes [mm].
const WRITE_MM: f64 = 8.0;

impl Table {
    /// A table of words and figures.
    pub(crate) const fn new(columns: Vec<Column>) -> Self {
        Self { columns, rows: Vec::new(), row_mm: 0.0 }
    }

    /// A table to fill in by hand: two questions a row, with a line to write on behind each.
    pub(crate) fn to_write(rows: &[[&str; 2]]) -> Self {
        let pair = || [words("what", 1.0), words("write", 1.4)];
        let mut table = Self::new([pair(), pair()].into_iter().flatten().collect());
        for [left, right] in rows {
            table.row(vec![(*left).into(), Cell::Write, (*right).into(), Cell::Write]);
        }
        table
    }

    /// With a row.
    pub(crate) fn row(&mut self, cells: Vec<Cell>) {
        self.rows.push(cells);
    }

    fn shares(&self) -> Vec<f64> {
        let sum: f64 = self.columns.iter().map(|c| c.part).sum();
        self.columns.iter().map(|c| c.part / sum).collect()
    }

    fn height<'a>(&self, width: f64, texts: impl Iterator<Item = &'a str>) -> f64 {
        let tallest = self
            .shares()
            .iter()
            .zip(texts)
            .map(|(share, text)| Size::Small.height(text, share * width - COLUMN_AIR))
            .fold(0.0, f64::max);
        tallest + ROW_AIR
    }

    /// Height of the head [mm].
    pub(crate) fn head_mm(&self, width: f64) -> f64 {
        self.height(width, self.columns.iter().map(|c| c.name)) + 0.5
    }

    /// Height of a row [mm].
    pub(crate) fn row_height(&self, row: &[Cell], width: f64) -> f64 {
        let texts = row.iter().map(|c| match c {
            Cell::Text(t) | Cell::Bold(t) | Cell::Made(_, t) => t.as_str(),
            Cell::Write | Cell::Tick => "",
        });
        let written = row.iter().any(|c| matches!(c, Cell::Write));
        let ticked = row.iter().any(|c| matches!(c, Cell::Tick));
        let least = if written {
            WRITE_MM
        } else if ticked {
            7.0
        } else {
            0.0
        };
        self.height(width, texts).max(least).max(self.row_mm)
    }

    /// The head as an element.
    pub(crate) fn head(&self) -> Markup {
        let shares = self.shares();
        html! {
            colgroup { @for share in &shares { col style=(format!("width:{:.2}%", share * 100.0)); } }
            thead { tr {
                @for column in &self.columns {
                    th scope="col" class=[(column.lean == Lean::Right).then_some("figure")] { (column.name) }
                }
            } }
        }
    }

    /// A row as an element.
    pub(crate) fn row_html(&self, row: &[Cell]) -> Markup {
        let tall =
            if self.row_mm > 0.0 { Some(format!("height:{:.1}mm", self.row_mm)) } else { None };
        html! {
            tr style=[tall] {
                @for (column, cell) in self.columns.iter().zip(row) {
                    td data-label=(column.name) class=(class(column, cell)) {
                        @match cell {
                            Cell::Text(t) => (text(t)),
                            Cell::Bold(t) => b { (text(t)) },
                            Cell::Write => "",
                            Cell::Tick => span.tick {},
                            Cell::Made(made, _) => (made),
                        }
                    }
                }
            }
        }
    }
}

const fn class(column: &Column, cell: &Cell) -> &'static str {
    match (column.lean, cell) {
        (_, Cell::Write) => "write",
        (_, Cell::Tick) => "ticked",
        (Lean::Right, _) => "figure",
        (Lean::Left, _) => "words",
    }
}

/// A part of a chapter.
#[derive(Clone, Debug)]
pub(crate) enum Part {
    /// Not broken.
    Piece(Piece),
    /// Broken between rows, with its head repeated.
    Table(Table),
}

impl From<Piece> for Part {
    fn from(piece: Piece) -> Self {
        Self::Piece(piece)
    }
}

impl From<Table> for Part {
    fn from(table: Table) -> Self {
        Self::Table(table)
    }
}

/// A heading inside a page.
pub(crate) fn heading(words: &str, width: f64) -> Piece {
    let height = Size::Heading.height(words, width) + 4.0;
    Piece::new(html! { h2 { (text(words)) } }, height).with_next()
}

/// A paragraph.
pub(crate) fn paragraph(words: &str, width: f64) -> Piece {
    let height = Size::Body.height(words, width) + 2.0;
    Piece::new(html! { p { (text(words)) } }, height)
}

/// A line with a box to tick.
pub(crate) fn item(words: &str, width: f64) -> Piece {
    let height = Size::Body.height(words, width - 9.0).max(6.0) + 2.0;
    Piece::new(html! { div.item { span.tick {} div { (text(words)) } } }, height)
}

/// The parts of a chapter, with paragraphs and headings as wide as the page.
#[derive(Clone, Debug)]
pub(crate) struct Parts {
    /// Width of the page [mm].
    pub(crate) width: f64,
    /// In order.
    pub(crate) all: Vec<Part>,
}

impl Parts {
    /// None yet.
    pub(crate) const fn new(width: f64) -> Self {
        Self { width, all: Vec::new() }
    }

    /// A heading.
    pub(crate) fn heading(&mut self, words: &str) {
        self.all.push(heading(words, self.width).into());
    }

    /// A paragraph.
    pub(crate) fn paragraph(&mut self, words: &str) {
        self.all.push(paragraph(words, self.width).into());
    }

    /// A line to tick.
    pub(crate) fn tick(&mut self, words: &str) {
        self.all.push(item(words, self.width).into());
    }

    /// Any part.
    pub(crate) fn push(&mut self, part: impl Into<Part>) {
        self.all.push(part.into());
    }
}
