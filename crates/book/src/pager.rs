//! Puts the parts of a chapter on sheets: nothing is cut, a heading never stands alone at the foot of
//! a page, a table that goes over carries its head along.

use super::part::{Part, Piece, Table};
use maud::{Markup, html};

/// One job, table or card; it begins on a page of its own.
#[derive(Clone, Debug)]
pub(crate) struct Chapter {
    /// By which other pages turn to it.
    pub(crate) anchor: String,
    /// The big number, where it has one.
    pub(crate) number: Option<u32>,
    /// Its title.
    pub(crate) title: String,
    /// What kind of page it is, for the style sheet.
    pub(crate) kind: &'static str,
    /// Words at the right of its head, under the rig and stage.
    pub(crate) corner: String,
    /// What stands again at the head of each further side.
    pub(crate) over: Option<Piece>,
    /// What stands on it.
    pub(crate) parts: Vec<Part>,
}

/// One side of paper.
#[derive(Clone, Debug)]
pub(crate) struct Sheet {
    /// The chapter's anchor, on its first sheet.
    pub(crate) anchor: Option<String>,
    /// The big number.
    pub(crate) number: Option<u32>,
    /// Its title, with "continued" on later sheets.
    pub(crate) title: String,
    /// What kind of page it is.
    pub(crate) kind: &'static str,
    /// Words at the right of its head.
    pub(crate) corner: String,
    /// What stands on it.
    pub(crate) body: Markup,
    /// Height that is used [mm].
    pub(crate) used: f64,
}

/// A piece or a row, with what it belongs to.
struct Atom<'a> {
    html: Markup,
    height: f64,
    with_next: bool,
    table: Option<(usize, &'a Table)>,
}

/// The sheets of a chapter on pages of this width and height.
pub(crate) fn sheets(chapter: &Chapter, width: f64, height: f64) -> Vec<Sheet> {
    let atoms = atoms(chapter, width);
    let mut stack = Stack { pages: vec![Vec::new()], used: vec![0.0], chapter, width, height };
    let mut at = 0;
    while at < atoms.len() {
        let end = run_end(&atoms, at);
        stack.make_room(&atoms[at..end]);
        for atom in &atoms[at..end] {
            // A run taller than a page is broken all the same; each atom by itself is not.
            stack.make_room(std::slice::from_ref(atom));
            stack.put(atom);
        }
        at = end;
    }
    let whole = stack.pages.iter().zip(&stack.used).enumerate();
    whole.map(|(index, (page, used))| sheet(chapter, index, page, *used)).collect()
}

/// The pages of a chapter as they fill.
struct Stack<'a> {
    pages: Vec<Vec<&'a Atom<'a>>>,
    used: Vec<f64>,
    chapter: &'a Chapter,
    width: f64,
    height: f64,
}

impl<'a> Stack<'a> {
    fn last(&self) -> &[&'a Atom<'a>] {
        self.pages.last().map_or(&[][..], Vec::as_slice)
    }

    fn used(&self) -> f64 {
        self.used.last().copied().unwrap_or(0.0)
    }

    /// Turns over where these would run past the foot; an empty page takes anything.
    fn make_room(&mut self, run: &[Atom<'_>]) {
        let need = run_height(run, self.last(), self.width);
        if self.used() + need > self.height && !self.last().is_empty() {
            self.pages.push(Vec::new());
            self.used.push(self.chapter.over.as_ref().map_or(0.0, |o| o.height));
        }
    }

    fn put(&mut self, atom: &'a Atom<'a>) {
        let need = run_height(std::slice::from_ref(atom), self.last(), self.width);
        if let (Some(page), Some(used)) = (self.pages.last_mut(), self.used.last_mut()) {
            page.push(atom);
            *used += need;
        }
    }
}

fn sheet(chapter: &Chapter, index: usize, page: &[&Atom<'_>], used: f64) -> Sheet {
    let title = if index == 0 || chapter.title.ends_with(", continued") {
        chapter.title.clone()
    } else {
        format!("{}, continued", chapter.title)
    };
    Sheet {
        anchor: (index == 0).then(|| chapter.anchor.clone()),
        number: chapter.number,
        title,
        kind: chapter.kind,
        corner: chapter.corner.clone(),
        body: html! {
            @if let Some(over) = chapter.over.as_ref().filter(|_| index > 0) { (over.html) }
            (body(page))
        },
        used,
    }
}

fn atoms(chapter: &Chapter, width: f64) -> Vec<Atom<'_>> {
    let mut atoms = Vec::new();
    for (index, part) in chapter.parts.iter().enumerate() {
        match part {
            Part::Piece(piece) => atoms.push(Atom {
                html: piece.html.clone(),
                height: piece.height,
                with_next: piece.with_next,
                table: None,
            }),
            Part::Table(table) => {
                let rows = table.rows.len();
                for (number, row) in table.rows.iter().enumerate() {
                    // The first two rows and the last two stay together: no lone row.
                    let pair = rows > 1 && (number == 0 || number + 2 == rows);
                    atoms.push(Atom {
                        html: table.row_html(row),
                        height: table.row_height(row, width),
                        with_next: pair,
                        table: Some((index, table)),
                    });
                }
            }
        }
    }
    atoms
}

/// One past the last atom that must stand on the same page as this one.
fn run_end(atoms: &[Atom<'_>], at: usize) -> usize {
    let mut end = at;
    while end + 1 < atoms.len() && atoms[end].with_next {
        end += 1;
    }
    end + 1
}

/// Air under a table [mm].
const TABLE_AIR: f64 = 3.0;

/// Height of some atoms after what stands on the page already: a table that begins brings its head.
fn run_height(run: &[Atom<'_>], page: &[&Atom<'_>], width: f64) -> f64 {
    let mut open = page.last().and_then(|a| a.table).map(|t| t.0);
    let mut height = 0.0;
    for atom in run {
        if let Some((index, table)) = atom.table {
            if open != Some(index) {
                height += table.head_mm(width) + TABLE_AIR;
            }
            open = Some(index);
        } else {
            open = None;
        }
        height += atom.height;
    }
    height
}

/// Atoms in a row that stand in one table, or outside any.
struct Run<'a> {
    table: Option<(usize, &'a Table)>,
    atoms: Vec<&'a Markup>,
}

fn body(page: &[&Atom<'_>]) -> Markup {
    let mut runs: Vec<Run<'_>> = Vec::new();
    for atom in page {
        let index = atom.table.map(|t| t.0);
        match runs.last_mut() {
            Some(run) if index.is_some() && run.table.map(|t| t.0) == index => {
                run.atoms.push(&atom.html);
            }
            _ => runs.push(Run { table: atom.table, atoms: vec![&atom.html] }),
        }
    }
    html! {
        @for run in &runs {
            @if let Some((_, table)) = run.table {
                table { (table.head()) tbody { @for row in &run.atoms { (row) } } }
            } @else {
                @for piece in &run.atoms { (piece) }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Chapter, sheets};
    use crate::part::{Cell, Part, Piece, Table, words};
    use maud::html;

    fn chapter(parts: Vec<Part>) -> Chapter {
        Chapter {
            anchor: "a".to_owned(),
            number: None,
            title: "Parts".to_owned(),
            kind: "test",
            corner: String::new(),
            over: None,
            parts,
        }
    }

    fn piece(height: f64) -> Piece {
        Piece::new(html! { p { "x" } }, height)
    }

    #[test]
    fn a_heading_goes_over_with_what_it_heads() {
        let parts = vec![piece(90.0).into(), piece(5.0).with_next().into(), piece(20.0).into()];
        let sheets = sheets(&chapter(parts), 180.0, 100.0);
        let used: Vec<f64> = sheets.iter().map(|s| s.used).collect();
        assert_eq!(used, [90.0, 25.0], "the heading does not stay alone at the foot");
        assert_eq!(sheets[1].title, "Parts, continued", "and the second side says so");
    }

    #[test]
    fn a_long_table_repeats_its_head_and_leaves_no_lone_row() {
        let mut table = Table::new(vec![words("lead", 1.0)]);
        for number in 0..21 {
            table.row(vec![Cell::Text(number.to_string())]);
        }
        // A row is 4.6 + 2 mm, the head 7.1 and the air 3: twenty rows fill 142.1 mm.
        let sheets = sheets(&chapter(vec![table.into()]), 180.0, 143.0);
        let rows = |i: usize| sheets[i].body.0.matches("<td").count();
        assert_eq!((rows(0), rows(1)), (19, 2), "two rows go over, not one");
        assert!(sheets.iter().all(|s| s.body.0.contains("<th")), "the head is on both");
        assert!(sheets.iter().all(|s| s.used <= 143.0), "nothing runs over");
    }
}
