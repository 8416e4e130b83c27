//! The form of `log add`: every cell in the order of the box, back and skip, questions on what
//! cannot be, and all or nothing at the end.

mod bankwright;

use bankwright::{Run, demo_rig, run_in};
use std::io::Write;
use std::process::{Command, Stdio};
use tempfile::TempDir;

fn form(folder: &TempDir, day: &str, answers: &str) -> Run {
    let mut child = Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .args(["log", "rig.toml", "--today", day, "add"])
        .current_dir(folder.path())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program was built beside this test");
    let mut pipe = child.stdin.take().expect("its input is a pipe");
    // It may end before it has read everything.
    let _ = pipe.write_all(answers.as_bytes());
    drop(pipe);
    let output = child.wait_with_output().expect("it ends");
    Run {
        code: output.status.code().expect("it ends by itself"),
        out: String::from_utf8(output.stdout).expect("it prints text"),
        err: String::from_utf8(output.stderr).expect("it prints text"),
    }
}

fn entries(folder: &TempDir) -> Vec<String> {
    let ran = run_in(folder.path(), &["log", "rig.toml", "export"]);
    ran.out.lines().skip(1).filter_map(|l| l.splitn(4, ',').nth(3)).map(str::to_owned).collect()
}

#[test]
fn cells_are_asked_in_the_order_of_the_box() {
    let folder = demo_rig("alder-fen");
    let ran =
        form(&folder, "2026-05-03", "68 F\n1265\n1.262\nb\n1.263\n\nlow\n1,258 70 F\ndone\n\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("A1 [1 2 3]  B1 [1 2 3]  C1 [1 2 3]"), "the box: {}", ran.err);
    assert!(ran.err.contains("A2 [3 2 1]"), "blocks that lie the other way round: {}", ran.err);
    assert_eq!(
        entries(&folder),
        [
            "2026-05-03 12:00,A1.1,gravity,1.265,fluid 20 C",
            "2026-05-03 12:00,A1.2,gravity,1.263,fluid 20 C",
            "2026-05-03 12:00,B1.1,looked,low",
            "2026-05-03 12:00,B1.2,gravity,1.258,fluid 21.11111111111111 C",
        ],
        "one was mended on the way back, one skipped, one looked at"
    );
    let one = run_in(folder.path(), &["log", "rig.toml", "undo"]);
    assert_eq!(one.out.matches("Taken back").count(), 4, "a sitting is one command: {}", one.out);
}

#[test]
fn what_cannot_be_is_asked_again_and_a_jump_is_asked_about() {
    let folder = demo_rig("alder-fen");
    form(&folder, "2026-05-03", "68 F\n1265\n1265\ndone\n\n");
    let ran = form(&folder, "2026-06-03", "20\n20 C\n1.9\nfull\n1165\n\n1262\n1165\ny\ndone\n\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    for part in [
        "unit is missing",
        "last 1.265 on 2026-05-03",
        "1.9 cannot be",
        "\"full\" is no gravity",
        "On 2026-05-03 this cell read 1.265; now 1.165",
    ] {
        assert!(ran.err.contains(part), "{part} in {}", ran.err);
    }
    let entries = entries(&folder);
    assert!(entries[2].contains("A1.1,gravity,1.262"), "the jump was a slip: {entries:?}");
    assert!(entries[3].contains("A1.2,gravity,1.165"), "this one was none: {entries:?}");
}

#[test]
fn nothing_is_kept_before_the_end() {
    let folder = demo_rig("alder-fen");
    for (answers, says) in [
        ("68 F\n1265\n1265\n", "answers ended"),
        ("68 F\n1265\ndone\nn\n", "Nothing was kept"),
        ("68 F\n\n\ndone\n", "No reading"),
        ("68 F\nx\nx\nx\nx\nx\n", "cannot be used"),
        ("", "answers ended"),
    ] {
        let ran = form(&folder, "2026-05-03", answers);
        assert_eq!(ran.code, 2, "{answers:?}: {}", ran.out);
        assert!(ran.err.contains(says), "{answers:?}: {}", ran.err);
        assert!(!folder.path().join("rig.log.sqlite").exists(), "{answers:?}: no log was begun");
    }
}

#[test]
fn a_bank_without_caps_is_asked_for_its_volts() {
    let folder = demo_rig("withy-reach");
    let ran = form(&folder, "2026-05-03", "2.13\n2,12 V\ndone\n\n");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(ran.err.contains("volts at rest") && !ran.err.contains("Fluid"), "{}", ran.err);
    let entries = entries(&folder);
    assert_eq!(entries.len(), 2, "{entries:?}");
    assert!(entries.iter().all(|e| e.contains(",rest,")), "{entries:?}");
}
