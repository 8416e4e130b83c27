//! The file of the log: nothing that was acknowledged is ever lost, whatever is killed; older
//! files become newer ones; newer and foreign ones are left alone.

#![expect(clippy::disallowed_methods, reason = "this test runs the program and reads its files")]

mod bankwright;

use bankwright::{demo_rig, log, run_in, well};
use rusqlite::Connection;
use std::collections::BTreeSet;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;
use tempfile::TempDir;

const LOG: &str = "rig.log.sqlite";

fn open(folder: &TempDir) -> Connection {
    Connection::open(folder.path().join(LOG)).expect("the log opens")
}

fn ids(db: &Connection) -> BTreeSet<i64> {
    let mut query = db.prepare("SELECT id FROM entry").expect("the table is there");
    let rows = query.query_map([], |row| row.get(0)).expect("it can be read");
    rows.collect::<rusqlite::Result<_>>().expect("numbers")
}

/// Numbers that look random and are the same each time: the multiplier and increment of a 64-bit
/// linear congruential generator.
struct Chance(u64);

impl Chance {
    fn below(&mut self, most: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// Writes to make in all.
const WRITES: usize = 1000;

/// One writer: it is fed entries, its acknowledgements are noted, and now and then it is killed.
/// Returns how often.
fn writer(folder: &Path, who: u64, done: &AtomicUsize, kept: &Mutex<BTreeSet<i64>>) -> usize {
    let mut chance = Chance(who);
    let mut kills = 0;
    while done.load(Ordering::SeqCst) < WRITES {
        let mut child = started(folder);
        let pipe = child.stdin.take().expect("its input is a pipe");
        let feeder = std::thread::spawn(move || feed(pipe, who));
        let out = BufReader::new(child.stdout.take().expect("its output is a pipe"));
        let mut lines = out.lines();
        // The first lines come late, since the program starts; then the knife falls anywhere within
        // some writes.
        let acknowledged = 1 + chance.below(14);
        for _ in 0..acknowledged {
            let Some(Ok(line)) = lines.next() else { break };
            note(&line, done, kept);
        }
        std::thread::sleep(Duration::from_micros(chance.below(6000)));
        child.kill().expect("it can be killed");
        // What it said before it died counts.
        for line in lines.map_while(Result::ok) {
            note(&line, done, kept);
        }
        child.wait().expect("it ends");
        kills += 1;
        drop(feeder.join());
        sound(folder, &kept.lock().expect("nobody panicked"));
    }
    kills
}

fn started(folder: &Path) -> Child {
    Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .args(["log", "rig.toml", "--today", "2026-06-01", "add", "--lines"])
        .current_dir(folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program was built beside this test")
}

fn feed(mut pipe: impl Write, who: u64) {
    for count in 0..200_u64 {
        let line = format!("gravity A1.{} 1.2{:02} 68 F\n", 1 + (who + count) % 3, count % 90);
        if pipe.write_all(line.as_bytes()).is_err() {
            return;
        }
    }
}

fn note(line: &str, done: &AtomicUsize, kept: &Mutex<BTreeSet<i64>>) {
    // A line cut off by the knife is no acknowledgement; numbers have no leading part that could be
    // mistaken, since the line is only whole with its end.
    let Ok(id) = line.trim().parse() else { return };
    kept.lock().expect("nobody panicked").insert(id);
    done.fetch_add(1, Ordering::SeqCst);
}

fn sound(folder: &Path, kept: &BTreeSet<i64>) {
    let db = Connection::open(folder.join(LOG)).expect("the log opens");
    db.busy_timeout(Duration::from_secs(20)).expect("it waits");
    let says: String =
        db.query_row("PRAGMA integrity_check", [], |row| row.get(0)).expect("it can be checked");
    assert_eq!(says, "ok", "the file is whole");
    let there = ids(&db);
    let lost: Vec<&i64> = kept.difference(&there).collect();
    assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
}

#[test]
fn two_writers_are_killed_again_and_again_and_nothing_acknowledged_is_lost() {
    let folder = demo_rig("alder-fen");
    let (done, kept) = (AtomicUsize::new(0), Mutex::new(BTreeSet::new()));
    let kills: Vec<usize> = std::thread::scope(|scope| {
        let handles = [1, 2].map(|who| {
            scope.spawn({
                let (d, k, f) = (&done, &kept, folder.path());
                move || writer(f, who, d, k)
            })
        });
        handles.into_iter().map(|h| h.join().expect("a writer ends by itself")).collect()
    });
    assert!(kills.iter().all(|k| 10 < *k), "both were killed often: {kills:?}");
    let kept = kept.into_inner().expect("nobody panicked");
    assert!(WRITES <= kept.len(), "every acknowledgement was of its own entry: {}", kept.len());
    sound(folder.path(), &kept);
    let check = well(&folder, &["check"]);
    assert!(check.contains("is sound"), "{check}");
}

/// The first form of the file, as its program made it.
fn first_form(folder: &TempDir) {
    let db = open(folder);
    db.execute_batch(
        "CREATE TABLE entry (
           id INTEGER PRIMARY KEY AUTOINCREMENT,
           line TEXT NOT NULL,
           corrects INTEGER REFERENCES entry (id)
         ) STRICT;
         CREATE TRIGGER entry_stays BEFORE DELETE ON entry
         BEGIN SELECT RAISE(ABORT, 'an entry of the log is never taken out'); END;
         CREATE TRIGGER entry_stays_as_it_is BEFORE UPDATE ON entry
         BEGIN SELECT RAISE(ABORT, 'an entry of the log is never changed'); END;
         PRAGMA application_id = 0x42574C47;
         PRAGMA user_version = 1;
         INSERT INTO entry (line, corrects) VALUES
           ('2021-05-03 09:00, A1.2, gravity, 1.265, fluid 20 C', NULL),
           ('2021-05-03 09:05, A1, water, 120 cm3', NULL),
           ('2021-05-03 09:05, A1, water, 120 cm3', NULL),
           ('2021-05-03 09:00, A1.2, gravity, 1.256, fluid 20 C', 1);",
    )
    .expect("the first form can be made");
}

#[test]
fn an_older_log_becomes_a_newer_one_and_keeps_every_entry() {
    let folder = demo_rig("alder-fen");
    first_form(&folder);
    let shown = well(&folder, &["show", "--all"]);
    for part in ["1.265", "1.256", "water"] {
        assert!(shown.contains(part), "{part} in {shown}");
    }
    let standing = well(&folder, &["export"]);
    assert_eq!(standing.lines().count(), 5, "a header and four entries: {standing}");
    let db = open(&folder);
    let form: i32 = db.pragma_query_value(None, "user_version", |r| r.get(0)).expect("it has one");
    assert_eq!(form, 2, "the present form");
    let corrects: Option<i64> = db
        .query_row("SELECT corrects FROM entry WHERE id = 4", [], |row| row.get(0))
        .expect("the correction is there");
    assert_eq!(corrects, Some(1), "it still corrects the first");
    let marks: BTreeSet<String> = db
        .prepare("SELECT mark FROM entry")
        .and_then(|mut q| q.query_map([], |row| row.get(0))?.collect())
        .expect("every entry has a mark");
    assert_eq!(marks.len(), 4, "each its own, the two alike included");
    drop(db);
    assert!(well(&folder, &["check"]).contains("4 entries"), "and it is sound");
    // New entries go on from there, and undo takes old ones back one by one.
    let next = well(&folder, &["add", "rest", "bank", "12.7", "V"]);
    assert!(next.starts_with("5  "), "{next}");
}

#[test]
fn a_newer_a_foreign_and_any_other_file_stay_as_they_are() {
    for (make, says) in [
        (
            "PRAGMA application_id = 0x42574C47; PRAGMA user_version = 3; CREATE TABLE t (x);",
            "newer",
        ),
        ("CREATE TABLE t (x); INSERT INTO t VALUES (1);", "not a log of this program"),
        ("PRAGMA application_id = 77; CREATE TABLE t (x);", "not a log of this program"),
        ("", "not a log"),
    ] {
        let folder = demo_rig("alder-fen");
        let path = folder.path().join(LOG);
        if make.is_empty() {
            std::fs::write(&path, "Dear diary, the bank is full.\n").expect("it can be written");
        } else {
            open(&folder).execute_batch(make).expect("it can be made");
        }
        let before = std::fs::read(&path).expect("it is there");
        for words in [
            &["show"][..],
            &["add", "rest", "bank", "12.7", "V"],
            &["undo"],
            &["check"],
            &["export"],
        ] {
            let ran = log(&folder, words);
            assert_eq!(ran.code, 2, "{words:?} on {says}: {}", ran.out);
            assert!(ran.err.contains(says), "{words:?}: {}", ran.err);
        }
        // The design by itself is still good, and it says that it knows no log.
        let check = run_in(folder.path(), &["check", "rig.toml"]);
        assert!(check.err.contains("does not know the log"), "{}", check.err);
        let after = std::fs::read(&path).expect("it is there");
        assert_eq!(before, after, "{says}: not a byte is changed");
        let names: Vec<_> = std::fs::read_dir(folder.path()).expect("a folder").flatten().collect();
        assert_eq!(names.len(), 2, "and nothing lies beside it: {names:?}");
    }
}

#[test]
fn a_damaged_log_says_so() {
    let folder = demo_rig("alder-fen");
    for count in 0..200 {
        let mv = format!("{count}");
        if count == 0 {
            well(&folder, &["add", "joint", "5.from", &mv, "mV", "60", "A"]);
        }
    }
    let db = open(&folder);
    let changed = db.execute("UPDATE entry SET line = 'x'", []).map_err(|e| e.to_string());
    assert!(changed.is_err_and(|e| e.contains("never changed")), "an entry is not changed");
    let gone = db.execute("DELETE FROM entry", []).map_err(|e| e.to_string());
    assert!(gone.is_err_and(|e| e.contains("never taken out")), "nor taken out");
    db.execute_batch(
        "DROP TRIGGER entry_stays_as_it_is;
         UPDATE entry SET line = '2026-06-01 12:00, joint 5.from, joint, 1 mV, current 60 A';",
    )
    .expect("who drops the trigger can do anything");
    drop(db);
    let ran = log(&folder, &["check"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("entry_stays_as_it_is"), "the missing guard is named: {}", ran.err);
    open(&folder)
        .execute_batch(
            "CREATE TRIGGER entry_stays_as_it_is BEFORE UPDATE ON entry
             BEGIN SELECT RAISE(ABORT, 'an entry of the log is never changed'); END;",
        )
        .expect("put back");
    let ran = log(&folder, &["check"]);
    assert!(ran.err.contains("entry 1 is not as it was kept"), "{}", ran.err);
}
