//! `book` writes page files into a folder and says which.

mod bankwright;

use bankwright::{folder, run};
use serde_json::Value;

#[test]
#[expect(clippy::disallowed_methods, reason = "a test reads the files it asked for")]
fn every_file_it_names_is_there_and_is_whole() {
    let folder = folder();
    let out = folder.path().join("deep/er").display().to_string();
    let run = run(&["book", "examples/alder-fen.toml", "--out", &out, "--json"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let answer: Value = serde_json::from_str(&run.out).expect("it is JSON");
    assert!(answer["stop_count"].is_u64(), "the count of STOP findings is told");
    let files: Vec<&str> =
        answer["files"].as_array().expect("a list").iter().filter_map(Value::as_str).collect();
    let pages: Vec<&&str> = files.iter().filter(|f| f.ends_with(".html")).collect();
    assert!(!pages.is_empty(), "pages are among {files:?}");
    for end in [
        "templates/floor.svg",
        "templates/floor.dxf",
        "templates/floor-letter.pdf",
        "cut-list.csv",
        "templates/floor-a4.pdf",
    ] {
        assert!(files.iter().any(|f| f.ends_with(end)), "{end} is among {files:?}");
    }
    for file in &files {
        let bytes = std::fs::read(file).expect("a listed file is there");
        let closed = |end: &str| bytes.trim_ascii_end().ends_with(end.as_bytes());
        if file.ends_with(".pdf") {
            assert!(bytes.starts_with(b"%PDF-1.7") && closed("%%EOF"), "{file} is whole");
            continue;
        }
        if file.ends_with(".dxf") {
            assert!(closed("EOF"), "{file} is whole");
            continue;
        }
        if file.ends_with(".csv") {
            assert!(bytes.starts_with(b"what,lead,") && bytes.ends_with(b"\n"), "{file} is whole");
            continue;
        }
        let path = std::path::Path::new(file);
        let name = path.strip_prefix(folder.path()).expect("inside the folder asked for");
        let text = bankwright::text(&folder, &name.display().to_string());
        let end = if file.ends_with(".html") { "</html>" } else { "</svg>" };
        assert!(text.trim_end().ends_with(end), "{file} is whole");
        if file.ends_with(".html") {
            assert!(text.contains("Alder Fen"), "{file} names the rig");
        }
    }
}
