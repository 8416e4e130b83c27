//! A spreadsheet made by hand: rows of one sitting each, columns of anything.
//!
//! `table` reads the file, `columns` says what each column holds, `rows` makes entries of it.

pub(crate) mod dates;
pub(crate) mod table;
pub(crate) mod columns;
pub(crate) mod rows;
