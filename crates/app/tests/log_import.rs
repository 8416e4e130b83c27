//! `log import` and `log export`: a copy comes back without loss and without doubles, and so does
//! a spreadsheet made by hand; what cannot be read is told by its line.

mod bankwright;

use bankwright::{demo_rig, log, text, write};
use tempfile::TempDir;

#[track_caller]
fn well(folder: &TempDir, words: &[&str]) -> String {
    let ran = log(folder, words);
    assert_eq!(ran.code, 0, "{words:?}: {}", ran.err);
    ran.out
}

fn lines(folder: &TempDir) -> Vec<String> {
    let copy = well(folder, &["export"]);
    copy.lines().skip(1).filter_map(|l| l.splitn(4, ',').nth(3)).map(str::to_owned).collect()
}

fn filled() -> TempDir {
    let folder = demo_rig("alder-fen");
    for words in [
        &["add", "gravity", "A1.2", "1.265", "68 F", "rested", "4 h"][..],
        &["add", "water", "A1", "4", "fl", "oz", "distilled", "after", "charge"],
        &["add", "water", "A1", "4", "fl", "oz", "distilled", "after", "charge"],
        &["add", "rest", "bank", "12.72 V"],
        &["add", "load", "bank", "20 A", "5 h", "12.1 V"],
        &[
            "add",
            "charge",
            "45 Ah",
            "from",
            "roof panel",
            "tail",
            "2 A",
            "full",
            "--note",
            "a \"fine\" day; sun, wind",
        ],
        &["add", "equalise", "3 h", "15.5 V", "46 C"],
        &["add", "capacity", "bank", "9.5 A", "18.2 h", "10.5 V", "68 F"],
        &["add", "joint", "5.from", "3.2 mV", "60 A"],
        &["add", "replaced", "B2", "model", "other maker's"],
        &["add", "photo", "A1", "IMG 2041.jpg"],
        &["add", "note", "wet lid,\ndried it; \"good\""],
        &["add", "looked", "A1.1", "plates", "bare"],
        &["add", "gravity", "A1.2", "1.262", "68 F", "--correct", "1"],
        &["undo", "4"],
    ] {
        well(&folder, words);
    }
    folder
}

#[test]
fn an_export_comes_back_without_loss_and_without_doubles() {
    let folder = filled();
    well(&folder, &["export", "copy.csv"]);
    let copy = text(&folder, "copy.csv");
    assert_eq!(copy.lines().count(), 16, "a header and fifteen entries: {copy}");
    let ran = log(&folder, &["export", "copy.csv"]);
    assert!(ran.code == 2 && ran.err.contains("--force"), "a copy is not overwritten: {}", ran.err);
    let said = well(&folder, &["import", "copy.csv"]);
    assert!(said.contains("Nothing new: all 15"), "{said}");
    // Into an empty log of another rig: the same entries, marks and corrections.
    let other = demo_rig("alder-fen");
    write(&other, "copy.csv", &copy);
    let said = well(&other, &["import", "copy.csv"]);
    assert!(said.contains("15 entries kept"), "{said}");
    assert_eq!(well(&other, &["export"]), copy, "byte for byte");
    assert!(well(&other, &["check"]).contains("is sound"), "every mark fits its entry");
    // A spreadsheet that saved it with semicolons and filled-up rows changes nothing.
    let third = demo_rig("alder-fen");
    let saved: String = copy
        .lines()
        .map(|l| {
            let mut quoted = false;
            let swap = |c: char| {
                quoted ^= c == '"';
                if c == ',' && !quoted { ';' } else { c }
            };
            format!("{};;;\r\n", l.chars().map(swap).collect::<String>())
        })
        .collect();
    write(&third, "copy.csv", saved);
    let said = well(&third, &["import", "copy.csv"]);
    assert!(said.contains("15 entries kept"), "{said}");
    assert_eq!(lines(&third), lines(&other), "the same entries");
}

#[test]
fn a_changed_copy_is_refused_by_line_and_a_row_without_mark_is_new() {
    let folder = filled();
    let copy = well(&folder, &["export"]);
    write(&folder, "copy.csv", copy.replacen("12.72 V", "12.27 V", 1));
    let ran = log(&folder, &["import", "copy.csv"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    assert!(ran.err.contains("line 5") && ran.err.contains("--correct"), "{}", ran.err);
    // One of two that say the same, alone, keeps its own mark; a correction without what it corrects
    // is refused.
    let rows: Vec<&str> = copy.lines().collect();
    let other = demo_rig("alder-fen");
    write(&other, "part.csv", format!("{}\n{}\n", rows[0], rows[3]));
    well(&other, &["import", "part.csv"]);
    let said = well(&other, &["import", "part.csv"]);
    assert!(said.contains("Nothing new: all 1"), "{said}");
    write(&other, "part.csv", format!("{}\n{}\n", rows[0], rows[14]));
    let ran = log(&other, &["import", "part.csv"]);
    assert!(ran.code == 2 && ran.err.contains("neither in the file nor"), "{}", ran.err);
    let mut more = copy.clone();
    more.push_str(",,,2026-05-30 09:00,A1.3,gravity,1.255,fluid 20 C\n");
    more.push_str(",,,2026-05-30 09:00,A1.3,gravty,1.255\n");
    write(&folder, "copy.csv", &more);
    let ran = log(&folder, &["import", "copy.csv"]);
    assert!(
        ran.code == 2 && ran.err.contains("line 18"),
        "a note of two lines is one row: {}",
        ran.err
    );
    let said = well(&folder, &["import", "copy.csv", "--partial"]);
    assert!(said.contains("1 entries kept; 15 were"), "{said}");
}

const BY_HAND: &str = "Meine Batterie;;;;;;\n\
    Datum;Zelle 1;Zelle 2;Säure °C;Wasser A1 (ml);Ruhespannung bank;Bemerkung\n\
    25.4.2026;1,265;1260;18;;12,72;nach der Fahrt\n\
    1.5.2026;1,262;1,258;20,5;120;-;\n\
    ;;;;;;\n";

#[test]
fn a_spreadsheet_made_by_hand_is_understood_once_and_taken_once() {
    let folder = demo_rig("alder-fen");
    write(&folder, "hand.csv", BY_HAND);
    let ran = log(&folder, &["import", "hand.csv"]);
    assert_eq!(ran.code, 2, "nobody agreed yet");
    for part in ["gravity A1.1", "when day-first", "fluid C", "water A1 ml", "rest bank", "--yes"] {
        assert!(ran.err.contains(part), "{part} in {}", ran.err);
    }
    assert!(!folder.path().join("rig.log.sqlite").exists(), "nothing was taken in");
    well(&folder, &["import", "hand.csv", "--yes"]);
    assert_eq!(
        lines(&folder),
        [
            "2026-04-25 12:00,A1.1,gravity,1.265,fluid 18 C",
            "2026-04-25 12:00,A1.2,gravity,1.26,fluid 18 C",
            "2026-04-25 12:00,bank,rest,12.72 V",
            "2026-04-25 12:00,bank,note,nach der Fahrt",
            "2026-05-01 12:00,A1.1,gravity,1.262,fluid 20.5 C",
            "2026-05-01 12:00,A1.2,gravity,1.258,fluid 20.5 C",
            "2026-05-01 12:00,A1,water,120 cm3",
        ],
        "decimal commas, points of gravity, the day first, a title above"
    );
    let said = well(&folder, &["import", "hand.csv"]);
    assert!(said.contains("Nothing new: all 7"), "the mapping is remembered: {said}");
    // Next month's file has one row more, and one entry was corrected meanwhile.
    well(
        &folder,
        &["add", "gravity", "A1.1", "1.256", "18 C", "--correct", "1", "--when", "2026-04-25"],
    );
    write(&folder, "hand.csv", format!("{BY_HAND}20.5.2026;1,263;;20;;;\n"));
    let said = well(&folder, &["import", "hand.csv"]);
    assert!(said.contains("1 entries kept; 7 were"), "{said}");
    well(&folder, &["undo"]);
    assert_eq!(lines(&folder).len(), 10, "an import is one command");
}

#[test]
fn what_the_owner_says_of_a_column_wins_and_is_remembered() {
    let folder = demo_rig("alder-fen");
    write(&folder, "odd.csv", "read on,left,mystery\n03/05/2026,1265,20\n04/05/2026,1262,21\n");
    let ran = log(&folder, &["import", "odd.csv"]);
    assert!(ran.err.contains("both could be") && ran.err.contains("leave out"), "{}", ran.err);
    let maps = [
        "--map",
        "left=gravity B2.3",
        "--map",
        "mystery=fluid C",
        "--map",
        "read on=when day-first",
    ];
    let words: Vec<&str> = ["import", "odd.csv", "--yes"].into_iter().chain(maps).collect();
    well(&folder, &words);
    assert_eq!(
        lines(&folder)[1],
        "2026-05-04 12:00,B2.3,gravity,1.262,fluid 21 C",
        "as the owner said"
    );
    let said = well(&folder, &["import", "odd.csv"]);
    assert!(said.contains("Nothing new"), "{said}");
    for (map, says) in
        [("left", "does not say"), ("left=gravy", "gravity A1.1"), ("right=note", "\"left\"")]
    {
        let ran = log(&folder, &["import", "odd.csv", "--map", map]);
        assert!(ran.code == 2 && ran.err.contains(says), "{map}: {}", ran.err);
    }
}

#[test]
fn one_cell_a_row_is_understood_too() {
    let folder = demo_rig("alder-fen");
    write(
        &folder,
        "long.csv",
        "Date,Time,Cell,SG,Temp (F),Water (fl oz),Remarks\n\
         4/25/2026,9:30 AM,A1.1,1.265,68,4,\n4/25/2026,9:35 AM,cell 5,1.26,70 F,,warm\n",
    );
    well(&folder, &["import", "long.csv", "--yes"]);
    let lines = lines(&folder);
    assert_eq!(lines[0], "2026-04-25 09:30,A1.1,gravity,1.265,fluid 20 C", "{lines:?}");
    assert!(lines[1].starts_with("2026-04-25 09:30,A1.1,water,118.29"), "{lines:?}");
    assert!(lines[2].starts_with("2026-04-25 09:35,A2.2,gravity,1.26,fluid 21.1"), "{lines:?}");
    assert_eq!(lines[3], "2026-04-25 09:35,A2.2,note,warm", "{lines:?}");
}

#[test]
fn broken_files_are_told_line_by_line_and_take_nothing_in() {
    let bad = "date,A1.1,temp F\n\
               2026-05-01,1.265,68\n\
               2026-05-32,1.265,68\n\
               2026-05-02,2.65,68\n\
               2026-05-03,full,68\n\
               2027-05-03,1.265,68\n\
               ,1.265,68\n\
               2026-05-04,1.265,268\n\
               2026-05-05,1.264,68\n";
    let folder = demo_rig("alder-fen");
    write(&folder, "bad.csv", bad);
    let ran = log(&folder, &["import", "bad.csv", "--yes"]);
    assert_eq!(ran.code, 2, "{}", ran.out);
    for part in [
        "line 3: Column \"date\": \"2026-05-32\" is no day",
        "line 4: Column \"A1.1\": A gravity of 2.65 cannot be",
        "line 5: Column \"A1.1\": \"full\" is no number",
        "line 6: \"2027-05-03\" is read as 2027-05-03, which is yet to come",
        "line 7: It has no day",
        "line 8: Column \"temp F\": no fluid in a battery has 268",
        "nothing was taken in",
    ] {
        let flat: Vec<&str> = ran.err.split_whitespace().collect();
        assert!(flat.join(" ").contains(part), "{part} in {}", ran.err);
    }
    assert!(!folder.path().join("rig.log.sqlite").exists(), "nothing was taken in");
    let said = well(&folder, &["import", "bad.csv", "--yes", "--partial"]);
    assert!(said.starts_with("2 entries kept") && said.contains("line 3"), "{said}");
    for (name, bytes, says) in [
        ("empty.csv", &b""[..], "no row that names its columns"),
        ("one.csv", b"only one\n1\n", "no row that names its columns"),
        ("undated.csv", b"moon,tide\nfull,high\n", "No column says when"),
        ("noise.csv", &[0, 159, 146, 150, 255, 10, 44, 44], "no row that names its columns"),
    ] {
        write(&folder, name, bytes);
        let ran = log(&folder, &["import", name, "--yes"]);
        assert_eq!(ran.code, 2, "{name}: {}", ran.out);
        assert!(ran.err.contains(says), "{name}: {}", ran.err);
    }
    let ran = log(&folder, &["import", "nowhere.csv"]);
    assert!(ran.code == 2 && ran.err.contains("not there"), "{}", ran.err);
}
