//! The faces show one value: what the command line prints in words, what it prints in JSON and what
//! the book prints on paper are the same figures, on every demo rig; and the same input gives the
//! same bytes twice.

#![expect(clippy::disallowed_methods, reason = "this test runs the program and reads its files")]

use std::path::{Path, PathBuf};
use std::process::Command;

const RIGS: [&str; 3] = ["alder-fen", "withy-reach", "rime-hollow"];

fn rig(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../examples/{name}.toml"))
}

/// What the program prints for a rig.
fn printed(word: &str, name: &str, more: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .arg(word)
        .arg(rig(name))
        .args(more)
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs");
    assert!(output.stderr.is_empty(), "{word} {name}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("it prints text")
}

fn json(word: &str, name: &str, more: &[&str]) -> serde_json::Value {
    let mut all = more.to_vec();
    all.push("--json");
    serde_json::from_str(&printed(word, name, &all)).expect("it prints JSON")
}

/// The files of the book, by name.
fn book(name: &str, folder: &str) -> Vec<(String, String)> {
    let out = Path::new(env!("CARGO_TARGET_TMPDIR")).join(folder).join(name);
    let out = out.to_str().expect("a plain path").to_owned();
    let listed = json("book", name, &["--out", &out]);
    let files = listed["files"].as_array().expect("the files are listed");
    assert!(2 <= files.len(), "{name}: letter and A4");
    let path = |f: &serde_json::Value| f.as_str().expect("a path").to_owned();
    let read = |p: String| {
        // A template in PDF is no text; its bytes are compared all the same.
        let bytes = std::fs::read(&p).expect("a listed file is there");
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let file = Path::new(&p).file_name().and_then(|n| n.to_str()).expect("a name").to_owned();
        (file, text)
    };
    files.iter().map(path).map(read).collect()
}

/// A page without its tags and with plain spaces, so that a figure and its unit stand together.
fn plain(html: &str) -> String {
    let mut text = String::with_capacity(html.len());
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => {
                inside = true;
                text.push(' ');
            }
            '>' => inside = false,
            '\u{a0}' => text.push(' '),
            _ if !inside => text.push(c),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn the_book_and_the_command_line_say_the_same_of_every_lead() {
    for name in RIGS {
        let leads = json("leads", name, &[]);
        let words = printed("leads", name, &[]);
        let pages: Vec<String> = book(name, "agree")
            .into_iter()
            .filter(|(file, _)| file.ends_with(".html"))
            .map(|(_, html)| plain(&html))
            .collect();
        let leads = leads["leads"].as_array().expect("leads are listed");
        assert!(5 < leads.len(), "{name} has leads");
        for lead in leads {
            let (id, size) =
                (lead["id"].as_str().expect("id"), lead["size"].as_str().expect("size"));
            assert!(words.contains(size), "{name} lead {id}: {size} in words");
            for page in &pages {
                assert!(page.contains(size), "{name} lead {id}: {size} on paper");
            }
        }
    }
}

#[test]
fn the_findings_of_the_present_stage_stand_in_the_book() {
    for name in RIGS {
        let design = json("leads", name, &[]);
        let stage = design["stage"].as_str().expect("the stage is named").to_owned();
        let output = Command::new(env!("CARGO_BIN_EXE_bankwright"))
            .args(["check", "--json", "--stage", &stage])
            .arg(rig(name))
            .output()
            .expect("the program runs");
        let found: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
        let findings = found["findings"].as_array().expect("findings are listed");
        assert!(!findings.is_empty(), "{name} has findings");
        let words = printed_check(name, &stage);
        for (file, html) in book(name, "findings") {
            if !file.ends_with(".html") {
                continue;
            }
            let page = plain(&html);
            for finding in findings {
                let says = plain(finding["says"].as_str().expect("says"));
                assert!(page.contains(&says), "{name} {file}: {says}");
                let first: Vec<&str> = says.split(' ').take(3).collect();
                assert!(words.contains(&first.join(" ")), "{name}: {says} in words");
            }
        }
    }
}

fn printed_check(name: &str, stage: &str) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_bankwright"))
        .args(["check", "--stage", stage])
        .arg(rig(name))
        .env("NO_COLOR", "1")
        .output()
        .expect("the program runs");
    plain(&String::from_utf8_lossy(&output.stdout))
}

#[test]
fn the_share_in_words_is_the_share_in_json() {
    for name in RIGS {
        let share = json("share", name, &[]);
        let words = printed("share", name, &[]);
        for string in share["strings"].as_array().expect("strings are listed") {
            let amps = string["amps"].as_f64().expect("amps");
            let shown = format!("{amps:.2}");
            assert!(words.contains(&shown), "{name}: string amps {shown} in words");
        }
        let residual = share["balance_residual"].as_f64().expect("the residual is there");
        assert!(residual < 1e-9, "{name}: the node balance holds, {residual}");
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    for name in RIGS {
        for word in ["share", "leads"] {
            let (first, second) =
                (printed(word, name, &["--json"]), printed(word, name, &["--json"]));
            assert_eq!(first, second, "{word} {name}");
        }
        assert_eq!(book(name, "first"), book(name, "second"), "book {name}");
    }
}
