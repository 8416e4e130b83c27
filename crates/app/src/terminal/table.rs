//! Plain tables: figures to the right, words to the left, one thin line under the head.

use comfy_table::{CellAlignment, Table};

/// Which side a column leans to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Lean {
    /// Words.
    Left,
    /// Figures, so that their units stand under each other.
    Right,
}

/// A table of the given columns.
pub(crate) fn table(columns: &[(&str, Lean)], rows: Vec<Vec<String>>) -> String {
    let mut table = Table::new();
    table.load_preset("     ──            ");
    table.set_header(columns.iter().map(|c| c.0));
    table.add_rows(rows);
    for (column, (_, lean)) in table.column_iter_mut().zip(columns) {
        column.set_padding((0, 2));
        column.set_cell_alignment(match lean {
            Lean::Left => CellAlignment::Left,
            Lean::Right => CellAlignment::Right,
        });
    }
    let mut text = String::new();
    for line in table.lines() {
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
