//! What the log's file looks like inside, and how an older one becomes a newer one.
//!
//! A step is one transaction: it is done whole or not at all. A file of a newer program is left
//! alone.

use super::mark;
use rusqlite::{Connection, Transaction, params};

/// The form that this program writes.
pub(crate) const VERSION: i32 = 2;

/// Tells our file from any other of its kind: "BWLG".
pub(crate) const OURS: i32 = 0x4257_4c47;

/// What must be there in a file of the present form.
pub(crate) const PARTS: [&str; 9] = [
    "command",
    "command_stays",
    "command_stays_as_it_is",
    "entry",
    "entry_stays",
    "entry_stays_as_it_is",
    "identity",
    "mapping",
    "published",
];

/// The first form: an entry is a line, and what it corrects.
const FIRST: &str = "
CREATE TABLE entry (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  line TEXT NOT NULL,
  corrects INTEGER REFERENCES entry (id)
) STRICT;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the log is never taken out'); END;
CREATE TRIGGER entry_stays_as_it_is BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the log is never changed'); END;
";

/// The second form: entries have marks that stay theirs in a copy, and know with which others they
/// came; the log has a name, mappings of spreadsheets, and knows what it put into calendars.
const SECOND: &str = "
CREATE TABLE command (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  word TEXT NOT NULL,
  made TEXT NOT NULL
) STRICT;
CREATE TABLE entry_2 (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  mark TEXT NOT NULL UNIQUE,
  command INTEGER NOT NULL REFERENCES command (id),
  line TEXT NOT NULL,
  corrects INTEGER REFERENCES entry_2 (id)
) STRICT;
CREATE TABLE identity (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  name TEXT NOT NULL
) STRICT;
CREATE TABLE mapping (
  headers TEXT PRIMARY KEY,
  columns TEXT NOT NULL
) STRICT;
CREATE TABLE published (
  id TEXT PRIMARY KEY,
  what TEXT NOT NULL,
  day TEXT NOT NULL,
  sequence INTEGER NOT NULL
) STRICT;
";

const SECOND_ENDS: &str = "
DROP TABLE entry;
ALTER TABLE entry_2 RENAME TO entry;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the log is never taken out'); END;
CREATE TRIGGER entry_stays_as_it_is BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the log is never changed'); END;
CREATE TRIGGER command_stays BEFORE DELETE ON command
BEGIN SELECT RAISE(ABORT, 'a command of the log is never taken out'); END;
CREATE TRIGGER command_stays_as_it_is BEFORE UPDATE ON command
BEGIN SELECT RAISE(ABORT, 'a command of the log is never changed'); END;
";

/// The form of an open file.
pub(crate) fn version(db: &Connection) -> rusqlite::Result<i32> {
    db.pragma_query_value(None, "user_version", |row| row.get(0))
}

/// Brings a file of any older form, an empty one included, to the form asked for.
///
/// `name` is what a log without a name is called from now on.
pub(crate) fn bring_to(db: &mut Connection, form: i32, name: &str) -> rusqlite::Result<()> {
    // A table that others refer to is put in place of another; the copy keeps every reference.
    db.pragma_update(None, "foreign_keys", false)?;
    let work = db.transaction_with_behavior(rusqlite::TransactionBehavior::Immediate)?;
    // Another process may have been faster.
    let there = version(&work)?;
    for step in there..form {
        match step {
            0 => first(&work)?,
            _ => second(&work, name)?,
        }
    }
    if there < form {
        work.pragma_update(None, "application_id", OURS)?;
        work.pragma_update(None, "user_version", form)?;
    }
    work.commit()?;
    db.pragma_update(None, "foreign_keys", true)
}

fn first(work: &Transaction<'_>) -> rusqlite::Result<()> {
    work.execute_batch(FIRST)
}

fn second(work: &Transaction<'_>, name: &str) -> rusqlite::Result<()> {
    work.execute_batch(SECOND)?;
    work.execute("INSERT INTO identity (only, name) VALUES (1, ?1)", [name])?;
    let rows: Vec<(i64, String, Option<i64>)> = work
        .prepare("SELECT id, line, corrects FROM entry ORDER BY id")?
        .query_map([], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
        .collect::<rusqlite::Result<_>>()?;
    for (id, line, corrects) in rows {
        let of_earlier = |id: i64| {
            work.query_row("SELECT mark FROM entry_2 WHERE id = ?1", [id], |row| row.get(0))
        };
        let earlier: Option<String> = corrects.map(of_earlier).transpose()?;
        let mark = free_mark(work, "entry_2", &line, earlier.as_deref())?;
        // Nobody wrote down with which others an old entry came: each stands by itself.
        work.execute("INSERT INTO command (word, made) VALUES ('add', '')", [])?;
        work.execute(
            "INSERT INTO entry_2 (id, mark, command, line, corrects) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![id, mark, work.last_insert_rowid(), line, corrects],
        )?;
    }
    work.execute_batch(SECOND_ENDS)
}

/// The mark of one more entry of this text: the first that no other has.
pub(crate) fn free_mark(
    work: &Connection,
    table: &str,
    line: &str,
    corrects: Option<&str>,
) -> rusqlite::Result<String> {
    let mut known = work.prepare_cached(&format!("SELECT 1 FROM {table} WHERE mark = ?1"))?;
    for same in 0..u32::MAX {
        let mark = mark::of(line, corrects, same);
        if !known.exists([&mark])? {
            return Ok(mark);
        }
    }
    Err(rusqlite::Error::QueryReturnedNoRows)
}
