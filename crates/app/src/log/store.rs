//! The file of the log: opened with care, added to in whole commands, and never written over.

use super::calendar::Published;
use super::schema::{self, OURS, PARTS, VERSION};
use super::trouble::Trouble;
use super::{line, mark};
use engine::evidence::log::{Entry, Event, Log};
use rusqlite::{Connection, OptionalExtension, Transaction, TransactionBehavior, params};
use std::collections::{BTreeMap, BTreeSet};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How long to wait while another process writes.
const WAIT: Duration = Duration::from_secs(20);

/// The start of every database of this kind.
const MAGIC: &[u8] = b"SQLite format 3\0";

/// An entry as it stands in the file.
#[derive(Clone, Debug)]
pub(crate) struct Stored {
    /// The entry.
    pub(crate) entry: Entry,
    /// Its name in every copy of the log.
    pub(crate) mark: String,
    /// The command it came with.
    pub(crate) command: i64,
}

/// What a command added.
#[derive(Clone, Debug, Default)]
pub(crate) struct Added {
    /// Numbers of the new entries.
    pub(crate) ids: Vec<i64>,
    /// How many were there already.
    pub(crate) known: usize,
}

/// An open log.
#[derive(Debug)]
pub(crate) struct Store {
    db: Connection,
}

/// Where the log of a design lies: `my-rig.log.sqlite` beside `my-rig.toml`.
pub(crate) fn beside(rig: &Path) -> PathBuf {
    rig.with_extension("log.sqlite")
}

impl Store {
    /// The log, where there is one.
    pub(crate) fn open(path: &Path) -> Result<Option<Self>, Trouble> {
        if !path.exists() {
            return Ok(None);
        }
        Self::open_or_make(path).map(Some)
    }

    /// The log; it is made where there is none.
    pub(crate) fn open_or_make(path: &Path) -> Result<Self, Trouble> {
        // Looked at before anything is opened, so that a file that is not ours keeps every byte.
        look(path)?;
        let mut db = Connection::open(path)?;
        db.busy_timeout(WAIT)?;
        let form = form_of(&mut db)?;
        db.pragma_update(None, "synchronous", "FULL")?;
        if form < VERSION {
            let name = format!("{:032x}", mark::hash(birth(path).as_bytes()));
            schema::bring_to(&mut db, VERSION, &name)?;
        }
        // Only now: the head of the file itself already says whose it is.
        in_wal(&db)?;
        db.pragma_update(None, "foreign_keys", true)?;
        let store = Self { db };
        store.has_all_parts()?;
        Ok(store)
    }

    /// The name of the log, the same for as long as the file lives.
    pub(crate) fn name(&self) -> Result<String, Trouble> {
        Ok(self.db.query_row("SELECT name FROM identity", [], |row| row.get(0))?)
    }

    /// Every entry ever made, in order of the numbers.
    pub(crate) fn stored(&self) -> Result<Vec<Stored>, Trouble> {
        stored(&self.db)
    }

    /// The log as the engine reads it.
    pub(crate) fn log(&self) -> Result<Log, Trouble> {
        Ok(Log { entries: self.stored()?.into_iter().map(|s| s.entry).collect() })
    }

    /// Adds entries, all of them or none. When it returns they are on the disk.
    pub(crate) fn add(
        &mut self,
        word: &str,
        made: &str,
        entries: &[Entry],
    ) -> Result<Vec<i64>, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut ids = Vec::with_capacity(entries.len());
        let command = command(&work, word, made)?;
        for entry in entries {
            ids.push(put(&work, command, entry)?);
        }
        work.commit()?;
        Ok(ids)
    }

    /// Adds those entries that are not in the log yet, all or none. What was corrected or taken
    /// back since counts as known.
    pub(crate) fn add_new(
        &mut self,
        word: &str,
        made: &str,
        entries: &[Entry],
    ) -> Result<Added, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut added = Added::default();
        let mut new: Vec<&Entry> = Vec::new();
        let mut seen = BTreeSet::new();
        for entry in entries {
            let mark = mark::of(&line::of(entry), None, 0);
            if has_mark(&work, &mark)? || !seen.insert(mark) {
                added.known += 1;
            } else {
                new.push(entry);
            }
        }
        if !new.is_empty() {
            let command = command(&work, word, made)?;
            for entry in new {
                added.ids.push(put(&work, command, entry)?);
            }
        }
        work.commit()?;
        Ok(added)
    }

    /// Adds the entries of a copy of a log that are not in this one yet, all or none. Each comes
    /// with its mark and with the mark of the entry it corrects.
    pub(crate) fn add_copies(
        &mut self,
        word: &str,
        made: &str,
        copies: &[Copied],
    ) -> Result<Added, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let mut added = Added::default();
        let mut number: Option<i64> = None;
        for copy in copies {
            if has_mark(&work, &copy.mark)? {
                added.known += 1;
                continue;
            }
            let mut entry = copy.entry.clone();
            if let Some(earlier) = &copy.corrects {
                let found = id_of(&work, earlier)?;
                entry.corrects = Some(found.ok_or_else(|| Trouble::Orphan(line::of(&entry)))?);
            }
            let command = match number {
                Some(number) => number,
                None => *number.insert(command(&work, word, made)?),
            };
            added.ids.push(put_as(&work, command, &entry, &copy.mark)?);
        }
        work.commit()?;
        Ok(added)
    }

    /// Takes back the latest command that still stands; `None` when there is nothing to take back.
    pub(crate) fn take_back(&mut self, made: &str) -> Result<Option<Vec<Entry>>, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let all = stored(&work)?;
        let acting = acting(&all);
        let last = all
            .iter()
            .filter(|s| s.entry.event != Event::Withdrawn && acting.contains(&s.entry.id))
            .map(|s| s.command)
            .max();
        let Some(last) = last else { return Ok(None) };
        let of_it = |s: &&Stored| s.command == last && acting.contains(&s.entry.id);
        let back: Vec<Entry> = all.iter().filter(of_it).map(|s| s.entry.clone()).collect();
        withdraw(&work, made, &back)?;
        work.commit()?;
        Ok(Some(back))
    }

    /// Brings back what the latest undo took; `None` when nothing was taken back.
    pub(crate) fn bring_back(&mut self, made: &str) -> Result<Option<Vec<Entry>>, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let all = stored(&work)?;
        let acting = acting(&all);
        let of_undo = |s: &&Stored| {
            s.entry.event == Event::Withdrawn
                && acting.contains(&s.entry.id)
                && of_withdrawn(&all, s)
        };
        let Some(last) = all.iter().filter(of_undo).map(|s| s.command).max() else {
            return Ok(None);
        };
        let undone: Vec<Entry> = all
            .iter()
            .filter(|s| s.command == last && of_undo(s))
            .map(|s| s.entry.clone())
            .collect();
        withdraw(&work, made, &undone)?;
        work.commit()?;
        let ids: BTreeSet<i64> = undone.iter().filter_map(|e| e.corrects).collect();
        Ok(Some(all.into_iter().map(|s| s.entry).filter(|e| ids.contains(&e.id)).collect()))
    }

    /// Takes back one entry.
    pub(crate) fn take_back_one(&mut self, made: &str, id: i64) -> Result<Option<Entry>, Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        let all = stored(&work)?;
        let Some(found) = all.iter().find(|s| s.entry.id == id) else {
            return Err(Trouble::NoEntry(id));
        };
        if found.entry.event == Event::Withdrawn || !acting(&all).contains(&id) {
            return Ok(None);
        }
        withdraw(&work, made, std::slice::from_ref(&found.entry))?;
        work.commit()?;
        Ok(Some(found.entry.clone()))
    }

    /// The mapping remembered for a spreadsheet with these headers.
    pub(crate) fn mapping(&self, headers: &str) -> Result<Option<String>, Trouble> {
        let found =
            self.db.query_row("SELECT columns FROM mapping WHERE headers = ?1", [headers], |row| {
                row.get(0)
            });
        Ok(found.optional()?)
    }

    /// Remembers a mapping.
    pub(crate) fn remember(&self, headers: &str, columns: &str) -> Result<(), Trouble> {
        self.db.execute(
            "INSERT INTO mapping (headers, columns) VALUES (?1, ?2)
             ON CONFLICT (headers) DO UPDATE SET columns = excluded.columns",
            [headers, columns],
        )?;
        Ok(())
    }

    /// What was put into calendars last.
    pub(crate) fn published(&self) -> Result<Vec<Published>, Trouble> {
        let mut query =
            self.db.prepare("SELECT id, what, day, sequence FROM published ORDER BY id")?;
        let rows = query.query_map([], |row| {
            Ok(Published {
                id: row.get(0)?,
                what: row.get(1)?,
                day: row.get(2)?,
                sequence: row.get(3)?,
            })
        })?;
        Ok(rows.collect::<rusqlite::Result<_>>()?)
    }

    /// Remembers what was put into calendars; what is not among it is cancelled there.
    pub(crate) fn publish(&mut self, all: &[Published]) -> Result<(), Trouble> {
        let work = self.db.transaction_with_behavior(TransactionBehavior::Immediate)?;
        work.execute("UPDATE published SET sequence = 0", [])?;
        for one in all {
            work.execute(
                "INSERT INTO published (id, what, day, sequence) VALUES (?1, ?2, ?3, ?4)
                 ON CONFLICT (id) DO UPDATE SET
                   what = excluded.what, day = excluded.day, sequence = excluded.sequence",
                params![one.id, one.what, one.day, one.sequence],
            )?;
        }
        work.commit()?;
        Ok(())
    }

    /// Looks through the whole file; the number of entries that were read.
    pub(crate) fn check(&self) -> Result<usize, Trouble> {
        let says: Vec<String> = self
            .db
            .prepare("PRAGMA integrity_check(8)")?
            .query_map([], |row| row.get(0))?
            .collect::<rusqlite::Result<_>>()?;
        if says != ["ok"] {
            return Err(Trouble::Broken(says.join("; ")));
        }
        let all = self.stored()?;
        let marks: BTreeMap<i64, &str> =
            all.iter().map(|s| (s.entry.id, s.mark.as_str())).collect();
        for one in &all {
            let earlier = one.entry.corrects.and_then(|id| marks.get(&id).copied());
            let line = line::of(&one.entry);
            let fits = (0..=all.len()).any(|same| {
                u32::try_from(same).is_ok_and(|same| mark::of(&line, earlier, same) == one.mark)
            });
            if !fits {
                return Err(Trouble::Broken(format!(
                    "entry {} is not as it was kept",
                    one.entry.id
                )));
            }
        }
        Ok(all.len())
    }

    fn has_all_parts(&self) -> Result<(), Trouble> {
        let there: BTreeSet<String> = self
            .db
            .prepare("SELECT name FROM sqlite_schema")?
            .query_map([], |row| row.get(0))?
            .collect::<rusqlite::Result<_>>()?;
        match PARTS.iter().find(|part| !there.contains(**part)) {
            None => Ok(()),
            Some(part) => Err(Trouble::Broken(format!("its part \"{part}\" is not there"))),
        }
    }
}

/// An entry of a copy of a log.
#[derive(Clone, Debug)]
pub(crate) struct Copied {
    /// The entry, without what it corrects.
    pub(crate) entry: Entry,
    /// Its mark.
    pub(crate) mark: String,
    /// The mark of the entry it corrects.
    pub(crate) corrects: Option<String>,
}

/// Whose file it is, by its first bytes.
fn look(path: &Path) -> Result<(), Trouble> {
    let mut head = Vec::new();
    match std::fs::File::open(path) {
        Ok(file) => {
            let read = file.take(100).read_to_end(&mut head);
            read.map_err(|_| Trouble::NotADatabase)?;
        }
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
        // Whatever else is wrong, opening it will say so.
        Err(_) => return Ok(()),
    }
    if head.is_empty() {
        return Ok(());
    }
    if head.len() < 100 || !head.starts_with(MAGIC) {
        return Err(Trouble::NotADatabase);
    }
    let number = |at: usize| {
        let bytes = head.get(at..at + 4).and_then(|b| <[u8; 4]>::try_from(b).ok());
        bytes.map_or(0, i32::from_be_bytes)
    };
    let (form, owner) = (number(60), number(68));
    match owner {
        0 if form == 0 => Ok(()),
        OURS if VERSION < form => Err(Trouble::Newer(form)),
        OURS => Ok(()),
        _ => Err(Trouble::Foreign),
    }
}

/// The form of a file that is ours, or empty.
fn form_of(db: &mut Connection) -> Result<i32, Trouble> {
    // One look: another process may be making the file right now.
    let look = db.transaction()?;
    let form = schema::version(&look)?;
    let tables: bool =
        look.query_row("SELECT EXISTS (SELECT 1 FROM sqlite_schema)", [], |row| row.get(0))?;
    match form {
        0 if tables => Err(Trouble::Foreign),
        form if VERSION < form => Err(Trouble::Newer(form)),
        form => Ok(form),
    }
}

/// What sets this log apart from every other: where and when it was begun.
fn birth(path: &Path) -> String {
    let now = jiff::Timestamp::now().as_nanosecond();
    format!("{}\n{now}\n{}", path.display(), std::process::id())
}

/// Writers and readers do not wait for each other. Two that switch at the same time do.
fn in_wal(db: &Connection) -> Result<(), Trouble> {
    let mut last = Ok(String::new());
    for _ in 0..200 {
        last = db.query_row("PRAGMA journal_mode = WAL", [], |row| row.get::<_, String>(0));
        match &last {
            Ok(mode) if mode == "wal" => return Ok(()),
            _ => std::thread::sleep(Duration::from_millis(10)),
        }
    }
    last.map(drop).map_err(Trouble::from)
}

fn stored(db: &Connection) -> Result<Vec<Stored>, Trouble> {
    let mut query =
        db.prepare_cached("SELECT id, mark, command, line, corrects FROM entry ORDER BY id")?;
    let mut rows = query.query([])?;
    let mut all = Vec::new();
    while let Some(row) = rows.next()? {
        let id: i64 = row.get(0)?;
        let text = row.get_ref(3)?.as_str().map_err(|e| Trouble::Broken(e.to_string()))?;
        let mut entry =
            line::read(text).map_err(|says| Trouble::Broken(format!("entry {id}: {says}")))?;
        entry.id = id;
        entry.corrects = row.get(4)?;
        all.push(Stored { entry, mark: row.get(1)?, command: row.get(2)? });
    }
    Ok(all)
}

fn command(work: &Transaction<'_>, word: &str, made: &str) -> Result<i64, Trouble> {
    work.execute("INSERT INTO command (word, made) VALUES (?1, ?2)", [word, made])?;
    Ok(work.last_insert_rowid())
}

fn put(work: &Transaction<'_>, command: i64, entry: &Entry) -> Result<i64, Trouble> {
    let earlier: Option<String> = match entry.corrects {
        None => None,
        Some(id) => {
            let mut mark = work.prepare_cached("SELECT mark FROM entry WHERE id = ?1")?;
            let found = mark.query_row([id], |row| row.get(0)).optional()?;
            Some(found.ok_or(Trouble::NoEntry(id))?)
        }
    };
    let mark = schema::free_mark(work, "entry", &line::of(entry), earlier.as_deref())?;
    put_as(work, command, entry, &mark)
}

/// Puts an entry in under a mark that nobody has.
fn put_as(work: &Transaction<'_>, command: i64, entry: &Entry, mark: &str) -> Result<i64, Trouble> {
    let mut put = work.prepare_cached(
        "INSERT INTO entry (mark, command, line, corrects) VALUES (?1, ?2, ?3, ?4)",
    )?;
    put.execute(params![mark, command, line::of(entry), entry.corrects])?;
    Ok(work.last_insert_rowid())
}

fn has_mark(work: &Transaction<'_>, mark: &str) -> Result<bool, Trouble> {
    Ok(work.prepare_cached("SELECT 1 FROM entry WHERE mark = ?1")?.exists([mark])?)
}

fn id_of(work: &Transaction<'_>, mark: &str) -> Result<Option<i64>, Trouble> {
    let mut query = work.prepare_cached("SELECT id FROM entry WHERE mark = ?1")?;
    Ok(query.query_row([mark], |row| row.get(0)).optional()?)
}

/// The entries that no later one takes back.
fn acting(all: &[Stored]) -> BTreeSet<i64> {
    let mut acting = BTreeSet::new();
    let mut withdrawn = BTreeSet::new();
    for one in all.iter().rev() {
        if withdrawn.contains(&one.entry.id) {
            continue;
        }
        acting.insert(one.entry.id);
        if one.entry.event == Event::Withdrawn {
            withdrawn.extend(one.entry.corrects);
        }
    }
    acting
}

/// A withdrawal of something that was itself no withdrawal.
fn of_withdrawn(all: &[Stored], one: &Stored) -> bool {
    let target = |id| all.iter().find(|s| s.entry.id == id);
    one.entry.corrects.and_then(target).is_some_and(|s| s.entry.event != Event::Withdrawn)
}

fn withdraw(work: &Transaction<'_>, made: &str, entries: &[Entry]) -> Result<(), Trouble> {
    let command = command(work, "undo", made)?;
    // The latest first, so that what stands on another goes before it.
    for entry in entries.iter().rev() {
        let back = Entry {
            id: 0,
            at: entry.at,
            subject: entry.subject.clone(),
            event: Event::Withdrawn,
            note: String::new(),
            corrects: Some(entry.id),
        };
        put(work, command, &back)?;
    }
    Ok(())
}
